"""Cutting lists against every way of cutting, on small cases, and against bounds on larger ones."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import pytest

from solver import StockError
from solver.strength import CuttingList, cutting_list


def partitions(rows: list[int]) -> Iterator[list[list[int]]]:
    """List every way of putting rows into heaps."""
    if not rows:
        yield []
        return
    first, *others = rows
    for heaps in partitions(others):
        yield [[first], *heaps]
        for place in range(len(heaps)):
            yield [*heaps[:place], [first, *heaps[place]], *heaps[place + 1 :]]


def by_every_way(pieces: Sequence[float], bars: Sequence[float], kerf: float) -> float:
    """Return the least total length of bars, by trying every heap with the shortest bar that it fits."""
    best = math.inf
    for heaps in partitions(list(range(len(pieces)))):
        total = 0.0
        for heap in heaps:
            need = sum(pieces[row] for row in heap) + kerf * (len(heap) - 1)
            total += min((bar for bar in bars if bar >= need - 1e-9), default=math.inf)
        best = min(best, total)
    return best


def assert_sound(plan: CuttingList, pieces: Sequence[float], kerf: float) -> None:
    """Every piece is cut once, and no bar is overfilled."""
    assert sorted(row for bar in plan.bars for row in bar.pieces) == list(range(len(pieces)))
    for bar in plan.bars:
        used = sum(pieces[row] for row in bar.pieces) + kerf * (len(bar.pieces) - 1)
        assert used <= bar.length + 1e-6
        assert bar.rest == pytest.approx(max(bar.length - used - kerf, 0), abs=1e-6)


@pytest.mark.parametrize("seed", range(12))
def test_against_every_way_of_cutting(seed: int) -> None:
    """Seven random pieces from bars of one or two lengths, with and without a saw cut."""
    random = np.random.default_rng(seed)
    pieces = [float(length) for length in random.integers(20, 110, size=7)]
    bars = [150.0] if seed % 2 else [115.0, 200.0]
    kerf = (0.0, 2.0)[seed % 3 == 0]
    plan = cutting_list(pieces, bars, kerf=kerf)
    assert_sound(plan, pieces, kerf)
    assert plan.proven
    assert plan.total == pytest.approx(by_every_way(pieces, bars, kerf))


def test_longest_first_is_not_always_best() -> None:
    """5, 4, 3 and four of 2 from bars of 10.

    The longest first fills 5 + 4 and 3 + 2 + 2 + 2 and needs a third bar for the last 2; 5 + 3 + 2 and
    4 + 2 + 2 + 2 leave nothing.
    """
    pieces = [5.0, 4.0, 3.0, 2.0, 2.0, 2.0, 2.0]
    plan = cutting_list(pieces, [10.0])
    assert_sound(plan, pieces, 0)
    assert len(plan.bars) == 2
    assert [bar.rest for bar in plan.bars] == [0, 0]


def test_a_bridge_of_equal_sticks() -> None:
    """Eleven members of 100 mm from sticks of 305 mm: three from each, four sticks, the last with two."""
    plan = cutting_list([100.0] * 11, [305.0])
    assert len(plan.bars) == 4
    assert sorted(len(bar.pieces) for bar in plan.bars) == [2, 3, 3, 3]
    assert cutting_list([], [305.0]).bars == ()


def test_a_saw_cut_counts() -> None:
    """Three pieces of 100 mm fit a stick of 300 mm only with a knife; a saw of 1 mm needs two sticks."""
    assert len(cutting_list([100.0] * 3, [300.0]).bars) == 1
    assert len(cutting_list([100.0] * 3, [300.0], kerf=1.0).bars) == 2


def test_a_large_list_is_sound_and_near_its_bound() -> None:
    """Sixty different lengths: never below the wood that is needed, and at most a tenth above it."""
    random = np.random.default_rng(7)
    pieces = [float(length) for length in random.uniform(30, 140, size=60)]
    plan = cutting_list(pieces, [900.0])
    assert_sound(plan, pieces, 0)
    assert sum(pieces) <= plan.total <= 1.1 * sum(pieces) + 900


@pytest.mark.parametrize(
    ("pieces", "bars", "kerf", "words"),
    [
        ([120.0], [100.0], 0, "longer than any bar"),
        ([120.0], [], 0, "longer than any bar"),
        ([-1.0], [100.0], 0, "piece of length -1"),
        ([10.0], [math.nan], 0, "bar of length nan"),
        ([10.0], [100.0], -1, "saw cut of -1"),
    ],
)
def test_what_cannot_be_is_explained(pieces: list[float], bars: list[float], kerf: float, words: str) -> None:
    """Value and cure."""
    with pytest.raises(StockError, match=words):
        cutting_list(pieces, bars, kerf=kerf)
