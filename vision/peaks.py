"""Peaks of a heat map, to a fraction of a cell."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["find_peaks"]


def find_peaks(
    heat: NDArray[np.float32], *, least: float, apart: int = 2
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Find local maxima of at least `least`, no two within `apart` cells of each other along either axis.

    Parameters
    ----------
    heat : (R, C) float32
        0 to 1.
    least : float
        Smallest height of a peak.
    apart : int
        Half the side of the square in which a peak must be the highest, cells.

    Returns
    -------
    at : (N, 2) float
        x, y in cells: the mean of the cells around the peak weighted by their squared heat.
    height : (N,) float
        Heat at the peak.
    """
    side = 2 * apart + 1
    highest = cv2.dilate(heat, np.ones((side, side), np.uint8))
    ys, xs = np.nonzero((heat >= highest) & (heat >= least))
    if len(xs) == 0:
        return np.zeros((0, 2)), np.zeros(0)
    padded = np.pad(heat, 2)
    offset = np.arange(-2, 3)
    oy, ox = np.meshgrid(offset, offset, indexing="ij")
    around = padded[ys[:, None, None] + 2 + oy, xs[:, None, None] + 2 + ox].astype(np.float64) ** 2
    mass = around.sum((1, 2))
    at = np.stack([xs + (around * ox).sum((1, 2)) / mass, ys + (around * oy).sum((1, 2)) / mass], 1)
    height = heat[ys, xs].astype(np.float64)
    # Equal neighbours can both be the highest: keep the first of any two that ended up together.
    kept: list[int] = []
    for i in np.argsort(-height, kind="stable"):
        if all(np.abs(at[i] - at[j]).max() > apart for j in kept):
            kept.append(int(i))
    rows = sorted(kept)
    return at[rows], height[rows]
