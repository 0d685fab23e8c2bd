"""Can the truss be solved? The count, and the truth behind it: the rank of the equilibrium matrix."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import linalg

from solver.equilibrium import Equilibrium
from solver.settings import TOLERANCES
from solver.truss import Truss

__all__ = ["Stability", "assess", "verdict_of"]


@dataclass(frozen=True, eq=False)
class Stability:
    """Whether equilibrium gives one answer, and if not, why not."""

    verdict: str
    """`determinate`, `indeterminate`, `unstable` or `unstable and indeterminate`."""
    m: int
    """Members."""
    r: int
    """Reaction components."""
    j: int
    """Joints."""
    mechanisms: int
    """Independent ways in which the truss can move without stretching a member."""
    self_stress: int
    """Independent sets of forces that balance with no load: the degree of indeterminacy."""
    condition: float | None
    """Largest over smallest singular value of the equilibrium matrix; none where the truss moves."""
    displacements: NDArray[np.float64]
    """(K, N, 2) one displacement pattern for each mechanism, largest movement 1, x right and y up."""
    self_stress_forces: NDArray[np.float64]
    """(S, M + R) one self-stress for each redundant, largest 1: members (tension positive), then
    reactions."""

    @property
    def stable(self) -> bool:
        """Whether the truss keeps its shape and place."""
        return self.mechanisms == 0

    @property
    def near_mechanism(self) -> bool:
        """Whether the truss keeps its shape only just: its condition number is beyond the stated limit."""
        return self.condition is not None and self.condition > TOLERANCES.near_mechanism


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
    return assess_equilibrium(Equilibrium(truss))


def assess_equilibrium(equilibrium: Equilibrium) -> Stability:
    """Judge a truss whose matrix is at hand already; see `assess`."""
    truss = equilibrium.truss
    matrix = equilibrium.matrix.toarray()
    rows, columns = matrix.shape
    left, values, right = linalg.svd(matrix, lapack_driver="gesdd")
    largest = float(values[0])
    rank = int((values > rank_tolerance(truss) * largest).sum())
    mechanisms, self_stress = rows - rank, columns - rank
    return Stability(
        verdict=verdict_of(mechanisms, self_stress),
        m=len(truss.members),
        r=columns - len(truss.members),
        j=len(truss.joints),
        mechanisms=mechanisms,
        self_stress=self_stress,
        condition=None if mechanisms else largest / float(values[rank - 1]),
        displacements=_simplest(left[:, rank:].T, 2).reshape(mechanisms, rows // 2, 2),
        self_stress_forces=_simplest(right[rank:], 1),
    )


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
