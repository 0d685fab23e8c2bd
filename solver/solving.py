"""Reactions and member forces from equilibrium alone."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.balance import Checks, Reaction
from solver.checks import lacking_of
from solver.equilibrium import Equilibrium
from solver.errors import NoUniqueSolutionError, TrussError
from solver.factors import factorize
from solver.judge import explain, judge
from solver.notices import notices
from solver.settings import TOLERANCES
from solver.solution import Solution
from solver.stability import Stability
from solver.truss import Truss
from solver.uncertainty import position_sensitivity, standard_errors
from solver.zero_force import inspect

__all__ = ["assemble", "require_ready", "senses_of", "solve"]


def solve(truss: Truss, *, joint_covariance: NDArray[np.float64] | None = None) -> Solution:
    """Find reactions and member forces from equilibrium alone.

    Parameters
    ----------
    truss : Truss
    joint_covariance : (2N, 2N) float, optional
        Covariance of the joint positions x0, y0, x1, y1, ... in length units squared. It is carried to every
        force to first order, by implicit differentiation of equilibrium.

    Returns
    -------
    Solution

    Raises
    ------
    TrussError
        When the truss has no supports or no loads.
    NoUniqueSolutionError
        When the truss moves or is statically indeterminate; it carries the `Stability`.
    """
    require_ready(truss)
    equilibrium = Equilibrium(truss)
    judgement = judge(equilibrium)
    stability = judgement.stability
    if stability.verdict != "determinate":
        raise NoUniqueSolutionError(explain(equilibrium))
    matrix, loads = equilibrium.matrix, equilibrium.loads
    factors = judgement.factors or factorize(matrix)
    assert factors is not None  # its rank is full
    unknowns = factors.solve(-loads)
    unknowns -= factors.solve(matrix @ unknowns + loads)
    errors = None
    if joint_covariance is not None:
        sensitivity = factors.solve(-position_sensitivity(truss, unknowns[: len(truss.members)]))
        errors = standard_errors(sensitivity, joint_covariance)
    return assemble(equilibrium, stability, unknowns, errors)


def require_ready(truss: Truss) -> None:
    """Raise `TrussError` when the truss lacks supports or loads."""
    lacking = lacking_of(truss)
    if lacking:
        raise TrussError(lacking)


def assemble(
    equilibrium: Equilibrium,
    stability: Stability,
    unknowns: NDArray[np.float64],
    errors: NDArray[np.float64] | None,
) -> Solution:
    """Dress (M + R,) unknowns and their standard errors as a `Solution`."""
    truss = equilibrium.truss
    count = len(truss.members)
    scale = max(float(np.abs(equilibrium.loads).max()), float(np.abs(unknowns).max()))
    unknowns = np.where(np.abs(unknowns) <= np.finfo(float).eps * scale, 0.0, unknowns)
    forces, components = unknowns[:count], unknowns[count:]
    zero = inspect(equilibrium)
    checks = _check(equilibrium, unknowns)
    force_errors = None if errors is None else errors[:count]
    reactions = _reactions(equilibrium, components, None if errors is None else errors[count:])
    return Solution(
        truss=truss,
        stability=stability,
        forces=forces,
        force_errors=force_errors,
        reactions=reactions,
        senses=senses_of(forces, zero, scale=scale, errors=force_errors),
        zero_by_inspection=zero,
        checks=checks,
        warnings=notices(truss, stability, checks, reactions),
    )


def _reactions(
    equilibrium: Equilibrium, components: NDArray[np.float64], errors: NDArray[np.float64] | None
) -> tuple[Reaction, ...]:
    supports = equilibrium.truss.supports
    vectors = equilibrium.reaction_vectors(components)
    # Components of a pin are its x and y; a roller's error lies along its normal.
    spread = None if errors is None else np.abs(equilibrium.reaction_vectors(errors))
    _, pushes = equilibrium.reactions
    first = np.cumsum([0, *(2 if support.kind == "pin" else 1 for support in supports)])
    return tuple(
        Reaction(
            joint=support.joint,
            fx=float(vectors[place, 0]),
            fy=float(vectors[place, 1]),
            kind=support.kind,
            normal=None if support.kind == "pin" else _pair(pushes[first[place]]),
            fx_error=None if spread is None else float(spread[place, 0]),
            fy_error=None if spread is None else float(spread[place, 1]),
        )
        for place, support in enumerate(supports)
    )


def _pair(vector: NDArray[np.float64]) -> tuple[float, float]:
    return float(vector[0]), float(vector[1])


def senses_of(
    forces: NDArray[np.float64],
    zero: NDArray[np.bool_],
    *,
    scale: float,
    errors: NDArray[np.float64] | None = None,
) -> tuple[str, ...]:
    """Call each force tension `T`, compression `C`, nothing `0`, or `?` when its sign is not certain."""
    small = np.abs(forces) <= TOLERANCES.zero_force * scale
    letters = np.where(forces > 0, "T", "C")
    letters[small] = "0"
    if errors is not None:
        unsure = np.abs(forces) < TOLERANCES.sure_sign * errors
        unsure &= ~(small & (errors <= TOLERANCES.zero_force * scale))
        letters[unsure] = "?"
    letters[zero & small] = "0"
    return tuple(letters.tolist())


def _check(equilibrium: Equilibrium, unknowns: NDArray[np.float64]) -> Checks:
    truss = equilibrium.truss
    residual = equilibrium.matrix @ unknowns + equilibrium.loads
    at_joint, pushes = equilibrium.reactions
    outer = equilibrium.loads.reshape(-1, 2).copy()
    np.add.at(outer, at_joint, unknowns[len(truss.members) :, None] * pushes)
    arms = truss.at - truss.at.mean(axis=0)
    return Checks(
        joint_residual=float(np.abs(residual).max()),
        sum_fx=float(outer[:, 0].sum()),
        sum_fy=float(outer[:, 1].sum()),
        sum_moment=float((arms[:, 0] * outer[:, 1] - arms[:, 1] * outer[:, 0]).sum()),
        largest_load=float(np.hypot(*equilibrium.loads.reshape(-1, 2).T).max()),
    )
