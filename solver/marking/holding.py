"""Which equations hold with a student's own numbers, as nearly as rounding allows."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.marking.equations import Body
from solver.marking.settings import SETTINGS

__all__ = ["Rows", "Sheet", "rows_of", "width_of"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Sheet:
    """A student's numbers in columns: members, tension positive, then reaction components."""

    values: Array
    """(V,) force units of the key; nan where there is none."""
    halves: Array
    """(V,) half a unit of the last figure carried."""

    @property
    def given(self) -> NDArray[np.bool_]:
        """(V,) where there is a number."""
        return np.isfinite(self.values)


@dataclass(frozen=True, eq=False)
class Rows:
    """Equations of one body that can be tried: none of their numbers is missing."""

    columns: NDArray[np.intp]
    """(K,)"""
    factors: Array
    """(E, K)"""
    lacking: Array
    """(E,) what each lacks of zero, force units."""
    width: Array
    """(E,) what rounding lets it lack."""

    @property
    def held(self) -> NDArray[np.bool_]:
        """(E,) whether each holds."""
        return np.abs(self.lacking) <= self.width


_NOTHING = Rows(np.empty(0, dtype=np.intp), np.empty((0, 0)), np.empty(0), np.empty(0))


def rows_of(body: Body, sheet: Sheet) -> Rows:
    """Put a student's numbers into the equations of a body.

    Where one number is missing at a joint, the equation across its direction is left; where more are, none.
    """
    factors, pushes, rounds = body.factors, body.pushes.sum(axis=1), body.rounds
    values = sheet.values[body.columns]
    missing = np.isnan(values)
    if missing.any():
        turned = _without(factors, missing)
        if turned is None:
            return _NOTHING
        factors, pushes, rounds = (
            turned @ factors,
            turned @ pushes,
            np.ones((len(turned), len(missing)), bool),
        )
        values = np.where(missing, 0.0, values)
        factors = np.where(missing, 0.0, factors)
    width = width_of(factors, values, sheet.halves[body.columns], rounds)
    tiny = 1e-9 * float(np.abs(values).sum() + np.abs(body.pushes).sum())
    return Rows(body.columns, factors, factors @ values + pushes, width + tiny)


def width_of(factors: Array, values: Array, halves: Array, rounds: NDArray[np.bool_]) -> Array:
    """Give (E,) what rounding of numbers, sines and cosines lets each equation lack of zero."""
    spread = (factors * halves) ** 2 + (SETTINGS.trig * values * rounds) ** 2
    # Rounding is spread evenly over its half unit: standard error 1/sqrt(3) of it.
    return np.asarray(SETTINGS.sigmas / math.sqrt(3.0) * np.sqrt(spread.sum(axis=1)))


def _without(factors: Array, missing: NDArray[np.bool_]) -> Array | None:
    """Give the combinations of equations in which no missing number is, as rows."""
    lost = factors[:, missing]
    if len(factors) != 2:
        clear = np.flatnonzero(np.abs(lost).max(axis=1) < 1e-9)
        return np.eye(len(factors))[clear] if len(clear) else None
    turn, sizes, _ = np.linalg.svd(lost)
    rank = int((sizes > 1e-9).sum())
    return turn[:, rank:].T if rank < 2 else None
