"""Lines about a truss that are no members: measures with witness lines, axes, angles, rows of arrows."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.clutter import words
from vision.training.wild.marks import Marks
from vision.training.wild.strokes import Hand, Pen, stroke, write

__all__ = ["arrow_head", "draw_angle", "draw_axes", "draw_chain", "draw_row_of_loads", "draw_turning"]

Points = NDArray[np.float64]
Pairs = tuple[tuple[int, int], ...]


def arrow_head(pen: Pen, tip: Points, way: Points, size: float) -> None:
    """Draw the head of an arrow that points along the unit vector `way`: open, filled, or one barb."""
    rng = pen.rng
    side = np.array([-way[1], way[0]])
    open_by = rng.uniform(0.25, 0.7)
    wings = [tip - way * size + side * size * k * open_by for k in (-1, 1)]
    kind = rng.random()
    if kind < 0.4:
        points = np.round(np.array([tip, *wings]) * 16).astype(np.int32)
        cv2.fillConvexPoly(pen.picture, points, pen.colour, cv2.LINE_AA, 4)
        return
    for wing in wings[: 1 if kind < 0.46 else 2]:
        stroke(pen, np.stack([wing, tip]))


def _thin(pen: Pen) -> Pen:
    part = pen.rng.uniform(0.3, 0.8)
    return replace(
        pen,
        hand=Hand(
            max(1.0, pen.hand.width * part),
            pen.hand.wobble * 0.6,
            0,
            0,
            broken=pen.hand.broken,
            lettering=pen.hand.lettering,
        ),
    )


def _end(pen: Pen, at: Points, way: Points, kind: int, size: float) -> None:
    """End a measure at a point: a tick across, a slanted tick, an arrow head, a dot."""
    side = np.array([-way[1], way[0]])
    if kind == 0:
        stroke(pen, np.stack([at - side * size, at + side * size]))
    elif kind == 1:
        slant = (side + way) * size * 0.7
        stroke(pen, np.stack([at - slant, at + slant]))
    elif kind == 2:
        arrow_head(pen, at, way, size * 1.3)
    else:
        cv2.circle(
            pen.picture,
            np.round(at).astype(int).tolist(),
            max(2, int(size * 0.3)),
            pen.colour,
            -1,
            cv2.LINE_AA,
        )


def _frame(pen: Pen, at: Points, pairs: Pairs) -> tuple[Points, Points]:
    """Choose what to measure along, and return unit vectors along it and away from the truss."""
    rng = pen.rng
    kind = rng.random()
    way = np.array([1.0, 0.0]) if kind < 0.5 else np.array([0.0, 1.0])
    if kind > 0.8:
        a, b = pairs[int(rng.integers(len(pairs)))]
        way = (at[b] - at[a]) / max(float(np.hypot(*(at[b] - at[a]))), 1e-6)
    away = np.array([-way[1], way[0]])
    return way, away * (1 if rng.random() < (0.8 if kind < 0.5 else 0.5) else -1)


def _stops(pen: Pen, along: NDArray[np.float64], apart: float, count: int) -> NDArray[np.int64]:
    """Choose `count` joints, at least `apart` from each other, between which to measure."""
    rng = pen.rng
    order = np.argsort(along)
    stops = order[np.flatnonzero(np.diff(along[order], prepend=-1e9) > apart)]
    if len(stops) <= count:
        return stops
    if rng.random() < 0.4:
        return stops[:count]
    inner = np.sort(rng.choice(np.arange(1, len(stops) - 1), max(0, count - 2), replace=False))
    return stops[[0, *inner.tolist(), len(stops) - 1]]


def draw_chain(pen: Pen, at: Points, pairs: Pairs, text: float, marks: Marks) -> None:
    """Draw a chain of measures, with witness lines from the joints: they begin beside a joint, or at it."""
    rng, pen = pen.rng, _thin(pen)
    way, away = _frame(pen, at, pairs)
    along, across = at @ way, at @ away
    level_way = min(abs(float(way[0])), abs(float(way[1]))) < 1e-6
    most = int(rng.choice([2, 2, 2, 3, 4, 9])) if level_way else 2
    stops = _stops(pen, along, max(18.0, 0.8 * text), most)
    if len(stops) < 2 or along[stops[-1]] - along[stops[0]] < 20:
        return
    level = across.max() + rng.uniform(0.6, 4.0) * max(text, 12.0)
    ends = [way * along[i] + away * level for i in stops]
    kind, size = int(rng.choice(4, p=[0.3, 0.25, 0.37, 0.08])), rng.uniform(0.2, 0.55) * max(text, 10)
    # Slanting lines that begin at a joint and are as thick as members would be members.
    gap = float(rng.choice([0.0, 7.0, 18.0] if level_way else [7.0, 18.0]) * rng.uniform(0.5, 1.6))
    over, full = rng.uniform(0, 10), rng.random() < 0.6
    for p, i in zip(ends, stops, strict=True):
        start = at[i] + away * gap if full and level - across[i] > gap else p - away * min(size, 10)
        if full or rng.random() < 0.5:
            stroke(pen, np.stack([start, p + away * over]))
    for p, q in pairwise(ends):
        _measure(pen, p, q, away, kind, size=size, text=text, marks=marks)


def _measure(
    pen: Pen, p: Points, q: Points, away: Points, kind: int, *, size: float, text: float, marks: Marks
) -> None:
    """Draw one measure from p to q with its value beside it or in a gap of it."""
    rng = pen.rng
    run, middle = float(np.hypot(*(q - p))), (p + q) / 2
    way = (q - p) / max(run, 1e-6)
    split = run > 5 * text and rng.random() < 0.35
    if split:
        room = way * text * rng.uniform(0.9, 1.6)
        stroke(pen, np.stack([p, middle - room]))
        stroke(pen, np.stack([middle + room, q]))
    else:
        stroke(pen, np.stack([p, q]))
    _end(pen, p, -way, kind, size)
    _end(pen, q, way, kind, size)
    if rng.random() < 0.85:
        spot = middle + (0 if split else 1) * away * text * rng.choice([-0.9, 0.9])
        marks.other.append(write(pen, words(rng), spot, text * rng.uniform(0.6, 1.0)))


def draw_axes(pen: Pen, at: Points, text: float, marks: Marks) -> None:
    """Draw a cross of axes: small in a corner, or through a joint and across the structure."""
    rng, pen = pen.rng, _thin(pen)
    size = np.ptp(at, axis=0).max()
    origin = (
        at[int(rng.integers(len(at)))]
        if rng.random() < 0.35
        else at.min(0) + rng.uniform(-0.2, 1.2, 2) * size
    )
    long = size * (rng.uniform(0.12, 0.3) if rng.random() < 0.6 else rng.uniform(0.4, 1.2))
    for way, name in ((np.array([1.0, 0.0]), "x"), (np.array([0.0, -1.0]), "y")):
        tip = origin + way * long * rng.uniform(0.7, 1.2)
        stroke(pen, np.stack([origin, tip]))
        arrow_head(pen, tip, way, text * rng.uniform(0.3, 0.7))
        marks.other.append(
            write(pen, name, tip + rng.normal(0, 0.3, 2) * text + way * 0.7 * text, 0.8 * text)
        )


def draw_angle(pen: Pen, at: Points, pairs: Pairs, text: float, marks: Marks) -> None:
    """Draw an arc, or the corner of a right angle, between two members at a joint, and its value."""
    rng, pen = pen.rng, _thin(pen)
    a, b = pairs[int(rng.integers(len(pairs)))]
    ends = [q if p == a else p for p, q in pairs if a in (p, q) and b not in (p, q)]
    first = at[b] - at[a]
    second = (
        at[ends[int(rng.integers(len(ends)))]] - at[a] if ends else np.array([float(np.hypot(*first)), 0.0])
    )
    from_turn, to_turn = np.arctan2(first[1], first[0]), np.arctan2(second[1], second[0])
    swing = float(np.angle(np.exp(1j * (to_turn - from_turn))))
    radius = min(float(np.hypot(*first)), float(np.hypot(*second))) * rng.uniform(0.15, 0.45)
    if abs(swing) < 0.15 or radius < 6:
        return
    turn = from_turn + np.linspace(0, swing, 14)
    for ring in range(1 + int(rng.random() < 0.15)):
        path = at[a] + (radius + 4 * ring) * np.stack([np.cos(turn), np.sin(turn)], 1)
        if abs(abs(swing) - np.pi / 2) < 0.2 and rng.random() < 0.5:
            middle = at[a] + 1.3 * radius * np.array([np.cos(turn[7]), np.sin(turn[7])])
            path = np.stack([path[0], middle, path[-1]])
        stroke(replace(pen, hand=replace(pen.hand, wobble=0.0)), path)
    spot = at[a] + (radius + 0.9 * text) * np.array([np.cos(turn[7]), np.sin(turn[7])])
    marks.other.append(
        write(pen, f"{int(rng.integers(15, 90))}" if rng.random() < 0.8 else "a", spot, 0.7 * text)
    )


def draw_row_of_loads(pen: Pen, at: Points, pairs: Pairs, text: float, marks: Marks) -> None:
    """Draw a row of small arrows on to a member, mostly under one line: a load spread along it."""
    rng, pen = pen.rng, _thin(pen)
    a, b = pairs[int(rng.integers(len(pairs)))]
    run = at[b] - at[a]
    length = float(np.hypot(*run))
    if length < 40:
        return
    up = np.array([0.0, -1.0]) if abs(run[0]) > 0.3 * length else np.array([-1.0, 0.0])
    high = text * rng.uniform(0.8, 2.4)
    feet = at[a] + np.linspace(0, 1, int(np.clip(length / rng.uniform(14, 40), 3, 14)))[:, None] * run
    feet = feet + up * rng.uniform(0, 6)
    heights = high * (np.linspace(0.15, 1, len(feet)) if rng.random() < 0.2 else np.ones(len(feet)))
    tops = feet + up * heights[:, None]
    if rng.random() < 0.85:
        stroke(pen, np.stack([tops[0], tops[-1]]))
    for foot, top, tall in zip(feet, tops, heights, strict=True):
        if tall > 5:
            stroke(pen, np.stack([top, foot]))
            arrow_head(pen, foot, -up, min(0.4 * text, 0.6 * tall))
    marks.other.append(np.array([tops[0], tops[-1], feet[-1], feet[0]], np.float32))
    if rng.random() < 0.7:
        marks.other.append(write(pen, words(rng), tops.mean(0) + up * text, text))


def draw_turning(pen: Pen, at: Points, text: float) -> None:
    """Draw the bent arrow of a moment, round a joint or in the middle of a panel."""
    rng = pen.rng
    centre = at[int(rng.integers(len(at)))] if rng.random() < 0.5 else at.mean(0) + rng.normal(0, 2, 2) * text
    turn = rng.uniform(0, 2 * np.pi) + np.linspace(0, rng.uniform(2.5, 5.2), 16)
    path = centre + text * rng.uniform(0.8, 1.8) * np.stack([np.cos(turn), np.sin(turn)], 1)
    thin = _thin(pen)
    stroke(replace(thin, hand=replace(thin.hand, wobble=0.0)), path)
    way = path[-1] - path[-2]
    arrow_head(thin, path[-1], way / max(float(np.hypot(*way)), 1e-6), 0.5 * text)
