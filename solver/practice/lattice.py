"""The whole-number pattern behind a truss: on which levels its joints are, and how far apart these are.

Levels across and up are found by themselves. Each axis gets the smallest whole numbers that fit its levels;
the pair of axes is then accepted when chords, parallels, crossings and mirror images are what they were.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.practice.pattern import Pattern, keeps, pattern_of, sine_of
from solver.practice.settings import PRACTICE, PracticeSettings
from solver.truss import Truss

__all__ = ["Lattice", "find_lattice"]

Array = NDArray[np.float64]
_ERROR_WEIGHT = 2000.0
"""Steps of a pattern that one extent of error is worth: a pattern of 4 steps is kept unless one that fits by
a hundredth of the extent better has fewer than 24."""
_PATTERNS_TRIED = 14
"""Of each axis, simplest first."""
_OF_SMALLEST_GAP = 0.3
"""Of the smallest gap between levels: what a pattern may be off by."""


@dataclass(frozen=True, eq=False)
class Axis:
    """Levels along one axis."""

    level: tuple[int, ...]
    """Level of each joint, counted from 0."""
    gaps: tuple[int, ...]
    """Whole numbers between neighbouring levels."""
    unit: float
    """Length units of 1 in the original."""

    @property
    def at(self) -> NDArray[np.int64]:
        """(N,) places of the joints."""
        return self.places(self.gaps)

    def places(self, gaps: tuple[int, ...]) -> NDArray[np.int64]:
        """(N,) places of the joints with other gaps."""
        stops = np.concatenate(([0], np.cumsum(np.array(gaps, dtype=np.int64))))
        return np.asarray(stops[list(self.level)], dtype=np.int64)


@dataclass(frozen=True, eq=False)
class Lattice:
    """A truss on whole numbers."""

    across: Axis
    up: Axis
    pattern: Pattern
    ends: NDArray[np.intp]
    """(M, 2) rows of each member's joints."""

    @property
    def places(self) -> NDArray[np.int64]:
        """(N, 2) joints on whole numbers."""
        return np.stack([self.across.at, self.up.at], axis=1)


def find_lattice(truss: Truss, *, settings: PracticeSettings = PRACTICE) -> Lattice | None:
    """Return the simplest whole-number pattern that shows what the truss shows; none where there is none."""
    seen = pattern_of(truss.at, truss.ends, off_line=settings.level, parallel=sine_of(settings.parallel))
    slack = settings.level * float(np.ptp(truss.at, axis=0).max())
    options = [list(_axes(truss.at[:, axis], slack, settings)) for axis in (0, 1)]
    pairs = sorted(
        ((cost + other, first, second) for cost, first in options[0] for other, second in options[1]),
        key=lambda pair: pair[0],
    )
    for _, across, up in pairs:
        places = np.stack([across.at, up.at], axis=1)
        if len(np.unique(places, axis=0)) < len(places):
            continue
        pattern = pattern_of(places.astype(float), truss.ends)
        if keeps(pattern, seen):
            return Lattice(across, up, pattern, truss.ends)
    return None


def _axes(values: Array, slack: float, settings: PracticeSettings) -> Iterator[tuple[float, Axis]]:
    """Give the simplest patterns of one axis with their costs."""
    level, stops = _levels(values, slack)
    extent = float(stops[-1] - stops[0])
    if extent <= 0:
        return
    share = (stops - stops[0]) / extent
    limit = min(settings.template_error, _OF_SMALLEST_GAP * float(np.diff(share).min()))
    found: list[tuple[float, Axis]] = []
    for steps in range(len(stops) - 1, settings.finest_template + 1):
        whole = np.rint(share * steps).astype(int)
        error = float(np.abs(whole / steps - share).max())
        gaps = tuple(np.diff(whole).tolist())
        if error <= limit and min(gaps) > 0:
            found.append((steps + _ERROR_WEIGHT * error, Axis(level, gaps, extent / steps)))
    yield from sorted(found, key=lambda item: item[0])[:_PATTERNS_TRIED]


def _levels(values: Array, slack: float) -> tuple[tuple[int, ...], Array]:
    order = np.argsort(values, kind="stable")
    apart = np.diff(values[order]) > slack
    group = np.concatenate(([0], np.cumsum(apart)))
    level = np.empty(len(values), dtype=int)
    level[order] = group
    stops = np.bincount(level, weights=values) / np.bincount(level)
    return tuple(level.tolist()), stops
