"""Where on a sheet things stand: one structure, two of a size, smaller ones about it, no trusses."""

from __future__ import annotations

import numpy as np

from vision.training.wild.asides import draw_aside
from vision.training.wild.drawings import draw_structure
from vision.training.wild.marks import Marks
from vision.training.wild.strokes import Pen

__all__ = ["Box", "choose_box", "lay_out"]

Rng = np.random.Generator
Box = tuple[float, float, float, float]

_ASIDE = 0.16
"""Chance that something that is no truss stands beside."""


def choose_box(rng: Rng, height: int, width: int) -> Box:
    """Choose where the structure stands: it fills most of the picture or a part of it."""
    part = rng.uniform(0.35, 0.97)
    w, h = width * part, height * part * rng.uniform(0.6, 1.0)
    x, y = rng.uniform(0, width - w), rng.uniform(0, height - h)
    return float(x), float(y), float(w), float(h)


def _within(box: Box, frame: Box, size: tuple[int, ...]) -> Box:
    """Bring a box of a picture of `size` (height, width, ...) into a frame, in proportion."""
    across, down = frame[2] / size[1], frame[3] / size[0]
    return frame[0] + box[0] * across, frame[1] + box[1] * down, box[2] * across, box[3] * down


def _margin(rng: Rng, height: int, width: int) -> tuple[Box, list[Box]]:
    """Cut a sheet into a large part and up to three small ones beside or below it."""
    cut = rng.uniform(0.52, 0.74)
    wide = width >= height
    long, side = (width, height) if wide else (height, width)
    count = int(rng.integers(1, 4))
    each = side * min(0.96 / count, rng.uniform(0.25, 0.5))
    start, run = (cut + 0.04) * long, (0.92 - cut) * long
    first = rng.uniform(0, max(0.0, side - count * each))
    spots = [(start, first + k * each, run, 0.88 * each) for k in range(count)]
    main = (0.02 * long, rng.uniform(0.0, 0.25) * side, cut * long, rng.uniform(0.5, 0.72) * side)
    if rng.random() < 0.5:
        main = (long - main[0] - main[2], *main[1:])
        spots = [(long - s[0] - s[2], *s[1:]) for s in spots]
    if wide:
        return main, spots
    return (main[1], main[0], main[3], main[2]), [(s[1], s[0], s[3], s[2]) for s in spots]


def lay_out(rng: Rng, pen: Pen, marks: Marks, frame: Box) -> None:
    """Draw what stands on a sheet, and add its truth to `marks`.

    `frame` is where the sheet lies in the picture. Smaller structures, also those the picture's edge cuts
    off, look like the main one and are labelled so; asides are labelled as writing at most.
    """
    size = pen.picture.shape
    height, width = size[:2]
    kind = rng.random()
    box = choose_box(rng, height, width)
    if kind < 0.17 and width > height:
        x, y, w, h = 0.02 * width, box[1], 0.44 * width, box[3]
        draw_structure(pen, _within((x, y, w, h), frame, size), marks)
        draw_structure(pen, _within((x + 0.53 * width, y, w, h), frame, size), marks)
        return
    if kind < 0.26 or kind > 1 - _ASIDE:
        box, spots = _margin(rng, height, width)
        for spot in spots:
            if kind < 0.26:
                draw_structure(pen, _within(spot, frame, size), marks)
            else:
                draw_aside(pen, _within(spot, frame, size), marks)
    elif kind < 0.31:
        beyond = rng.uniform(0.75, 0.95)
        spot = (beyond * width, rng.uniform(0, 0.7) * height, rng.uniform(0.25, 0.6) * width, 0.3 * height)
        box = (0.02 * width, box[1], (beyond - 0.1) * width, box[3])
        if rng.random() < 0.5:
            spot, box = (width - spot[0] - spot[2], *spot[1:]), (width - box[0] - box[2], *box[1:])
        draw_structure(pen, _within(spot, frame, size), marks)
    draw_structure(pen, _within(box, frame, size), marks)
