"""Can the truss be solved? The count, and the truth behind it: the rank of the equilibrium matrix."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from scipy import linalg

from solver.equilibrium import Equilibrium
from solver.factors import Factors
from solver.movement import describe_movement, describe_self_stress
from solver.rank import certify, largest_singular_value, null_spaces, nullity
from solver.settings import TOLERANCES
from solver.stability import Stability
from solver.truss import Truss

__all__ = ["Judgement", "assess", "explain", "judge", "rank_tolerance", "verdict_of"]


@dataclass(frozen=True, eq=False)
class Judgement:
    """A verdict without its patterns, and what was made on the way to it."""

    stability: Stability
    tolerance: float
    """Ratio to the largest singular value below which one counts as zero."""
    factors: Factors | None = field(default=None, repr=False)
    """Factors of the matrix, where the way led through them."""


def verdict_of(mechanisms: int, self_stress: int) -> str:
    """Name the verdict for so many mechanisms and self-stress states."""
    if mechanisms:
        return "unstable and indeterminate" if self_stress else "unstable"
    return "indeterminate" if self_stress else "determinate"


def assess(truss: Truss) -> Stability:
    """Judge whether equilibrium gives the forces in a truss.

    The count m + r against 2j only bounds the answer. The rank of the equilibrium matrix decides:
    mechanisms = 2j - rank, self-stress states = m + r - rank.

    Returns
    -------
    Stability

    References
    ----------
    S. Pellegrino and C. R. Calladine, "Matrix analysis of statically and kinematically indeterminate
    frameworks", International Journal of Solids and Structures 22 (1986); the count is Maxwell's rule.
    """
    return explain(Equilibrium(truss))


def explain(equilibrium: Equilibrium) -> Stability:
    """Judge as `assess` does a truss whose matrix is at hand already."""
    judgement = judge(equilibrium)
    found = judgement.stability
    if found.verdict == "determinate":
        return found
    truss, matrix = equilibrium.truss, equilibrium.matrix
    if found.j <= TOLERANCES.dense_joints:
        left, values, right = linalg.svd(matrix.toarray())
        rank = int((values > judgement.tolerance * values[0]).sum())
        moves, forces = left[:, rank:].T, right[rank:]
    else:
        limit = judgement.tolerance * largest_singular_value(matrix)
        moves, forces = null_spaces(matrix, limit, TOLERANCES.patterns)
    return replace(
        found,
        movements=tuple(describe_movement(truss, pattern.reshape(-1, 2)) for pattern in _simplest(moves, 2)),
        redundancies=tuple(describe_self_stress(truss, pattern) for pattern in _simplest(forces, 1)),
    )


def judge(equilibrium: Equilibrium) -> Judgement:
    """Find the verdict without the patterns: densely for a small truss, by `solver.rank` for a large one."""
    truss, matrix = equilibrium.truss, equilibrium.matrix
    tolerance = rank_tolerance(truss)
    rows, columns = matrix.shape
    condition = None
    factors = None
    if len(truss.joints) <= TOLERANCES.dense_joints:
        values = linalg.svdvals(matrix.toarray())
        rank = int((values > tolerance * values[0]).sum())
        mechanisms, self_stress = rows - rank, columns - rank
        condition = float(values[0] / values[rank - 1])
    else:
        proof = certify(matrix, tolerance)
        if proof is not None:
            mechanisms, self_stress = max(rows - columns, 0), max(columns - rows, 0)
            condition, factors = proof.largest / proof.smallest, proof.factors
        else:
            counted = nullity(matrix, tolerance)
            mechanisms, self_stress = counted.mechanisms, counted.self_stress
    stability = Stability(
        verdict=verdict_of(mechanisms, self_stress),
        m=len(truss.members),
        r=columns - len(truss.members),
        j=len(truss.joints),
        mechanisms=mechanisms,
        self_stress=self_stress,
        condition=None if mechanisms else condition,
    )
    return Judgement(stability, tolerance, factors)


def rank_tolerance(truss: Truss) -> float:
    """Ratio to the largest singular value below which one counts as zero."""
    rounding = TOLERANCES.coordinate_digits * float(np.abs(truss.at).max() / truss.lengths.min())
    return max(TOLERANCES.rank, rounding)


def _simplest(basis: NDArray[np.float64], parts: int) -> NDArray[np.float64]:
    """Rewrite a basis so that each vector involves few unknowns, by complete pivoting, and scale each to 1.

    Parameters
    ----------
    basis : (K, P) float
        Orthonormal rows.
    parts : int
        How many neighbouring entries make one quantity: 2 for displacements, 1 for forces.
    """
    rows = np.array(basis)
    for step in range(len(rows)):
        pivot_row, pivot_column = divmod(int(np.abs(rows[step:]).argmax()), rows.shape[1])
        rows[[step, step + pivot_row]] = rows[[step + pivot_row, step]]
        rows[step] /= rows[step, pivot_column]
        others = np.arange(len(rows)) != step
        rows[others] -= np.outer(rows[others, pivot_column], rows[step])
    if len(rows):
        size = np.linalg.norm(rows.reshape(len(rows), -1, parts), axis=2).max(axis=1)
        rows /= size[:, None]
        rows[np.abs(rows) < TOLERANCES.zero_force] = 0.0
    return rows
