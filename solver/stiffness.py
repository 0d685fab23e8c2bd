"""Trusses that equilibrium alone cannot solve, by the stiffness of their members; and how joints move.

Forces u, reactions R and displacements d of all joints satisfy together::

    A_m f + A_r R + p = 0        equilibrium
    (L / EA) f + A_m' d = -e     each member stretches as its ends move apart (e: length given to it
    otherwise) A_r' d = 0                   supports hold

One sparse system gives all three, and by differentiation how they follow the joint positions.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse.linalg import splu

from solver.equilibrium import Equilibrium
from solver.errors import NoUniqueSolutionError, QuestionError
from solver.judge import explain, judge
from solver.notices import Notice
from solver.solution import Solution
from solver.solving import assemble, require_ready
from solver.stability import Stability
from solver.truss import Truss
from solver.uncertainty import position_sensitivity, standard_errors

__all__ = ["Deflection", "Displacements", "displacements", "solve_with_stiffness", "unit_load"]


@dataclass(frozen=True, eq=False)
class Displacements:
    """How the joints of a loaded truss move."""

    truss: Truss
    displacements: NDArray[np.float64]
    """(N, 2) length units, x right and y up."""
    elongations: NDArray[np.float64]
    """(M,) length units, positive for a member that grows longer."""

    def of(self, joint: str, direction: tuple[float, float]) -> float:
        """Give the movement of one joint in a direction of any length."""
        if joint not in self.truss.row:
            raise QuestionError(f"There is no joint {joint}; name a joint of the truss.")
        way = _unit(direction)
        return float(self.displacements[self.truss.row[joint]] @ way)


@dataclass(frozen=True, eq=False)
class Deflection:
    """One displacement by the unit-load method, with the table that a person would write."""

    joint: str
    direction: tuple[float, float]
    """Unit vector of the unit load and of the displacement."""
    forces: NDArray[np.float64]
    """(M,) N, from the loads, in force units."""
    unit_forces: NDArray[np.float64]
    """(M,) n, from the unit load, without unit."""
    contributions: NDArray[np.float64]
    """(M,) n times the member's elongation, in length units."""

    @property
    def total(self) -> float:
        """The displacement, in length units."""
        return float(self.contributions.sum())


def solve_with_stiffness(
    truss: Truss, *, equal: bool = False, joint_covariance: NDArray[np.float64] | None = None
) -> Solution:
    """Solve a stable truss, determinate or not, by the stiffness method.

    Parameters
    ----------
    equal : bool
        Take EA to be the same for all members, whatever the model gives; the answer says so.
    joint_covariance : (2N, 2N) float, optional
        As in `solve`.

    Returns
    -------
    Solution
        With a notice of kind `stiffness` (or `equal stiffness`) where the forces depend on it.

    Raises
    ------
    TrussError
        When the truss has no supports or no loads.
    QuestionError
        When a member has no stiffness given.
    NoUniqueSolutionError
        When the truss moves.

    References
    ----------
    The displacement method of any text on matrix structural analysis, in mixed form.
    """
    require_ready(truss)
    system = _System.of(truss, equal=equal)
    forces, _ = system.solve(-system.equilibrium.loads, np.zeros(len(truss.members)))
    errors = None
    if joint_covariance is not None:
        errors = standard_errors(system.sensitivity(), joint_covariance)
    solution = assemble(system.equilibrium, system.stability, forces, errors)
    if system.stability.verdict == "determinate":
        return solution
    return solution.with_notice(_stiffness_notice(system.stability, equal=equal))


def displacements(
    truss: Truss, *, equal: bool = False, length_changes: NDArray[np.float64] | None = None
) -> Displacements:
    """Find how all joints of a stable truss move under its loads.

    Parameters
    ----------
    equal : bool
        Take EA of every member to be 1 force unit: shapes are right, sizes are not.
    length_changes : (M,) float, optional
        Lengths given to the members by warmth or by the maker, in length units, besides what their forces
        give.

    Raises
    ------
    QuestionError
        When a member has no stiffness given.
    NoUniqueSolutionError
        When the truss moves.
    """
    changes = (
        np.zeros(len(truss.members)) if length_changes is None else np.asarray(length_changes, dtype=float)
    )
    if changes.shape != (len(truss.members),) or not np.isfinite(changes).all():
        raise QuestionError(f"Give one length change for each of the {len(truss.members)} members.")
    system = _System.of(truss, equal=equal)
    forces, moved = system.solve(-system.equilibrium.loads, changes)
    stretch = system.flexibility * forces[: len(truss.members)] + changes
    return Displacements(truss, moved.reshape(-1, 2), stretch)


def unit_load(
    truss: Truss,
    joint: str,
    direction: tuple[float, float],
    *,
    length_changes: NDArray[np.float64] | None = None,
) -> Deflection:
    """Find one displacement by the unit-load method: the sum of n N L / (A E) over all members.

    Raises
    ------
    QuestionError
        When there is no such joint, or a member has no stiffness given.
    NoUniqueSolutionError
        When the truss moves.

    References
    ----------
    N. M. Holtz et al., Structural Analysis, chapter 6 (virtual work); in every text on structural analysis.
    """
    if joint not in truss.row:
        raise QuestionError(f"There is no joint {joint}; name a joint of the truss.")
    way = _unit(direction)
    whole = displacements(truss, length_changes=length_changes)
    system = _System.of(truss, equal=False)
    one = np.zeros(2 * len(truss.joints))
    one[2 * truss.row[joint] : 2 * truss.row[joint] + 2] = way
    count = len(truss.members)
    unit_forces, _ = system.solve(-one, np.zeros(count))
    forces, _ = system.solve(
        -system.equilibrium.loads, np.zeros(count) if length_changes is None else np.asarray(length_changes)
    )
    return Deflection(
        joint=joint,
        direction=(float(way[0]), float(way[1])),
        forces=forces[:count],
        unit_forces=unit_forces[:count],
        contributions=unit_forces[:count] * whole.elongations,
    )


@dataclass(frozen=True, eq=False)
class _System:
    """The three sets of equations of a stable truss, factorized once."""

    equilibrium: Equilibrium
    stability: Stability
    flexibility: NDArray[np.float64]
    """(M,) L / EA, length units per force unit."""

    @classmethod
    def of(cls, truss: Truss, *, equal: bool) -> _System:
        equilibrium = Equilibrium(truss)
        judgement = judge(equilibrium)
        if not judgement.stability.stable:
            raise NoUniqueSolutionError(explain(equilibrium))
        stiffness = np.ones(len(truss.members)) if equal else _stiffness(truss)
        return cls(equilibrium, judgement.stability, truss.lengths / stiffness)

    @cached_property
    def scale(self) -> float:
        """Mean flexibility: displacements over it are of the size of the forces."""
        return float(self.flexibility.mean())

    @cached_property
    def lu(self) -> sparse.linalg.SuperLU:
        """Factors of the whole system."""
        count = len(self.flexibility)
        matrix = self.equilibrium.matrix
        transposed = sparse.csc_array(matrix.T)
        reactions = matrix.shape[1] - count
        soft = sparse.diags_array(np.concatenate((self.flexibility / self.scale, np.zeros(reactions))))
        return splu(sparse.block_array([[matrix, None], [soft, transposed]], format="csc"))

    def solve(
        self, right: NDArray[np.float64], changes: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Give (M + R,) unknowns and (2N,) displacements, for minus the loads and lengths given otherwise.

        Both arguments may carry one more axis of as many columns.
        """
        rows, columns = self.equilibrium.matrix.shape
        whole = np.zeros((rows + columns, *right.shape[1:]))
        whole[:rows] = right
        whole[rows : rows + len(self.flexibility)] = -changes / self.scale
        found = self.lu.solve(whole)
        return np.asarray(found[:columns]), np.asarray(found[columns:]) * self.scale

    def sensitivity(self) -> NDArray[np.float64]:
        """Differentiate (M + R,) unknowns by (2N,) joint positions."""
        truss = self.equilibrium.truss
        count = len(truss.members)
        unknowns, moved = self.solve(-self.equilibrium.loads, np.zeros(count))
        forces = unknowns[:count]
        d, ends = truss.directions, truss.ends
        apart = np.diff(moved.reshape(-1, 2)[ends], axis=1)[:, 0]
        across = apart - (apart * d).sum(axis=1, keepdims=True) * d
        # How (L / EA) f - (apart) . d of each member changes as its end moves; its start does the opposite.
        softness = self.flexibility * forces / truss.lengths
        stretch = softness[:, None] * d - across / truss.lengths[:, None]
        lengths = np.zeros((count, 2 * len(truss.joints)))
        member = np.arange(count)
        for axis in (0, 1):
            lengths[member, 2 * ends[:, 1] + axis] += stretch[:, axis]
            lengths[member, 2 * ends[:, 0] + axis] -= stretch[:, axis]
        change, _ = self.solve(-position_sensitivity(truss, forces), lengths)
        return change


def _stiffness(truss: Truss) -> NDArray[np.float64]:
    lacking = [f"{member.start}–{member.end}" for member in truss.members if member.stiffness is None]
    if lacking:
        more = f" and {len(lacking) - 5} more" if len(lacking) > 5 else ""
        raise QuestionError(
            f"No stiffness EA is given for member {', '.join(lacking[:5])}{more}; give it for every "
            "member, or ask for equal stiffness."
        )
    return np.array([member.stiffness for member in truss.members], dtype=float)


def _stiffness_notice(stability: Stability, *, equal: bool) -> Notice:
    degree = f"The truss is statically indeterminate to degree {stability.self_stress}"
    if equal:
        return Notice(
            "equal stiffness",
            f"{degree}: these forces hold only if EA is the same for all members, which was assumed here.",
        )
    return Notice("stiffness", f"{degree}: these forces depend on the stiffness EA given for the members.")


def _unit(direction: tuple[float, float]) -> NDArray[np.float64]:
    way = np.asarray(direction, dtype=float)
    size = float(np.hypot(*way)) if way.shape == (2,) else 0.0
    if not np.isfinite(size) or size == 0.0:
        raise QuestionError("A direction needs two numbers, x and y, not both zero.")
    return np.asarray(way / size)
