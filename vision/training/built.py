"""Built pages: models of sticks, straws and tubes, lying on a table or standing with a far truss behind."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise

import cv2
import numpy as np

from vision.training.camera import Camera, aim_camera
from vision.training.connectors import paint_joint
from vision.training.film import Film, choose_film, expose
from vision.training.grounds import Sheet, lay_ground, surface
from vision.training.look import frame_size
from vision.training.page import OtherDrawing, Page
from vision.training.paint import Colour, Photo, Points, paint_line, paint_patch
from vision.training.props import lay_room, paint_box, paint_prop
from vision.training.shape import Shape
from vision.training.sticks import Material, choose_material, paint_stick

__all__ = ["Build", "choose_build", "make_built_page", "make_empty_room"]

STEPS = np.linspace(0, 1, 9)[:, None]
"""Where a member's middle is followed through the lens."""


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


@dataclass(frozen=True, eq=False)
class _Bars:
    """Bars in space: joints (N, 3) and pairs of rows."""

    joints: Points
    pairs: tuple[tuple[int, int], ...]
    sag: Points
    """(M,) of each bar, in parts of its length, positive downwards."""

    def line(self, row: int) -> Points:
        """Return the middle of a bar, (9, 3)."""
        a, b = self.joints[list(self.pairs[row])]
        line: Points = a + (b - a) * STEPS
        line[:, 1] += (4 * STEPS * (1 - STEPS))[:, 0] * self.sag[row] * float(np.linalg.norm(b - a))
        return line


@dataclass
class _Set:
    """The picture while it is painted."""

    photo: Photo
    camera: Camera
    material: Material
    rng: np.random.Generator
    light: float
    others: list[OtherDrawing] = field(default_factory=list)

    def bars(self, bars: _Bars, material: Material) -> None:
        """Paint bars, in any order, as they may lie over one another."""
        by_length = len(material.colours) > 1 and self.rng.random() < 0.4
        for k in self.rng.permutation(len(bars.pairs)).tolist():
            line = bars.line(k)
            length = float(np.linalg.norm(line[-1] - line[0]))
            past = (line[-1] - line[0]) / max(length, 1e-9) * material.overlap
            line[0] -= past
            line[-1] += past
            colour: Colour | None = None
            if by_length:
                colour = material.colours[int(length * 7) % len(material.colours)]
            half = self.camera.scale_at(line) * material.width / 2
            pixels = self.camera.to_pixels(line)
            paint_stick(self.photo, pixels, half, material, rng=self.rng, light=self.light, colour=colour)

    def joints(self, joints: Points) -> None:
        """Paint what holds the members together."""
        for joint in joints:
            centre = self.camera.to_pixels(joint)
            right = (self.camera.to_pixels(joint + np.array([0.01, 0, 0])) - centre) / 0.01
            down = (self.camera.to_pixels(joint + np.array([0, 0.01, 0])) - centre) / 0.01
            flat = np.stack([right, down])
            paint_joint(self.photo, flat, centre, self.material, rng=self.rng, light=self.light)

    def shadow(self, bars: list[_Bars], drop: Points) -> None:
        """Darken what lies behind the bars by their shadow, moved by `drop` (3,) in the model's space."""
        mask = np.zeros(self.photo.shape[:2], np.uint8)
        for one in bars:
            for k in range(len(one.pairs)):
                line = one.line(k)[[0, 4, 8]] + drop
                wide = round(self.material.width * float(self.camera.scale_at(line[1])))
                paint_line(mask, self.camera.to_pixels(line), (255, 255, 255), min(wide, 200))
        soft = cv2.GaussianBlur(mask, (0, 0), max(0.8, self.camera.width / 1000 * self.rng.uniform(0.8, 8)))
        depth = self.rng.uniform(0.15, 0.6)
        dark = 1 - np.asarray(soft, dtype=np.float32)[..., None] * np.float32(depth / 255)
        self.photo[:] = (self.photo * dark).astype(np.uint8)

    def hang(self, at: Points) -> None:
        """Hang a weight on a string from a joint (3,)."""
        rng = self.rng
        down, half, tall = rng.uniform(0.06, 0.25), rng.uniform(0.02, 0.07), rng.uniform(0.05, 0.12)
        string = self.camera.to_pixels(np.stack([at, at + np.array([0, down, 0])]))
        paint_line(self.photo, string, (70, 66, 60), self.camera.width // 800)
        corners = [
            [-half, down, 0],
            [half, down, 0],
            [half * 0.85, down + tall, 0],
            [-half * 0.85, down + tall, 0],
        ]
        r, g, b = rng.uniform(30, 230, 3).tolist()
        paint_patch(self.photo, self.camera.to_pixels(at + np.array(corners)), (r, g, b))

    def props(self, most: int) -> None:
        """Lay things about, near the frame's edges."""
        height, width = self.photo.shape[:2]
        for _ in range(int(self.rng.integers(0, most + 1))):
            x, y = self.rng.uniform(-0.05, 1.05, 2)
            if self.rng.random() < 0.5:
                x = float(self.rng.choice([0.03, 0.97]))
            else:
                y = float(self.rng.choice([0.03, 0.97]))
            size = self.rng.uniform(0.15, 0.4) * max(width, height)
            paint_prop(self.photo, rng=self.rng, spot=(x * width, y * height), size=size)


def _bars(joints: Points, pairs: tuple[tuple[int, int], ...], bow: float, rng: np.random.Generator) -> _Bars:
    return _Bars(joints, pairs, rng.normal(0, 1, len(pairs)) * bow)


def _page(stage: _Set, near: _Bars, film: Film, *, seed: int, family: str, shape: Shape) -> Page:
    camera, material = stage.camera, stage.material
    rgb = expose(stage.photo.astype(np.float32), film, rng=stage.rng)
    lines = [near.line(k) for k in range(len(near.pairs))]
    marked = 0.0 if material.joint in {"none", "tape"} else material.joint_size
    empty = np.zeros(rgb.shape[:2], np.uint8)
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
        other_ink=empty,
        text_ink=empty.copy(),
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


def _lying(shape: Shape, build: Build, rng: np.random.Generator) -> tuple[_Set, _Bars]:
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
        ground = lay_ground(Sheet(kind, box, rng.uniform(0.04, 0.12)), camera, rng=rng)
    else:
        kind = str(rng.choice(["wood", "wood", "cloth", "stone", "smooth", "smooth"]))
        ground = surface(rng, kind, camera.height, camera.width)
    light = rng.uniform(0, 2 * np.pi)
    stage = _Set(np.clip(ground, 0, 255).astype(np.uint8), camera, material, rng, light)
    stage.props(int(rng.choice([0, 1, 3])))
    bars = _bars(joints, shape.members, material.bow, rng)
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


def _boxes(stage: _Set, near: Points, far: Points, floor: float) -> None:
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


def _standing(shape: Shape, build: Build, rng: np.random.Generator) -> tuple[_Set, _Bars]:
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
    room = lay_room(camera, floor, rng=rng)
    stage = _Set(np.clip(room, 0, 255).astype(np.uint8), camera, material, rng, rng.uniform(-np.pi, 0))
    front = _bars(near, shape.members, material.bow, rng)
    behind = tuple(m for m in shape.members if own[m[0]] or own[m[1]])
    back = _bars(far, behind, material.bow, rng)
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


def _ties(stage: _Set, solid: Points, own: Points, foot: float) -> None:
    """Paint what ties the near truss to the far one: cross pieces, and braces in the floor."""
    rng, material = stage.rng, stage.material
    count = len(solid) // 2
    tie = replace(material, colours=material.colours[::-1])
    if rng.random() < 0.3:
        tie = replace(choose_material(rng, "straw"), width=material.width)
    joined = np.flatnonzero(own & (rng.random(count) < rng.choice([0.6, 1.0, 1.0])))
    stage.bars(_bars(solid, tuple((i, i + count) for i in joined.tolist()), 0.0, rng), tie)
    if rng.random() < 0.35:
        low = np.flatnonzero(solid[:count, 1] > foot - 0.05)
        low = low[np.argsort(solid[low, 0])]
        braces = tuple((a, b + count) for a, b in pairwise(low.tolist()))
        stage.bars(_bars(solid, braces, 0.0, rng), tie)


def make_built_page(seed: int, shape: Shape, family: str, build: Build, *, rng: np.random.Generator) -> Page:
    """Build a shape of sticks or rods and photograph it."""
    stage, near = (_standing if build.standing else _lying)(shape, build, rng)
    return _page(stage, near, build.film, seed=seed, family=family, shape=shape)


def make_empty_room(seed: int, family: str, build: Build, *, rng: np.random.Generator) -> Page:
    """Photograph boxes and things on a table, and no model."""
    corners = np.array([[x, y, z] for x in (0.0, 1.0) for y in (-0.4, 0.3) for z in (0.0, 0.4)])
    camera = _camera(corners, build, rng, (rng.uniform(0.02, 0.6), rng.normal(0, 0.25), rng.normal(0, 0.03)))
    photo = np.clip(lay_room(camera, 0.3, rng=rng), 0, 255).astype(np.uint8)
    stage = _Set(photo, camera, build.material, rng, rng.uniform(-np.pi, 0))
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
        stage, _Bars(np.zeros((0, 3)), (), np.zeros(0)), build.film, seed=seed, family=family, shape=nothing
    )
