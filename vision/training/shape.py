"""A truss as it stands, and what its families share."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Pair = tuple[int, int]
"""Two rows of joints: a member."""

__all__ = ["Pair", "Pull", "Rest", "Shape", "at_ends", "chain", "shape_of", "some_pulls"]


@dataclass(frozen=True)
class Rest:
    """A support: which joint, `pin` or `roller`, and the way the ground pushes (x right, y up)."""

    joint: int
    kind: str
    normal: tuple[float, float] = (0.0, 1.0)


@dataclass(frozen=True)
class Pull:
    """A load: which joint, and its direction (x right, y up)."""

    joint: int
    direction: tuple[float, float] = (0.0, -1.0)


@dataclass(frozen=True, eq=False)
class Shape:
    """A truss as it stands: x right, y up, free units."""

    name: str
    joints: NDArray[np.float64]
    """(N, 2)."""
    members: tuple[Pair, ...]
    """Smaller row first, sorted."""
    rests: tuple[Rest, ...] = ()
    pulls: tuple[Pull, ...] = ()


def shape_of(
    name: str,
    joints: Iterable[tuple[float, float]],
    members: Iterable[Pair],
    rests: Iterable[Rest] = (),
    pulls: Iterable[Pull] = (),
) -> Shape:
    """Return a shape with its members sorted and without repeats."""
    pairs = sorted({(min(m), max(m)) for m in members})
    return Shape(name, np.array(list(joints), dtype=float), tuple(pairs), tuple(rests), tuple(pulls))


def chain(rows: list[int]) -> list[Pair]:
    """Return the members that join rows one after another."""
    return list(pairwise(rows))


def at_ends(left: int, right: int) -> tuple[Rest, Rest]:
    """Return a pin at one joint and a roller at another."""
    return Rest(left, "pin"), Rest(right, "roller")


def some_pulls(rng: np.random.Generator, rows: list[int], at_least: int = 1) -> list[Pull]:
    """Return downward loads on some of the rows, by chance."""
    count = int(rng.integers(at_least, max(at_least + 1, min(4, len(rows)) + 1)))
    chosen = rng.choice(len(rows), size=min(count, len(rows)), replace=False)
    return [Pull(rows[i]) for i in sorted(chosen)]
