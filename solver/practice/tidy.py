"""Tidy numbers: steps of 1, 2 and 5, small slopes, whole-number triangles."""

from __future__ import annotations

import math
from fractions import Fraction

__all__ = ["TRIPLES", "slope_cost", "step_below", "tidy_direction", "tidy_near", "tidy_triangle"]

TRIPLES = ((3, 4, 5), (5, 12, 13), (8, 15, 17), (7, 24, 25), (20, 21, 29))
"""Whole-number right triangles, in the order in which people know them."""
_SIMPLE = ((1, 1), (1, 2), (1, 3), (2, 3))
"""Run and rise, either way round, that need a root but are easy to see."""
_TRIPLE_COST = (0.0, 0.15, 0.3, 0.6, 0.8)
_SIMPLE_COST = (0.5, 0.6, 0.9, 1.0)
_OTHER_COST = 1.3
_SIMPLE_PENALTY = 2.0
"""Degrees that a whole-number triangle may be farther off than a simple slope and still be taken."""


def step_below(size: float, steps: int) -> Fraction:
    """Return the largest of 1, 2 and 5 times a power of ten that goes into a size at least so many times."""
    wanted = size / steps
    power = math.floor(math.log10(wanted))
    for digit in (5, 2, 1):
        step = digit * Fraction(10) ** power
        if step <= wanted * (1 + 1e-9):
            return step
    return Fraction(10) ** power


def tidy_near(size: float, least: float, most: float, steps: int) -> list[Fraction]:
    """List the multiples of a size's step from `least` to `most` times the size."""
    step = step_below(size, steps)
    first, last = math.ceil(least * size / step - 1e-9), math.floor(most * size / step + 1e-9)
    return [step * count for count in range(max(first, 1), last + 1)]


def slope_cost(run: int, rise: int) -> float:
    """Rate a slope: 0 for 3-4-5, up to about 3 for one that nobody can see through."""
    size = math.gcd(run, rise)
    least, most = sorted((run // size, rise // size))
    for place, (short, long, _) in enumerate(TRIPLES):
        if (least, most) == (short, long):
            return _TRIPLE_COST[place]
    if (least, most) in _SIMPLE:
        return _SIMPLE_COST[_SIMPLE.index((least, most))]
    return _OTHER_COST + 0.4 * math.log(most / 4 if most > 4 else 1.0)


def tidy_direction(x: float, y: float) -> tuple[int, int]:
    """Return the simple whole-number direction nearest to one given: along an axis, a triangle or a slope."""
    simple = [pair for short, long in _SIMPLE for pair in {(short, long), (long, short)}]
    return _nearest(x, y, _triangles(), simple)


def tidy_triangle(x: float, y: float) -> tuple[int, int]:
    """Return the direction nearest to one given that is along an axis or of a whole-number triangle."""
    return _nearest(x, y, _triangles(), [])


def _triangles() -> list[tuple[int, int]]:
    return [pair for short, long, _ in TRIPLES[:3] for pair in ((short, long), (long, short))]


def _nearest(
    x: float, y: float, good: list[tuple[int, int]], second: list[tuple[int, int]]
) -> tuple[int, int]:
    angle = math.atan2(abs(y), abs(x))

    def apart(pair: tuple[int, int]) -> float:
        return abs(math.degrees(math.atan2(pair[1], pair[0]) - angle))

    axes = [pair for pair in ((1, 0), (0, 1)) if apart(pair) < 1.0]
    costs = [(apart(pair), pair) for pair in good]
    costs += [(apart(pair) + (_SIMPLE_PENALTY if apart(pair) > 0.1 else 0.0), pair) for pair in second]
    run, rise = axes[0] if axes else min(costs)[1]
    return (run if x >= 0 else -run), (rise if y >= 0 else -rise)
