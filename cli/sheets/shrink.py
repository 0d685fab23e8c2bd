"""Photographs made small enough for where they are shown."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["shrunk"]


def shrunk(rgb: NDArray[np.uint8], longest: int) -> tuple[NDArray[np.uint8], float]:
    """Make a photograph smaller; one that is small enough stays as it is.

    Parameters
    ----------
    rgb : (H, W, 3) uint8
    longest : int
        Pixels of its longer side at most.

    Returns
    -------
    rgb, scale
        The photograph, and pixels of it for one pixel of the old one.
    """
    scale = min(1.0, longest / max(rgb.shape[:2]))
    if scale == 1.0:
        return rgb, 1.0
    size = (max(1, round(rgb.shape[1] * scale)), max(1, round(rgb.shape[0] * scale)))
    return np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), dtype=np.uint8), scale
