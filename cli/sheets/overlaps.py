"""Overlap of convex quadrilaterals, measured by separating axes, many pairs at a time."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["crosses", "line_quads", "near_pairs", "overlap_depths"]

Array = NDArray[np.float64]
Rows = NDArray[np.intp]


def overlap_depths(ones: Array, others: Array) -> Array:
    """Return how deep pairs of convex quadrilaterals overlap.

    Parameters
    ----------
    ones, others : (K, 4, 2) float
        Corners in order, either turning sense. A quadrilateral may be as thin as a line.

    Returns
    -------
    (K,) float
        The shortest distance by which one must move to leave the other; 0 when they are apart or only touch.
    """
    depth = np.full(len(ones), np.inf)
    mine, theirs = _by_corner(ones), _by_corner(others)
    for shape in (mine, theirs):
        for side in (0, 1):
            x, y = shape[:, side] - shape[:, side + 1]
            length = np.hypot(x, y)
            flat = length == 0
            length[flat] = 1.0
            low, high = _extent(mine, -y / length, x / length)
            far_low, far_high = _extent(theirs, -y / length, x / length)
            inside = np.minimum(high, far_high) - np.maximum(low, far_low)
            inside[flat] = np.inf
            depth = np.minimum(depth, inside)
    return np.where(np.isfinite(depth), np.maximum(depth, 0.0), 0.0)


def _by_corner(quads: Array) -> Array:
    """Return (2, 4, K): x and y of every corner, laid out so that sums over corners run fast."""
    return np.ascontiguousarray(quads.transpose(2, 1, 0))


def _extent(quads: Array, x: Array, y: Array) -> tuple[Array, Array]:
    """Return the least and most of the corners (2, 4, K) along the directions x, y (K,)."""
    along = quads[0] * x + quads[1] * y
    return along.min(axis=0), along.max(axis=0)


def near_pairs(ones: Array, others: Array) -> tuple[Rows, Rows]:
    """Return the pairs whose bounding boxes meet."""
    low, high = ones.min(axis=1), ones.max(axis=1)
    far_low, far_high = others.min(axis=1), others.max(axis=1)
    meet = (low[:, None, 0] < far_high[None, :, 0]) & (far_low[None, :, 0] < high[:, None, 0])
    meet &= (low[:, None, 1] < far_high[None, :, 1]) & (far_low[None, :, 1] < high[:, None, 1])
    rows, columns = np.nonzero(meet)
    return rows, columns


def line_quads(leaders: Array) -> Array:
    """Return leaders (K, 2, 2) as quadrilaterals (K, 4, 2) of no width."""
    return leaders[:, [0, 1, 1, 0]]


def crosses(boxes: Array, lines: Array) -> NDArray[np.bool_]:
    """Tell which lines enter their box: no separating axis among the box's two and the line's own."""
    apart = np.zeros(len(boxes), dtype=bool)
    mine, theirs = _by_corner(boxes), _by_corner(lines)
    run = theirs[:, 1] - theirs[:, 0]
    for x, y in (mine[:, 1] - mine[:, 0], mine[:, 2] - mine[:, 1], (-run[1], run[0])):
        low, high = _extent(mine, x, y)
        far_low, far_high = _extent(theirs, x, y)
        apart |= (high <= far_low) | (far_high <= low)
    return ~apart
