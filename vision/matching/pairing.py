"""Which drawn joint is which joint of the set truss, under one map: by place and by what they are joined to.

Counting the members that two pairings share is a quadratic assignment problem. It is solved here by a few
rounds of the linear one: what a pair would cost is worked out with the pairs of the round before, the linear
problem is solved exactly, and the round with the least true cost is kept.

References
----------
H. W. Kuhn, The Hungarian method for the assignment problem, Naval Research Logistics Quarterly 2 (1955);
solved here by `scipy.optimize.linear_sum_assignment`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

from vision.matching.settings import MatchSettings
from vision.matching.sketch import Sketch

__all__ = ["Pairing", "fit", "pair_up"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_IMPOSSIBLE = 1e6
"""Slips: more than any drawing has."""


@dataclass(frozen=True, eq=False)
class Pairing:
    """Which joint is which, and what it costs."""

    to: Ints
    """(N,) row of the drawn joint for each set joint, -1 where it is missing."""
    slips: float
    """Joints and members missing and extra, and `aside`."""
    aside: float
    """Of these, for labels elsewhere and joints out of place."""

    @property
    def drawn(self) -> tuple[int | None, ...]:
        """`to` with None for missing joints."""
        return tuple(None if row < 0 else int(row) for row in self.to)

    @property
    def rows(self) -> Ints:
        """Rows of the set joints that are paired."""
        return np.flatnonzero(self.to >= 0)


def pair_up(truss: Sketch, drawn: Sketch, carried: Floats, reach: float, s: MatchSettings) -> Pairing:
    """Return the best pairing under a map.

    Parameters
    ----------
    truss, drawn
        The set truss and the drawing.
    carried : (N, 2) float
        Joints of the set truss carried into the drawing.
    reach
        See `MatchSettings.reach`, in the drawing's unit.
    s
        Tolerances.
    """
    apart = ((carried[:, None] - drawn.joints) ** 2).sum(axis=2) / reach**2
    place = np.minimum(s.place * apart, s.place_most)
    labels = s.label * _label_slips(truss, drawn)
    degrees, drawn_degrees = truss.joined.sum(axis=1), drawn.joined.sum(axis=1)
    shared = np.minimum(degrees[:, None], drawn_degrees)
    best: Pairing | None = None
    for _ in range(s.rounds):
        # Half a slip a member from either of its ends.
        cost = place + labels + 0.5 * (degrees[:, None] + drawn_degrees - 2 * shared)
        to = _assigned(cost, 1 + 0.5 * degrees, 1 + 0.5 * drawn_degrees)
        paired = np.flatnonzero(to >= 0)
        aside = float((place + labels)[paired, to[paired]].sum())
        slips = _slips(truss, drawn, to) + aside
        if best is not None and slips >= best.slips:
            break
        best = Pairing(to, slips, aside)
        carried_joined = np.zeros((len(truss.joints), len(drawn.joints)))
        carried_joined[:, to[paired]] = truss.joined[:, paired]
        shared = carried_joined @ drawn.joined
    assert best is not None
    return best


def _label_slips(truss: Sketch, drawn: Sketch) -> Floats:
    return np.array([[len(one ^ other) / 2 for other in drawn.labels] for one in truss.labels], dtype=float)


def _assigned(cost: Floats, missing: Floats, extra: Floats) -> Ints:
    """Return the assignment of least cost in which joints of either side may stay alone."""
    count, drawn = cost.shape
    whole = np.full((count + drawn, drawn + count), _IMPOSSIBLE)
    whole[:count, :drawn] = cost
    whole[np.arange(count), drawn + np.arange(count)] = missing
    whole[count + np.arange(drawn), np.arange(drawn)] = extra
    whole[count:, drawn:] = 0.0
    to = np.full(count, -1, dtype=np.int64)
    for row, column in zip(*linear_sum_assignment(whole), strict=True):
        if row < count and column < drawn:
            to[row] = column
    return to


def _slips(truss: Sketch, drawn: Sketch, to: Ints) -> float:
    """Return how many joints and members a pairing leaves over on either side."""
    paired = np.flatnonzero(to >= 0)
    there = drawn.joined[np.ix_(to[paired], to[paired])]
    wanted = truss.joined[np.ix_(paired, paired)]
    shared = float((there * wanted).sum()) / 2
    members = float(truss.joined.sum() + drawn.joined.sum()) / 2 - 2 * shared
    joints = len(truss.joints) + len(drawn.joints) - 2 * len(paired)
    return members + joints


def fit(points: Floats, goals: Floats) -> tuple[Floats, Floats] | None:
    """Return the affine map of least squares, (2, 2) and (2,); None where the points are in one line."""
    middle, goal = points.mean(axis=0), goals.mean(axis=0)
    if len(points) < 3:
        return None
    linear, _, rank, _ = np.linalg.lstsq(points - middle, goals - goal, rcond=1e-6)
    if rank < 2:
        return None
    return np.asarray(linear.T), np.asarray(goal - linear.T @ middle)
