"""What stands about a truss on a page: supports, load arrows, dimension lines."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.clutter import words
from vision.training.wild.marks import Marks
from vision.training.wild.measures import arrow_head
from vision.training.wild.strokes import Pen, circle_mark, stroke, write

__all__ = ["draw_arrow", "draw_dimension", "draw_support"]

Points = NDArray[np.float64]

_BESIDE = float(np.cos(0.25))
"""Cosine of the angle by which a load's shaft keeps off the members at its joint."""


def _down(distance: float) -> Points:
    return np.array([0.0, distance])


def _ground_line(pen: Pen, foot: Points, half: Points, down: Points, size: float, *, hatched: bool) -> None:
    """Draw the ground below a support, with its hatching."""
    rng = pen.rng
    stroke(pen, np.stack([foot - half, foot + half]))
    if not hatched:
        return
    slant = half / max(float(np.hypot(*half)), 1e-6) * rng.choice([-1, 1]) * 0.25
    for t in np.linspace(-1, 1, int(rng.integers(4, 9))):
        p = foot + half * t
        stroke(pen, np.stack([p, p + (slant + down * rng.uniform(0.2, 0.3)) * size]))


def draw_support(pen: Pen, at: Points, text: float, marks: Marks) -> None:
    """Draw a triangle on hatching (pin) or on wheels, or one wheel (roller); `text`: height of writing.

    Most stand below their joint, some beside it on a wall or above it; some triangles are filled.
    """
    rng = pen.rng
    size = text * rng.uniform(1.0, 2.4)
    roller = rng.random() < 0.5
    turn = (
        0.0 if rng.random() < 0.85 else float(rng.choice([np.pi / 2, -np.pi / 2, np.pi, rng.normal(0, 0.6)]))
    )
    down, across = np.array([-np.sin(turn), np.cos(turn)]), np.array([np.cos(turn), np.sin(turn)])
    foot = at + down * size
    if roller and rng.random() < 0.4:
        circle_mark(pen, at + down * size / 2, size / 2)
    else:
        half = across * size * rng.uniform(0.4, 0.8)
        if rng.random() < 0.12:
            corners = np.round(np.array([at, foot - half, foot + half]) * 16).astype(np.int32)
            cv2.fillConvexPoly(pen.picture, corners, pen.colour, cv2.LINE_AA, 4)
        for p, q in ((at, foot - half), (at, foot + half), (foot - half, foot + half)):
            stroke(pen, np.stack([p, q]))
        if roller:
            wheel = size * 0.2
            for k in (-1, 0, 1) if rng.random() < 0.6 else (-1, 1):
                circle_mark(pen, foot + half * k * 0.7 + down * wheel, wheel)
            foot = foot + down * 2 * wheel
    wide = across * size * rng.uniform(0.8, 1.6)
    _ground_line(pen, foot, wide, down, size, hatched=not roller or rng.random() < 0.5)
    (marks.rollers if roller else marks.pins).append(at)


def _until(at: Points, way: Points, members: Points) -> float:
    """Return how far a ray from a joint along a unit vector runs to the nearest of other `members` (M, 4)."""
    run = members[:, 2:] - members[:, :2]
    off = members[:, :2] - at
    across = way[0] * run[:, 1] - way[1] * run[:, 0]
    across = np.where(np.abs(across) < 1e-9, np.nan, across)
    far = (off[:, 0] * run[:, 1] - off[:, 1] * run[:, 0]) / across
    where = (off[:, 0] * way[1] - off[:, 1] * way[0]) / across
    hit = (far > 3.0) & (where > 0) & (where < 1)
    return float(far[hit].min()) if hit.any() else np.inf


def _free_way(pen: Pen, at: Points, members: Points, *, out: bool) -> Points:
    """Choose which way an arrow at a joint points, its shaft beside the members that end there, if it can."""
    rng = pen.rng
    ends = np.concatenate(
        [members[:, 2:][(members[:, :2] == at).all(1)], members[:, :2][(members[:, 2:] == at).all(1)]]
    )
    own = (ends - at) / np.maximum(np.hypot(*(ends - at).T), 1e-6)[:, None]
    way = np.array([0.0, 1.0])
    for _ in range(6):
        turn = np.pi / 2 + rng.normal(0, 0.1) if rng.random() < 0.6 else rng.uniform(0, 2 * np.pi)
        way = np.array([np.cos(turn), np.sin(turn)])
        if not len(own) or float((own @ (way if out else -way)).max()) < _BESIDE:
            break
    return way


def draw_arrow(
    pen: Pen, at: Points, text: float, marks: Marks, *, members: Points, reach: float = 0.0
) -> None:
    """Draw a load arrow that ends or starts at a joint, from any side.

    `reach` is up to how long some are, pixels. Of arrows that meet one of the `members` (M, 4), many end just
    there or run across it: no joint is made.
    """
    rng = pen.rng
    out = rng.random() < 0.4
    way = _free_way(pen, at, members, out=out)
    length, gap = text * rng.uniform(2.0, 6.0), rng.uniform(0, 10) * (rng.random() < 0.7)
    if rng.random() < 0.35:
        length = max(length, reach * rng.uniform(0.4, 1.0))
    meets = _until(at, way if out else -way, members)
    if meets < 12 * text and rng.random() < 0.5:
        length = max(
            meets * (rng.uniform(0.85, 1.08) if rng.random() < 0.6 else rng.uniform(1.1, 1.6)) - gap, 6.0
        )
    tail, tip = at - way * (length + gap), at - way * gap
    if out:
        tail, tip = at + way * gap, at + way * (gap + length)
    shaft = replace(pen, hand=replace(pen.hand, broken=0.6 * pen.hand.broken))
    if rng.random() < 0.1:
        side = np.array([-way[1], way[0]]) * max(2.0, 1.3 * pen.hand.width)
        stroke(shaft, np.stack([tail - side, tip - side]))
        stroke(shaft, np.stack([tail + side, tip + side]))
    else:
        stroke(shaft, np.stack([tail, tip]))
    arrow_head(pen, tip, way, max(text * rng.uniform(0.25, 0.9), 2.0 * pen.hand.width))
    marks.arrows.append(np.concatenate([tail, tip]))
    if rng.random() < 0.7:
        spot = tail + rng.normal(0, 12, 2) - way * 10
        marks.other.append(write(pen, words(rng), spot, text))


def draw_dimension(pen: Pen, at: Points, text: float, marks: Marks) -> None:
    """Draw a dimension line with ticks below or beside the structure."""
    rng = pen.rng
    low, high = at.min(0), at.max(0)
    thin = replace(pen, hand=replace(pen.hand, width=max(1.0, pen.hand.width * 0.6), again=0.0, fade=0.0))
    drop = rng.uniform(25, 80)
    axis = int(rng.random() < 0.3)
    places = np.unique(at[:, axis].round())
    a, b = np.sort(rng.choice(places, 2)) if len(places) > 1 else (0.0, 0.0)
    if b - a < 20:
        return
    level = (high[1] + drop) if axis == 0 else (low[0] - drop)
    ends = np.array([[a, level], [b, level]]) if axis == 0 else np.array([[level, a], [level, b]])
    stroke(thin, ends)
    reach = rng.uniform(4, 14)
    tick = _down(reach) if axis == 0 else np.array([reach, 0.0])
    for end in ends:
        stroke(thin, np.stack([end - tick, end + tick]))
    marks.other.append(write(thin, words(rng), ends.mean(0) + rng.normal(0, 9, 2), text))
    aside = np.array([-3.0, 3.0])
    marks.other.append(np.array([ends[0] - 3, ends[1] - aside, ends[1] + 3, ends[0] + aside], np.float32))
