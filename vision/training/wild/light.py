"""What light does to a photographed sheet or board: mirrored lamps and windows, shadows of heads."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["lit"]

Rng = np.random.Generator
Image = NDArray[np.uint8]

_COARSE = 8
"""Light is painted so many times smaller and blown up: nothing about it is sharp."""


def _patches(rng: Rng, height: int, width: int) -> Image:
    """Paint soft lamps, window panes or bands, (H, W) 0 to 255."""
    h, w = height // _COARSE + 2, width // _COARSE + 2
    mask = np.zeros((h, w), np.uint8)
    at, size = rng.uniform(0, 1, 2) * (w, h), rng.uniform(0.06, 0.4) * w
    kind = rng.random()
    if kind < 0.4:
        axes = (max(1, int(size)), max(1, int(size * rng.uniform(0.15, 1))))
        centre = at.astype(int).tolist()
        cv2.ellipse(mask, centre, axes, float(rng.uniform(0, 180)), 0, 360, 255, -1)
    elif kind < 0.75:
        across, down = rng.normal(0, 1, 2) * size, rng.normal(0, 1, 2) * size
        for row in range(int(rng.integers(1, 3))):
            for col in range(int(rng.integers(1, 4))):
                corner = at + 1.1 * (row * down + col * across)
                quad = np.array([corner, corner + across, corner + across + down, corner + down])
                cv2.fillConvexPoly(mask, quad.astype(np.int32), 255)
    else:
        ends = rng.uniform(-0.2, 1.2, (2, 2)) * (w, h)
        cv2.line(
            mask, ends[0].astype(int).tolist(), ends[1].astype(int).tolist(), 255, max(1, int(0.5 * size))
        )
    soft = cv2.GaussianBlur(mask, (0, 0), float(np.exp(rng.uniform(np.log(1.0), np.log(0.12 * w)))))
    return np.asarray(cv2.resize(soft, (width, height), interpolation=cv2.INTER_CUBIC), np.uint8)


def lit(rng: Rng, picture: Image) -> Image:
    """Lay one reflection or one shadow over a picture, (H, W, 3); what lies below stays to be seen."""
    height, width = picture.shape[:2]
    mask = _patches(rng, height, width)
    if rng.random() < 0.5:
        tint = rng.uniform(0.8, 1.0, 3) * rng.uniform(0.06, 0.45)
        veil = cv2.merge([cv2.convertScaleAbs(mask, alpha=float(t)) for t in tint])
        # A mirrored lamp lies over ground and ink alike and leaves the darker part of their contrast.
        return np.asarray(cv2.add(picture, veil), np.uint8)
    dark = cv2.addWeighted(mask, -float(rng.uniform(0.15, 0.6)), mask, 0.0, 255.0)
    return np.asarray(cv2.multiply(picture, cv2.merge([dark] * 3), scale=1 / 255), np.uint8)
