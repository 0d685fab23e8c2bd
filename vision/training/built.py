"""Built pages: models of sticks, straws and tubes, lying on a table or standing with a far truss behind."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from vision.training.backdrop import lay_busy_room, strew
from vision.training.camera import Camera, aim_camera
from vision.training.drawn import marks_in_picture
from vision.training.film import Film, choose_film, expose
from vision.training.grounds import Sheet, lay_ground, surface
from vision.training.look import frame_size
from vision.training.noted import Notes, write_over
from vision.training.page import OtherDrawing, Page
from vision.training.paint import Points
from vision.training.photos import Album
from vision.training.props import lay_room, paint_box
from vision.training.shape import Shape
from vision.training.stage import Bars, Stage, bars_of
from vision.training.sticks import Material, choose_material

__all__ = ["Build", "choose_build", "make_built_page", "make_empty_room"]


@dataclass(frozen=True)
class Build:
    """All that is decided about the picture of a model before it is painted."""

    material: Material
    film: Film
    frame: tuple[int, int]
    """Width and height in pixels."""
    fill: float
    """Part of the frame that the model takes, 0 to 1."""
    standing: bool
    """Upright, with the room behind; else flat on a table."""
    planes: int = 1
    """2: a second truss stands behind (only of a standing model)."""
    depth: float = 0.25
    """Distance of the second truss."""
    raised: bool = True
    """Stands on two boxes; else on the table."""
    busy: bool = False
    """A full room or a yard behind, tools and offcuts about."""
    noted: bool = False
    """Names, loads, supports and lengths are written over the picture."""
    album: Album | None = None
    """Photographs that may stand behind and below; None paints everything."""


def choose_build(rng: np.random.Generator, family: str, *, size: int, members: int) -> Build:
    """Return how a model of `sticks` or `rods` is built and photographed; `size` is the longest side."""
    sticks = family == "sticks"
    kinds = ["craft", "craft", "strip", "strip", "card"] if sticks else ["straw", "straw", "tube", "rod"]
    material = choose_material(rng, str(rng.choice(kinds)))
    crowd = min(1.0, 2.4 / np.sqrt(members))
    material = replace(
        material,
        width=material.width * crowd,
        joint_size=material.joint_size * (crowd if sticks else 1.0),
        overlap=material.overlap * crowd,
    )
    return Build(
        material,
        film=choose_film(rng, rough=rng.uniform(0.2, 0.9)),
        frame=frame_size(rng, size),
        fill=rng.uniform(0.5, 0.97) if rng.random() < 0.85 else rng.uniform(0.2, 0.5),
        standing=rng.random() < (0.35 if sticks else 0.8),
        planes=2 if rng.random() < 0.8 else 1,
        depth=rng.uniform(0.12, 0.42),
        raised=rng.random() < 0.6,
    )


def _page(
    stage: Stage,
    near: Bars,
    film: Film,
    *,
    seed: int,
    family: str,
    shape: Shape,
    notes: Notes | None = None,
) -> Page:
    camera, material = stage.camera, stage.material
    rgb = expose(stage.photo.astype(np.float32), film, rng=stage.rng)
    lines = [near.line(k) for k in range(len(near.pairs))]
    marked = 0.0 if material.joint in {"none", "tape"} else material.joint_size
    empty = np.zeros(rgb.shape[:2], np.uint8)
    supports, loads, texts = marks_in_picture(notes[1], notes[0].shape, camera) if notes else ((), (), ())
    return Page(
        rgb=rgb,
        seed=seed,
        family=family,
        shape=shape.name,
        joints=camera.to_pixels(near.joints),
        members=near.pairs,
        half_width=camera.scale_at(np.array([line[len(line) // 2] for line in lines]).reshape(-1, 3))
        * material.width
        / 2,
        centre_lines=tuple(camera.to_pixels(line) for line in lines),
        mark_radius=camera.scale_at(near.joints) * marked,
        other_ink=notes[2].other if notes else empty,
        text_ink=notes[2].text if notes else empty.copy(),
        supports=supports,
        loads=loads,
        texts=texts,
        others=tuple(stage.others),
    )


def _camera(
    corners: Points, build: Build, rng: np.random.Generator, turns: tuple[float, float, float]
) -> Camera:
    return aim_camera(
        corners,
        width=build.frame[0],
        height=build.frame[1],
        fill=build.fill,
        place=(rng.uniform(0.15, 0.85), rng.uniform(0.15, 0.85)),
        turns=turns,
        focal=rng.uniform(0.8, 2.4),
        bend=(rng.normal(-0.01, 0.02), 0.0),
    )


def _strew(stage: Stage, joints: Points) -> None:
    """Leave tools and offcuts about the model."""
    size = float(np.median(stage.camera.scale_at(joints)))
    clear = stage.camera.to_pixels(joints)
    strew(stage.photo, stage.material, rng=stage.rng, light=stage.light, size=size, clear=clear)


def _lying(shape: Shape, build: Build, rng: np.random.Generator) -> tuple[Stage, Bars]:
    """Lay a model on a table, a sheet or a cutting mat, and look at it from above."""
    material = build.material
    joints = np.column_stack([shape.joints * [1, -1], np.zeros(len(shape.joints))])
    margin = max(material.width, material.joint_size)
    low, high = joints[:, :2].min(axis=0) - margin, joints[:, :2].max(axis=0) + margin
    corners = np.array([[low[0], low[1]], [high[0], low[1]], [high[0], high[1]], [low[0], high[1]]])
    turns = (-abs(rng.normal(0, 0.25)), rng.normal(0, 0.15), rng.normal(0, 0.1))
    camera = _camera(corners, build, rng, turns)
    if rng.random() < 0.5:
        kind = str(rng.choice(["plain", "squared", "kraft", "squared", "whiteboard"]))
        room = rng.uniform(0.1, 2.0, 4)
        box = (low[0] - room[0], low[1] - room[1], high[0] + room[2], high[1] + room[3])
        ground = lay_ground(Sheet(kind, box, rng.uniform(0.04, 0.12)), camera, rng=rng, album=build.album)
    elif build.album is not None and build.album.chance(0.45):
        ground = build.album.view(camera.height, camera.width, surfaces=0.7, soft=0.1).astype(np.float32)
    else:
        kind = str(rng.choice(["wood", "wood", "cloth", "stone", "smooth", "smooth"]))
        ground = surface(rng, kind, camera.height, camera.width)
    light = rng.uniform(0, 2 * np.pi)
    stage = Stage(np.clip(ground, 0, 255).astype(np.uint8), camera, material, rng, light)
    stage.props(int(rng.choice([0, 1, 3])))
    if build.busy:
        _strew(stage, joints)
    bars = bars_of(joints, shape.members, material.bow, rng)
    away = np.array([-np.cos(light), -np.sin(light), 0]) * material.width * rng.uniform(0.15, 0.9)
    stage.shadow([bars], away)
    stage.bars(bars, material)
    stage.joints(joints)
    return stage, bars


def _second_plane(near: Points, depth: float, rng: np.random.Generator) -> tuple[Points, Points, Points]:
    """Return near and far joints (N, 3), and which far ones are not shared with the near plane."""
    far = near + np.array([0.0, 0.0, depth])
    own = np.ones(len(near), dtype=bool)
    top = near[:, 1] < near[:, 1].min() + 0.06
    if rng.random() < 0.25 and top.sum() < len(near) - 1:  # both planes lean together and meet at the top
        own = ~top
        lean = (near[:, 1].max() - near[:, 1]) / max(float(np.ptp(near[:, 1])), 1e-9) * depth / 2
        near = near + np.column_stack([np.zeros((len(near), 2)), lean])
        far = far - np.column_stack([np.zeros((len(near), 2)), lean])
    return near, far, own


def _boxes(stage: Stage, near: Points, far: Points, floor: float) -> None:
    """Stand a box under either end."""
    rng = stage.rng
    foot = float(near[:, 1].max())
    feet = near[near[:, 1] > foot - 0.05][:, 0]
    left, right = float(feet.min()), float(feet.max())
    rest = rng.uniform(0.0, 0.1) * (right - left)
    front, back = (
        float(near[:, 2].min()) - rng.uniform(0.03, 0.2),
        float(far[:, 2].max()) + rng.uniform(0.03, 0.3),
    )
    top = foot + stage.material.joint_size * 0.8
    reach = rng.uniform(0.2, 0.8)
    for x0, x1 in ((left - reach, left + rest), (right - rest, right + reach)):
        low, high = np.array([x0, top, front]), np.array([x1, floor, back])
        paint_box(stage.photo, stage.camera, low, high, rng=rng)


def _standing(shape: Shape, build: Build, rng: np.random.Generator) -> tuple[Stage, Bars]:
    """Stand a model of one or two planes between two boxes or on the table."""
    material = build.material
    joints = np.column_stack([shape.joints * [1, -1], np.zeros(len(shape.joints))])
    near, far, own = joints, joints, np.zeros(len(joints), dtype=bool)
    if build.planes == 2:
        near, far, own = _second_plane(joints, build.depth, rng)
    solid = np.concatenate([near, far])
    low, high = solid.min(axis=0) - material.joint_size, solid.max(axis=0) + material.joint_size
    ends = np.stack([low, high])
    corners = np.array([[x, y, z] for x in ends[:, 0] for y in ends[:, 1] for z in ends[:, 2]])
    turns = (rng.uniform(0.02, 0.45), rng.normal(0, 0.22), rng.normal(0, 0.03))
    camera = _camera(corners, build, rng, turns)
    foot = float(solid[:, 1].max())
    floor = foot + (rng.uniform(0.15, 0.5) if build.raised else material.width)
    room = (lay_busy_room if build.busy else lay_room)(camera, floor, rng=rng, album=build.album)
    stage = Stage(np.clip(room, 0, 255).astype(np.uint8), camera, material, rng, rng.uniform(-np.pi, 0))
    front = bars_of(near, shape.members, material.bow, rng)
    behind = tuple(m for m in shape.members if own[m[0]] or own[m[1]])
    back = bars_of(far, behind, material.bow, rng)
    on_floor = [
        replace(
            b,
            joints=np.column_stack([b.joints[:, 0], np.full(len(near), floor), b.joints[:, 2]]),
            sag=b.sag * 0,
        )
        for b in (back, front)
    ]
    stage.shadow(on_floor, np.array([0.1 * rng.normal(), 0.0, 0.1]))
    if build.raised:
        _boxes(stage, near, far, floor)
    stage.props(int(rng.choice([0, 0, 2])))
    if build.busy:
        _strew(stage, solid)
    if build.planes == 2:
        stage.bars(back, material)
        stage.joints(far[own])
        _ties(stage, solid, own, foot)
        stage.others.append(OtherDrawing("behind", camera.to_pixels(far), behind))
    stage.bars(front, material)
    stage.joints(near)
    if rng.random() < 0.15:
        lower = np.flatnonzero(near[:, 1] >= np.median(near[:, 1]))
        stage.hang(near[int(rng.choice(lower))])
    return stage, front


def _ties(stage: Stage, solid: Points, own: Points, foot: float) -> None:
    """Paint what ties the near truss to the far one: cross pieces, and braces in the floor."""
    rng, material = stage.rng, stage.material
    count = len(solid) // 2
    tie = replace(material, colours=material.colours[::-1])
    if rng.random() < 0.3:
        tie = replace(choose_material(rng, "straw"), width=material.width)
    joined = np.flatnonzero(own & (rng.random(count) < rng.choice([0.6, 1.0, 1.0])))
    ties = tuple((i, i + count) for i in joined.tolist())
    stage.bars(bars_of(solid, ties, 0.0, rng), tie)
    if rng.random() < 0.35:
        low = np.flatnonzero(solid[:count, 1] > foot - 0.05)
        low = low[np.argsort(solid[low, 0])]
        braces = tuple((a, b + count) for a, b in pairwise(low.tolist()))
        stage.bars(bars_of(solid, braces, 0.0, rng), tie)
        ties += braces
    stage.others.append(OtherDrawing("behind", stage.camera.to_pixels(solid), ties))


def make_built_page(
    seed: int, shape: Shape, family: str, build: Build, *, rng: np.random.Generator, fonts: bool = True
) -> Page:
    """Build a shape of sticks or rods and photograph it."""
    stage, near = (_standing if build.standing else _lying)(shape, build, rng)
    notes = None
    flat = not np.ptp(near.joints[:, 2])
    # What is written over a picture lies in the near truss's plane; where that leans, there is none.
    if build.noted and flat:
        radius = max(
            build.material.joint_size if build.material.joint != "none" else 0.0, build.material.width / 2
        )
        notes = write_over(stage.photo, stage.camera, shape, mark_radius=radius, fonts=fonts, rng=rng)
    return _page(stage, near, build.film, seed=seed, family=family, shape=shape, notes=notes)


def make_empty_room(seed: int, family: str, build: Build, *, rng: np.random.Generator) -> Page:
    """Photograph boxes and things on a table, and no model."""
    corners = np.array([[x, y, z] for x in (0.0, 1.0) for y in (-0.4, 0.3) for z in (0.0, 0.4)])
    camera = _camera(corners, build, rng, (rng.uniform(0.02, 0.6), rng.normal(0, 0.25), rng.normal(0, 0.03)))
    photo = np.clip(lay_room(camera, 0.3, rng=rng, album=build.album), 0, 255).astype(np.uint8)
    stage = Stage(photo, camera, build.material, rng, rng.uniform(-np.pi, 0))
    for _ in range(int(rng.integers(0, 4))):
        low = np.array([rng.uniform(-0.4, 0.9), rng.uniform(-0.3, 0.1), rng.uniform(0.0, 1.0)])
        paint_box(
            photo,
            camera,
            low,
            low + np.array([rng.uniform(0.2, 0.6), 0.3 - low[1], rng.uniform(0.1, 0.5)]),
            rng=rng,
        )
    stage.props(5)
    nothing = Shape("none", np.zeros((0, 2)), ())
    return _page(
        stage, Bars(np.zeros((0, 3)), (), np.zeros(0)), build.film, seed=seed, family=family, shape=nothing
    )
