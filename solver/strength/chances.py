"""How far the failure load may be off: thousands of trusses drawn with sticks and joints as they scatter.

Each member's modulus and strengths are drawn apart, lognormal with the averages and scatters of its material;
the joints are drawn about their places with the covariance from the photograph. Forces follow the places and
the stiffness to first order, lengths exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.errors import QuestionError
from solver.strength.capacity import column_curve, tension_capacity
from solver.strength.failing import Standing, live_forces, load_factors, members_at
from solver.strength.settings import SETTINGS
from solver.units import convert_length

__all__ = ["Chances", "chances_of"]


@dataclass(frozen=True, eq=False)
class Chances:
    """What the draws say."""

    standing: Standing
    factors: NDArray[np.float64]
    """(D,) load factor at which each drawn truss fails."""
    first: NDArray[np.float64]
    """(K,) share of the draws in which each check of `standing.checks` is the first."""

    @property
    def interval(self) -> tuple[float, float]:
        """Failure load, N: the middle nine tenths of all draws lie between these."""
        tail = (1 - SETTINGS.share) / 2
        low, high = np.quantile(self.factors, (tail, 1 - tail)) * self.standing.demand.total_load
        return float(low), float(high)

    @property
    def median(self) -> float:
        """Failure load, N, that half of the draws reach."""
        return float(np.median(self.factors)) * self.standing.demand.total_load

    @property
    def log_spread(self) -> float:
        """Standard deviation of the logarithm of the failure load; draws that fail at once do not count."""
        held = self.factors[self.factors > 0]
        return float(np.log(held).std(ddof=1)) if len(held) > 1 else 0.0


def chances_of(
    standing: Standing,
    *,
    joint_covariance: NDArray[np.float64] | None = None,
    draws: int = SETTINGS.draws,
    seed: int = 0,
) -> Chances:
    """Draw many trusses like this one and see which member of each goes first.

    Parameters
    ----------
    standing : Standing
    joint_covariance : (2N, 2N) float, optional
        Of the joint positions x0, y0, x1, y1, ..., in the truss's own length units squared.
    draws : int
        How many.
    seed : int
        The same seed gives the same answer.

    Raises
    ------
    QuestionError
        When the covariance has another shape, or no draw is asked for.
    """
    if draws < 1:
        raise QuestionError("Ask for one draw or more.")
    demand, pieces = standing.demand, standing.pieces
    random = np.random.default_rng(seed)
    count = len(pieces)
    softness, tension, crushing = (
        _lognormal(random, [getattr(piece.material, name).scatter for piece in pieces], draws)
        for name in ("modulus", "tension", "compression")
    )
    moved = _moved(random, standing, joint_covariance, draws)
    live = live_forces(demand) + moved @ demand.live_by_place.T
    if not demand.determinate:
        live += (softness - 1) @ demand.live_by_stiffness.T
    dead = demand.dead + moved @ demand.dead_by_place.T
    pulls = tension * np.array([tension_capacity(piece).force for piece in pieces])
    buckles = softness * _buckling(standing, _lengths(standing, moved))
    crushes = crushing * np.array([piece.material.compression.value * piece.section.area for piece in pieces])
    factors = np.empty((draws, len(standing.checks)))
    factors[:, :count] = load_factors(dead, live, pulls, column_curve(crushes, buckles, standing.curve))
    for column, strength in enumerate(standing.joint_strengths, start=count):
        rows = members_at(demand, strength.joint)
        holds = strength.force * _lognormal(random, [strength.scatter], draws)
        factors[:, column] = load_factors(dead[:, rows], live[:, rows], holds, holds).min(axis=1)
    firsts = np.bincount(factors.argmin(axis=1), minlength=len(standing.checks))
    return Chances(standing, factors.min(axis=1), firsts / draws)


def _moved(
    random: np.random.Generator, standing: Standing, covariance: NDArray[np.float64] | None, draws: int
) -> NDArray[np.float64]:
    """Draw (D, 2N) movements of the joints, mm."""
    truss = standing.demand.truss
    size = 2 * len(truss.joints)
    if covariance is None:
        return np.zeros((draws, size))
    given = np.asarray(covariance, dtype=float)
    if given.shape != (size, size) or not np.isfinite(given).all():
        raise QuestionError(
            f"The covariance of the joint positions must be {size} by {size} numbers, ordered x0, y0, x1, y1 "
            "and so on."
        )
    # A root that also serves where some joints are known exactly and the matrix is singular.
    values, vectors = np.linalg.eigh((given + given.T) / 2)
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    millimetre = convert_length(1.0, truss.length_unit, "mm")
    return np.asarray(random.standard_normal((draws, size)) @ root.T) * millimetre


def _lengths(standing: Standing, moved: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give (D, M) member lengths, mm."""
    demand = standing.demand
    ends = demand.truss.ends
    apart = demand.truss.directions * demand.lengths[:, None]
    joints = moved.reshape(len(moved), -1, 2)
    return np.asarray(np.linalg.norm(apart + joints[:, ends[:, 1]] - joints[:, ends[:, 0]], axis=2))


def _buckling(standing: Standing, lengths: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give (D, M) Euler forces at the average modulus, N, the lower of both planes."""
    pieces = standing.pieces
    factor = np.array([piece.effective_length for piece in pieces])
    braced = np.array([0.0 if piece.bracing is None else piece.bracing for piece in pieces])
    stiff = np.array([piece.material.modulus.value * piece.section.inertia for piece in pieces])
    return np.asarray(np.pi**2 * stiff / np.maximum(lengths * factor, braced) ** 2)


def _lognormal(random: np.random.Generator, scatters: Sequence[float], draws: int) -> NDArray[np.float64]:
    """Draw (D, K) factors of mean 1 with the given coefficients of variation."""
    spread = np.sqrt(np.log1p(np.square(scatters)))
    return np.exp(random.standard_normal((draws, len(spread))) * spread - spread**2 / 2)
