"""The nearest point that meets the conditions, and the directions they leave open."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import lstsq, qr

from vision.survey.constraints import Conditions, Floats

__all__ = ["RANK_SHARE", "Settled", "fixes", "open_directions", "settle"]

RANK_SHARE = 1e-9
"""Singular values below this share of the largest count as zero. Conditions are scaled to about 1, so a true
dependence stands at 1e-16 and an honest independence above 1e-4."""

# Newton doubles its digits at every step; these ends are reached only where nothing meets the conditions.
_STEPS = 60
_HALVINGS = 20
# Largest change of an unknown, of the truss's size: smaller steps are rounding.
_STEP_DONE = 1e-12
# Part of the misfit that a step must take away while conditions are not met; less is no way forward.
_STALLED = 1e-9
# Linear conditions missed by less are met but for rounding, in unknowns of size about 1.
_ROUNDING = 1e-15
# A direction is open if a unit step in it moves an unknown by more than this.
_OPEN = 1e-7


@dataclass(frozen=True, eq=False)
class Settled:
    """Where Gauss-Newton came to rest."""

    z: Floats
    """(n,)."""
    met: bool
    """Every condition is missed by no more than its slack."""


def settle(conditions: Conditions, z: Floats) -> Settled:
    """Return the point near z that meets the conditions, or misses them least, in units of their slack.

    Unknowns of which no condition speaks stay where they are.
    """
    unknowns = conditions.touched()
    few = conditions.narrowed(unknowns)
    here = z[unknowns]
    missed = few.missed_by(here) / few.slack
    for _ in range(_STEPS):
        if not len(few.lengths) and np.abs(missed * few.slack).max(initial=0.0) < _ROUNDING:
            break
        slope = few.gradient(here) / few.slack[:, None]
        step = lstsq(slope, -missed, cond=RANK_SHARE, lapack_driver="gelsy", check_finite=False)[0]
        before, share = missed @ missed, 1.0
        for _ in range(_HALVINGS):
            missed_there = few.missed_by(here + share * step) / few.slack
            if missed_there @ missed_there <= before:
                break
            share /= 2.0
        else:
            break
        here, missed = here + share * step, missed_there
        if share * np.abs(step).max(initial=0.0) < _STEP_DONE:
            break
        if missed @ missed > 1.0 and missed @ missed > (1.0 - _STALLED) * before:
            break
    settled = z.copy()
    settled[unknowns] = here
    return Settled(settled, bool(np.abs(missed).max(initial=0.0) <= 1.0))


def open_directions(conditions: Conditions, z: Floats) -> Floats:
    """Return an orthonormal basis, (n, n − rank), of the directions the conditions leave open at z."""
    gradient = conditions.gradient(z)
    if not len(gradient):
        return np.eye(len(z))
    basis, factor, _ = qr(gradient.T, pivoting=True, check_finite=False)
    sizes = np.abs(np.diag(factor))
    rank = int(np.sum(sizes > RANK_SHARE * max(sizes[0], 1.0)))
    return np.asarray(basis[:, rank:])


def fixes(open_: Floats, rows: Floats) -> np.ndarray[tuple[int], np.dtype[np.bool]]:
    """Return for each of the rows, (R, n), whether its value cannot move in the open directions."""
    return np.asarray(np.abs(rows @ open_).max(axis=1, initial=0.0) < _OPEN)
