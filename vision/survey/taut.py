"""Lengths that only just reach: a chain no longer than the distance it spans is straight.

`along A B 2`, `along B C 2`, `along A C 4` put B on the line A-C, and `across A C 4` with `along A C 4`
makes A-C level. Lengths alone say so only at second order: their gradients at the straight chain do not see
B move off the line, so Newton would crawl there and the errors would come out wrong. The first-order
conditions that the taut chain implies are therefore added.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from vision.survey.constraints import EXACT, Conditions, difference, linear
from vision.survey.settle import RANK_SHARE, fixes, open_directions

__all__ = ["Tie", "pulled_straight"]


@dataclass(frozen=True)
class Tie:
    """A known length between two joints."""

    start: int
    end: int
    length: float


def pulled_straight(conditions: Conditions, ties: tuple[Tie, ...]) -> Iterator[Conditions]:
    """Yield what the ties and the linear conditions imply about chains with nothing to spare.

    Parameters
    ----------
    conditions : Conditions
        Their linear part gives distances across and up that are already settled.
    ties : tuple of Tie
        The known lengths.
    """
    yield from _by_another_tie(ties, conditions.rows.shape[1])
    yield from _by_a_distance(conditions, ties)


def _by_another_tie(ties: tuple[Tie, ...], size: int) -> Iterator[Conditions]:
    """Yield, for each tie, that the chain which only just spans it divides its line by the lengths passed."""
    for tie in ties:
        chains = _Chains(tuple(other for other in ties if other is not tie))
        joints = chains.between(tie.start, tie.end)
        if chains.length(tie.start, tie.end) <= tie.length + EXACT:
            whole = difference(tie.start, tie.end, size) / chains.length(tie.start, tie.end)
            for joint in joints[1:-1]:
                part = difference(tie.start, joint, size) - chains.length(tie.start, joint) * whole
                yield linear(part[0], 0.0)
                yield linear(part[1], 0.0)


def _by_a_distance(conditions: Conditions, ties: tuple[Tie, ...]) -> Iterator[Conditions]:
    """Yield, for each settled distance across or up, that a chain only just spanning it keeps to its axis."""
    if not ties:
        return
    size = conditions.rows.shape[1]
    flat = conditions.linear_part()
    some = np.asarray(np.linalg.lstsq(flat.rows, flat.values, rcond=RANK_SHARE)[0], dtype=float)
    open_ = open_directions(flat, some)
    chains = _Chains(ties)
    for start, end in combinations(chains.joints, 2):
        longest = chains.length(start, end)
        if not np.isfinite(longest):
            continue
        rows = difference(start, end, size)
        settled = fixes(open_, rows) & (np.abs(rows @ some) >= longest - EXACT)
        for axis in np.flatnonzero(settled):
            for here, there in pairwise(chains.between(start, end)):
                yield linear(difference(here, there, size)[1 - axis], 0.0)


class _Chains:
    """The shortest ways between joints along ties."""

    def __init__(self, ties: tuple[Tie, ...]) -> None:
        self.joints = sorted({joint for tie in ties for joint in (tie.start, tie.end)})
        self._row = {joint: row for row, joint in enumerate(self.joints)}
        lengths = np.full((len(self.joints), len(self.joints)), np.inf)
        for tie in ties:
            ends = self._row[tie.start], self._row[tie.end]
            lengths[ends] = lengths[ends[::-1]] = min(tie.length, lengths[ends])
        graph = csr_array(np.where(np.isfinite(lengths), lengths, 0.0))
        self._lengths, self._before = dijkstra(graph, directed=False, return_predecessors=True)

    def length(self, start: int, end: int) -> float:
        """Return the length of the shortest way, infinite where there is none."""
        if start not in self._row or end not in self._row:
            return float("inf")
        return float(self._lengths[self._row[start], self._row[end]])

    def between(self, start: int, end: int) -> list[int]:
        """Return the joints of the shortest way, both ends included; empty where there is none."""
        if not np.isfinite(self.length(start, end)):
            return []
        way = [end]
        while way[-1] != start:
            way.append(self.joints[self._before[self._row[start], self._row[way[-1]]]])
        return way[::-1]
