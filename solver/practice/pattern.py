"""What the figure of a truss shows and a version must keep: chords, parallels, crossings, mirrors."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.geometry import joints_on_members

__all__ = ["Pattern", "keeps", "pattern_of"]

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
EXACT = 1e-9
"""Sine of an angle, and share of the extent: rounding of whole numbers in doubles."""
_MIRROR = 0.01
"""Of the extent. Joints nearer than this to each other's mirror image are a pair."""


@dataclass(frozen=True, eq=False)
class Pattern:
    """Relations between the members and joints of a figure."""

    in_line: Mask
    """(M, M) members that go on in one line at a joint they share."""
    parallel: Mask
    """(M, M) members that are parallel."""
    crossing: Mask
    """(M, M) members that cross between their ends."""
    passed: frozenset[tuple[int, int]]
    """Members and joints that lie on them without being attached; none in a sound truss."""
    mirrors: tuple[tuple[int, ...] | None, tuple[int, ...] | None]
    """Row of each joint's mirror image, left to right and upside down; none where the joints have none."""


def pattern_of(
    at: Array, ends: NDArray[np.intp], *, off_line: float = EXACT, parallel: float = EXACT
) -> Pattern:
    """Read the relations off a figure.

    Parameters
    ----------
    at : (N, 2) float
        Joints.
    ends : (M, 2) int
        Rows of each member's joints.
    off_line : float
        Of the larger extent: how far a joint may be off the line between the far ends of two members that
        meet there and still join them to one straight chord.
    parallel : float
        Sine of the angle up to which two members count as parallel.
    """
    spans = at[ends[:, 1]] - at[ends[:, 0]]
    way = spans / np.hypot(*spans.T)[:, None]
    shared = (ends[:, None, :, None] == ends[None, :, None, :]).any(axis=(2, 3))
    return Pattern(
        in_line=_in_line(at, ends, off_line * float(np.ptp(at, axis=0).max())),
        parallel=np.abs(_cross(way[:, None], way[None])) <= parallel,
        crossing=_crossing(at, ends) & ~shared,
        passed=frozenset(joints_on_members(at, ends)),
        mirrors=(_mirror(at, 0), _mirror(at, 1)),
    )


def keeps(new: Pattern, old: Pattern) -> bool:
    """Say whether a figure shows what another did; members may become parallel that were not."""
    return bool(
        (new.in_line == old.in_line).all()
        and (new.parallel | ~old.parallel).all()
        and (new.crossing == old.crossing).all()
        and new.passed == old.passed
    ) and all(was is None or was == now for was, now in zip(old.mirrors, new.mirrors, strict=True))


def sine_of(degrees: float) -> float:
    """Return the sine of an angle in degrees."""
    return math.sin(math.radians(degrees))


def _cross(one: Array, other: Array) -> Array:
    return np.asarray(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])


def _in_line(at: Array, ends: NDArray[np.intp], slack: float) -> Mask:
    found = np.zeros((len(ends), len(ends)), dtype=bool)
    for near, other_near in ((0, 0), (0, 1), (1, 0), (1, 1)):
        out = (at[ends[:, 1 - near]] - at[ends[:, near]])[:, None]
        other_out = (at[ends[:, 1 - other_near]] - at[ends[:, other_near]])[None]
        base = np.hypot(*np.moveaxis(out - other_out, 2, 0))
        meet = ends[:, near][:, None] == ends[:, other_near][None]
        onward = (out * other_out).sum(axis=2) < 0
        found |= meet & onward & (np.abs(_cross(out, other_out)) <= slack * base)
    return found


def _crossing(at: Array, ends: NDArray[np.intp]) -> Mask:
    start, end = at[ends[:, 0]], at[ends[:, 1]]

    def side(point: Array) -> Array:
        """(M, M) on which side of each member (row) each of M points (column) lies."""
        run, rise = (end - start).T
        to = point[None, :] - start[:, None]
        return np.asarray(np.sign(run[:, None] * to[..., 1] - rise[:, None] * to[..., 0]))

    apart = side(start) * side(end) < 0
    return np.asarray(apart & apart.T)


def _mirror(at: Array, axis: int) -> tuple[int, ...] | None:
    image = at.copy()
    image[:, axis] = at[:, axis].min() + at[:, axis].max() - at[:, axis]
    apart = np.abs(image[:, None] - at[None]).max(axis=2)
    nearest = apart.argmin(axis=1)
    near = apart.min(axis=1) <= _MIRROR * float(np.ptp(at, axis=0).max())
    if near.all() and len(set(nearest.tolist())) == len(at):
        return tuple(nearest.tolist())
    return None
