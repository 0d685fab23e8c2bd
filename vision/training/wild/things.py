"""Solid things in space about a model: boxes, tins, books, decks, railings, weights."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.space import Eye, Space
from vision.training.wild.stock import VIVID, fill, shade, thin_line

__all__ = ["box", "deck", "hanging", "railing", "shadow", "standing", "supports"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]
Colour = tuple[float, float, float]

_FACES = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
"""Corners of a box's faces: x low, x high, y low (top), y high, z low (front), z high."""
_LIGHT = (0.75, 0.85, 1.12, 0.5, 0.92, 0.8)


def _any_colour(rng: Rng) -> Colour:
    """Choose cardboard, wood, grey, or anything."""
    kind = rng.random()
    if kind < 0.4:
        c = np.array([195, 150, 105]) * rng.uniform(0.45, 1.2) + rng.normal(0, 10, 3)
    elif kind < 0.6:
        c = np.full(3, rng.uniform(15, 250)) + rng.normal(0, 6, 3)
    elif kind < 0.8:
        c = np.array(VIVID[int(rng.integers(len(VIVID)))]) * rng.uniform(0.5, 1.0)
    else:
        c = rng.uniform(0, 255, 3)
    r, g, b = (float(v) for v in np.clip(c, 0, 255))
    return r, g, b


def _corners(low: Points, high: Points) -> Points:
    ends = np.stack([low, high])
    return np.array([[x, y, z] for x in ends[:, 0] for y in ends[:, 1] for z in ends[:, 2]])


def _turned(quad: Points) -> float:
    """Twice the area of a face in the picture; negative where its outer side is seen."""
    x, y = quad.T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))


def _decor(rng: Rng, picture: Image, face: Points, colour: Colour) -> None:
    """Put a band of tape, a seam, a label or printing on a face (4, 2)."""
    a, b, c, d = face
    t = np.sort(rng.uniform(0.1, 0.9, 2))
    kind = rng.random()
    if kind < 0.45:
        band = np.array([a + (b - a) * t[0], a + (b - a) * t[1], d + (c - d) * t[1], d + (c - d) * t[0]])
        fill(picture, band, shade(colour, rng.uniform(0.85, 1.25)))
        thin_line(picture, np.array([a + (b - a) * t.mean(), d + (c - d) * t.mean()]), shade(colour, 0.5), 2)
        return
    u = np.sort(rng.uniform(0.1, 0.9, 2))
    corner = [(t[0], u[0]), (t[1], u[0]), (t[1], u[1]), (t[0], u[1])]
    label = np.array([a + (b - a) * s + (d - a) * v for s, v in corner])
    fill(picture, label, _any_colour(rng))
    for k in range(1, int(rng.integers(1, 5))):
        row = label[:2] + (label[[3, 2]] - label[:2]) * k / 5
        thin_line(picture, row, (30.0, 30.0, 30.0))


def box(rng: Rng, picture: Image, eye: Eye, low: Points, high: Points, *, colour: Colour) -> None:
    """Paint a box between two corners in space."""
    at = eye(_corners(low, high))
    # Corner k of `_corners` has bits x, y, z from the highest; the faces name them so.
    for face, light in zip(_FACES, _LIGHT, strict=True):
        quad = at[list(face)]
        if _turned(quad) >= 0:
            continue
        tone = shade(colour, light * rng.uniform(0.94, 1.06))
        fill(picture, quad, tone)
        if abs(_turned(quad)) > 2000 and rng.random() < 0.35:
            _decor(rng, picture, quad, tone)
        if rng.random() < 0.5:
            thin_line(picture, np.vstack([quad, quad[:1]]), shade(tone, rng.uniform(0.7, 1.2)))


def _clear_box(rng: Rng, picture: Image, eye: Eye, low: Points, high: Points) -> None:
    """Paint a box of clear plastic with small parts in it."""
    at = eye(_corners(low, high))
    before = picture.copy()
    hull = cv2.convexHull(at.astype(np.float32)).reshape(-1, 2).astype(np.float64)
    fill(picture, hull, (235.0, 238.0, 242.0))
    clear = rng.uniform(0.7, 0.92)
    cv2.addWeighted(before, clear, picture, 1 - clear, 0, dst=picture)
    colour = _any_colour(rng)
    span = float(eye.size((low + high)[None] / 2)[0])
    filled = rng.uniform(0.2, 0.9)
    for _ in range(int(rng.integers(8, 60))):
        p = low + (high - low) * np.array([rng.random(), 1 - rng.random() * filled, rng.random()])
        centre = np.round(eye(p) * 16).astype(int).tolist()
        tone, thick = shade(colour, rng.uniform(0.6, 1.3)), int(rng.choice([-1, 1, 2]))
        cv2.circle(picture, tuple(centre), max(16, int(span * 0.012 * 16)), tone, thick, cv2.LINE_AA, 4)
    rim = shade((225.0, 230.0, 235.0), rng.uniform(0.55, 1.1))
    for face in _FACES:
        quad = at[list(face)]
        thin_line(picture, np.vstack([quad, quad[:1]]), rim, 1 + int(rng.integers(2)))


def _round(eye: Eye, centre: Points, radius: float) -> Points:
    t = np.arange(24) * np.pi / 12
    return eye(centre + radius * np.stack([np.cos(t), np.zeros(24), np.sin(t)], 1))


def _tin(rng: Rng, picture: Image, eye: Eye, foot: Points, *, radius: float, height: float) -> None:
    """Paint an upright cylinder: a tin, bottle, weight, roll of tape, mug."""
    colour, up = _any_colour(rng), np.array([0.0, -1.0, 0.0])
    bottom, top = _round(eye, foot, radius), _round(eye, foot + up * height, radius)
    hull = cv2.convexHull(np.vstack([bottom, top]).astype(np.float32)).reshape(-1, 2).astype(np.float64)
    fill(picture, hull, colour)
    # The front of the circle, from its right end to its left, is rows 12 to 24.
    for start, end, light in ((12, 15, 0.85), (15, 17, 1.2), (20, 24, 0.75)):
        fill(picture, np.vstack([bottom[start:end], top[start:end][::-1]]), shade(colour, light))
    fill(picture, top, shade(colour, rng.uniform(0.6, 1.3)))
    if rng.random() < 0.3:  # the neck of a bottle
        neck = radius * rng.uniform(0.25, 0.5)
        a, b = _round(eye, foot + up * height, neck), _round(eye, foot + up * height * 1.35, neck)
        fill(picture, cv2.convexHull(np.vstack([a, b]).astype(np.float32)).reshape(-1, 2).astype(np.float64),
             shade(colour, 0.9))  # fmt: skip


def _pile(rng: Rng, picture: Image, eye: Eye, low: Points, high: Points) -> None:
    """Paint a pile of books or boards between two corners in space, each a little off the one below."""
    tall, y = float(high[1] - low[1]), float(high[1])
    count = int(rng.integers(2, 7))
    for k in range(count):
        thick = tall / count
        aside = rng.normal(0, 0.05, 2) * (high - low)[[0, 2]] * (k < count - 1)
        part = np.array([aside[0], 0.0, aside[1]])
        first, second = np.array([low[0], y - thick, low[2]]) + part, np.array([high[0], y, high[2]]) + part
        box(rng, picture, eye, first, second, colour=_any_colour(rng))
        y -= thick


def standing(rng: Rng, picture: Image, eye: Eye, foot: Points, room: Points) -> None:
    """Stand something on a place.

    Parameters
    ----------
    foot : NDArray
        (3,) the middle of its foot, in space.
    room : NDArray
        (3,) how wide, high and deep it may be.
    """
    size = room * rng.uniform(0.4, 1.0, 3)
    low, high = foot - size * (0.5, 1.0, 0.5), foot + size * (0.5, 0.0, 0.5)
    kind = rng.random()
    if kind < 0.4:
        box(rng, picture, eye, low, high, colour=_any_colour(rng))
    elif kind < 0.55:
        _clear_box(rng, picture, eye, low, high)
    elif kind < 0.7:
        _pile(rng, picture, eye, low, high)
    else:
        radius = 0.5 * min(size[0], size[2])
        for k in range(int(rng.choice([1, 1, 2, 3]))):
            at = foot + np.array([2.1 * radius * k, 0, 0])
            _tin(rng, picture, eye, at, radius=radius, height=min(size[1], radius * rng.uniform(0.6, 6)))


def supports(rng: Rng, picture: Image, eye: Eye, space: Space, floor: float) -> None:
    """Stand boxes, blocks or piles under both ends of a model."""
    near = space.at[: space.near]
    feet = near[near[:, 1] > space.foot - 0.05]
    left, right = float(feet[:, 0].min()), float(feet[:, 0].max())
    rest = rng.uniform(0.0, 0.12) * (right - left)
    top = space.foot + rng.uniform(0.0, 0.02)
    front, back = -rng.uniform(0.02, 0.35), space.depth + rng.uniform(0.02, 0.5)
    colour, other = _any_colour(rng), rng.random() < 0.2
    piled = rng.random() < 0.15
    reach = rng.uniform(0.03, 0.12) if piled or rng.random() < 0.25 else rng.uniform(0.1, 1.2)
    reach = 3 * reach if piled else reach
    for x0, x1 in ((left - reach, left + rest), (right - rest, right + reach)):
        tone = _any_colour(rng) if other else shade(colour, rng.uniform(0.95, 1.05))
        low, high = np.array([x0, top, front]), np.array([x1, max(floor, top + 0.04), back])
        if piled:
            _pile(rng, picture, eye, low, high)
        else:
            box(rng, picture, eye, low, high, colour=tone)


def _level(rng: Rng, space: Space) -> tuple[float, float, float] | None:
    """Choose the level of a deck: the foot of the near plane, or seldom its top; and where it ends."""
    y = space.at[: space.near, 1]
    for level in (y.max(), y.min()) if rng.random() < 0.8 else (y.min(), y.max()):
        there = space.at[: space.near][np.abs(y - level) < 0.03]
        if len(there) > 1 and np.ptp(there[:, 0]) > 0.3:
            return float(level), float(there[:, 0].min()), float(there[:, 0].max())
    return None


def deck(rng: Rng, picture: Image, eye: Eye, space: Space) -> None:
    """Lay a deck between the planes: planks, a sheet of card, a road with a line along its middle."""
    level = _level(rng, space)
    if level is None or not space.depth:
        return
    y, x0, x1 = level
    y -= rng.uniform(-0.012, 0.02)
    front, back = space.depth * rng.uniform(0.02, 0.2), space.depth * rng.uniform(0.8, 0.98)
    colour = _any_colour(rng)
    over = rng.uniform(-0.06, 0.15)
    x0, x1 = x0 - over, x1 + over
    count = int(rng.choice([1, 1, 2, int(rng.integers(5, 30))]))
    gap = rng.uniform(0.0, 0.5) if count > 4 else 0.0
    for k in range(count):
        a, b = x0 + (x1 - x0) * k / count, x0 + (x1 - x0) * (k + 1 - gap) / count
        quad = np.array([[a, y, front], [b, y, front], [b, y, back], [a, y, back]])
        fill(picture, eye(quad), shade(colour, rng.uniform(0.88, 1.1)))
    if rng.random() < 0.5:
        thick = rng.uniform(0.004, 0.03)
        side = np.array([[x0, y, front], [x1, y, front], [x1, y + thick, front], [x0, y + thick, front]])
        fill(picture, eye(side), shade(colour, rng.uniform(0.5, 0.9)))
    if count == 1 and rng.random() < 0.4:
        z = (front + back) / 2
        for k in range(12):
            a = x0 + (x1 - x0) * (k + 0.2) / 12
            line = np.array([[a, y, z], [a + (x1 - x0) * 0.05, y, z]])
            thin_line(picture, eye(line), (240.0, 240.0, 235.0), 2)


def railing(rng: Rng, picture: Image, eye: Eye, space: Space) -> None:
    """Set a railing on the deck: many thin posts and some rails, none of them members."""
    level = _level(rng, space)
    if level is None:
        return
    y, x0, x1 = level
    height, step = rng.uniform(0.03, 0.12), rng.uniform(0.012, 0.06)
    colour = shade(_any_colour(rng), rng.uniform(0.4, 1.1))
    for z in (space.depth * 0.9, space.depth * rng.uniform(0.03, 0.12)):
        for x in np.arange(x0, x1, step):
            thin_line(picture, eye(np.array([[x, y, z], [x, y - height, z]])), colour)
        for k in range(1, int(rng.integers(2, 5))):
            part = y - height * k / max(k, 3) if k < 3 else y - height
            thin_line(picture, eye(np.array([[x0, part, z], [x1, part, z]])), colour, rng.uniform(1, 2.5))
        thin_line(picture, eye(np.array([[x0, y - height, z], [x1, y - height, z]])), colour, 2)


def hanging(rng: Rng, picture: Image, eye: Eye, at: Points) -> None:
    """Hang a weight from a place in space by a string or a hook."""
    drop = rng.uniform(0.06, 0.4)
    below = at + np.array([0.0, drop, 0.0])
    colour = _any_colour(rng)
    if rng.random() < 0.3:  # a stirrup of two strings
        for aside in (-0.03, 0.03):
            thin_line(
                picture,
                eye(np.stack([at, below + np.array([aside, 0, 0])])),
                shade(colour, 0.6),
                rng.uniform(1, 2),
            )
    else:
        thin_line(picture, eye(np.stack([at, below])), shade(colour, 0.6), rng.uniform(1, 3))
    size = rng.uniform(0.03, 0.12)
    if rng.random() < 0.6:
        _tin(rng, picture, eye, below + np.array([0, size * 1.5, 0]), radius=size * 0.6, height=size * 1.5)
    else:
        low, high = below - np.array([size, 0, size / 2]), below + np.array([size, size, size / 2])
        box(rng, picture, eye, low, high, colour=colour)


def shadow(rng: Rng, picture: Image, paths: list[Points], width: float, *, hard: bool) -> None:
    """Darken the picture along paths (K, 2) in pixels: the shadow of the rods, soft or sharp."""
    height, wide = picture.shape[:2]
    mask = np.zeros((height // 2, wide // 2), np.uint8)
    for path in paths:
        points = np.clip(np.round(path * 8), -500_000, 500_000).astype(np.int32).reshape(-1, 1, 2)
        cv2.polylines(mask, [points], False, 255.0, max(1, round(width / 2)), cv2.LINE_AA, 4)
    k = 3 if hard else int(rng.integers(2, 9)) * 2 + 1
    soft = cv2.resize(cv2.blur(mask, (k, k)), (wide, height))
    part = rng.uniform(0.12, 0.7)
    dim = cv2.convertScaleAbs(soft, alpha=-part, beta=255.0)
    # convertScaleAbs takes the absolute value; 255 - part * soft never falls below 0.
    cv2.multiply(picture, cv2.merge([dim, dim, dim]), dst=picture, scale=1 / 255)
