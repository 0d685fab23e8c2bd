"""Drawn pages: a scene drawn with a look, photographed, and its truth carried into the picture."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.camera import Camera, aim_camera, flat_camera
from vision.training.film import expose
from vision.training.grounds import Sheet, lay_ground
from vision.training.look import Look, Recipe
from vision.training.noise import cut
from vision.training.page import DrawnArrow, DrawnSupport, DrawnText, Page
from vision.training.scene import Scene
from vision.training.sketch import Ink, Masks, Sketch
from vision.training.worksheet import DrawnScene, Style, draw_scene

__all__ = ["assemble", "develop", "make_drawn_page"]


def _sheet(rng: np.random.Generator, recipe: Recipe, reach: NDArray[np.float64]) -> Sheet:
    (left, top), (right, bottom) = reach.min(axis=0), reach.max(axis=0)
    room = rng.uniform(0.05, 0.5, 4) if rng.random() < 0.5 else rng.uniform(1.0, 4.0, 4)
    if recipe.ground in {"whiteboard", "blackboard"}:
        room = rng.uniform(0.3, 4.0, 4)
    if recipe.flat:  # a scanner or a screen sees nothing but the sheet
        room = np.full(4, 3.0)
    box = (left - room[0], top - room[1], right + room[2], bottom + room[3])
    return Sheet(recipe.ground, box, pitch=rng.uniform(0.03, 0.14))


def _camera(rng: np.random.Generator, look: Look, reach: NDArray[np.float64]) -> Camera:
    width, height = look.frame
    extent = np.ptp(reach, axis=0)
    place = (rng.uniform(0.1, 0.9), rng.uniform(0.1, 0.9))
    if look.recipe.flat:
        scale = look.fill * min(width / extent[0], height / extent[1])
        room = np.array([width, height]) - extent * scale
        corner = room * place - reach.min(axis=0) * scale
        return flat_camera(width, height, float(scale), (float(corner[0]), float(corner[1])))
    return aim_camera(
        reach,
        width=width,
        height=height,
        fill=look.fill,
        place=place,
        turns=look.turns,
        focal=look.focal,
        bend=look.bend,
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


def make_drawn_page(seed: int, scene: Scene, family: str, look: Look, *, rng: np.random.Generator) -> Page:
    """Draw a scene with a look and photograph it."""
    recipe, style = look.recipe, look.style
    sketch = Sketch(list(recipe.inks))
    drawn = draw_scene(sketch, scene, style, rng=rng)
    left, top, right, bottom = drawn.reach()
    reach = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
    camera = _camera(rng, look, reach)
    ground = lay_ground(_sheet(rng, recipe, reach), camera, rng=rng)
    if rng.random() < recipe.ghosts:
        ground = _ghosts(ground, scene, style, camera, recipe.inks[0], rng=rng)
    masks = sketch.masks(camera, rng=rng)
    picture = develop(ground, masks, recipe.inks, rng=rng)
    rgb = expose(picture, look.film, rng=rng)
    return assemble(
        rgb, seed=seed, family=family, scene=scene, drawn=drawn, camera=camera, masks=masks, style=style
    )
