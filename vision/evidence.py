"""How much of a member the line maps show between two joints, straight or along a gentle bow."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.channels import DIRECTIONS

__all__ = ["Evidence", "EvidenceSettings", "bowed_paths", "weigh_pairs"]


@dataclass(frozen=True)
class EvidenceSettings:
    """How evidence along a pair is gathered."""

    samples: int = 48
    """Places looked at along a pair; halved, gaps shorter than 4% of a member go unseen."""
    bows: tuple[float, ...] = (0.0, 0.02, -0.02, 0.04, -0.04, 0.065, -0.065, 0.09, -0.09, 0.12, -0.12)
    """Bows tried, as the rise of the middle over the length. Wider ones begin to confuse neighbours."""
    bow_cost: float = 0.35
    """Evidence a bow gives up for each unit of bow, so that a straight member is read as straight."""
    trim: float = 1.5
    """Cells left out at both ends, where lines of other members crowd the joint."""
    window: float = 0.12
    """Length over which the worst piece is averaged, as a part of the pair's length."""


@dataclass(frozen=True, eq=False)
class Evidence:
    """What the maps show for each pair of joints."""

    pairs: NDArray[np.int64]
    """(P, 2) rows of the joints, smaller first."""
    mean: NDArray[np.float64]
    """(P,) mean evidence along the best bow, 0 to 1."""
    worst: NDArray[np.float64]
    """(P,) mean over the worst window, 0 to 1."""
    bow: NDArray[np.float64]
    """(P,) the best bow, as a part of the length; positive to the right of start to end as seen (y down)."""


def bowed_paths(
    start: NDArray[np.float64], end: NDArray[np.float64], bows: NDArray[np.float64], t: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return points along bows of pairs and the angle of the path there.

    Parameters
    ----------
    start, end : (P, 2) float
    bows : (B,) or (P, B) float
        Rise of the middle over the length.
    t : (K,) or (P, K) float
        Where along the pair, 0 to 1.

    Returns
    -------
    at : (P, B, K, 2) float
    angle : (P, B, K) float
        Radians, x right, y down.
    """
    run = end - start
    side = np.stack([-run[:, 1], run[:, 0]], 1)
    rise = 4 * t * (1 - t)
    slope = 4 * (1 - 2 * t)
    tt = t if t.ndim == 2 else np.broadcast_to(t, (len(start), len(t)))
    rise, slope = np.broadcast_to(rise, tt.shape), np.broadcast_to(slope, tt.shape)
    each = bows if bows.ndim == 2 else np.broadcast_to(bows, (len(start), len(bows)))
    at = (
        start[:, None, None]
        + tt[:, None, :, None] * run[:, None, None]
        + (each[:, :, None] * rise[:, None])[..., None] * side[:, None, None]
    )
    way = run[:, None, None] + (each[:, :, None] * slope[:, None])[..., None] * side[:, None, None]
    return at, np.arctan2(way[..., 1], way[..., 0])


def weigh_pairs(
    lines: NDArray[np.float32],
    joints: NDArray[np.float64],
    pairs: NDArray[np.int64],
    *,
    settings: EvidenceSettings | None = None,
) -> Evidence:
    """Weigh every pair by the oriented lines at the pair's own angle.

    Parameters
    ----------
    lines : (DIRECTIONS, R, C) float32
        Oriented line maps.
    joints : (N, 2) float
        Cells, x, y.
    pairs : (P, 2) int
        Rows of `joints`.
    settings : EvidenceSettings, optional

    Returns
    -------
    Evidence
    """
    s = settings or EvidenceSettings()
    bows = np.array(s.bows)
    if len(pairs) == 0:
        return Evidence(pairs, np.zeros(0), np.zeros(0), np.zeros(0))
    # A cell's neighbours count too: a narrow band across forgives a joint that is a cell off.
    near = np.stack([cv2.dilate(m, np.ones((3, 3), np.uint8)) for m in lines])
    height, width = near.shape[1:]
    start, end = joints[pairs[:, 0]], joints[pairs[:, 1]]
    length = np.hypot(*(end - start).T)
    cut = np.minimum(s.trim / np.maximum(length, 1e-6), 0.25)[:, None]
    t = cut + (1 - 2 * cut) * np.linspace(0, 1, s.samples)[None]
    at, angle = bowed_paths(start, end, bows, t)
    x = np.clip(np.rint(at[..., 0]).astype(np.int64), 0, width - 1)
    y = np.clip(np.rint(at[..., 1]).astype(np.int64), 0, height - 1)
    turn = np.mod(angle, np.pi) / (np.pi / DIRECTIONS)
    low = np.floor(turn).astype(np.int64)
    part = (turn - low).astype(np.float32)
    found = near[low % DIRECTIONS, y, x] * (1 - part) + near[(low + 1) % DIRECTIONS, y, x] * part
    k = max(2, round(s.window * s.samples))
    sums = np.cumsum(np.concatenate([np.zeros((*found.shape[:2], 1), np.float32), found], 2), 2)
    worst = ((sums[..., k:] - sums[..., :-k]) / k).min(2)
    mean = found.mean(2)
    best = np.argmax(mean + worst - s.bow_cost * np.abs(bows)[None] * 2, 1)
    row = np.arange(len(pairs))
    return Evidence(
        pairs, mean[row, best].astype(np.float64), worst[row, best].astype(np.float64), bows[best]
    )
