"""Guesses at the affine map from the set truss to the drawing, from three joints at a time.

1. Three joints fix an affine map. From the set truss come `seeds` triples: joints with two neighbours,
   and corners of the outline, the largest triangles first, since small ones carry errors far.
2. Each is laid on every such triple of the drawing, in every order that keeps a joint and its neighbours
   (or corners) apart. Missing or extra members leave most of these triples alone.
3. Every map is judged by how near the carried joints come to drawn ones and the other way round, all at once
   in arrays; of maps that pair the same joints the best is kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, permutations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull

from vision.matching.settings import MatchSettings

__all__ = ["AffineMap", "hypotheses", "spacing"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Pairs = Sequence[tuple[int, int]]

_MOST_CORNERS = 7
"""Corners of an outline that triples are made of: 210 ordered triples."""
_MOST_DRAWN = 1500
"""Triples of the drawing; a lattice of a hundred joints has more, and these are enough."""
_FLAT = 1e-3
"""Area of a triangle, of the square of the drawing's size, below which three joints are in one line."""
_AT_ONCE = 4_000_000
"""Distances worked out at a time: about 30 MB."""


@dataclass(frozen=True, eq=False)
class AffineMap:
    """An even stretch, turn and shift."""

    linear: Floats
    """(2, 2)."""
    shift: Floats
    """(2,)."""

    def carry(self, points: Floats) -> Floats:
        """Return the points (N, 2) carried over."""
        return np.asarray(points @ self.linear.T + self.shift)


def spacing(joints: Floats) -> float:
    """Return the distance from a joint to its nearest other joint, the median of all."""
    apart = np.linalg.norm(joints[:, None] - joints, axis=2)
    np.fill_diagonal(apart, np.inf)
    return float(np.median(apart.min(axis=1)))


def _neighbour_triples(joints: Floats, members: Pairs) -> list[tuple[int, int, int]]:
    beside: list[list[int]] = [[] for _ in joints]
    for start, end in members:
        beside[start].append(end)
        beside[end].append(start)
    return [
        (middle, one, other) for middle, near in enumerate(beside) for one, other in combinations(near, 2)
    ]


def _corner_triples(joints: Floats) -> list[tuple[int, int, int]]:
    if len(joints) < 3:
        return []
    corners = [int(row) for row in ConvexHull(joints).vertices]
    if len(corners) > _MOST_CORNERS:
        middle = joints[corners].mean(axis=0)
        far = np.linalg.norm(joints[corners] - middle, axis=1)
        corners = [corners[row] for row in sorted(np.argsort(-far)[:_MOST_CORNERS])]
    return list(combinations(corners, 3))


def _areas(joints: Floats, triples: Ints) -> Floats:
    first, second, third = (joints[triples[:, column]] for column in range(3))
    one, other = second - first, third - first
    return np.asarray(np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]) / 2)


def _largest(joints: Floats, triples: list[tuple[int, int, int]], most: int) -> Ints:
    """Return the triples with the largest triangles, none of them flat."""
    rows = np.array(triples, dtype=np.int64).reshape(-1, 3)
    areas = _areas(joints, rows)
    rows = rows[np.argsort(-areas, kind="stable")]
    flat = _FLAT * float(np.ptp(joints, axis=0).max()) ** 2
    return rows[: int((areas > flat).sum())][:most]


def hypotheses(
    set_joints: Floats, set_members: Pairs, joints: Floats, members: Pairs, s: MatchSettings
) -> list[AffineMap]:
    """Return the most hopeful maps, the best first.

    Parameters
    ----------
    set_joints, joints : (N, 2), (K, 2) float
        Of the set truss and of the drawing, in any units, both with y in the same sense.
    set_members, members
        Pairs of their rows.
    s
        Tolerances.
    """
    half = s.seeds // 2
    from_: list[Ints] = []
    to: list[Ints] = []
    for seeds, goals, orders in (
        (
            _largest(set_joints, _neighbour_triples(set_joints, set_members), half),
            _largest(joints, _neighbour_triples(joints, members), _MOST_DRAWN),
            ((0, 1, 2), (0, 2, 1)),
        ),
        (
            _largest(set_joints, _corner_triples(set_joints), half),
            _largest(joints, _corner_triples(joints), _MOST_DRAWN),
            tuple(permutations(range(3))),
        ),
    ):
        for order in orders:
            ordered = goals[:, list(order)]
            from_.append(np.repeat(seeds, len(ordered), axis=0))
            to.append(np.tile(ordered, (len(seeds), 1)))
    maps = _maps(set_joints[np.concatenate(from_)], joints[np.concatenate(to)], s)
    return _best(*maps, set_joints, joints, s)


def _maps(three: Floats, goals: Floats, s: MatchSettings) -> tuple[Floats, Floats]:
    """Return the maps, (H, 2, 2) and (H, 2), that lay triples on triples, without those that squash."""
    before = np.stack([three[:, 1] - three[:, 0], three[:, 2] - three[:, 0]], axis=2)
    after = np.stack([goals[:, 1] - goals[:, 0], goals[:, 2] - goals[:, 0]], axis=2)
    linear = after @ np.linalg.inv(before)
    stretch = np.linalg.svd(linear, compute_uv=False)
    good = stretch[:, 0] <= s.most_warp * stretch[:, 1]
    linear = linear[good]
    shift = goals[good, 0] - np.einsum("hij,hj->hi", linear, three[good, 0])
    return linear, shift


def _best(
    linear: Floats, shift: Floats, set_joints: Floats, joints: Floats, s: MatchSettings
) -> list[AffineMap]:
    reach = s.reach * spacing(joints)
    step = max(1, _AT_ONCE // (len(set_joints) * len(joints)))
    scores: list[Floats] = []
    nearest: list[Ints] = []
    for begin in range(0, len(linear), step):
        carried = np.einsum("hij,nj->hni", linear[begin : begin + step], set_joints)
        carried += shift[begin : begin + step, None]
        apart = ((carried[:, :, None] - joints) ** 2).sum(axis=3) / reach**2
        forth, back = apart.min(axis=2), apart.min(axis=1)
        scores.append(np.exp(-forth).sum(axis=1) + np.exp(-back).sum(axis=1))
        nearest.append(np.where(forth < 1, apart.argmin(axis=2), -1))
    if not scores:
        return []
    score, pattern = np.concatenate(scores), np.concatenate(nearest)
    chosen: list[AffineMap] = []
    seen: set[bytes] = set()
    for row in np.argsort(-score, kind="stable"):
        name = pattern[row].tobytes()
        if name not in seen:
            seen.add(name)
            chosen.append(AffineMap(linear[row], shift[row]))
            if len(chosen) == s.refined:
                break
    return chosen
