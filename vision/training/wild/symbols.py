"""What stands about a truss on a page: supports, load arrows, dimension lines."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.clutter import words
from vision.training.wild.marks import Marks
from vision.training.wild.strokes import Hand, Pen, circle_mark, stroke, write

__all__ = ["draw_arrow", "draw_dimension", "draw_support"]

Points = NDArray[np.float64]


def _down(distance: float) -> Points:
    return np.array([0.0, distance])


def draw_support(pen: Pen, at: Points, text: float, marks: Marks) -> None:
    """Draw a triangle on hatching (pin) or on wheels, or one wheel (roller); `text`: height of writing."""
    rng = pen.rng
    size = text * rng.uniform(1.0, 2.4)
    roller = rng.random() < 0.5
    foot = at + _down(size)
    if roller and rng.random() < 0.4:
        circle_mark(pen, at + _down(size / 2), size / 2)
    else:
        half = np.array([size * rng.uniform(0.4, 0.8), 0])
        for p, q in ((at, foot - half), (at, foot + half), (foot - half, foot + half)):
            stroke(pen, np.stack([p, q]))
        if roller:
            wheel = size * 0.2
            for k in (-1, 0, 1):
                circle_mark(pen, foot + half * k * 0.7 + _down(wheel), wheel)
            foot = foot + _down(2 * wheel)
    wide = np.array([size * rng.uniform(0.8, 1.6), 0])
    stroke(pen, np.stack([foot - wide, foot + wide]))
    if not roller or rng.random() < 0.5:
        for t in np.linspace(-1, 1, int(rng.integers(4, 9))):
            p = foot + wide * t
            stroke(pen, np.stack([p, p + np.array([-0.25, 0.25]) * size]))
    (marks.rollers if roller else marks.pins).append(at)


def draw_arrow(pen: Pen, at: Points, text: float, marks: Marks) -> None:
    """Draw a load arrow that ends or starts at a joint."""
    rng = pen.rng
    turn = np.pi / 2 + rng.normal(0, 0.1) if rng.random() < 0.7 else rng.uniform(0, 2 * np.pi)
    way = np.array([np.cos(turn), np.sin(turn)])
    length, gap = text * rng.uniform(2.0, 6.0), rng.uniform(0, 10)
    tail, tip = at - way * (length + gap), at - way * gap
    if rng.random() < 0.35:
        tail, tip = at + way * gap, at + way * (gap + length)
    stroke(pen, np.stack([tail, tip]))
    head = text * rng.uniform(0.4, 0.9)
    side = np.array([-way[1], way[0]])
    wings = [tip - way * head + side * head * k * rng.uniform(0.4, 0.7) for k in (-1, 1)]
    if rng.random() < 0.4:
        cv2.fillConvexPoly(pen.picture, np.array([tip, *wings]).astype(np.int32), pen.colour, cv2.LINE_AA)
    for wing in wings:
        stroke(pen, np.stack([wing, tip]))
    marks.arrows.append(np.concatenate([tail, tip]))
    if rng.random() < 0.7:
        spot = tail + rng.normal(0, 12, 2) - way * 10
        marks.other.append(write(pen, words(rng), spot, text))


def draw_dimension(pen: Pen, at: Points, text: float, marks: Marks) -> None:
    """Draw a dimension line with ticks below or beside the structure."""
    rng = pen.rng
    low, high = at.min(0), at.max(0)
    thin = replace(pen, hand=Hand(max(1.0, pen.hand.width * 0.6), pen.hand.wobble, 0, 0))
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
