"""Rooms for training: views cut out of round-about photographs, as a camera on the spot would take them.

Map of the sphere: a panorama's x is the heading, its y the height above the horizon, both in even steps
(equirectangular).
"""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import OpenEXR
from numpy.typing import NDArray

__all__ = ["read_panorama", "view_of"]

_WHITE = 93.0
"""Percentile of the light that becomes white: lamps and windows may burn out, as in any photograph."""
_GAMMA = 2.2


def read_panorama(path: Path) -> NDArray[np.uint8]:
    """Read an OpenEXR picture of measured light as (H, W, 3) RGB, exposed as a photograph would be."""
    with OpenEXR.File(str(path)) as file:
        light = np.asarray(file.channels()["RGB"].pixels, np.float32)[..., :3]
    shown = np.clip(light / max(float(np.percentile(light, _WHITE)), 1e-9), 0, 1) ** (1 / _GAMMA)
    return np.asarray(np.round(shown * 255), np.uint8)


def view_of(
    panorama: NDArray[np.uint8], heading: float, *, up: float = 0.0, across: float = 85.0, width: int = 512
) -> NDArray[np.uint8]:
    """Return what a camera sees in one direction, three quarters as high as wide.

    Parameters
    ----------
    panorama
        (H, W, 3), the whole sphere.
    heading, up
        Direction of view in degrees, right of the panorama's middle and above the horizon.
    across
        Angle of view from left to right, degrees.
    width
        Pixels.
    """
    height = width * 3 // 4
    focal = width / 2 / np.tan(np.radians(across) / 2)
    x, y = np.meshgrid(np.arange(width) - (width - 1) / 2, np.arange(height) - (height - 1) / 2)
    tilt = np.radians(up)
    ahead = focal * np.cos(tilt) + y * np.sin(tilt)
    above = focal * np.sin(tilt) - y * np.cos(tilt)
    turn = np.arctan2(x, ahead) + np.radians(heading)
    rise = np.arctan2(above, np.hypot(x, ahead))
    tall, wide = panorama.shape[:2]
    at_x = (turn / (2 * np.pi) + 0.5) * wide - 0.5
    at_y = (0.5 - rise / np.pi) * tall - 0.5
    # The seam is at the back: the picture goes on at its other edge.
    return np.asarray(
        cv2.remap(
            panorama,
            at_x.astype(np.float32),
            at_y.astype(np.float32),
            cv2.INTER_CUBIC,
            borderMode=cv2.BORDER_WRAP,
        ),
        np.uint8,
    )
