"""Names of joints: A, B, C ... in reading order, bottom row left to right, then upwards; AA after Z."""

from __future__ import annotations

import math
import string
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["letters", "picture_turn", "reading_order"]

ROW_SHARE = 0.08
"""Joints whose heights differ by less than this share of the drawing's larger side are in one row. A bottom
chord drawn freehand wanders by a few hundredths; panels are rarely lower than a seventh of the span."""

LEVEL_WITHIN = math.radians(20)
"""Members less steep than this tell how far the picture is turned. Hand-held pictures are turned by a few
degrees, and web members are steeper."""


def letters(row: int) -> str:
    """Return A for 0, Z for 25, AA for 26, AB for 27."""
    name = ""
    row += 1
    while row:
        row, digit = divmod(row - 1, 26)
        name = string.ascii_uppercase[digit] + name
    return name


def reading_order(px: NDArray[np.float64], members: Sequence[tuple[int, int]]) -> tuple[int, ...]:
    """Return the rows of the joints in the order in which they are named.

    Parameters
    ----------
    px : (N, 2) float
        Joints in the picture, x right, y down.
    members : sequence of pairs of int
        Rows of `px`. The near-level ones tell how far the picture is turned, so that a bottom chord that
        climbs a little is still one row.

    Returns
    -------
    tuple of int
        Rows of `px`: the joint to be called A first.
    """
    if len(px) == 0:
        return ()
    turn = picture_turn(px, members)
    right = px @ (math.cos(turn), math.sin(turn))
    down = px @ (-math.sin(turn), math.cos(turn))
    near = ROW_SHARE * max(np.ptp(right), np.ptp(down))
    order: list[int] = []
    left = sorted(range(len(px)), key=lambda row: -down[row])
    while left:
        lowest = down[left[0]]
        in_row = [row for row in left if lowest - down[row] <= near]
        order += sorted(in_row, key=lambda row: (right[row], -down[row]))
        left = [row for row in left if lowest - down[row] > near]
    return tuple(order)


def picture_turn(px: NDArray[np.float64], members: Sequence[tuple[int, int]]) -> float:
    """Return how far level lines are turned in the picture, radians, clockwise as seen.

    The median over near-level members, each counted by its length, so that one sloping chord does not tip it.
    """
    slopes: list[tuple[float, float]] = []
    for start, end in members:
        run, drop = px[end] - px[start]
        if run < 0:
            run, drop = -run, -drop
        angle = math.atan2(drop, run)
        if abs(angle) < LEVEL_WITHIN:
            slopes.append((angle, math.hypot(run, drop)))
    half = sum(length for _, length in slopes) / 2
    passed = 0.0
    for angle, length in sorted(slopes):
        passed += length
        if passed >= half:
            return angle
    return 0.0
