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
    size = at.max(axis=0) - at.min(axis=0)
    return float(np.hypot(size[0], size[1]))


def coincident_pairs(at: NDArray[np.float64]) -> list[tuple[int, int]]:
    """Find pairs of rows of `at`, smaller first, nearer to each other than a joint can be."""
    limit = TOLERANCES.coincident * extent(at)
    # Joints that are near each other are near along any line: on an odd one, few others are.
    shadow = np.sort(at @ _ODD_LINE)
    if not (np.diff(shadow) <= limit).any():
        return []
    tree = cKDTree(at)
    return sorted((int(first), int(second)) for first, second in tree.query_pairs(limit))


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
    first, second = at[ends[:, 0]], at[ends[:, 1]]
    span = second - first
    length = np.hypot(span[:, 0], span[:, 1])
    reach = TOLERANCES.through * length
    low, high = at.min(axis=0), at.max(axis=0)
    size = np.maximum(high - low, TOLERANCES.coincident * extent(at))
    height = max(_BAND * float(np.abs(span[:, 1]).mean()), size[1] / len(at))
    joint_band = ((at[:, 1] - low[1]) / height).astype(np.intp)
    # One number orders joints by band, then by x within it: bands are 4 apart and x takes 0 to 1 of that.
    key = 4.0 * joint_band + (at[:, 0] - low[0]) / size[0]
    order = np.argsort(key, kind="stable")
    key = key[order]

    below = ((np.minimum(first[:, 1], second[:, 1]) - reach - low[1]) / height).astype(np.intp)
    above = ((np.maximum(first[:, 1], second[:, 1]) + reach - low[1]) / height).astype(np.intp)
    member = np.repeat(np.arange(len(ends)), above - below + 1)
    band = _counted(below, above - below + 1)
    # The stretch of the member inside the band, in x; the whole of it when the member is level.
    rise = span[member, 1]
    steep = np.abs(rise) > reach[member]
    safe_rise = np.where(steep, rise, 1.0)
    enter = (low[1] + band * height - first[member, 1]) / safe_rise
    leave = (low[1] + (band + 1) * height - first[member, 1]) / safe_rise
    t0 = np.where(steep, np.clip(np.minimum(enter, leave), 0.0, 1.0), 0.0)
    t1 = np.where(steep, np.clip(np.maximum(enter, leave), 0.0, 1.0), 1.0)
    x0 = first[member, 0] + t0 * span[member, 0]
    x1 = first[member, 0] + t1 * span[member, 0]
    # Twice the reach, and rounding of the key itself.
    margin = (
        2 * reach[member] / np.maximum(np.abs(rise) / length[member], TOLERANCES.through) + 1e-9 * size[0]
    )
    margin = np.minimum(margin, 2 * length[member])
    x0, x1 = np.minimum(x0, x1) - margin, np.maximum(x0, x1) + margin
    start = np.searchsorted(key, 4.0 * band + np.clip((x0 - low[0]) / size[0], -1.0, 2.0))
    stop = np.searchsorted(key, 4.0 * band + np.clip((x1 - low[0]) / size[0], -1.0, 2.0), side="right")
    count = np.maximum(stop - start, 0)

    found: set[tuple[int, int]] = set()
    cuts = np.searchsorted(
        np.cumsum(count), np.arange(_PAIRS_AT_ONCE, count.sum() + _PAIRS_AT_ONCE, _PAIRS_AT_ONCE)
    )
    begin = 0
    for end in np.unique(np.minimum(cuts + 1, len(count))):
        part = slice(begin, int(end))
        begin = int(end)
        candidate_member = np.repeat(member[part], count[part])
        candidate_joint = order[_counted(start[part], count[part])]
        other = (candidate_joint != ends[candidate_member, 0]) & (
            candidate_joint != ends[candidate_member, 1]
        )
        candidate_member, candidate_joint = candidate_member[other], candidate_joint[other]
        offset = at[candidate_joint] - first[candidate_member]
        along = np.einsum("ij,ij->i", offset, span[candidate_member]) / length[candidate_member]
        across = offset[:, 0] * span[candidate_member, 1] - offset[:, 1] * span[candidate_member, 0]
        on_line = np.abs(across) / length[candidate_member] <= reach[candidate_member]
        between = (along > 0.0) & (along < length[candidate_member])
        hit = on_line & between
        found.update(zip(candidate_member[hit].tolist(), candidate_joint[hit].tolist(), strict=True))
    return sorted(found)


def _counted(start: NDArray[np.intp], count: NDArray[np.intp]) -> NDArray[np.intp]:
    """Give the runs start, start + 1, ... of the given lengths, one after the other."""
    total = int(count.sum())
    shift = np.repeat(start - np.concatenate(([0], np.cumsum(count)[:-1])), count)
    return shift + np.arange(total)
