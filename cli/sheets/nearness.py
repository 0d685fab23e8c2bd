"""Whose label is it: how much nearer to its own member than to any other a label stands."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cli.sheets.labels import Places

__all__ = ["mistakable", "near_own", "nearness"]

Array = NDArray[np.float64]

_CLEAR = 0.6
"""Ratio of distances, own member to nearest other one, below which nobody doubts whose label it is."""
_DOUBTFUL = 0.8
"""Ratio from which a reader may take it for the other member's: smaller text or a leader is better."""
_WRONG = 4.0
"""Cost of standing as near to another member as to the own one: dearer than a short leader line."""
_WORST = 6.0
"""Most that any place pays, so that a free place still wins over one that covers something."""
_ROOM = 1.6
"""Ems between another member and the middle of a label on a leader line that look like room enough."""
_CROWDED = 0.8
"""Cost of a label on a leader line that stands right at another member."""


def _distances(points: Array, lines: Array) -> Array:
    """Return (K, M) distances of points (K, 2) from line segments (M, 2, 2)."""
    run = lines[:, 1] - lines[:, 0]
    square = np.maximum((run**2).sum(axis=1), 1e-12)
    away = points[:, None, :] - lines[None, :, 0]
    share = np.clip((away * run).sum(axis=2) / square, 0.0, 1.0)
    left = away - share[:, :, None] * run
    distances: Array = np.hypot(left[:, :, 0], left[:, :, 1])
    return distances


def nearness(places: Places, own: Array, others: Array) -> Array:
    """Return the ratio of distances to the own member and to the nearest other one.

    Parameters
    ----------
    places : Places
        K places of one member's label; their middles count.
    own : (2, 2) float
        Ends of the member.
    others : (M, 2, 2) float
        Ends of the other members.

    Returns
    -------
    (K,) float
        Below 1 where the own member is nearer, 0 without other members.
    """
    if not len(others):
        return np.zeros(len(places.taste))
    nearest = _distances(places.middle, others).min(axis=1)
    ratio: Array = _distances(places.middle, own[None])[:, 0] / np.maximum(nearest, 1e-9)
    return ratio


def near_own(places: Places, own: Array, others: Array, em: float) -> Places:
    """Make places dearer from which a label seems to speak of another member.

    A leader line says whose label it is; there only crowding another member costs a little.
    """
    if not len(others):
        return places
    ratio = nearness(places, own, others)
    beside = np.clip(_WRONG * (ratio - _CLEAR) / (1 - _CLEAR), 0.0, _WORST)
    room = _distances(places.middle, others).min(axis=1) / em
    led = _CROWDED * np.clip(_ROOM - room, 0.0, 1.0)
    return places.costlier(np.where(np.isfinite(places.anchor[:, 0]), led, beside))


def mistakable(places: Places, own: Array, others: Array) -> NDArray[np.bool_]:
    """Tell at which places, without a leader line, a label may be taken for another member's."""
    doubtful: NDArray[np.bool_] = nearness(places, own, others) > _DOUBTFUL
    return doubtful & ~np.isfinite(places.anchor[:, 0])
