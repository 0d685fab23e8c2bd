"""Drawn pages: which ground, tool, marks and camera go with which family, and the picture made of them."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.camera import Camera, aim_camera, flat_camera
from vision.training.film import Film, choose_film, expose
from vision.training.grounds import Sheet, lay_ground
from vision.training.noise import cut
from vision.training.page import DrawnArrow, DrawnSupport, DrawnText, Page
from vision.training.pens import choose_hand
from vision.training.scene import Scene
from vision.training.sketch import Ink, Masks, Sketch
from vision.training.worksheet import DrawnScene, Style, draw_scene
from vision.training.writing import choose_lettering

__all__ = ["Recipe", "choose_recipe", "develop", "frame_size", "make_drawn_page"]


@dataclass(frozen=True)
class Recipe:
    """How a page of a family is made, before the truss is known."""

    ground: str
    inks: tuple[Ink, ...]
    """Of the truss, of the loads, of names and remarks."""
    printed: bool
    """Drawn by a machine: no wobble, letters of print."""
    ruler: bool
    rough: float
    """Of the photograph, 0 a scan to 1 a bad phone."""
    flat: bool
    """No perspective: a scan or a screenshot."""


_PENS = ((24, 28, 40), (20, 36, 110), (30, 50, 150), (15, 15, 18), (120, 20, 30), (20, 90, 60))
_MARKERS = ((20, 22, 30), (20, 50, 160), (170, 30, 40), (20, 110, 60))
_CHALKS = (
    (236, 236, 228),
    (240, 240, 240),
    (225, 225, 200),
    (240, 225, 130),
    (245, 180, 170),
    (160, 200, 235),
)
_RED = (190, 40, 40)


def _pick(
    rng: np.random.Generator, colours: tuple[tuple[int, int, int], ...], first: float
) -> tuple[int, int, int]:
    """Return the first colour with a chance of `first`, else any; never twice quite the same."""
    colour = colours[0] if rng.random() < first else colours[int(rng.integers(len(colours)))]
    r, g, b = (int(np.clip(c + rng.normal(0, 10), 0, 255)) for c in colour)
    return r, g, b


def _tool(rng: np.random.Generator, tool: str) -> Ink:
    if tool == "pencil":
        level = int(rng.integers(45, 125))
        return Ink(
            (level, level, level + 4), rng.uniform(0.55, 0.95), rng.uniform(0.25, 0.75), rng.uniform(0.1, 0.5)
        )
    if tool == "chalk":
        return Ink(
            _pick(rng, _CHALKS, 0.6), rng.uniform(0.75, 1.0), rng.uniform(0.3, 0.9), rng.uniform(0.0, 0.4)
        )
    if tool == "marker":
        return Ink(_pick(rng, _MARKERS, 0.4), rng.uniform(0.8, 1.0), rng.uniform(0, 0.2), rng.uniform(0, 0.3))
    if tool == "print":
        level = int(rng.choice([0, 10, 30, 60]))
        return Ink((level, level, level), 1.0)
    if tool == "digital":
        return Ink(_pick(rng, (*_MARKERS, (240, 150, 30), (90, 40, 160)), 0.4), 1.0, 0.0, 0.0)
    return Ink(_pick(rng, _PENS, 0.35), rng.uniform(0.75, 0.98), rng.uniform(0, 0.25), rng.uniform(0, 0.45))


def choose_recipe(rng: np.random.Generator, family: str) -> Recipe:
    """Return ground, tools and camera manners for one of the drawn families."""
    ground, tool, printed, flat = "plain", "pen", False, False
    rough = rng.uniform(0.3, 1.0)
    if family == "printed":
        ground, tool, printed = "print", "print", True
        flat = rng.random() < 0.35
        rough = rng.uniform(0.0, 0.3) if flat else rng.uniform(0.2, 1.0)
    elif family in {"whiteboard", "blackboard"}:
        ground, tool = family, "marker" if family == "whiteboard" else "chalk"
    elif family == "tablet":
        ground, tool = "tablet", "digital"
        flat = rng.random() < 0.8
        rough = 0.05 if flat else rng.uniform(0.2, 0.6)
    elif family in {"ruled", "squared"}:
        ground = family if rng.random() < 0.85 else ("yellow" if family == "ruled" else "dotted")
        tool = str(rng.choice(["pen", "pen", "pencil", "marker"]))
    elif family == "pencil":
        ground = str(rng.choice(["plain", "plain", "squared", "ruled", "kraft"]))
        tool = "pencil"
    else:
        ground = str(
            rng.choice(["plain", "plain", "squared", "ruled", "yellow", "whiteboard", "blackboard", "kraft"])
        )
        tool = {"whiteboard": "marker", "blackboard": "chalk"}.get(
            ground, str(rng.choice(["pen", "pencil", "marker"]))
        )
    main = _tool(rng, tool)
    if tool == "digital" and rng.random() < 0.3:
        ground = "dark tablet"
    second = main if rng.random() < 0.6 or printed else _tool(rng, tool)
    red = rng.random() < 0.15 and tool != "chalk" and not printed
    third = (
        Ink(_RED, main.opacity, main.grain, main.pressure)
        if red
        else (main if rng.random() < 0.6 else second)
    )
    return Recipe(ground, (main, second, third), printed, rng.random() < 0.35, rough, flat)


def frame_size(rng: np.random.Generator, size: int) -> tuple[int, int]:
    """Return width and height with the longest side `size`, in one of the usual proportions."""
    short = int(size / float(rng.choice([4 / 3, 4 / 3, 3 / 2, 16 / 9, 1.0, 1.41])))
    return (size, short) if rng.random() < 0.72 else (short, size)


def _style(
    rng: np.random.Generator, family: str, recipe: Recipe, span_px: float, joints: int, *, fonts: bool
) -> Style:
    thick = {"whiteboard": 4.0, "blackboard": 4.5, "printed": 2.0}.get(family, 2.6)
    width = max(1.2, float(np.clip(rng.lognormal(np.log(thick), 0.4), 1.0, 16.0)) * span_px / 620) / span_px
    hand = choose_hand(rng, width, ruler=recipe.ruler or recipe.printed)
    if recipe.printed:
        hand = type(hand)(width)
    marks = ["none", "none", "none", "dot", "circle", "cross"]
    if recipe.printed:
        marks = ["none", "none", "dot", "circle", "circle"]
    mark = str(rng.choice(marks))
    radius = max(rng.uniform(0.007, 0.02), 1.3 * width)
    inside = False
    if family == "circled":
        mark = str(rng.choice(["circle", "circle", "circle", "mixed", "blob"]))
        crowd = min(1.0, 6 / joints)
        radius = max(rng.uniform(0.018, 0.085) * crowd, 2.2 * width)
        inside = mark == "circle" and radius > 0.03 and rng.random() < 0.5
        if rng.random() < 0.5:  # lines that stop well short of the circle
            hand = type(hand)(
                width, hand.bow, hand.wobble, rng.uniform(0.005, 0.035), hand.loose, 0.0, hand.patchy
            )
    letter = max(rng.uniform(0.026, 0.05), 9.0 / span_px)
    return Style(
        hand=hand,
        lettering=choose_lettering(rng, printed=recipe.printed, fonts=fonts),
        mark=mark,
        mark_radius=radius,
        named_inside=inside,
        careless=0.0 if recipe.printed else rng.uniform(0.1, 1.0),
        letter_height=letter,
        support=rng.uniform(0.04, 0.085),
        arrow=rng.uniform(0.1, 0.22),
        load_ink=1,
        note_ink=2,
        thin=rng.uniform(0.45, 0.9),
        solid=rng.random() < (0.7 if recipe.printed else 0.2),
    )


def _sheet(rng: np.random.Generator, ground: str, reach: NDArray[np.float64]) -> Sheet:
    (left, top), (right, bottom) = reach.min(axis=0), reach.max(axis=0)
    room = rng.uniform(0.05, 0.5, 4) if rng.random() < 0.5 else rng.uniform(1.0, 4.0, 4)
    if ground in {"whiteboard", "blackboard"}:
        room = rng.uniform(0.3, 4.0, 4)
    box = (left - room[0], top - room[1], right + room[2], bottom + room[3])
    return Sheet(ground.rsplit(maxsplit=1)[-1], box, pitch=rng.uniform(0.03, 0.14))


def _camera(
    rng: np.random.Generator, recipe: Recipe, reach: NDArray[np.float64], frame: tuple[int, int], fill: float
) -> Camera:
    width, height = frame
    extent = np.ptp(reach, axis=0)
    if recipe.flat:
        scale = fill * min(width / extent[0], height / extent[1])
        room = np.array([width, height]) - extent * scale
        corner = room * rng.uniform(0.1, 0.9, 2) - reach.min(axis=0) * scale
        return flat_camera(width, height, float(scale), (float(corner[0]), float(corner[1])))
    tilt = abs(rng.normal(0, 0.22)) if rng.random() < 0.7 else rng.normal(0, 0.35)
    roll = rng.normal(0, 0.05) if rng.random() < 0.85 else rng.normal(0, 0.3)
    return aim_camera(
        reach,
        width=width,
        height=height,
        fill=fill,
        place=(rng.uniform(0.1, 0.9), rng.uniform(0.1, 0.9)),
        turns=(float(np.clip(-tilt, -0.75, 0.75)), float(np.clip(rng.normal(0, 0.16), -0.6, 0.6)), roll),
        focal=rng.uniform(0.75, 2.2),
        bend=(rng.normal(-0.01, 0.025), rng.normal(0, 0.006)),
    )


def develop(
    ground: NDArray[np.float32], masks: Masks, inks: tuple[Ink, ...], *, rng: np.random.Generator
) -> NDArray[np.float32]:
    """Lay the inks on the ground."""
    height, width = ground.shape[:2]
    picture = ground
    for ink, mask in zip(inks, masks.by_ink, strict=True):
        if not mask.any():
            continue
        alpha = mask.astype(np.float32) * np.float32(ink.opacity / 255)
        if ink.grain:
            tooth = cut(rng, "tooth", height, width, scale=max(1.0, width / 1100))
            # Where the tooth is deep the stroke misses the ground; its edge goes first.
            alpha = np.clip(
                alpha * (1 + 0.25 * ink.grain) - ink.grain * 0.33 * np.maximum(tooth, -0.4), 0, 1
            ) * (alpha > 0)
        picture = picture + (np.array(ink.colour, np.float32) - picture) * alpha[..., None]
    return picture


def _ghosts(
    ground: NDArray[np.float32],
    scene: Scene,
    style: Style,
    camera: Camera,
    ink: Ink,
    *,
    rng: np.random.Generator,
) -> NDArray[np.float32]:
    """Leave a half-wiped drawing on a board, or the back of the sheet shining through."""
    sketch = Sketch([ink] * 3)
    draw_scene(sketch, Scene(scene.shape), style, rng=rng)
    mask = sketch.masks(camera, rng=rng).members
    width = mask.shape[1]
    flipped = mask[:, ::-1] if rng.random() < 0.7 else mask[::-1]
    soft = cv2.GaussianBlur(np.ascontiguousarray(flipped), (0, 0), max(1.0, width / 300))
    alpha = np.asarray(soft, dtype=np.float32) / 255 * rng.uniform(0.03, 0.14)
    return np.asarray(ground + (np.array(ink.colour, np.float32) - ground) * alpha[..., None], np.float32)


def _unit(vector: NDArray[np.float64]) -> tuple[float, float]:
    length = float(np.hypot(*vector))
    return float(vector[0] / length), float(vector[1] / length)


def assemble(
    rgb: NDArray[np.uint8],
    *,
    seed: int,
    family: str,
    scene: Scene,
    drawn: DrawnScene,
    camera: Camera,
    masks: Masks,
    style: Style,
) -> Page:
    """Carry the truth of a drawn scene into the picture."""
    shape = scene.shape
    joints = camera.to_pixels(drawn.joints)
    middles = np.array([line[len(line) // 2] for line in drawn.centre_lines])
    half = camera.scale_at(middles) * style.hand.width / 2 if len(middles) else np.zeros(0)
    supports = []
    for symbol in drawn.supports:
        rest = shape.rests[symbol.row]
        at = drawn.joints[rest.joint]
        ahead = camera.to_pixels(at + 0.01 * np.array(rest.normal) * [1, -1])
        points = camera.to_pixels(symbol.points)
        low, high = points.min(axis=0), points.max(axis=0)
        box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
        supports.append(DrawnSupport(rest.joint, rest.kind, _unit(ahead - joints[rest.joint]), box))
    loads = []
    for symbol in drawn.arrows:
        tail, head = camera.to_pixels(symbol.points)
        loads.append(
            DrawnArrow(
                shape.pulls[symbol.row].joint,
                _unit(head - tail),
                (float(tail[0]), float(tail[1])),
                (float(head[0]), float(head[1])),
            )
        )
    return Page(
        rgb=rgb,
        seed=seed,
        family=family,
        shape=shape.name,
        joints=joints,
        members=shape.members,
        half_width=half,
        centre_lines=tuple(camera.to_pixels(line) for line in drawn.centre_lines),
        mark_radius=drawn.mark_radius * camera.scale_at(drawn.joints),
        other_ink=masks.other,
        text_ink=masks.text,
        supports=tuple(supports),
        loads=tuple(loads),
        texts=tuple(DrawnText(w.text, w.role, camera.to_pixels(w.corners)) for w in drawn.writing),
    )


def make_drawn_page(
    seed: int,
    scene: Scene,
    family: str,
    *,
    rng: np.random.Generator,
    size: int,
    fonts: bool,
    recipe: Recipe | None = None,
    film: Film | None = None,
    fill: float | None = None,
) -> Page:
    """Draw a scene in the manner of a family and photograph it; what is left out is chosen by chance."""
    recipe = choose_recipe(rng, family) if recipe is None else recipe
    frame = frame_size(rng, size)
    if fill is None:
        fill = rng.uniform(0.5, 0.97) if rng.random() < 0.85 else rng.uniform(0.15, 0.5)
    span_px = max(60.0, fill * min(frame) * 0.8)
    style = _style(rng, family, recipe, span_px, len(scene.shape.joints), fonts=fonts)
    sketch = Sketch(list(recipe.inks))
    drawn = draw_scene(sketch, scene, style, rng=rng)
    left, top, right, bottom = drawn.reach()
    reach = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
    camera = _camera(rng, recipe, reach, frame, fill)
    ground = lay_ground(_sheet(rng, recipe.ground, reach), camera, rng=rng)
    if rng.random() < (0.4 if "board" in recipe.ground else 0.08):
        ground = _ghosts(ground, scene, style, camera, recipe.inks[0], rng=rng)
    masks = sketch.masks(camera, rng=rng)
    picture = develop(ground, masks, recipe.inks, rng=rng)
    film = choose_film(rng, rough=recipe.rough) if film is None else film
    rgb = expose(picture, film, rng=rng)
    return assemble(
        rgb, seed=seed, family=family, scene=scene, drawn=drawn, camera=camera, masks=masks, style=style
    )
