"""Is anything drawn along a line: a second look at the picture itself, where the reading saw no member."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.contrast import find_contrast, work_picture
from vision.photo import Photo
from vision.settings import ContrastSettings

__all__ = ["TraceSettings", "traced_share"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class TraceSettings:
    """How a line is looked along."""

    trim: float = 0.14
    """Of the line's length left out at either end, where other strokes meet."""
    sections: int = 48
    """Places along the line; more only repeat the same pixels."""
    aside: float = 0.03
    """Of the line's length to either side where its ink may lie: a hand bows a stroke by so much at most."""
    firm: float = 0.4
    """Of the contrast that the drawing's members have: weaker is rubbed out, or shines through the paper."""
    contrast: ContrastSettings = field(default_factory=ContrastSettings)


def traced_share(
    photo: Photo,
    joints: Floats,
    members: Sequence[tuple[int, int]],
    lines: Sequence[tuple[int, int]],
    *,
    settings: TraceSettings | None = None,
) -> Floats:
    """Return how much of each line has a stroke along it.

    Parameters
    ----------
    photo
        The photograph.
    joints : (N, 2) float
        Joints in it, pixels, x right, y down.
    members
        Pairs of their rows between which a member was read: they show how firm this hand's strokes are.
    lines
        Pairs of rows to look between.
    settings
        Tolerances.

    Returns
    -------
    (K,) float
        0 for bare ground, 1 for a stroke all along.
    """
    s = settings or TraceSettings()
    if not lines or not members:
        return np.zeros(len(lines))
    work = work_picture(photo.rgb, s.contrast)
    at = work.from_photograph(joints)
    contrast = find_contrast(work, at, tuple(members), s.contrast)
    typical = float(np.median([np.median(_ridge(contrast, at[[a, b]], s)) for a, b in members]))
    least = max(s.firm * typical, s.contrast.least_contrast)
    return np.array([float((_ridge(contrast, at[[a, b]], s) >= least).mean()) for a, b in lines])


def _ridge(contrast: NDArray[np.float32], ends: Floats, s: TraceSettings) -> Floats:
    """Return the firmest contrast beside each place of a line, (sections,)."""
    run = ends[1] - ends[0]
    length = max(float(np.hypot(*run)), 1e-6)
    across = np.array([-run[1], run[0]]) / length
    reach = max(2, round(s.aside * length))
    offsets = np.arange(-reach, reach + 1)
    t = np.linspace(s.trim, 1 - s.trim, s.sections)
    places = ends[0] + t[:, None, None] * run + offsets[None, :, None] * across
    points = places.astype(np.float32)
    found: NDArray[np.float64] = np.asarray(
        cv2.remap(contrast, points[..., 0], points[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT),
        dtype=np.float64,
    )
    firmest: NDArray[np.float64] = found.max(axis=1)
    return firmest
