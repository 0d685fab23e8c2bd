"""Where in a picture a drawing may hide that is too small to be read from the whole of it.

Of a tiny drawing the network still sees that there is ink: too fine for joints and members, it shows as
other ink. So the squares that hold the most ink are looked at closer, first the fullest, then the fullest of
what is left.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.channels import OTHER
from vision.maps import Box, Maps

__all__ = ["SearchSettings", "likely_places"]


@dataclass(frozen=True)
class SearchSettings:
    """How a picture is searched. Parts are of the picture's longer side."""

    side: float = 0.2
    """Side of a square. Halved, four times as many are needed; doubled, too little is gained."""
    most: int = 6
    """Squares looked at. Each costs a quarter of what the looks at the whole picture cost."""
    least_ink: float = 0.3
    """Height of the maps from which there is ink of any kind."""
    least_extent: float = 0.02
    """Ink in a square that reaches less far is a dot or a single sign."""


def likely_places(
    maps: Maps, shape: tuple[int, ...], *, settings: SearchSettings | None = None
) -> tuple[Box, ...]:
    """Find the squares of a picture that hold ink, the fullest first.

    Parameters
    ----------
    maps : Maps
        Of the whole picture, the finer the better.
    shape : tuple of int
        Rows, columns of the picture, and what else its array has.
    settings : SearchSettings, optional

    Returns
    -------
    tuple of Box
        Left, top, right, bottom in pixels of the picture.
    """
    s = settings or SearchSettings()
    height, width = shape[:2]
    longest = max(height, width)
    ink = np.maximum(maps.values[OTHER], maps.lines.max(0))
    left = np.where(ink >= s.least_ink, ink, 0).astype(np.float32)
    window = max(3, round(s.side * longest * maps.cells_per_pixel)) | 1
    found: list[Box] = []
    for _ in range(s.most):
        held = cv2.boxFilter(left, -1, (window, window), normalize=False, borderType=cv2.BORDER_CONSTANT)
        y, x = np.unravel_index(int(held.argmax()), held.shape)
        # The square is moved so that its ink lies in its middle: nothing is cut off on one side.
        top, beside = max(0, int(y) - window // 2), max(0, int(x) - window // 2)
        inside = left[top : int(y) + window // 2 + 1, beside : int(x) + window // 2 + 1]
        rows, columns = np.nonzero(inside)
        if not len(rows):
            break
        middle = np.array(
            [[beside + (columns.min() + columns.max()) / 2, top + (rows.min() + rows.max()) / 2]], float
        )
        reach = max(np.ptp(rows), np.ptp(columns)) + 1
        inside[:] = 0
        if reach < s.least_extent * longest * maps.cells_per_pixel:
            continue
        centre = maps.to_picture(middle)[0]
        half = s.side * longest / 2
        found.append(_within(centre, half, height=height, width=width))
    return tuple(found)


def _within(centre: NDArray[np.float64], half: float, *, height: int, width: int) -> Box:
    """Put a square round a point, as much of it as lies in the picture."""
    low = np.maximum(centre - half, 0).astype(int)
    high = np.minimum(centre + half + 1, (width, height)).astype(int)
    return int(low[0]), int(low[1]), int(high[0]), int(high[1])
