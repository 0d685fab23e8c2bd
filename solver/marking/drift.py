"""How far honest rounding moves each force: the joints worked through again, rounding on the way."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from solver.marking.equations import Geometry
from solver.marking.settings import SETTINGS

__all__ = ["drift", "round_figures"]

Array = NDArray[np.float64]

_SLIGHT = 1e-9
"""Cosine or sine that is none."""


def round_figures(values: Array, figures: int) -> Array:
    """Round to so many significant figures."""
    size = np.where(values == 0, 1.0, np.abs(values))
    unit = 10.0 ** (np.floor(np.log10(size)) - figures + 1)
    return np.asarray(np.round(values / unit) * unit)


def drift(geometry: Geometry, exact: Array) -> Array:
    """Find the largest effect of rounding on each value, over several orders of the joints.

    Parameters
    ----------
    geometry
        Directions as rounded; rounding to `SETTINGS.figures` comes on top.
    exact : (V,) float
        Exact values of all columns. Reactions are found from lengths, so that they are only rounded.

    Returns
    -------
    (V,) float
        Force units.
    """
    largest = np.zeros(len(exact))
    for order in range(SETTINGS.orders):
        found = _worked(geometry, exact, _pick(order))
        largest = np.maximum(largest, np.abs(found - exact))
    return SETTINGS.slack * largest


def _pick(order: int) -> Callable[[list[int]], int]:
    """Give a way to choose the next joint: the first, the last, then at random."""
    if order < 2:
        return lambda ready: ready[0 if order == 0 else -1]
    draws = np.random.default_rng(order)
    return lambda ready: ready[int(draws.integers(len(ready)))]


def _worked(geometry: Geometry, exact: Array, pick: Callable[[list[int]], int]) -> Array:
    members = len(geometry.truss.members)
    values = np.full(len(exact), np.nan)
    values[members:] = round_figures(exact[members:], SETTINGS.figures)
    unknown = [{column for column, _ in here if column < members} for here in geometry.meeting]
    waiting = {joint for joint, here in enumerate(unknown) if here}
    while waiting:
        ready = sorted(joint for joint in waiting if len(unknown[joint]) <= 2)
        if not ready:
            break
        joint = pick(ready)
        _solve_joint(geometry, joint, values)
        for column in unknown[joint].copy():
            for end in geometry.truss.ends[column].tolist():
                unknown[end].discard(column)
        waiting = {joint for joint in waiting if unknown[joint]}
    # Where no joint has two unknowns, other ways lead on; they are taken as exact.
    return np.where(np.isnan(values), exact, values)


def _solve_joint(geometry: Geometry, joint: int, values: Array) -> None:
    here = geometry.meeting[joint]
    columns = np.array([column for column, _ in here])
    factors = (geometry.ways[columns] * np.array([sign for _, sign in here])[:, None]).T
    while (open_ := np.isnan(values[columns])).any():
        right = -(geometry.loads[joint] + factors[:, ~open_] @ values[columns[~open_]])
        inside = np.abs(factors[:, open_]) > _SLIGHT
        alone = np.flatnonzero(inside.sum(axis=1) == 1)
        if len(alone):
            # A sum with one unknown gives it, and what it gives is rounded before it goes into the other.
            row = alone[np.abs(factors[alone][:, open_]).max(axis=1).argmax()]
            column = columns[open_][inside[row]]
            found = right[row] / factors[row, open_][inside[row]]
        else:
            column = columns[open_]
            found = np.linalg.lstsq(factors[:, open_], right, rcond=None)[0]
        values[column] = round_figures(found, SETTINGS.figures)
