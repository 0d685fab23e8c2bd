"""Conditions that hold exactly: linear ones and lengths, over one vector of unknowns.

The unknowns `z` are x0, y0, x1, y1, ... of the N joints in the plane, then the six numbers a, b, c, d, e, f
of the affine map that draws the plane: (x, y) is drawn at (a x + b y + c, d x + e y + f). The truss has a
size of about 1 in these unknowns, so tolerances are shares of that size.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

__all__ = ["EXACT", "PEN", "Conditions", "Floats", "difference", "length", "linear", "unit_row"]

Floats = NDArray[np.float64]

PEN = 6
"""How many of the unknowns, at the end, are those of the map that draws the plane."""

EXACT = 1e-6
"""Share of the truss's size: conditions closer than this agree. Numbers are written with fewer digits, and
rounding errors of the arithmetic stay far below."""


@dataclass(frozen=True, eq=False)
class Conditions:
    """Exact conditions on the unknowns z of length n.

    A linear condition is `row · z = value`. A length condition is `|pair z| = length`, written as
    `(|pair z|² − length²) / (2 length)` so that its gradient has unit size and its curvature is constant.
    """

    rows: Floats
    """(K, n)."""
    values: Floats
    """(K,)."""
    pairs: Floats
    """(M, 2, n): pairs[m] @ z is a vector in the plane."""
    lengths: Floats
    """(M,), all positive."""
    slack: Floats
    """(K + M,), linear ones first: how far the number as written may be from the number meant."""

    @classmethod
    def join(cls, parts: Iterable[Conditions], size: int) -> Conditions:
        """Put conditions together, in order; `size` is n, for when there are none."""
        none = cls(np.zeros((0, size)), np.zeros(0), np.zeros((0, 2, size)), np.zeros(0), np.zeros(0))
        kept = (none, *parts)
        return cls(
            np.concatenate([part.rows for part in kept]),
            np.concatenate([part.values for part in kept]),
            np.concatenate([part.pairs for part in kept]),
            np.concatenate([part.lengths for part in kept]),
            np.concatenate(
                [part.slack[: len(part.rows)] for part in kept]
                + [part.slack[len(part.rows) :] for part in kept]
            ),
        )

    def missed_by(self, z: Floats) -> Floats:
        """How far z is from each condition, (K + M,), linear ones first."""
        vectors = self.pairs @ z
        squares = np.sum(vectors**2, axis=1)
        return np.concatenate(
            [self.rows @ z - self.values, (squares - self.lengths**2) / (2.0 * self.lengths)]
        )

    def gradient(self, z: Floats) -> Floats:
        """Return the derivative of `missed_by`, (K + M, n)."""
        vectors = self.pairs @ z
        return np.concatenate(
            [self.rows, np.einsum("mi,min->mn", vectors, self.pairs) / self.lengths[:, None]]
        )

    def curvature(self, multipliers: Floats) -> Floats:
        """Return the second derivative of `multipliers · missed_by`, (n, n)."""
        weights = multipliers[len(self.rows) :] / self.lengths
        return np.asarray(np.einsum("m,min,mik->nk", weights, self.pairs, self.pairs))

    def touched(self) -> NDArray[np.intp]:
        """Return which unknowns the conditions speak of."""
        spoken = np.any(self.rows != 0, axis=0) | np.any(self.pairs != 0, axis=(0, 1))
        return np.flatnonzero(spoken)

    def narrowed(self, unknowns: NDArray[np.intp]) -> Conditions:
        """Return the conditions on these unknowns alone; they must speak of no others."""
        return replace(self, rows=self.rows[:, unknowns], pairs=self.pairs[:, :, unknowns])

    def linear_part(self) -> Conditions:
        """Return the linear conditions alone."""
        return replace(
            self, pairs=self.pairs[:0], lengths=self.lengths[:0], slack=self.slack[: len(self.rows)]
        )

    def length_part(self) -> Conditions:
        """Return the length conditions alone."""
        return replace(self, rows=self.rows[:0], values=self.values[:0], slack=self.slack[len(self.rows) :])

    def through(self, z: Floats) -> Conditions:
        """Return the conditions with their numbers moved so that z meets them all, and no slack left."""
        return replace(
            self,
            values=self.rows @ z,
            lengths=np.linalg.norm(self.pairs @ z, axis=1),
            slack=np.full(len(self.slack), EXACT),
        )


def linear(row: Floats, value: float, slack: float = EXACT) -> Conditions:
    """One linear condition."""
    size = len(row)
    return Conditions(row[None, :], np.array([value]), np.zeros((0, 2, size)), np.zeros(0), np.array([slack]))


def length(pair: Floats, value: float, slack: float = EXACT) -> Conditions:
    """One length condition; `pair` is (2, n)."""
    size = pair.shape[1]
    return Conditions(np.zeros((0, size)), np.zeros(0), pair[None], np.array([value]), np.array([slack]))


def unit_row(index: int, size: int) -> Floats:
    """Return the row that picks one unknown."""
    row = np.zeros(size)
    row[index] = 1.0
    return row


def difference(start: int, end: int, size: int) -> Floats:
    """Return the (2, n) rows that give joint `end` minus joint `start`."""
    pair = np.zeros((2, size))
    pair[0, 2 * end] = pair[1, 2 * end + 1] = 1.0
    pair[0, 2 * start] = pair[1, 2 * start + 1] = -1.0
    return pair
