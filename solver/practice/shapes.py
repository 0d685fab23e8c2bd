"""Other dimensions for a truss on whole numbers, rated by how its slopes come out."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from solver.practice.lattice import Axis, Lattice
from solver.practice.pattern import keeps, pattern_of
from solver.practice.settings import PracticeSettings
from solver.practice.tidy import slope_cost, step_below, tidy_near

__all__ = ["Shape", "original_shape", "shapes_of"]

Place = tuple[Fraction, Fraction]
_DISTORTION = 0.35
"""What a figure twice as high for its width costs, in the unit of slopes."""
_OUT_OF_RANGE = 0.08
"""What each degree beyond the flattest or steepest slope costs, for a member."""
_EACH_CLASS = 0.3
"""Share of shapes in which gaps that were of different size are drawn one by one."""


@dataclass(frozen=True)
class Shape:
    """Joints on tidy numbers."""

    at: tuple[Place, ...]
    """Length units."""
    cost: float
    """Mean over the sloping members; less is tidier."""

    def like(self, other: Shape) -> bool:
        """Say whether one is the other enlarged: members then carry the same forces under the same loads."""
        scale = self._extent(0) / other._extent(0)
        return all(
            (x - self.at[0][0], y - self.at[0][1])
            == (scale * (far_x - other.at[0][0]), scale * (far_y - other.at[0][1]))
            for (x, y), (far_x, far_y) in zip(self.at, other.at, strict=True)
        )

    def _extent(self, axis: int) -> Fraction:
        values = [place[axis] for place in self.at]
        return max(values) - min(values) or Fraction(1)


def original_shape(lattice: Lattice) -> NDArray[np.float64]:
    """(N, 2) joints of the whole-number pattern at the size of the original, length units."""
    return np.stack([axis.at * axis.unit for axis in (lattice.across, lattice.up)], axis=1)


def shapes_of(lattice: Lattice, draw: random.Random, settings: PracticeSettings) -> list[Shape]:
    """Draw shapes that keep the pattern, tidiest first.

    Each gap between levels becomes a multiple of a tidy number; gaps that were equal stay equal. Mostly all
    gaps of an axis grow alike, which keeps every chord straight by itself; otherwise the pattern is checked.
    """
    axes = [_Grid.of(axis, settings) for axis in (lattice.across, lattice.up)]
    drawn: set[tuple[Stops, Stops]] = set()
    for _ in range(settings.shapes_looked_at):
        free = draw.random() < _EACH_CLASS
        across, up = (grid.stops(draw, free=free) for grid in axes)
        if (across, up) not in drawn and (not free or _keeps(lattice, across, up)):
            drawn.add((across, up))
    shapes = [
        Shape(
            tuple(
                (axes[0].step * across[column], axes[1].step * up[row])
                for column, row in zip(lattice.across.level, lattice.up.level, strict=True)
            ),
            _cost(lattice, _placed(lattice, across, up), axes[1].step / axes[0].step, settings),
        )
        for across, up in sorted(drawn)
    ]
    draw.shuffle(shapes)
    return sorted(shapes, key=lambda shape: round(shape.cost, 1))


Stops = tuple[int, ...]


@dataclass(frozen=True)
class _Grid:
    """One axis on multiples of a tidy step."""

    gaps: tuple[int, ...]
    step: Fraction
    """Length units."""
    factors: tuple[int, ...]
    """What a gap of 1 in the pattern may become, in steps."""

    @classmethod
    def of(cls, axis: Axis, settings: PracticeSettings) -> _Grid:
        step = step_below(axis.unit, settings.steps_in_gap)
        sizes = tidy_near(axis.unit, settings.smallest, settings.largest, settings.steps_in_gap)
        return cls(axis.gaps, step, tuple(int(size / step) for size in sizes))

    def stops(self, draw: random.Random, *, free: bool) -> Stops:
        """Draw the levels: gaps of one size share one factor, or all gaps do."""
        common = draw.choice(self.factors)
        factor = {gap: draw.choice(self.factors) if free else common for gap in sorted(set(self.gaps))}
        return tuple(accumulate((gap * factor[gap] for gap in self.gaps), initial=0))


def _placed(lattice: Lattice, across: Stops, up: Stops) -> NDArray[np.int64]:
    """(N, 2) joints in steps."""
    return np.stack(
        [np.array(across)[list(lattice.across.level)], np.array(up)[list(lattice.up.level)]], axis=1
    )


def _keeps(lattice: Lattice, across: Stops, up: Stops) -> bool:
    # Steps may differ between the axes: that changes no relation but angles, which are not in the pattern.
    return keeps(pattern_of(_placed(lattice, across, up).astype(float), lattice.ends), lattice.pattern)


def _cost(lattice: Lattice, at: NDArray[np.int64], ratio: Fraction, settings: PracticeSettings) -> float:
    """Rate a shape; `ratio` is the step up over the step across."""
    start, end = lattice.ends.T
    spans = np.abs(np.concatenate([at[end] - at[start], lattice.places[end] - lattice.places[start]], axis=1))
    sloping, count = np.unique(spans[(spans > 0).all(axis=1)], axis=0, return_counts=True)
    if not len(sloping):
        return 0.0
    unit = lattice.up.unit / lattice.across.unit
    costs = [
        _slope(run * ratio.denominator, rise * ratio.numerator, unit * old_rise / old_run, settings)
        for run, rise, old_run, old_rise in sloping.tolist()
    ]
    return float(np.average(costs, weights=count))


def _slope(run: int, rise: int, original: float, settings: PracticeSettings) -> float:
    slope, old = math.degrees(math.atan2(rise, run)), math.degrees(math.atan(original))
    low, high = min(settings.flattest, old), max(90 - settings.flattest, old)
    return (
        slope_cost(run, rise)
        + _DISTORTION * abs(math.log2(rise / run / original))
        + _OUT_OF_RANGE * max(low - slope, slope - high, 0.0)
    )
