"""Drawn pages: a scene drawn with a look, photographed, and its truth carried into the picture."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.camera import Camera, aim_camera, flat_camera
from vision.training.clutter import THINGS, draw_thing
from vision.training.draughtsman import DrawnScene, Style, WrittenLine
from vision.training.film import expose
from vision.training.grounds import Sheet, lay_ground
from vision.training.look import Look, Recipe
from vision.training.noise import cut
from vision.training.page import DrawnArrow, DrawnSupport, DrawnText, OtherDrawing, Page
from vision.training.planes import laid_over
from vision.training.props import paint_prop
from vision.training.scene import Scene
from vision.training.shape import Shape
from vision.training.shapes import make_shape
from vision.training.sketch import Ink, Masks, Sketch
from vision.training.worksheet import draw_scene

__all__ = ["assemble", "develop", "make_drawn_page", "make_empty_page", "marks_in_picture"]

_LEGIBLE = 13.0
"""Pixels: where a quarter of the members is shorter, a person cannot tell them apart (looked at on pages of
the tuning seeds: 8.6, 9.5, 10.3 and 10.3 could not be read, 14.8 and more could)."""
_LEGIBLE_IN_FILE = 5.5
"""Pixels of a file, perhaps coarse, that the shortest member needs: 3.9 could not be read, 5.7 could."""

_COVERED = 25
"""Grey levels by which a thing on the sheet changes a joint that it covers, at least."""


def _sheet(rng: np.random.Generator, recipe: Recipe, reach: NDArray[np.float64]) -> Sheet:
    (left, top), (right, bottom) = reach.min(axis=0), reach.max(axis=0)
    room = rng.uniform(0.05, 0.5, 4) if rng.random() < 0.5 else rng.uniform(1.0, 4.0, 4)
    if recipe.ground in {"whiteboard", "blackboard"}:
        room = rng.uniform(0.3, 4.0, 4)
    if recipe.flat:  # a scanner or a screen sees nothing but the sheet
        room = np.full(4, 3.0)
    box = (left - room[0], top - room[1], right + room[2], bottom + room[3])
    return Sheet(recipe.ground, box, pitch=rng.uniform(0.03, 0.14))


def _place(rng: np.random.Generator) -> tuple[float, float]:
    return rng.uniform(0.1, 0.9), rng.uniform(0.1, 0.9)


def _camera(look: Look, reach: NDArray[np.float64], place: tuple[float, float]) -> Camera:
    width, height = look.frame
    extent = np.ptp(reach, axis=0)
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


def _near_camera(
    look: Look, reach: NDArray[np.float64], place: tuple[float, float], drawn: DrawnScene, shape: Shape
) -> Camera:
    """Aim a camera, nearer than the look says where not even a person could tell the members apart."""
    camera = _camera(look, reach, place)
    at = camera.to_pixels(drawn.joints)
    runs = at[[b for _, b in shape.members]] - at[[a for a, _ in shape.members]]
    lengths = np.hypot(*runs.T)
    quarter, shortest = float(np.quantile(lengths, 0.25)), float(lengths.min())
    lacking = max(_LEGIBLE / max(quarter, 1.0), _LEGIBLE_IN_FILE * look.film.coarse / max(shortest, 1.0))
    if lacking <= 1:
        return camera
    nearer = min(1.0, look.fill * lacking)
    return _camera(replace(look, fill=max(look.fill, nearer)), reach, place)


def develop(
    ground: NDArray[np.float32], masks: Masks, inks: tuple[Ink, ...], *, rng: np.random.Generator
) -> NDArray[np.float32]:
    """Lay the inks on the ground."""
    height, width = ground.shape[:2]
    picture = ground.copy()
    for ink in dict.fromkeys(inks):
        mask = np.zeros((height, width), np.uint8)
        for other, one in zip(inks, masks.by_ink, strict=True):
            if other == ink:
                mask = np.asarray(cv2.max(mask, one), dtype=np.uint8)
        left, top, wide, high = cv2.boundingRect(mask)
        if not wide:
            continue
        part = (slice(top, top + high), slice(left, left + wide))
        alpha = mask[part].astype(np.float32) * np.float32(ink.opacity / 255)
        if ink.grain:
            tooth = cut(rng, "tooth", high, wide, scale=max(1.0, width / 1100))
            # Where the tooth is deep the stroke misses the ground; its edge goes first.
            worn = alpha * (1 + 0.25 * ink.grain) - 0.33 * ink.grain * np.maximum(tooth, -0.4)
            alpha = np.clip(worn, 0, 1) * (alpha > 0)
        picture[part] = laid_over(picture[part], alpha, np.array(ink.colour, np.float32))
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
    alpha = np.asarray(np.asarray(soft, np.float32) / 255 * rng.uniform(0.03, 0.14), np.float32)
    return laid_over(ground, alpha, np.array(ink.colour, np.float32))


def _unit(vector: NDArray[np.float64]) -> tuple[float, float]:
    length = float(np.hypot(*vector))
    return float(vector[0] / length), float(vector[1] / length)


def marks_in_picture(
    drawn: DrawnScene, shape: Shape, camera: Camera
) -> tuple[tuple[DrawnSupport, ...], tuple[DrawnArrow, ...], tuple[DrawnText, ...]]:
    """Carry supports, load arrows and writing of a drawn scene into the picture."""
    joints = camera.to_pixels(drawn.joints)
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
    texts = tuple(DrawnText(w.text, w.role, camera.to_pixels(w.corners)) for w in drawn.writing)
    return tuple(supports), tuple(loads), texts


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
    middles = np.array([line[len(line) // 2] for line in drawn.centre_lines]).reshape(-1, 2)
    half = camera.scale_at(middles) * max(style.hand.width, style.bar) / 2
    supports, loads, texts = marks_in_picture(drawn, shape, camera)
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
        supports=supports,
        loads=loads,
        texts=texts,
    )


def _corners(box: tuple[float, float, float, float]) -> NDArray[np.float64]:
    left, top, right, bottom = box
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]])


def _surround(
    sketch: Sketch, drawn: DrawnScene, look: Look, *, rng: np.random.Generator
) -> list[tuple[NDArray[np.float64], tuple[tuple[int, int], ...]]]:
    """Draw other things round the truss; return further trusses among them, joints (N, 2) and members.

    Some come into the frame whole, some are cut off by it.
    """
    trusses = []
    for _ in range(int(rng.poisson(look.recipe.crowd))):
        left, top, right, bottom = drawn.reach()
        size = rng.uniform(0.2, 0.6)
        side = int(rng.integers(4))
        gap = look.style.letter_height * rng.uniform(1.5, 3.5)
        along = rng.uniform(0, 0.7)
        at = np.array(
            [
                [left - size * 1.1 - gap, top + (bottom - top) * along],
                [right + gap, top + (bottom - top) * along],
                [left + (right - left) * along, top - size * 0.9 - gap],
                [left + (right - left) * along, bottom + gap * 1.5],
            ][side]
        )
        start = len(sketch.strokes)
        if rng.random() < 0.15:
            shape = make_shape(
                rng, str(rng.choice(["triangle", "king-post", "warren", "pratt", "queen-post"]))
            )
            small = replace(shape, joints=shape.joints * size)
            style = replace(
                look.style,
                mark_radius=look.style.mark_radius * size,
                bar=look.style.bar * size,
                support=look.style.support * size,
                arrow=look.style.arrow * size,
            )
            moved = draw_scene(sketch, Scene(small), style, rng=rng, at=at + np.array([0, size * 0.8]))
            trusses.append((moved.joints, shape.members))
        else:
            thing = str(rng.choice(THINGS))
            written = draw_thing(sketch, thing, look.style, at=at, size=size, rng=rng)
            drawn.writing += [WrittenLine(text, "note", corners) for text, corners in written]
        if rng.random() < 0.5:
            points = np.concatenate([s.points for s in sketch.strokes[start:]])
            low, high = points.min(axis=0), points.max(axis=0)
            drawn.taken.append((float(low[0]), float(low[1]), float(high[0]), float(high[1])))
    return trusses


def _hides(before: NDArray[np.uint8], after: NDArray[np.uint8], joints: NDArray[np.float64]) -> bool:
    """Tell whether a joint that was to be seen lies under what was laid down: nobody could read it."""
    height, width = before.shape[:2]
    x, y = np.rint(joints).astype(int).reshape(-1, 2).T
    inside = (x >= 0) & (y >= 0) & (x < width) & (y < height)
    change = np.abs(before[y[inside], x[inside]].astype(int) - after[y[inside], x[inside]])
    return bool((change.max(axis=1) > _COVERED).any()) if inside.any() else False


def _with_things(
    picture: NDArray[np.float32], look: Look, joints: NDArray[np.float64], *, rng: np.random.Generator
) -> NDArray[np.float32]:
    """Lay a pen, a ruler or a hand on the sheet, clear of the joints."""
    height, width = picture.shape[:2]
    if look.recipe.flat or rng.random() > look.recipe.things:
        return picture
    photo = np.clip(picture, 0, 255).astype(np.uint8)
    for _ in range(int(rng.integers(1, 3))):
        size = rng.uniform(0.15, 0.45) * max(width, height)
        spot = rng.uniform(-0.05, 1.05, 2) * [width, height]
        if len(joints) and np.hypot(*(joints - spot).T).min() < 0.62 * size:
            continue
        bare = photo.copy()
        paint_prop(photo, rng=rng, spot=(float(spot[0]), float(spot[1])), size=size)
        if _hides(bare, photo, joints):
            photo = bare
    return photo.astype(np.float32)


def make_drawn_page(seed: int, scene: Scene, family: str, look: Look, *, rng: np.random.Generator) -> Page:
    """Draw a scene with a look and photograph it."""
    recipe, style = look.recipe, look.style
    sketch = Sketch(list(recipe.inks))
    drawn = draw_scene(sketch, scene, style, rng=rng)
    beside = _surround(sketch, drawn, look, rng=rng)
    reach = _corners(drawn.reach())
    camera = _near_camera(look, reach, _place(rng), drawn, scene.shape)
    ground = lay_ground(_sheet(rng, recipe, reach), camera, rng=rng, album=look.album)
    if rng.random() < recipe.ghosts:
        ground = _ghosts(ground, scene, style, camera, recipe.inks[0], rng=rng)
    masks = sketch.masks(camera, rng=rng)
    picture = develop(ground, masks, recipe.inks, rng=rng)
    page = assemble(
        expose(_with_things(picture, look, camera.to_pixels(drawn.joints), rng=rng), look.film, rng=rng),
        seed=seed,
        family=family,
        scene=scene,
        drawn=drawn,
        camera=camera,
        masks=masks,
        style=style,
    )
    others = tuple(OtherDrawing("beside", camera.to_pixels(j), m) for j, m in beside)
    return replace(page, others=others)


def make_empty_page(seed: int, family: str, look: Look, *, rng: np.random.Generator) -> Page:
    """Photograph a sheet on which there is everything but a truss, or nothing at all."""
    recipe = look.recipe
    sketch = Sketch(list(recipe.inks))
    drawn = DrawnScene(np.array([[0.0, 0.0], [1.0, rng.uniform(0.4, 1.0)]]))
    for _ in range(int(rng.choice([0, 1, 2, 3, 5]))):
        at = rng.uniform(0, 0.8, 2)
        thing = str(rng.choice(THINGS))
        written = draw_thing(sketch, thing, look.style, at=at, size=rng.uniform(0.2, 0.9), rng=rng)
        drawn.writing += [WrittenLine(text, "note", corners) for text, corners in written]
    reach = _corners(drawn.reach())
    camera = _camera(look, reach, _place(rng))
    ground = lay_ground(_sheet(rng, recipe, reach), camera, rng=rng, album=look.album)
    masks = sketch.masks(camera, rng=rng)
    picture = develop(ground, masks, recipe.inks, rng=rng)
    picture = _with_things(picture, look, np.zeros((0, 2)), rng=rng)
    empty = Scene(Shape("none", np.zeros((0, 2)), ()))
    bare = DrawnScene(np.zeros((0, 2)), writing=drawn.writing)
    return assemble(
        expose(picture, look.film, rng=rng),
        seed=seed,
        family=family,
        scene=empty,
        drawn=bare,
        camera=camera,
        masks=masks,
        style=look.style,
    )
