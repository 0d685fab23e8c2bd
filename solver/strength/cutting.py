"""Which piece to cut from which bar of stock, so that least is wasted."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from solver.errors import StockError
from solver.strength.settings import SETTINGS

__all__ = ["Bar", "CuttingList", "cutting_list"]


@dataclass(frozen=True)
class Bar:
    """One bar of stock and what is cut from it."""

    length: float
    pieces: tuple[int, ...]
    """Places in the list of pieces asked for, the longest first."""
    rest: float
    """What is left over, without the dust of the cuts."""


@dataclass(frozen=True)
class CuttingList:
    """Every bar to take."""

    bars: tuple[Bar, ...]
    proven: bool
    """Whether nothing takes less stock; otherwise it is the best that was found in the time allowed."""

    @property
    def total(self) -> float:
        """Length of all bars taken."""
        return sum(bar.length for bar in self.bars)


def cutting_list(pieces: Sequence[float], bars: Sequence[float], *, kerf: float = 0.0) -> CuttingList:
    """Cut pieces from bars of given lengths, as many of each as are needed, taking the least stock in all.

    Parameters
    ----------
    pieces : sequence of float
        Lengths wanted, in any one unit.
    bars : sequence of float
        Lengths in which the stock is sold.
    kerf : float
        Lost with each cut between two pieces.

    Raises
    ------
    StockError
        When a piece is longer than every bar, or a length is impossible.

    References
    ----------
    P. C. Gilmore and R. E. Gomory, "A linear programming approach to the cutting-stock problem", Operations
    Research 9 (1961): choose among patterns. Here all patterns are listed and the integer programme is solved
    by HiGHS (scipy.optimize.milp); lists with too many patterns are cut longest first.
    """
    _check(pieces, bars, kerf)
    if not pieces:
        return CuttingList((), proven=True)
    quick = _longest_first(pieces, bars, kerf)
    # Each piece takes its kerf along, and the last of a bar may hang over by one kerf: exact for any number.
    wanted = Counter(pieces)
    lengths = sorted(wanted, reverse=True)
    patterns = list(
        islice(
            (
                (bar, pattern)
                for bar in sorted(set(bars))
                for pattern in _patterns(bar + kerf, lengths, [wanted[length] for length in lengths], kerf)
            ),
            SETTINGS.patterns + 1,
        )
    )
    if len(patterns) > SETTINGS.patterns:
        return CuttingList(quick, proven=False)
    found = milp(
        c=[bar for bar, _ in patterns],
        integrality=np.ones(len(patterns), dtype=np.int64),
        bounds=Bounds(0, np.inf),
        constraints=LinearConstraint(
            np.array([pattern for _, pattern in patterns]).T,
            [wanted[length] for length in lengths],
            np.inf,
        ),
        options={"time_limit": SETTINGS.cutting_seconds},
    )
    if found.x is None:
        return CuttingList(quick, proven=False)
    chosen = [
        (bar, pattern)
        for (bar, pattern), times in zip(patterns, np.rint(found.x).astype(int), strict=True)
        for _ in range(times)
    ]
    exact = CuttingList(_handed_out(pieces, lengths, chosen, kerf), proven=found.status == 0)
    if exact.proven or exact.total <= sum(bar.length for bar in quick):
        return exact
    return CuttingList(quick, proven=False)


def _check(pieces: Sequence[float], bars: Sequence[float], kerf: float) -> None:
    for what, lengths in (("piece", pieces), ("bar", bars)):
        for length in lengths:
            if not math.isfinite(length) or length <= 0:
                raise StockError(f"A {what} of length {length:g} is impossible: give one above zero.")
    if not math.isfinite(kerf) or kerf < 0:
        raise StockError(f"A saw cut of {kerf:g} is impossible: give zero or more.")
    longest = max(bars, default=0.0)
    for length in pieces:
        if length > longest * (1 + SETTINGS.rounding):
            raise StockError(
                f"A piece of {length:.6g} is longer than any bar of the stock ({longest:.6g}): give "
                "longer bars, or put a joint between."
            )


def _patterns(
    room: float, lengths: Sequence[float], most: Sequence[int], kerf: float
) -> Iterator[tuple[int, ...]]:
    """List how often each length can be cut from one bar so that no further piece fits."""
    dust = room * SETTINGS.rounding

    def extend(place: int, left: float, counts: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if place == len(lengths):
            short = [
                length for length, count, limit in zip(lengths, counts, most, strict=True) if count < limit
            ]
            if any(counts) and (not short or short[-1] + kerf > left + dust):
                yield counts
            return
        fits = min(most[place], math.floor((left + dust) / (lengths[place] + kerf)))
        for count in range(fits, -1, -1):
            yield from extend(place + 1, left - count * (lengths[place] + kerf), (*counts, count))

    yield from extend(0, room, ())


def _handed_out(
    pieces: Sequence[float],
    lengths: Sequence[float],
    chosen: Sequence[tuple[float, tuple[int, ...]]],
    kerf: float,
) -> tuple[Bar, ...]:
    """Give each bar its pieces; patterns may have room for more than are wanted."""
    waiting = {length: [row for row, piece in enumerate(pieces) if piece == length] for length in lengths}
    bars = []
    for bar, pattern in sorted(chosen, key=lambda one: (-one[0], [-count for count in one[1]])):
        rows = [
            waiting[length].pop(0)
            for length, count in zip(lengths, pattern, strict=True)
            for _ in range(min(count, len(waiting[length])))
        ]
        if rows:
            bars.append(_bar(bar, rows, pieces, kerf))
    return tuple(bars)


def _bar(length: float, rows: Sequence[int], pieces: Sequence[float], kerf: float) -> Bar:
    rest = length - sum(pieces[row] for row in rows) - kerf * (len(rows) - 1)
    # The cut that parts the last piece from the rest takes its kerf too.
    return Bar(length, tuple(rows), max(rest - kerf, 0.0))


def _longest_first(pieces: Sequence[float], bars: Sequence[float], kerf: float) -> tuple[Bar, ...]:
    """Put each piece, the longest first, into the first bar with room; the best of the bar lengths."""
    best: tuple[Bar, ...] = ()
    for bar in sorted(set(bars)):
        if max(pieces) > bar * (1 + SETTINGS.rounding):
            continue
        rows: list[list[int]] = []
        room: list[float] = []
        for row in sorted(range(len(pieces)), key=lambda at: -pieces[at]):
            need = pieces[row] + kerf
            place = next((at for at, left in enumerate(room) if left >= need - bar * SETTINGS.rounding), None)
            if place is None:
                rows.append([])
                room.append(bar + kerf)
                place = len(room) - 1
            rows[place].append(row)
            room[place] -= need
        cut = tuple(_bar(bar, one, pieces, kerf) for one in rows)
        if not best or len(cut) * bar < sum(taken.length for taken in best):
            best = cut
    return best
