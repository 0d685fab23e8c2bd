"""What stands beside a truss on the same sheet: polygons of forces, beams, sections, results; and cuts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.clutter import words
from vision.training.wild.decoys import decoy
from vision.training.wild.marks import Marks
from vision.training.wild.measures import arrow_head
from vision.training.wild.strokes import Pen, bowed, stroke, write

__all__ = ["draw_aside", "draw_cut"]

Points = NDArray[np.float64]
Box = tuple[float, float, float, float]


def _at(box: Box, *points: tuple[float, float]) -> Points:
    """Put points of a unit square into a box (x, y, width, height)."""
    return np.asarray(np.array(points) * box[2:] + np.array(box[:2]), np.float64)


def _arrow(pen: Pen, tail: Points, tip: Points, size: float) -> None:
    run = tip - tail
    length = float(np.hypot(*run))
    if length > 2:
        stroke(pen, np.stack([tail, tip]))
        arrow_head(pen, tip, run / length, min(size, 0.5 * length))


def _polygon_of_forces(pen: Pen, box: Box, text: float, marks: Marks) -> None:
    """Draw a closed polygon of arrows: forces laid end to end."""
    rng = pen.rng
    turn = np.sort(rng.uniform(0, 2 * np.pi, int(rng.integers(3, 6))))
    ring = _at(box, *[(0.5 + 0.45 * np.cos(a), 0.5 + 0.45 * np.sin(a)) for a in turn])
    for tail, tip in pairwise([*ring, ring[0]]):
        _arrow(pen, tail, tip, 0.7 * text)
    marks.other.append(write(pen, words(rng), ring.mean(0), 0.8 * text))


def _beam(pen: Pen, box: Box, text: float, marks: Marks) -> None:
    """Draw a beam: a line or a long box on supports, arrows on it, perhaps its diagram below."""
    rng = pen.rng
    left, right = _at(box, (0.05, 0.4), (0.95, 0.4))
    stroke(pen, np.stack([left, right]))
    if rng.random() < 0.5:
        deep = np.array([0.0, rng.uniform(0.3, 0.9) * text])
        for p, q in ((left + deep, right + deep), (left, left + deep), (right, right + deep)):
            stroke(pen, np.stack([p, q]))
        left, right = left + deep, right + deep
    for end in (left, right):
        foot = end + np.array([0.0, 0.9 * text])
        half = np.array([0.5 * text, 0.0])
        for p, q in ((end, foot - half), (end, foot + half), (foot - half, foot + half)):
            stroke(pen, np.stack([p, q]))
    for where in rng.uniform(0.1, 0.9, int(rng.integers(1, 4))):
        tip = _at(box, (where, 0.4))[0]
        _arrow(pen, tip - np.array([0.0, 0.3 * box[3]]), tip, 0.6 * text)
    if rng.random() < 0.4:
        low = _at(box, *[(0.05 + 0.15 * k, 0.85 + rng.uniform(-0.15, 0.15)) for k in range(7)])
        stroke(pen, low)
        stroke(pen, _at(box, (0.05, 0.85), (0.95, 0.85)))
    marks.other.append(write(pen, words(rng), _at(box, (0.5, 0.02))[0], text))


def _section(pen: Pen, box: Box, text: float, marks: Marks) -> None:
    """Draw the section of a bar: an I, an L, a tube, with hatching."""
    rng = pen.rng
    t = rng.uniform(0.1, 0.25)
    outlines = (
        ((0, 0), (1, 0), (1, t), (0.5 + t / 2, t), (0.5 + t / 2, 1 - t), (1, 1 - t), (1, 1), (0, 1),
         (0, 1 - t), (0.5 - t / 2, 1 - t), (0.5 - t / 2, t), (0, t), (0, 0)),
        ((0, 0), (t, 0), (t, 1 - t), (1, 1 - t), (1, 1), (0, 1), (0, 0)),
        ((0, 0), (1, 0), (1, 1), (0, 1), (0, 0), (t, t), (1 - t, t), (1 - t, 1 - t), (t, 1 - t), (t, t)),
    )  # fmt: skip
    path = _at(box, *outlines[int(rng.integers(len(outlines)))])
    for p, q in pairwise(path):
        stroke(pen, np.stack([p, q]))
    marks.other.append(write(pen, words(rng), _at(box, (0.5, 1.2))[0], text))


def _framed_result(pen: Pen, box: Box, text: float, marks: Marks) -> None:
    """Write a result, underline it twice or frame it."""
    rng = pen.rng
    centre = _at(box, (0.5, 0.5))[0]
    line = write(pen, words(rng) + " = " + words(rng), centre, text * rng.uniform(0.9, 1.6))
    marks.other.append(line)
    low, high = line.min(0).astype(float), line.max(0).astype(float)
    pad = 0.4 * text
    if rng.random() < 0.5:
        corners = np.array(
            [low - pad, (high[0] + pad, low[1] - pad), high + pad, (low[0] - pad, high[1] + pad)]
        )
        for p, q in pairwise([*corners, corners[0]]):
            stroke(pen, np.stack([p, q]))
        return
    for k in range(int(rng.integers(1, 3))):
        y = high[1] + pad * (0.5 + 0.5 * k)
        stroke(pen, np.array([[low[0], y], [high[0], y]]))


_KINDS: tuple[Callable[[Pen, Box, float, Marks], None], ...] = (
    _polygon_of_forces, _beam, _section, _framed_result,
)  # fmt: skip
_CHANCES = (0.25, 0.3, 0.15, 0.3)
_DECOYS = 0.55
"""Part of what stands beside a truss that also stands alone, in pictures without one."""


def draw_aside(pen: Pen, box: Box, marks: Marks) -> None:
    """Draw one thing that is no truss into a box (x, y, width, height); only its writing is labelled."""
    rng = pen.rng
    if rng.random() < _DECOYS:
        decoy(pen, box, marks)
        return
    text = float(np.clip(0.12 * min(box[2:]), 7, 26))
    thin = replace(pen, hand=replace(pen.hand, width=min(pen.hand.width, max(1.0, 0.03 * min(box[2:])))))
    _KINDS[int(rng.choice(len(_KINDS), p=_CHANCES))](thin, box, text, marks)


def draw_cut(pen: Pen, at: Points, text: float, marks: Marks) -> None:
    """Draw the line of a section through a truss: dashed, wavy or plain, its ends bent or named."""
    rng = pen.rng
    low, high = at.min(0), at.max(0)
    size = float((high - low).max())
    span = float(high[0] - low[0])
    x = rng.uniform(low[0] + 0.15 * span, high[0] - 0.1 * span)
    ends = np.array(
        [[x, low[1] - rng.uniform(0.03, 0.15) * size], [x, high[1] + rng.uniform(0.03, 0.15) * size]]
    )
    ends[:, 0] += rng.normal(0, 0.08, 2) * size
    kind = rng.random()
    steady = replace(pen, hand=replace(pen.hand, again=0.0, fade=0.0, width=max(1.0, 0.8 * pen.hand.width)))
    if kind < 0.45:
        t = np.linspace(0, 1, 2 * int(rng.integers(6, 16)))
        path = ends[0] + t[:, None] * (ends[1] - ends[0])
        for p, q in zip(path[::2], path[1::2], strict=True):
            start, end = np.round([p, q]).astype(int).tolist()
            thick = max(1, round(steady.hand.width))
            cv2.line(pen.picture, start, end, pen.colour, thick, cv2.LINE_AA)
    elif kind < 0.8:
        path = bowed(ends[0], ends[1], rng.normal(0, 0.12), 24)
        path[:, 0] += rng.uniform(0, 0.015) * size * np.sin(np.linspace(0, rng.uniform(6, 25), 25))
        stroke(steady, path)
    else:
        hook = np.array([rng.choice([-1, 1]) * rng.uniform(0.5, 1.2) * text, 0.0])
        stroke(steady, np.array([ends[0] + hook, ends[0], ends[1], ends[1] + hook]))
    name = str(rng.choice(["1", "a", "A", "I", "n", "m"]))
    for end, way in ((ends[0], -1), (ends[1], 1)):
        if rng.random() < 0.6:
            marks.other.append(write(pen, name, end + np.array([0.0, way * 0.9 * text]), text))
