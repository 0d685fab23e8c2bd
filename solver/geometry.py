"""Places in the plane: joints on top of each other, joints that lie on members. Fast for 100,000 joints."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from solver.settings import TOLERANCES

__all__ = ["coincident_pairs", "extent", "joints_on_members"]

_ODD_LINE = np.array([0.83867056794542405, 0.54463903501502708])
"""Unit vector at 33 degrees: no common slope of a truss is square to it."""
_BAND = 3.0
"""Bands so many times as high as the average rise: most members then lie in one or two."""
_PAIRS_AT_ONCE = 2_000_000
"""Candidate pairs looked at in one go, so that memory stays small whatever the shape."""


def extent(at: NDArray[np.float64]) -> float:
    """Diagonal of the box around (N, 2) positions."""
    return float(np.hypot(np.ptp(at[:, 0]), np.ptp(at[:, 1])))


def coincident_pairs(at: NDArray[np.float64]) -> list[tuple[int, int]]:
    """Find pairs of rows of `at`, smaller first, nearer to each other than a joint can be."""
    limit = TOLERANCES.coincident * extent(at)
    # Joints that are near each other are near along any line: on an odd one, few others are.
    shadow = at @ _ODD_LINE
    in_order = np.sort(shadow)
    near = np.flatnonzero(np.diff(in_order) <= limit)
    if not len(near):
        return []
    crowded = in_order[np.union1d(near, near + 1)]
    place = np.minimum(np.searchsorted(crowded, shadow), len(crowded) - 1)
    rows = np.flatnonzero(crowded[place] == shadow)
    pairs = rows[cKDTree(at[rows]).query_pairs(limit, output_type="ndarray")]
    return sorted(zip(pairs.min(axis=1).tolist(), pairs.max(axis=1).tolist(), strict=True))


def joints_on_members(at: NDArray[np.float64], ends: NDArray[np.intp]) -> list[tuple[int, int]]:
    """Find joints on a member that does not end there.

    Parameters
    ----------
    at : (N, 2) float
        Positions.
    ends : (M, 2) int
        Rows of `at`; members of some length.

    Returns
    -------
    list of (member, joint)
        Sorted. A joint counts as on the member when it is nearer to its line than
        `TOLERANCES.through` of its length and between its ends.

    Notes
    -----
    The plane is cut into level bands a few times as high as the average member rises. In each band joints
    are sorted by x, so that the joints which a member may meet there form one slice, found by bisection.
    """
    if not len(ends):
        return []
    # Columns of their own: arithmetic on every second number is slow.
    x, y = np.ascontiguousarray(at.T)
    start, end = np.ascontiguousarray(ends.T)
    x_first, y_first = x[start], y[start]
    run, rise = x[end] - x_first, y[end] - y_first
    length = np.hypot(run, rise)
    reach = TOLERANCES.through * length
    left, bottom = x.min(), y.min()
    least = TOLERANCES.coincident * extent(at)
    width, tall = max(x.max() - left, least), max(y.max() - bottom, least)
    height = max(_BAND * float(np.abs(rise).mean()), tall / len(at))
    # One number orders joints by band, then by x within it: bands are 4 apart and x takes 0 to 1 of that.
    key = 4.0 * ((y - bottom) / height).astype(np.intp) + (x - left) / width
    order = np.argsort(key, kind="stable")
    key = key[order]

    below = ((np.minimum(y_first, y_first + rise) - reach - bottom) / height).astype(np.intp)
    above = ((np.maximum(y_first, y_first + rise) + reach - bottom) / height).astype(np.intp)
    member = np.repeat(np.arange(len(ends)), above - below + 1)
    band = _counted(below, above - below + 1)
    # The stretch of the member inside the band, in x; the whole of it when the member is level.
    member_rise, member_reach, member_length = rise[member], reach[member], length[member]
    steep = np.abs(member_rise) > member_reach
    safe_rise = np.where(steep, member_rise, 1.0)
    base = bottom + band * height - y_first[member]
    enter, leave = base / safe_rise, (base + height) / safe_rise
    t0 = np.where(steep, np.clip(np.minimum(enter, leave), 0.0, 1.0), 0.0)
    t1 = np.where(steep, np.clip(np.maximum(enter, leave), 0.0, 1.0), 1.0)
    one, other = x_first[member] + t0 * run[member], x_first[member] + t1 * run[member]
    # Twice the reach, and rounding of the key itself.
    slope = np.abs(member_rise) / member_length
    margin = 2 * member_reach / np.maximum(slope, TOLERANCES.through) + 1e-9 * width
    margin = np.minimum(margin, 2 * member_length)
    x0, x1 = np.minimum(one, other) - margin, np.maximum(one, other) + margin
    from_place = np.searchsorted(key, 4.0 * band + np.clip((x0 - left) / width, -1.0, 2.0))
    to_place = np.searchsorted(key, 4.0 * band + np.clip((x1 - left) / width, -1.0, 2.0), side="right")
    count = np.maximum(to_place - from_place, 0)

    found: set[tuple[int, int]] = set()
    cuts = np.searchsorted(
        np.cumsum(count), np.arange(_PAIRS_AT_ONCE, count.sum() + _PAIRS_AT_ONCE, _PAIRS_AT_ONCE)
    )
    begin = 0
    for stop in np.unique(np.minimum(cuts + 1, len(count))):
        part = slice(begin, int(stop))
        begin = int(stop)
        bar = np.repeat(member[part], count[part])
        joint = order[_counted(from_place[part], count[part])]
        apart = (joint != start[bar]) & (joint != end[bar])
        bar, joint = bar[apart], joint[apart]
        right, up = x[joint] - x_first[bar], y[joint] - y_first[bar]
        along = (right * run[bar] + up * rise[bar]) / length[bar]
        across = right * rise[bar] - up * run[bar]
        hit = np.abs(across) / length[bar] <= reach[bar]
        hit &= (along > 0.0) & (along < length[bar])
        found.update(zip(bar[hit].tolist(), joint[hit].tolist(), strict=True))
    return sorted(found)


def _counted(start: NDArray[np.intp], count: NDArray[np.intp]) -> NDArray[np.intp]:
    """Give the runs start, start + 1, ... of the given lengths, one after the other."""
    total = int(count.sum())
    shift = np.repeat(start - np.concatenate(([0], np.cumsum(count)[:-1])), count)
    return shift + np.arange(total)
