"""How much a photograph says where a label might stand: handwriting is better left to be read."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["Ground", "ground_of"]

Array = NDArray[np.float64]

_LONG_SIDE = 1000
"""Pixels of the reduced picture: strokes of a pen are still a pixel wide."""
_STROKE = 15
"""Pixels of the reduced picture over which the ground is levelled: wider than any stroke of a pen."""
_LIGHT_STEP = 18
"""Grey levels that a stroke stands out from its ground at least; noise and shade stay below."""


@dataclass(frozen=True, eq=False)
class Ground:
    """Where strokes are, ready to be summed over rectangles."""

    sums: Array
    """Integral image of strokes (0 or 1), one row and column longer than the reduced picture."""
    scale: float
    """Reduced pixels for each pixel of the picture."""

    def share(self, boxes: Array) -> Array:
        """Return which share of each rectangle's upright bounding box, (K, 4, 2) to (K,), is strokes."""
        height, width = self.sums.shape[0] - 1, self.sums.shape[1] - 1
        low = np.clip(np.rint(boxes.min(axis=1) * self.scale).astype(int), 0, (width, height))
        high = np.clip(np.rint(boxes.max(axis=1) * self.scale).astype(int), 0, (width, height))
        total = (
            self.sums[high[:, 1], high[:, 0]]
            - self.sums[low[:, 1], high[:, 0]]
            - self.sums[high[:, 1], low[:, 0]]
            + self.sums[low[:, 1], low[:, 0]]
        )
        area = np.maximum((high - low).prod(axis=1), 1)
        share: Array = total / area
        return share


def ground_of(picture: NDArray[np.uint8]) -> Ground:
    """Find strokes in an (H, W, 3) RGB picture: what differs from its own levelled ground, light or dark."""
    scale = min(1.0, _LONG_SIDE / max(picture.shape[:2]))
    small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    grey = cv2.cvtColor(small, cv2.COLOR_RGB2GRAY)
    level = cv2.medianBlur(grey, 2 * _STROKE + 1)
    strokes = (cv2.absdiff(grey, level) > _LIGHT_STEP).astype(np.uint8)
    return Ground(np.asarray(cv2.integral(strokes), dtype=np.float64), scale)
