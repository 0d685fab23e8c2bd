"""Which wrong numbers follow from which, in whatever order the student worked.

A number that is off is *explained* when an equation holds with the student's own numbers and all others in it
are right or explained already; two numbers at once when both sums of a joint hold. Where nothing more can be
explained, one number is taken to be a source: the one that explains most of the rest.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.marking.holding import Rows

__all__ = ["Chain", "Links", "follow", "links_of"]

Array = NDArray[np.float64]

_FLAT = 0.05
"""Sine between two equations below which they count as one: a student could not solve them."""


@dataclass(frozen=True)
class Links:
    """The equations of one body that hold, by the numbers in them that are off."""

    body: int
    first: int
    """What is tried first: a slip supposed there (2), the whole truss (1), since it stands before the joints
    in a student's work, then the rest (0)."""
    singles: tuple[int, ...]
    """Sets of columns, as bits, one for each equation that holds."""
    pairs: tuple[int, ...]
    """Sets of columns of two equations that hold and are no multiples of each other."""
    pair_factors: tuple[dict[int, tuple[float, float]], ...] = ()


@dataclass(frozen=True)
class Chain:
    """Who follows from whom."""

    origin: dict[int, int]
    """Body by column, in the order in which they were explained."""
    sources: tuple[int, ...]
    """Columns that nothing leads to."""


def links_of(number: int, rows: Rows, off: NDArray[np.bool_], away: Array, *, first: int) -> Links | None:
    """Find what the equations of a body can explain.

    Parameters
    ----------
    number
        Of the body.
    first
        See `Links`.
    rows
        Its equations, as they stand with the student's numbers.
    off : (V,) bool
        Numbers that differ from the key by more than rounding.
    away : (V,) float
        By how much.
    """
    here = off[rows.columns]
    if not len(rows.lacking) or not here.any():
        return None
    weight = np.abs(rows.factors * np.where(here, away[rows.columns], 0.0))
    held = rows.held
    singles: list[int] = []
    kept: list[int] = []
    for row in np.flatnonzero(held):
        inside = np.flatnonzero(weight[row] > rows.width[row])
        if len(inside):
            singles.append(sum(1 << int(rows.columns[place]) for place in inside))
            kept.append(int(row))
    if not singles:
        return None
    pairs, factors = [], []
    for one in range(len(kept)):
        for other in range(one + 1, len(kept)):
            pairs.append(singles[one] | singles[other])
            factors.append(
                {
                    int(rows.columns[place]): (
                        float(rows.factors[kept[one], place]),
                        float(rows.factors[kept[other], place]),
                    )
                    for place in np.flatnonzero(here)
                }
            )
    return Links(number, first, tuple(singles), tuple(pairs), tuple(factors))


def follow(
    links: Iterable[Links | None],
    off: NDArray[np.bool_],
    rank: NDArray[np.intp],
    suspects: NDArray[np.bool_],
) -> Chain:
    """Explain as many numbers that are off as possible, with as few sources.

    Parameters
    ----------
    links
        What each body can explain.
    off : (V,) bool
        Numbers that are off.
    rank : (V,) int
        Place in the worked solution, which decides between sources that explain equally many.
    suspects : (V,) bool
        Numbers in an equation that does not hold. Only these can have gone wrong by themselves: all equations
        of any other hold with it.
    """
    known = sorted((link for link in links if link is not None), key=lambda link: -link.first)
    left = sum(1 << int(column) for column in np.flatnonzero(off))
    origin: dict[int, int] = {}
    sources: list[int] = []
    left = _close(known, left, origin)
    while left:
        columns = sorted(_bits(left), key=lambda column: int(rank[column]))
        columns = [column for column in columns if suspects[column]] or columns
        best = max(columns, key=lambda column: _reach(known, left & ~(1 << column)))
        sources.append(best)
        left = _close(known, left & ~(1 << best), origin)
    return Chain(origin, tuple(sources))


def _reach(links: list[Links], left: int) -> int:
    """Count what is explained once a source is taken."""
    return left.bit_count() - _close(links, left, {}).bit_count()


def _close(links: list[Links], left: int, origin: dict[int, int]) -> int:
    """Explain all that can be without another source; give what is left."""
    while True:
        before = left
        for link in links:
            for single in link.singles:
                inside = single & left
                if inside.bit_count() == 1:
                    origin[inside.bit_length() - 1] = link.body
                    left &= ~inside
            for pair, factors in zip(link.pairs, link.pair_factors, strict=True):
                inside = pair & left
                if inside.bit_count() == 2 and _independent(factors, inside):
                    for column in _bits(inside):
                        origin[column] = link.body
                    left &= ~inside
        if left == before:
            return left


def _independent(factors: dict[int, tuple[float, float]], inside: int) -> bool:
    (a, c), (b, d) = (factors[column] for column in _bits(inside))
    return abs(a * d - b * c) > _FLAT * math.hypot(a, c) * math.hypot(b, d)


def _bits(mask: int) -> list[int]:
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found
