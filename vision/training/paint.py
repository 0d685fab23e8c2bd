"""Painting of solid things straight into a picture: polygons, ribbons, shades."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["Colour", "Photo", "Points", "any_colour", "paint_line", "paint_patch", "ribbon", "shade"]

Points = NDArray[np.float64]
"""(K, 2) or (K, 3)."""
Photo = NDArray[np.uint8]
"""(H, W, 3), painted in place."""
Colour = tuple[float, float, float]
"""RGB, 0 to 255."""

SHIFT = 4
"""Fractional bits of the coordinates handed to OpenCV: a sixteenth of a pixel."""
FAR = 30000.0
"""Pixels beyond which OpenCV's fixed-point coordinates would overflow."""


def _fixed(points: Points) -> NDArray[np.int32]:
    return np.round(np.clip(points, -FAR, FAR) * (1 << SHIFT)).astype(np.int32)


def shade(colour: Colour, factor: float, lift: float = 0.0) -> Colour:
    """Return a colour made darker or lighter by a factor, and lifted by grey levels."""
    r, g, b = (min(max(c * factor + lift, 0.0), 255.0) for c in colour)
    return r, g, b


def any_colour(rng: np.random.Generator, colours: tuple[Colour, ...], spread: float = 14.0) -> Colour:
    """Return one of the colours, never twice quite the same; `spread` in grey levels."""
    r, g, b = colours[int(rng.integers(len(colours)))]
    common = rng.normal(0, spread)
    dr, dg, db = rng.normal(0, spread / 3, 3).tolist()
    return shade((r + common + dr, g + common + dg, b + common + db), 1.0)


def paint_patch(photo: Photo, points: Points, colour: Colour) -> None:
    """Fill a polygon (K, 2) of pixels."""
    cv2.fillPoly(photo, [_fixed(points)], colour, cv2.LINE_AA, SHIFT)


def paint_line(photo: Photo, points: Points, colour: Colour, width: int, *, closed: bool = False) -> None:
    """Draw a line through (K, 2) pixels, a whole number of pixels wide."""
    cv2.polylines(photo, [_fixed(points)], closed, colour, max(1, width), cv2.LINE_AA, SHIFT)


def ribbon(line: Points, half: Points, *, part: tuple[float, float] = (-1.0, 1.0)) -> Points:
    """Return the outline of a band along a line (K, 2) with half widths (K,), or of a part of its width.

    `part` runs from -1, the left edge as one goes along, to 1, the right edge.
    """
    along = np.gradient(line, axis=0)
    along /= np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-9)[:, None]
    across = np.column_stack([-along[:, 1], along[:, 0]]) * half[:, None]
    low, high = sorted(part)
    return np.concatenate([line + across * high, (line + across * low)[::-1]])
