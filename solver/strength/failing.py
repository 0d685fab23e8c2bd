"""What gives way first, and at what load: every member and joint against what it can carry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.errors import StockError
from solver.settings import TOLERANCES
from solver.strength.capacity import (
    Capacity,
    Piece,
    compression_capacity,
    joint_capacity,
    tension_capacity,
)
from solver.strength.demand import Demand
from solver.strength.settings import SETTINGS

__all__ = [
    "Check",
    "JointStrength",
    "Standing",
    "live_forces",
    "load_factors",
    "masses",
    "members_at",
    "standing_of",
]


@dataclass(frozen=True)
class JointStrength:
    """What a joint's glue or gusset holds of any one member that ends there."""

    joint: str
    force: float
    """N."""
    scatter: float = SETTINGS.joint_scatter
    """Coefficient of variation."""
    lap: Capacity | None = None
    """Where the force comes from, when it was worked out from a glued lap."""

    @property
    def capacity(self) -> Capacity:
        """The same with the formula behind it."""
        return joint_capacity(self.force) if self.lap is None else self.lap


@dataclass(frozen=True)
class Check:
    """One member, or one joint, against what it can carry."""

    joints: tuple[str, ...]
    """Both ends of a member, or the one joint."""
    force: float
    """N at the given load, tension positive; at a joint, that of the member which asks most of it."""
    capacity: Capacity
    """Of the way in which it would give way as the load grows; of tension where no load reaches it."""
    utilization: float
    """|force| over what it can carry in that sense: 1 is failure."""
    load_factor: float
    """The given load times this makes it give way; infinite where the load does not reach it."""

    @property
    def name(self) -> str:
        """`C-F` for a member, `F` for a joint."""
        return "-".join(self.joints)


@dataclass(frozen=True, eq=False)
class Standing:
    """Every member and joint of a truss against what it can carry, at averages."""

    demand: Demand
    pieces: tuple[Piece, ...]
    joint_strengths: tuple[JointStrength, ...]
    curve: str
    checks: tuple[Check, ...]
    """Members in the order of the truss, then joints in the order given."""

    @property
    def ranking(self) -> tuple[Check, ...]:
        """Checks by load factor, the lowest first."""
        return tuple(sorted(self.checks, key=lambda check: check.load_factor))

    @property
    def load_factor(self) -> float:
        """The lowest load factor."""
        return min(check.load_factor for check in self.checks)

    @property
    def governing(self) -> tuple[Check, ...]:
        """What gives way first: one check, or several that are equal within the stated tie."""
        limit = self.load_factor * (1 + SETTINGS.tie)
        return tuple(check for check in self.ranking if check.load_factor <= limit)

    @property
    def failure_load(self) -> float:
        """N, all loads added up, self-weight left out."""
        return self.load_factor * self.demand.total_load

    @property
    def mass(self) -> float:
        """Grams, of the members alone: glue and gussets are not in it."""
        return float(self.member_grams.sum())

    @property
    def member_grams(self) -> NDArray[np.float64]:
        """(M,) grams of each member, measured between its joints."""
        return masses(self.demand, self.pieces)


def masses(demand: Demand, pieces: Sequence[Piece]) -> NDArray[np.float64]:
    """Give (M,) grams of each member, measured between its joints."""
    per_length = np.array([piece.section.area * piece.material.density.value for piece in pieces])
    return np.asarray(per_length * demand.lengths * 1e-6)  # mm³ times kg/m³ is 1e-6 g


def load_factors(
    dead: NDArray[np.float64],
    live: NDArray[np.float64],
    tension: NDArray[np.float64],
    compression: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Give the factor on the live forces at which dead + factor * live reaches a capacity.

    All arguments are arrays that broadcast, in N; forces are tension positive, capacities positive. The
    answer is infinite where the live force is zero, and zero where the dead force alone is too much.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        factor = np.where(live > 0, (tension - dead) / live, (compression + dead) / -live)
    factor = np.where(live == 0, np.inf, factor)
    return np.where((dead > tension) | (-dead > compression), 0.0, np.maximum(factor, 0.0))


def standing_of(
    demand: Demand,
    pieces: Sequence[Piece],
    *,
    joint_strengths: Sequence[JointStrength] = (),
    curve: str = "least",
) -> Standing:
    """Hold every member and joint against what it can carry.

    Parameters
    ----------
    demand : Demand
    pieces : sequence of (M,) Piece
    joint_strengths : sequence of JointStrength
        Joints whose glue or gusset can fail; the others are taken to hold.
    curve : str
        How crushing and buckling are joined: `least` or `interaction`.

    Raises
    ------
    StockError
        When a joint is not in the truss, or the load reaches nothing.
    """
    checks = [_member_check(demand, row, piece, curve) for row, piece in enumerate(pieces)]
    checks += [_joint_check(demand, strength) for strength in joint_strengths]
    standing = Standing(demand, tuple(pieces), tuple(joint_strengths), curve, tuple(checks))
    if not np.isfinite(standing.load_factor):
        raise StockError(
            "The loads reach no member: they stand on the supports. Put a load on another joint."
        )
    return standing


def live_forces(demand: Demand) -> NDArray[np.float64]:
    """Give (M,) live forces with the dust of arithmetic swept to exact zero."""
    live = demand.live
    dust = TOLERANCES.zero_force * max(float(np.abs(live).max()), demand.total_load)
    return np.where(np.abs(live) <= dust, 0.0, live)


def _member_check(demand: Demand, row: int, piece: Piece, curve: str) -> Check:
    dead, live = float(demand.dead[row]), float(live_forces(demand)[row])
    tension = tension_capacity(piece)
    compression = compression_capacity(piece, float(demand.lengths[row]), curve=curve)
    member = demand.truss.members[row]
    force = dead + live
    pulls = live > 0 or (live == 0 and dead >= 0)
    if dead > tension.force or -dead > compression.force:
        pulls = dead > 0
    factor = load_factors(
        np.array(dead), np.array(live), np.array(tension.force), np.array(compression.force)
    )
    return Check(
        joints=(member.start, member.end),
        force=force,
        capacity=tension if pulls else compression,
        utilization=abs(force) / (tension if force >= 0 else compression).force,
        load_factor=float(factor),
    )


def _joint_check(demand: Demand, strength: JointStrength) -> Check:
    capacity = strength.capacity
    rows = members_at(demand, strength.joint)
    dead, live = demand.dead[rows], live_forces(demand)[rows]
    factors = load_factors(dead, live, np.array(capacity.force), np.array(capacity.force))
    forces = dead + live
    most = float(forces[int(np.abs(forces).argmax())])
    return Check(
        joints=(strength.joint,),
        force=most,
        capacity=capacity,
        utilization=abs(most) / capacity.force,
        load_factor=float(factors.min()),
    )


def members_at(demand: Demand, joint: str) -> NDArray[np.intp]:
    """Give rows of the members that end at a joint."""
    if joint not in demand.truss.row:
        raise StockError(f"There is no joint {joint} to hold anything; name a joint of the truss.")
    row = demand.truss.row[joint]
    return np.flatnonzero((demand.truss.ends == row).any(axis=1))
