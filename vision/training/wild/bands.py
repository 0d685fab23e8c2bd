"""What sits on a member away from its joints: washers, clips, bands of tape or rubber, tags."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vision.training.wild.stock import VIVID, fill, shade, thin_line

__all__ = ["paint_band"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]


def paint_band(rng: Rng, picture: Image, at: Points, way: Points, width: float) -> None:
    """Paint one thing that sits on a member and is no joint.

    Parameters
    ----------
    at : NDArray
        (2,) where, on the member's axis, in pixels.
    way : NDArray
        (2,) unit vector along the member.
    width : float
        Width of the member in pixels.
    """
    side = np.array([-way[1], way[0]])
    tone = np.array(VIVID[int(rng.integers(len(VIVID)))]) * rng.uniform(0.5, 1.05)
    if rng.random() < 0.3:
        tone = np.full(3, rng.uniform(20, 250))
    colour = (float(tone[0]), float(tone[1]), float(tone[2]))
    kind = rng.random()
    width = max(width, 2.0)
    if kind < 0.4:  # a washer threaded on, seen nearly edge on
        turn = rng.normal(0, 0.35)
        along = way * np.cos(turn) + side * np.sin(turn)
        across = side * np.cos(turn) - way * np.sin(turn)
        t = np.arange(20) * np.pi / 10
        reach, thin = width * rng.uniform(1.0, 2.4), width * rng.uniform(0.12, 0.8)
        outline = np.outer(np.cos(t), across) * reach + np.outer(np.sin(t), along) * thin
        fill(picture, at + outline + along * 0.15 * width, shade(colour, 0.65))
        fill(picture, at + outline, colour)
    elif kind < 0.75:  # tape, a rubber band, a dab of paint
        half = width * rng.uniform(0.2, 1.2)
        edge = side * width * rng.uniform(0.5, 0.72)
        ends = np.stack([way * half + edge, way * half - edge, -way * half - edge, -way * half + edge])
        fill(picture, at + ends, colour)
        thin_line(picture, at + ends[[0, 1]], shade(colour, 0.7))
    elif kind < 0.9:  # a clip or a splint along the member
        half, edge = width * rng.uniform(1.0, 2.2), side * width * rng.uniform(0.3, 0.6)
        move = side * width * rng.uniform(-0.6, 0.6)
        ends = np.stack([way * half + edge, way * half - edge, -way * half - edge, -way * half + edge])
        fill(picture, at + move + ends, shade(colour, 0.85))
    else:  # a paper tag
        size = width * rng.uniform(0.8, 1.6)
        middle = at + side * size * rng.choice([-1, 1]) * 0.7
        card = np.array([[-1, -0.7], [1, -0.7], [1, 0.7], [-1, 0.7]]) * size
        fill(picture, middle + card, (245.0, 244.0, 236.0))
        thin_line(picture, middle + card[[0, 1]] * 0.5, (40.0, 40.0, 60.0))
