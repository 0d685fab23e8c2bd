"""Wild models of rods: one or two planes, seen from anywhere in front, on tables and boxes.

A two-plane model is built in space: a near truss, a far one, cross pieces between them. The truth is the near
truss; the rest is kept apart as far lines.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.clutter import blobs, litter
from vision.training.wild.marks import Marks
from vision.training.wild.shapes import Shape, truss
from vision.training.wild.strokes import Hand, Pen, bowed

__all__ = ["draw_model"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]
Colour = tuple[float, float, float]


_VIVID = (
    (0, 140, 220), (245, 120, 20), (165, 205, 50), (250, 210, 20), (230, 40, 60), (240, 80, 160),
    (60, 60, 60), (240, 240, 240),
)  # fmt: skip
"""Colours of straws, tubes and sticks as they are sold."""


@dataclass(frozen=True, eq=False)
class _Space:
    """A model in space: x right, y down, z away from the camera; its span is 1."""

    at: Points
    """(N, 3)."""
    near: int
    """The first `near` rows are joints of the near truss."""
    near_pairs: tuple[tuple[int, int], ...]
    far_pairs: tuple[tuple[int, int], ...]


def _short(rng: Rng) -> Shape:
    """Draw shapes until one has few enough joints to be built of sticks."""
    for _ in range(30):
        shape = truss(rng)
        if len(shape.at) <= 16 and np.ptp(shape.at[:, 1]) > 0.1:
            return shape
    return Shape(np.array([[0, 0.5], [1, 0.5], [0.5, 0.0]]), ((0, 1), (1, 2), (0, 2)))


def _build(rng: Rng) -> _Space:
    """Build one plane, two planes, or two planes that lean together and share their top joints."""
    shape = _short(rng)
    n = len(shape.at)
    flat = np.column_stack([shape.at, np.zeros(n)])
    planes = rng.choice(["one", "two", "leaning"], p=[0.22, 0.48, 0.3])
    if planes == "one":
        return _Space(flat, n, shape.pairs, ())
    depth = float(np.exp(rng.uniform(np.log(0.06), np.log(0.55))))
    back = flat + np.array([0, 0, depth])
    height = 1 - (shape.at[:, 1] - shape.at[:, 1].min()) / max(np.ptp(shape.at[:, 1]), 1e-6)
    twin = {i: n + i for i in range(n)}
    if planes == "leaning":
        flat = flat + np.outer(height, (0, 0, depth / 2))
        back = back - np.outer(height, (0, 0, depth / 2))
        twin = {i: i if height[i] > 0.97 else n + i for i in range(n)}
    at = np.vstack([flat, back])
    pairs = set(shape.pairs)
    far = {(twin[a], twin[b]) for a, b in shape.pairs} - pairs
    far |= {(i, twin[i]) for i in range(n) if twin[i] != i and rng.random() < 0.9}
    if rng.random() < 0.6:
        chance = rng.uniform(0.2, 1.0)
        for a, b in shape.pairs:
            level = abs(height[a] - height[b]) < 0.1
            if level and twin[a] != a and twin[b] != b and rng.random() < chance:
                far.add((a, twin[b]) if rng.random() < 0.5 else (b, twin[a]))
    return _Space(at, n, shape.pairs, tuple(far))


def _look(
    rng: Rng, space: _Space, box: tuple[float, float, float, float]
) -> tuple[Points, NDArray[np.float64]]:
    """Photograph the joints: (N, 2) pixels within the box, and the depth of each."""
    deep = bool(space.far_pairs)
    yaw = rng.normal(0, 0.35 if deep else 0.25)
    pitch = rng.uniform(-0.05, 0.6) if deep else rng.normal(0.1, 0.25)
    roll = rng.normal(0, 0.03)
    p = space.at - space.at.mean(0)
    c, s = np.cos(yaw), np.sin(yaw)
    p = p @ np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]]).T
    c, s = np.cos(pitch), np.sin(pitch)
    p = p @ np.array([[1, 0, 0], [0, c, -s], [0, s, c]]).T
    c, s = np.cos(roll), np.sin(roll)
    p = p @ np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]).T
    away = rng.uniform(1.3, 5.0)
    flat = p[:, :2] * (away / (away + p[:, 2]))[:, None]
    x, y, width, height = box
    spread = np.maximum(np.ptp(flat, axis=0), 1e-3)
    scale = min(width / spread[0], height / spread[1])
    return (flat - (flat.min(0) + flat.max(0)) / 2) * scale + (x + width / 2, y + height / 2), p[:, 2]


@dataclass(frozen=True)
class _Stock:
    """What the rods are."""

    kind: str
    width: float
    palette: tuple[Colour, ...]
    joint: str
    joint_size: float


def _stock(rng: Rng, span: float, shortest: float) -> _Stock:
    kind = str(rng.choice(["tube", "flat", "thin", "printed"], p=[0.45, 0.3, 0.15, 0.1]))
    width = span * {"tube": rng.uniform(0.006, 0.025), "flat": rng.uniform(0.015, 0.05),
                    "thin": rng.uniform(0.003, 0.008), "printed": rng.uniform(0.008, 0.03)}[kind]  # fmt: skip
    width = float(np.clip(width, 1.5, 0.16 * shortest))
    wood = [np.array([225, 190, 140]) * rng.uniform(0.6, 1.1) + rng.normal(0, 10, 3) for _ in range(2)]
    vivid = [
        np.array(_VIVID[rng.integers(len(_VIVID))]) * rng.uniform(0.7, 1.05)
        for _ in range(int(rng.integers(1, 5)))
    ]
    grey = [np.full(3, rng.uniform(20, 200))]
    some = wood if kind == "flat" and rng.random() < 0.8 else (vivid if rng.random() < 0.7 else grey)
    colours = tuple((float(c[0]), float(c[1]), float(c[2])) for c in np.clip(some, 0, 255))
    joint = str(
        rng.choice(["ring", "disc", "plate", "lap", "ball", "pin"], p=[0.4, 0.12, 0.18, 0.12, 0.1, 0.08])
    )
    return _Stock(kind, width, colours, joint, min(float(rng.uniform(0.9, 2.2)) * width + 1, 0.22 * shortest))


def _line(picture: Image, a: Points, b: Points, colour: Colour, width: float) -> None:
    p, q = np.round(np.stack([a, b]) * 16).astype(int).tolist()
    cv2.line(picture, tuple(p), tuple(q), colour, max(1, round(width)), cv2.LINE_AA, 4)


def _shade(colour: Colour, factor: float) -> Colour:
    r, g, b = (float(np.clip(v * factor, 0, 255)) for v in colour)
    return r, g, b


def _rod(rng: Rng, picture: Image, path: Points, stock: _Stock, colour: Colour) -> None:
    """Draw one rod along a path of points."""
    width = stock.width
    run = path[-1] - path[0]
    unit = run / max(float(np.hypot(*run)), 1e-6)
    side = np.array([-unit[1], unit[0]])
    if stock.kind == "flat":
        over = unit * width * rng.uniform(0.2, 0.7)
        half = side * width / 2
        a, b = path[0] - over, path[-1] + over
        outline = np.array([a - half, b - half, b + half, a + half])
        cv2.fillConvexPoly(picture, np.round(outline * 16).astype(np.int32), colour, cv2.LINE_AA, 4)
        for end in (a, b):
            centre = np.round(end * 16).astype(int).tolist()
            cv2.circle(picture, tuple(centre), int(width * 8), colour, -1, cv2.LINE_AA, 4)
        for k in (-1, 1):
            _line(picture, a + half * k, b + half * k, _shade(colour, rng.uniform(0.5, 0.9)), 1)
        return
    layers = [(_shade(colour, 0.75), width, 0.0)]
    if width > 3:
        layers += [(colour, width * 0.7, 0.0), (_shade(colour, 1.25), width * 0.25, width * 0.15)]
    for shade, thick, aside in layers:
        points = np.round((path + side * aside) * 16).astype(np.int32).reshape(-1, 1, 2)
        cv2.polylines(picture, [points], False, shade, max(1, round(thick)), cv2.LINE_AA, 4)


def _connector(pen: Pen, at: Points, spokes: Points, stock: _Stock) -> None:
    """Draw what holds the rods together at a joint; `spokes` are unit vectors along the members there."""
    rng, picture, colour = pen.rng, pen.picture, pen.colour
    size = stock.joint_size
    centre = np.round(at * 16).astype(int).tolist()
    if stock.joint in {"ring", "disc", "ball"}:
        squash = rng.uniform(0.75, 1.0)
        axes = (int(size * 16), int(size * 16 * squash))
        cv2.ellipse(picture, tuple(centre), axes, 0, 0, 360, colour, -1, cv2.LINE_AA, 4)
        if stock.joint == "ring":
            inner = tuple(int(v * rng.uniform(0.3, 0.55)) for v in axes)
            cv2.ellipse(picture, tuple(centre), inner, 0, 0, 360, _shade(colour, rng.choice([0.4, 1.5])), -1,
                        cv2.LINE_AA, 4)  # fmt: skip
        if rng.random() < 0.5:
            way = rng.normal(0, 1, 2)
            _line(
                picture,
                at,
                at + way / np.hypot(*way) * size * rng.uniform(1.2, 2.2),
                colour,
                stock.width * 0.4,
            )
    elif stock.joint == "plate" and len(spokes):
        reach = size * rng.uniform(1.1, 1.9)
        tips = np.vstack([at + spokes * reach + np.array([[0.5, 0.5]]) * stock.width * k for k in (-1, 1)])
        tips = np.vstack([tips, at + rng.normal(0, size * 0.5, (3, 2))])
        hull = cv2.convexHull(tips.astype(np.float32)).astype(np.int32)
        cv2.fillPoly(picture, [hull], colour, cv2.LINE_AA)
        for tip in at + spokes * reach * 0.6:
            if rng.random() < 0.4:
                cv2.circle(picture, (int(tip[0]), int(tip[1])), max(1, int(stock.width * 0.15)),
                           _shade(colour, 0.4), -1, cv2.LINE_AA)  # fmt: skip
    elif stock.joint == "pin":
        cv2.circle(picture, tuple(centre), int(max(1.5, stock.width * 0.35) * 16), _shade(colour, 0.5), -1,
                   cv2.LINE_AA, 4)  # fmt: skip


def _boxes(rng: Rng, picture: Image, at: Points) -> None:
    """Stand boxes or table blocks under the ends of the model."""
    height, width = picture.shape[:2]
    for end, way in ((at[np.argmin(at[:, 0])], -1), (at[np.argmax(at[:, 0])], 1)):
        colour = np.array([190, 140, 90]) * rng.uniform(0.5, 1.2) + rng.normal(0, 15, 3)
        inner = end[0] - way * rng.uniform(0.0, 0.12) * width
        top, lean = end[1] + rng.uniform(-0.08, 0.03) * height, rng.normal(0, 0.04) * height
        low = top + rng.uniform(0.05, 0.2) * height
        outer = inner + way * width
        lid = np.array([[inner, top], [outer, top + lean], [outer, low], [inner + way * 10, low]])
        face = np.array(
            [[inner + way * 10, low], [outer, low], [outer, low + height], [inner + way * 14, low + height]]
        )
        for part, light in ((lid, 1.1), (face, 0.8)):
            fill = np.clip(colour * light, 0, 255)
            cv2.fillPoly(picture, [part.astype(np.int32)], tuple(float(v) for v in fill), cv2.LINE_AA)
        if rng.random() < 0.5:
            seam = np.array([[(inner + outer) / 2, top], [(inner + outer) / 2 + rng.normal(0, 60), low]])
            _line(
                picture,
                seam[0],
                seam[1],
                _shade((float(colour[0]), float(colour[1]), float(colour[2])), 0.5),
                3,
            )


def _shadow(rng: Rng, picture: Image, at: Points, pairs: tuple[tuple[int, int], ...], width: float) -> None:
    """Darken the ground under the rods by a soft copy of them, moved aside."""
    height, wide = picture.shape[:2]
    mask = np.zeros((height // 2, wide // 2), np.uint8)
    move = rng.normal(0, 0.06, 2) * wide + (0, 0.03 * height)
    flat = at * (1, rng.uniform(0.4, 1.0)) + move
    for a, b in pairs:
        _line(mask, flat[a] / 2, flat[b] / 2, (255.0, 255.0, 255.0), width / 2)
    k = int(rng.integers(1, 9)) * 2 + 1
    soft = cv2.resize(cv2.GaussianBlur(mask, (k, k), 0), (wide, height)).astype(np.uint16)
    part = rng.uniform(0.1, 0.5)
    dim = (256 - soft * part).astype(np.uint16)[..., None]
    picture[:] = ((picture * dim) >> 8).astype(np.uint8)


def _between(rng: Rng, picture: Image) -> None:
    """Put something between the planes: a load on the deck, a parcel, spare rods."""
    if rng.random() < 0.6:
        blobs(rng, picture, 1)
    else:
        litter(rng, picture)


def draw_model(rng: Rng, picture: Image, box: tuple[float, float, float, float], marks: Marks) -> None:
    """Draw one model of rods into a box of the picture and add its truth to `marks`."""
    space = _build(rng)
    at, deep = _look(rng, space, box)
    runs = at[[p[1] for p in space.near_pairs]] - at[[p[0] for p in space.near_pairs]]
    span = float(np.ptp(at[: space.near], axis=0).max())
    stock = _stock(rng, span, float(np.hypot(*runs.T).min()))
    every = (*space.far_pairs, *space.near_pairs)
    if rng.random() < 0.45:
        _boxes(rng, picture, at)
    if rng.random() < 0.5:
        _shadow(rng, picture, at, every, stock.width)
    first = len(marks.joints)
    by_pair = rng.random() < 0.5
    colours = {p: stock.palette[(hash(p) if by_pair else 0) % len(stock.palette)] for p in every}
    if rng.random() < 0.3:
        # The far side and the cross pieces of what was at hand.
        colours |= {p: stock.palette[int(rng.integers(len(stock.palette)))] for p in space.far_pairs}
    tone = rng.uniform(0.75, 1.05)
    knot = _shade(stock.palette[-1], rng.uniform(0.5, 1.3)) if rng.random() < 0.6 else (
        float(rng.uniform(0, 255)), float(rng.uniform(0, 255)), float(rng.uniform(0, 255)))  # fmt: skip
    near_pen = Pen(rng, picture, knot, Hand(stock.width, 0.0, 0.0, 0.0))
    far_pen = replace(near_pen, colour=_shade(knot, tone))
    far_joints = sorted({i for p in space.far_pairs for i in p if i >= space.near}, key=lambda i: -deep[i])
    for a, b in sorted(space.far_pairs, key=lambda p: -(deep[p[0]] + deep[p[1]])):
        _rod(rng, picture, np.stack([at[a], at[b]]), stock, _shade(colours[a, b], tone))
        marks.far_lines.append(np.concatenate([at[a], at[b]])[None])
    for i in far_joints:
        _connector(far_pen, at[i], _spokes(at, i, space.far_pairs), stock)
    if space.far_pairs and rng.random() < 0.28:
        _between(rng, picture)
    sag = rng.choice([0.0, 0.0, 0.01, 0.025])
    for a, b in space.near_pairs:
        bow = float(np.clip(rng.normal(0, sag), -0.05, 0.05))
        _rod(
            rng,
            picture,
            bowed(at[a], at[b], bow, 6) if bow else np.stack([at[a], at[b]]),
            stock,
            colours[a, b],
        )
        path = bowed(at[a], at[b], bow, 4) if abs(bow) > 0.012 else np.stack([at[a], at[b]])
        marks.lines.append(np.hstack([path[:-1], path[1:]]))
    for i in range(space.near):
        _connector(near_pen, at[i], _spokes(at, i, space.near_pairs), stock)
    marks.joints += list(at[: space.near])
    marks.members += [(first + a, first + b) for a, b in space.near_pairs]


def _spokes(at: Points, joint: int, pairs: tuple[tuple[int, int], ...]) -> Points:
    """Return unit vectors from a joint along its members, (K, 2)."""
    others = [b if a == joint else a for a, b in pairs if joint in {a, b}]
    runs = at[others] - at[joint] if others else np.zeros((0, 2))
    return np.asarray(runs / np.maximum(np.hypot(*runs.T), 1e-6)[:, None])
