"""Which way to move each joint: how the failure load per gram follows the shape, by adjoint differentiation.

One transposed solution for the governing member gives the derivative by every coordinate at once: with
A u = -p and A' y = e (the unit vector of that member), du/dx = -y' (dA/dx u + dp/dx).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import nnls

from solver.equilibrium import Equilibrium
from solver.errors import QuestionError
from solver.factors import factorize
from solver.loads import joint_loads
from solver.strength.capacity import SAWN, Piece, compression_checks
from solver.strength.demand import Demand
from solver.strength.failing import Check, Standing, live_forces, members_at
from solver.truss import Truss
from solver.uncertainty import position_sensitivity
from solver.units import convert_force, convert_length

__all__ = ["ShapeGradient", "gradient_of", "shape_gradient"]


@dataclass(frozen=True, eq=False)
class ShapeGradient:
    """How the failure load per gram follows the joint positions."""

    merit: float
    """N/g: failure load over the mass of the members, at averages."""
    gradient: NDArray[np.float64]
    """(N, 2) N/g for each mm that a joint moves right or up, the stock staying as it is."""


def shape_gradient(standing: Standing) -> ShapeGradient:
    """Give the direction of steepest rise of the failure load per gram.

    Where several members go first together, every one of them must gain: the direction is the shortest vector
    in the convex hull of their gradients, and zero when no small movement helps them all.

    Raises
    ------
    QuestionError
        When the truss is indeterminate.

    References
    ----------
    Adjoint method: any text on sensitivity analysis. Steepest ascent of a minimum: V. F. Demyanov and V. N.
    Malozemov, Introduction to Minimax (1974), from memory.
    """
    gradients = np.stack([gradient_of(standing, check).ravel() for check in standing.governing])
    size = float(np.abs(gradients).max())
    weights = np.ones(len(gradients)) / len(gradients)
    if len(gradients) > 1 and size > 0:
        # Weights of sum one: the last row, made heavy, holds them to it.
        heavy = _HEAVY * np.ones((1, len(gradients)))
        weights, _ = nnls(np.vstack((gradients.T / size, heavy)), np.r_[np.zeros(gradients.shape[1]), _HEAVY])
        weights /= weights.sum()
    merit = standing.failure_load / standing.mass
    return ShapeGradient(merit, (weights @ gradients).reshape(-1, 2))


_HEAVY = 1e3
"""Of the largest derivative: how firmly the weights are held to their sum."""


def gradient_of(standing: Standing, check: Check) -> NDArray[np.float64]:
    """Differentiate the load per gram at which one member or joint goes, by the joint positions.

    Returns
    -------
    (N, 2) float
        N/g for each mm, right and up.

    Raises
    ------
    QuestionError
        When the truss is indeterminate, or the load does not reach the member or joint.
    """
    demand = standing.demand
    if not demand.determinate:
        raise QuestionError(
            "What moving a joint gains is worked out for statically determinate trusses only: take redundant "
            "members or supports away, or move a joint in the model and compare."
        )
    row = _row_of(standing, check)
    live = float(live_forces(demand)[row])
    if live == 0 or not 0 < check.load_factor < np.inf:
        raise QuestionError(f"The load does not reach {check.name}, so that no movement of a joint matters.")
    sense = np.sign(live)
    live_change, dead_change = _force_changes(demand, row)
    stretch = _length_changes(demand.truss)
    capacity_change = np.zeros_like(live_change)
    if sense < 0 and len(check.joints) == 2:
        slope = _capacity_slope(standing.pieces[row], float(demand.lengths[row]), standing.curve)
        capacity_change = slope * stretch[row]
    # factor = (capacity - sense dead) / (sense live)
    factor = check.load_factor
    factor_change = (capacity_change - sense * dead_change) / (sense * live) - factor * live_change / live
    grams = standing.member_grams
    mass, total = float(grams.sum()), demand.total_load
    mass_change = (grams / demand.lengths) @ stretch
    load = factor * total
    load_change = factor_change * total + factor * _total_change(demand)
    return np.asarray((load_change / mass - load * mass_change / mass**2).reshape(-1, 2))


def _row_of(standing: Standing, check: Check) -> int:
    """Give the member that decides: itself, or at a joint the one that asks most of it."""
    place = next(at for at, one in enumerate(standing.checks) if one is check)
    if place < len(standing.pieces):
        return place
    rows = members_at(standing.demand, check.joints[0])
    strength = standing.joint_strengths[place - len(standing.pieces)]
    live, dead = live_forces(standing.demand)[rows], standing.demand.dead[rows]
    with np.errstate(divide="ignore"):
        factors = (strength.force - np.sign(live) * dead) / np.abs(live)
    return int(rows[int(np.argmin(factors))])


def _force_changes(demand: Demand, row: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Differentiate live and dead force of one member by all coordinates, N/mm: one transposed solution."""
    truss, loaded = demand.truss, demand.loaded
    newton = convert_force(1.0, truss.force_unit, "N")
    millimetre = convert_length(1.0, truss.length_unit, "mm")
    matrix = Equilibrium(loaded).matrix
    factors = factorize(matrix)
    assert factors is not None  # the truss has been solved
    unit = np.zeros(matrix.shape[1])
    unit[row] = 1.0
    adjoint = factors.solve_transposed(unit)
    live = -adjoint @ position_sensitivity(loaded, demand.live / newton)
    whole = -adjoint @ position_sensitivity(truss, (demand.live + demand.dead) / newton)
    return live * newton / millimetre, (whole - live) * newton / millimetre


def _length_changes(truss: Truss) -> NDArray[np.float64]:
    """Give (M, 2N) change of each member's length as a coordinate moves, without unit."""
    count = len(truss.members)
    changes = np.zeros((count, 2 * len(truss.joints)))
    member = np.arange(count)
    for axis in (0, 1):
        changes[member, 2 * truss.ends[:, 1] + axis] = truss.directions[:, axis]
        changes[member, 2 * truss.ends[:, 0] + axis] = -truss.directions[:, axis]
    return changes


def _capacity_slope(piece: Piece, length: float, curve: str) -> float:
    """Differentiate the compression capacity by the member's length, N/mm."""
    crushing, *ways = compression_checks(piece, length)
    buckling = min(ways, key=lambda way: way.force)
    # Out of the plane the length between bracing points stays.
    slope = -2 * buckling.force / length if buckling.mode == "buckling" else 0.0
    if curve == "least":
        return slope if buckling.force < crushing.force else 0.0
    ratio = buckling.force / crushing.force
    half = (1 + ratio) / (2 * SAWN)
    root = float(np.sqrt(half**2 - ratio / SAWN))
    return slope * (1 - (half - 1) / root) / (2 * SAWN)


def _total_change(demand: Demand) -> NDArray[np.float64]:
    """Differentiate the sum of all loads by the coordinates, N/mm: loads along a deck grow with it."""
    loaded = demand.loaded
    newton = convert_force(1.0, loaded.force_unit, "N")
    millimetre = convert_length(1.0, loaded.length_unit, "mm")
    loads = joint_loads(loaded)
    sizes = np.hypot(loads[:, 0], loads[:, 1])[:, None]
    ways = np.divide(loads, sizes, out=np.zeros_like(loads), where=sizes > 0)
    by_place = position_sensitivity(loaded, np.zeros(len(loaded.members)))
    return np.asarray(ways.ravel() @ by_place) * newton / millimetre
