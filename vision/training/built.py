"""Built pages: models of sticks, straws and tubes, lying on a table or standing with a far truss behind."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.camera import Camera, aim_camera
from vision.training.drawn import frame_size
from vision.training.film import Film, choose_film, expose
from vision.training.grounds import Sheet, lay_ground, surface
from vision.training.page import OtherDrawing, Page
from vision.training.props import lay_room, paint_box, paint_prop
from vision.training.shapes import Shape
from vision.training.sticks import Colour, Material, choose_material, paint_joint, paint_patch, paint_stick

__all__ = ["make_built_page"]

Points = NDArray[np.float64]
Photo = NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class _Bars:
    """Bars in space: joints (N, 3), pairs of rows."""

    joints: Points
    pairs: tuple[tuple[int, int], ...]


def _ends(a: Points, b: Points, overlap: float) -> Points:
    along = (b - a) / max(float(np.linalg.norm(b - a)), 1e-9)
    return np.stack([a - along * overlap, b + along * overlap])


def _shadow(photo: NDArray[np.float32], camera: Camera, bars: list[_Bars], width: float, drop: Points, rng: np.random.Generator) -> None:
    """Darken what lies behind the bars by their shadow, thrown by `drop` (3,) in the model's space."""
    mask = np.zeros(photo.shape[:2], np.uint8)
    for one in bars:
        for a, b in one.pairs:
            line = camera.to_pixels(one.joints[[a, b]] + drop)
            if not np.isfinite(line).all():
                continue
            thick = max(1, round(width * float(camera.scale_at(one.joints[a] + drop))))
            fixed = np.round(np.clip(line, -20000, 20000) * 16).astype(np.int32)
            cv2.line(mask, fixed[0].tolist(), fixed[1].tolist(), 255, min(thick, 200), cv2.LINE_AA, 4)
    soft = cv2.GaussianBlur(mask, (0, 0), max(0.8, camera.width / 1000 * rng.uniform(0.8, 8)))
    photo *= (1 - np.asarray(soft, np.float32) / 255 * np.float32(rng.uniform(0.15, 0.6)))[..., None]


def _paint_bars(
    photo: Photo, camera: Camera, bars: _Bars, material: Material, *, rng: np.random.Generator, light: float
) -> None:
    order = rng.permutation(len(bars.pairs))
    by_length = rng.random() < 0.4 and len(material.colours) > 1
    for k in order:
        a, b = bars.joints[list(bars.pairs[k])]
        ends = _ends(a, b, material.overlap)
        pixels = camera.to_pixels(ends)
        scales = camera.scale_at(ends) * material.width / 2
        colour: Colour | None = None
        if by_length:
            colour = material.colours[int(np.linalg.norm(b - a) * 7) % len(material.colours)]
        paint_stick(
            photo, pixels, (float(scales[0]), float(scales[1])), material, rng=rng, light=light, colour=colour
        )


def _paint_joints(
    photo: Photo, camera: Camera, joints: Points, material: Material, *, rng: np.random.Generator, light: float
) -> None:
    for joint in joints:
        centre = camera.to_pixels(joint)
        right = (camera.to_pixels(joint + np.array([0.01, 0, 0])) - centre) / 0.01
        down = (camera.to_pixels(joint + np.array([0, 0.01, 0])) - centre) / 0.01
        paint_joint(photo, np.stack([right, down]), centre, material, rng=rng, light=light)


def _truth(
    rgb: Photo, camera: Camera, shape: Shape, near: Points, material: Material, others: tuple[OtherDrawing, ...], seed: int, family: str
) -> Page:
    joints = camera.to_pixels(near)
    steps = np.linspace(0, 1, 12)[:, None]
    lines = tuple(camera.to_pixels(near[a] + (near[b] - near[a]) * steps) for a, b in shape.members)
    middles = np.array([(near[a] + near[b]) / 2 for a, b in shape.members])
    marked = 0.0 if material.joint in {"none", "tape"} else material.joint_size
    empty = np.zeros(rgb.shape[:2], np.uint8)
    return Page(
        rgb=rgb,
        seed=seed,
        family=family,
        shape=shape.name,
        joints=joints,
        members=shape.members,
        half_width=camera.scale_at(middles) * material.width / 2,
        centre_lines=lines,
        mark_radius=camera.scale_at(near) * marked,
        other_ink=empty,
        text_ink=empty.copy(),
        others=others,
    )


def _flat_model(seed: int, shape: Shape, family: str, *, rng: np.random.Generator, size: int, material: Material, film: Film, fill: float) -> Page:
    """Lay a model on a table, a sheet or a cutting mat, and look at it from above."""
    width, height = frame_size(rng, size)
    near = np.column_stack([shape.joints * [1, -1], np.zeros(len(shape.joints))])
    margin = max(material.width, material.joint_size)
    low, high = near[:, :2].min(axis=0) - margin, near[:, :2].max(axis=0) + margin
    corners = np.array([[low[0], low[1]], [high[0], low[1]], [high[0], high[1]], [low[0], high[1]]])
    camera = aim_camera(
        corners,
        width=width,
        height=height,
        fill=fill,
        place=(rng.uniform(0.1, 0.9), rng.uniform(0.1, 0.9)),
        turns=(-abs(rng.normal(0, 0.25)), rng.normal(0, 0.15), rng.normal(0, 0.1)),
        focal=rng.uniform(0.75, 2.0),
        bend=(rng.normal(-0.01, 0.025), 0.0),
    )
    if rng.random() < 0.5:
        kind = str(rng.choice(["plain", "squared", "kraft", "squared", "whiteboard"]))
        room = rng.uniform(0.1, 2.0, 4)
        box = (low[0] - room[0], low[1] - room[1], high[0] + room[2], high[1] + room[3])
        ground = lay_ground(Sheet(kind, box, rng.uniform(0.04, 0.12)), camera, rng=rng)
    else:
        ground = surface(rng, str(rng.choice(["wood", "wood", "cloth", "stone", "smooth", "smooth"])), height, width)
    light = rng.uniform(0, 2 * np.pi)
    bars = _Bars(near, shape.members)
    ground = ground.astype(np.float32)
    for _ in range(int(rng.choice([0, 0, 1, 2, 4]))):
        photo = np.clip(ground, 0, 255).astype(np.uint8)
        edge = rng.uniform(-0.1, 1.1, 2)
        edge[int(rng.integers(2))] = rng.choice([0.02, 0.98])
        paint_prop(photo, rng=rng, spot=(edge[0] * width, edge[1] * height), size=rng.uniform(0.15, 0.4) * size)
        ground = photo.astype(np.float32)
    drop = np.array([np.cos(light + np.pi), np.sin(light + np.pi), 0]) * material.width * rng.uniform(0.15, 0.9)
    _shadow(ground, camera, [bars], material.width, drop, rng)
    photo = np.clip(ground, 0, 255).astype(np.uint8)
    _paint_bars(photo, camera, bars, material, rng=rng, light=light)
    _paint_joints(photo, camera, near, material, rng=rng, light=light)
    rgb = expose(photo.astype(np.float32), film, rng=rng)
    return _truth(rgb, camera, shape, near, material, (), seed, family)


def _far_truss(rng: np.random.Generator, near: Points, shape: Shape, depth: float) -> tuple[Points, Points]:
    """Return where the far joints lie, and which of them are joints of their own (a shared ridge is not)."""
    far = near + np.array([0.0, 0.0, depth])
    own = np.ones(len(near), dtype=bool)
    if rng.random() < 0.25:  # both planes lean together and meet at the top
        top = near[:, 1] < near[:, 1].min() + 0.06
        if top.sum() < len(near) - 1:
            own = ~top
            high = (near[:, 1].max() - near[:, 1]) / max(float(np.ptp(near[:, 1])), 1e-9)
            near[:, 2] += high * depth / 2
            far[:, 2] = depth - high * depth / 2
    return far, own


def _standing_model(seed: int, shape: Shape, family: str, *, rng: np.random.Generator, size: int, material: Material, film: Film, fill: float) -> Page:
    """Stand a model of one or two planes between two boxes or on the floor."""
    width, height = frame_size(rng, size)
    near = np.column_stack([shape.joints * [1, -1], np.zeros(len(shape.joints))])
    two = rng.random() < 0.8
    depth = rng.uniform(0.12, 0.4)
    far, own = _far_truss(rng, near, shape, depth) if two else (near.copy(), np.zeros(len(near), dtype=bool))
    solid = np.concatenate([near, far])
    margin = material.joint_size
    low, high = solid.min(axis=0) - margin, solid.max(axis=0) + margin
    corners = np.array([[x, y, z] for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])])
    camera = aim_camera(
        corners,
        width=width,
        height=height,
        fill=fill,
        place=(rng.uniform(0.2, 0.8), rng.uniform(0.2, 0.8)),
        turns=(rng.uniform(0.02, 0.45), rng.normal(0, 0.22), rng.normal(0, 0.03)),
        focal=rng.uniform(0.9, 2.5),
        bend=(rng.normal(-0.005, 0.015), 0.0),
    )
    raised = rng.random() < 0.6
    foot = float(solid[:, 1].max())
    floor = foot + (rng.uniform(0.15, 0.5) if raised else material.width)
    room = lay_room(camera, floor, rng=rng)
    light = rng.uniform(-np.pi, 0)
    bars = [_Bars(near, shape.members)]
    behind = tuple(m for m in shape.members if own[m[0]] or own[m[1]])
    if two:
        bars.insert(0, _Bars(far, behind))
    shadow = np.array([0.1 * rng.normal(), 0.0, 0.1])
    flat = [_Bars(np.column_stack([b.joints[:, 0], np.full(len(b.joints), floor), b.joints[:, 2]]), b.pairs) for b in bars]
    _shadow(room, camera, flat, material.width, shadow, rng)
    photo = np.clip(room, 0, 255).astype(np.uint8)
    if raised:
        xs = np.sort(near[near[:, 1] > foot - 0.05][:, 0])
        left, right = float(xs[0]), float(xs[-1])
        rest = rng.uniform(0.0, 0.1) * (right - left)
        front = float(solid[:, 2].min()) - rng.uniform(0.03, 0.2)
        back = float(solid[:, 2].max()) + rng.uniform(0.03, 0.3)
        top = foot + material.joint_size * 0.8
        reach = rng.uniform(0.2, 0.8)
        paint_box(photo, camera, np.array([left - reach, top, front]), np.array([left + rest, floor, back]), rng=rng)
        paint_box(photo, camera, np.array([right - rest, top, front]), np.array([right + reach, floor, back]), rng=rng)
    for _ in range(int(rng.choice([0, 0, 0, 1, 2]))):
        side = float(rng.choice([0.06, 0.94]))
        paint_prop(photo, rng=rng, spot=(side * width, rng.uniform(0.3, 0.95) * height), size=rng.uniform(0.15, 0.35) * size)
    if two:
        _paint_bars(photo, camera, bars[0], material, rng=rng, light=light)
        joined = own & (rng.random(len(near)) < rng.choice([0.6, 1.0, 1.0]))
        cross = _Bars(solid, tuple((i, i + len(near)) for i in np.flatnonzero(joined).tolist()))
        _paint_joints(photo, camera, far[own], material, rng=rng, light=light)
        tie = replace(material, colours=material.colours[::-1]) if rng.random() < 0.7 else choose_material(rng, "straw")
        tie = replace(tie, width=material.width)
        _paint_bars(photo, camera, cross, tie, rng=rng, light=light)
        if rng.random() < 0.35:  # braces in the floor, from one truss to the other
            low_rows = np.flatnonzero(near[:, 1] > foot - 0.05)
            low_rows = low_rows[np.argsort(near[low_rows, 0])]
            floor_bars = tuple((int(a), int(b) + len(near)) for a, b in zip(low_rows[:-1], low_rows[1:], strict=True))
            _paint_bars(photo, camera, _Bars(solid, floor_bars), tie, rng=rng, light=light)
    _paint_bars(photo, camera, bars[-1], material, rng=rng, light=light)
    _paint_joints(photo, camera, near, material, rng=rng, light=light)
    if rng.random() < 0.15:
        _hang(photo, camera, near, material, rng)
    rgb = expose(photo.astype(np.float32), film, rng=rng)
    others: tuple[OtherDrawing, ...] = ()
    if two:
        others = (OtherDrawing("behind", camera.to_pixels(far), behind),)
    return _truth(rgb, camera, shape, near, material, others, seed, family)


def _hang(photo: Photo, camera: Camera, near: Points, material: Material, rng: np.random.Generator) -> None:
    """Hang a weight on a string from a lower joint."""
    low = np.flatnonzero(near[:, 1] > np.median(near[:, 1]) - 1e-9)
    at = near[int(rng.choice(low))]
    down = rng.uniform(0.06, 0.25)
    half, tall = rng.uniform(0.02, 0.07), rng.uniform(0.05, 0.12)
    string = camera.to_pixels(np.stack([at, at + np.array([0, down, 0])]))
    fixed = np.round(np.clip(string, -20000, 20000) * 16).astype(np.int32)
    cv2.polylines(photo, [fixed], False, (70, 66, 60), max(1, camera.width // 800), cv2.LINE_AA, 4)
    offsets = np.array([[-half, down, 0], [half, down, 0], [half * 0.85, down + tall, 0], [-half * 0.85, down + tall, 0]])
    r, g, b = rng.uniform(30, 230, 3)
    paint_patch(photo, camera.to_pixels(at + offsets), (float(r), float(g), float(b)))


def make_built_page(
    seed: int,
    shape: Shape,
    family: str,
    *,
    rng: np.random.Generator,
    size: int,
    material: Material | None = None,
    film: Film | None = None,
    fill: float | None = None,
    standing: bool | None = None,
) -> Page:
    """Build a shape of sticks or rods and photograph it; what is left out is chosen by chance."""
    if material is None:
        kinds = ["craft", "craft", "strip", "strip", "card"] if family == "sticks" else ["straw", "straw", "tube", "rod"]
        material = choose_material(rng, str(rng.choice(kinds)))
        crowd = min(1.0, 2.2 / np.sqrt(len(shape.members)))
        material = replace(
            material,
            width=material.width * crowd,
            joint_size=material.joint_size * crowd,
            overlap=material.overlap * crowd,
        )
    if film is None:
        film = choose_film(rng, rough=rng.uniform(0.2, 0.9))
    if fill is None:
        fill = rng.uniform(0.5, 0.95) if rng.random() < 0.85 else rng.uniform(0.2, 0.5)
    if standing is None:
        standing = rng.random() < (0.3 if family == "sticks" else 0.8)
    make = _standing_model if standing else _flat_model
    return make(seed, shape, family, rng=rng, size=size, material=material, film=film, fill=fill)
