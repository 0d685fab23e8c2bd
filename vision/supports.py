"""Supports at settled joints: where from the maps, of which kind and which way up from a look close up.

The maps say at which joints something stands; the picture was looked at several times, and all looks that
see a joint count alike. Joints that may have a support are then looked at close up in the photograph itself
(`vision.support_look`), where a wheel can be told from a triangle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.chances import chance
from vision.channels import PIN, ROLLER
from vision.maps import Maps
from vision.reading import SeenSupport
from vision.support_look import KINDS, look_closely

__all__ = ["SupportSettings", "find_supports"]

Points = NDArray[np.float64]


@dataclass(frozen=True)
class SupportSettings:
    """What is a support."""

    near: int = 2
    """Cells of a map (4 px) round a joint in which the maps are asked; they were painted 2.5 cells wide."""
    least_place: float = 0.3
    """Mean height of the maps, 0 to 1, from which a joint is looked at close up."""
    least_normal: float = 0.6
    """Length of the close look's normal, 0 to 1, from which its direction is told."""
    least_confidence: float = 0.75
    """Supports less sure than this are not offered: a wrong suggestion costs more than none."""


def find_supports(
    rgb: NDArray[np.uint8], looks: Sequence[Maps], joints: Points, *, settings: SupportSettings | None = None
) -> tuple[SeenSupport, ...]:
    """Find what the truss stands on.

    Parameters
    ----------
    rgb : (H, W, 3) uint8
        The upright picture.
    looks
        Maps of it, at several sizes and of several parts.
    joints : (N, 2) float
        Settled joints, pixels of the picture.
    settings : SupportSettings, optional

    Returns
    -------
    tuple of SeenSupport
        By joint.
    """
    s = settings or SupportSettings()
    if len(joints) < 2:
        return ()
    place = _place(looks, joints, s)
    rows = np.flatnonzero(place >= s.least_place)
    close = look_closely(rgb, joints[rows], span=float(np.ptp(joints, axis=0).max()))
    found = []
    for row, chances, normal in zip(rows.tolist(), close.chance, close.normal, strict=True):
        best = int(chances[:2].argmax())
        confidence = _sureness(float(place[row]), float(chances[best]))
        if confidence < s.least_confidence:
            continue
        length = float(np.hypot(*normal))
        told = (float(normal[0] / length), float(normal[1] / length)) if length >= s.least_normal else None
        found.append(SeenSupport(row, KINDS[best], confidence, told))
    return tuple(found)


def _place(looks: Sequence[Maps], joints: Points, s: SupportSettings) -> NDArray[np.float64]:
    """How high the higher of both maps is at each joint: the mean of the looks that see the joint."""
    height, count = np.zeros(len(joints)), np.zeros(len(joints))
    side = np.ones((2 * s.near + 1, 2 * s.near + 1), np.uint8)
    for maps in looks:
        either = cv2.dilate(np.maximum(maps.values[PIN], maps.values[ROLLER]), side)
        cells = np.rint(maps.to_cells(joints)).astype(int)
        inside = ((cells >= 0) & (cells < (either.shape[1], either.shape[0]))).all(1)
        x, y = cells[inside].T
        height[inside] += either[y, x]
        count[inside] += 1
    return np.asarray(height / np.maximum(count, 1))


_SUPPORT = (-4.0, 7.3, 1.06)
"""Log odds that a support is there and of its kind: at no height, for each unit of height, and for each unit
of the log odds of its kind close up. Fitted on made pages of the tuning seeds."""


def _sureness(place: float, close_up: float) -> float:
    odds = float(np.clip(np.log(max(close_up, 1e-6) / max(1 - close_up, 1e-6)), -6, 6))
    return float(chance(_SUPPORT, (place, odds)))
