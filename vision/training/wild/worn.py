"""What happens to a finished drawing: older ones below it, highlighters, remarks across it, lamps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from vision.training.wild.boards import dusted, half_wiped
from vision.training.wild.clutter import clutter, written_over
from vision.training.wild.drawings import draw_structure
from vision.training.wild.grounds import ink_colour
from vision.training.wild.light import lit
from vision.training.wild.marks import Marks
from vision.training.wild.members import highlight
from vision.training.wild.picture import LabelledPicture
from vision.training.wild.spoils import shine_through
from vision.training.wild.strokes import Hand, Pen

__all__ = ["worn"]

Rng = np.random.Generator
Image = NDArray[np.uint8]


def _pen(rng: Rng, picture: Image) -> Pen:
    size = max(picture.shape[:2])
    hand = Hand(size * rng.uniform(0.002, 0.007), rng.uniform(0.0015, 0.01), 0.1, 0.05)
    return Pen(rng, picture, ink_colour(rng, picture), hand)


def _with_older(rng: Rng, picture: Image) -> Image:
    """Let an older drawing be seen: half wiped away, or on the back of the sheet."""
    before = picture.copy()
    pen = _pen(rng, before)
    height, width = picture.shape[:2]
    part = rng.uniform(0.4, 0.95)
    spot = rng.uniform(0, 1 - part, 2) * (width, height)
    box = (float(spot[0]), float(spot[1]), part * width, part * height * rng.uniform(0.5, 1.0))
    if rng.random() < 0.85:
        draw_structure(pen, box, Marks())
    else:
        clutter(pen, 3)
    if rng.random() < 0.6:
        return half_wiped(rng, before, picture)
    return shine_through(rng, picture, before)


def worn(rng: Rng, picture: LabelledPicture) -> LabelledPicture:
    """Wear a labelled drawing as use does; its labels stay where they are, remarks are added to `other`."""
    rgb = np.ascontiguousarray(picture.rgb).copy()
    other = [picture.other]
    if rng.random() < 0.2:
        rgb = np.ascontiguousarray(_with_older(rng, rgb))
    if rng.random() < 0.06:
        broad = max(rgb.shape[:2]) * rng.uniform(0.008, 0.03)
        chance = rng.uniform(0.1, 0.9)
        for x0, y0, x1, y1 in picture.lines:
            if rng.random() < chance:
                ends = np.array([x0, y0], float), np.array([x1, y1], float)
                highlight(_pen(rng, rgb), *ends, broad=broad)
    if rng.random() < 0.1:
        boxes = written_over(_pen(rng, rgb))
        other.append(np.array(boxes, np.float32).reshape(-1, 4, 2))
    if rng.random() < 0.08:
        rgb = np.ascontiguousarray(dusted(rng, rgb))
    if rng.random() < 0.15:
        rgb = lit(rng, rgb)
    return replace(picture, rgb=np.ascontiguousarray(rgb), other=np.concatenate(other).astype(np.float32))
