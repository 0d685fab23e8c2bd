"""What the loads ask of each member, and how that follows the load, the places of the joints and stiffness.

Newtons and millimetres throughout, whatever the units of the truss.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from solver.equilibrium import Equilibrium
from solver.errors import StockError
from solver.factors import factorize
from solver.judge import assess
from solver.loads import joint_loads
from solver.parts import Joint
from solver.solution import Solution
from solver.solving import solve
from solver.stiffness import solve_with_stiffness
from solver.strength.capacity import Piece
from solver.strength.settings import SETTINGS
from solver.truss import Truss
from solver.uncertainty import position_sensitivity
from solver.units import convert_force, convert_length

__all__ = ["Demand", "demand_of"]


@dataclass(frozen=True, eq=False)
class Demand:
    """Member forces of a truss: `dead` stays (self-weight), `live` grows with the load factor."""

    solution: Solution
    """At the given load, in the truss's own units; its truss has the stiffness of the pieces."""
    loaded: Truss
    """The same truss without self-weight."""
    lengths: NDArray[np.float64]
    """(M,) mm."""
    dead: NDArray[np.float64]
    """(M,) N, tension positive, from self-weight."""
    live: NDArray[np.float64]
    """(M,) N, tension positive, from the given loads."""
    total_load: float
    """N, the sizes of the given loads on all joints added up, self-weight left out."""

    @property
    def truss(self) -> Truss:
        """The truss, in its own units."""
        return self.solution.truss

    @property
    def determinate(self) -> bool:
        """Whether stiffness does not matter to the forces."""
        return self.solution.stability.verdict == "determinate"

    @cached_property
    def live_by_place(self) -> NDArray[np.float64]:
        """(M, 2N) N/mm: change of each live force as a coordinate x0, y0, x1, ... moves."""
        newton, millimetre = _units(self.truss)
        forces = self.live / newton
        return _by_place(self.loaded, forces, determinate=self.determinate) * newton / millimetre

    @cached_property
    def dead_by_place(self) -> NDArray[np.float64]:
        """(M, 2N) N/mm: the same of the dead forces."""
        if not any(member.weight for member in self.truss.members):
            return np.zeros_like(self.live_by_place)
        newton, millimetre = _units(self.truss)
        whole = _by_place(self.truss, self.solution.forces, determinate=self.determinate)
        return whole * newton / millimetre - self.live_by_place

    @cached_property
    def live_by_stiffness(self) -> NDArray[np.float64]:
        """(M, M) N: change of live force i for a relative change of member j's stiffness.

        Zero for a determinate truss. That of the dead force is left out: it is small beside the live one.
        """
        if self.determinate:
            return np.zeros((len(self.live), len(self.live)))
        return _by_stiffness(self.loaded) * _units(self.truss)[0]


def demand_of(truss: Truss, pieces: Sequence[Piece]) -> Demand:
    """Find member forces with the stiffness EA of the pieces, split into self-weight and loads.

    Parameters
    ----------
    truss : Truss
    pieces : sequence of (M,) Piece

    Raises
    ------
    StockError
        When the pieces do not match the members, or there is no load besides self-weight.
    TrussError, NoUniqueSolutionError
        As `solve` and `solve_with_stiffness` do.
    """
    if len(pieces) != len(truss.members):
        raise StockError(f"Give one piece for each of the {len(truss.members)} members.")
    newton, millimetre = _units(truss)
    stiff = replace(
        truss,
        members=tuple(
            replace(member, stiffness=piece.material.modulus.value * piece.section.area / newton)
            for member, piece in zip(truss.members, pieces, strict=True)
        ),
    )
    determinate = assess(stiff).verdict != "indeterminate"
    # An unstable truss goes to `solve`, which says why it has no answer.
    solution = solve(stiff) if determinate else solve_with_stiffness(stiff)
    loaded = replace(stiff, members=tuple(replace(member, weight=0.0) for member in stiff.members))
    applied = joint_loads(loaded)
    total = float(np.hypot(applied[:, 0], applied[:, 1]).sum())
    if total == 0.0:
        raise StockError(
            "There is no load besides self-weight, so that there is no load to grow: put one on a joint."
        )
    live = solve(loaded).forces if determinate else solve_with_stiffness(loaded).forces
    heavy = any(member.weight for member in stiff.members)
    return Demand(
        solution=solution,
        loaded=loaded,
        lengths=truss.lengths * millimetre,
        dead=(solution.forces - live) * newton if heavy else np.zeros(len(truss.members)),
        live=live * newton,
        total_load=total * newton,
    )


def _units(truss: Truss) -> tuple[float, float]:
    """Give N in one force unit and mm in one length unit of the truss."""
    return convert_force(1.0, truss.force_unit, "N"), convert_length(1.0, truss.length_unit, "mm")


def _by_place(truss: Truss, forces: NDArray[np.float64], *, determinate: bool) -> NDArray[np.float64]:
    """Differentiate (M,) member forces by (2N,) joint positions, in the truss's own units."""
    if determinate:
        factors = factorize(Equilibrium(truss).matrix)
        assert factors is not None  # `solve` has found its forces
        return np.asarray(factors.solve(-position_sensitivity(truss, forces))[: len(truss.members)])
    step = SETTINGS.step * float(np.ptp(truss.at, axis=0).max())
    columns = []
    for place in range(2 * len(truss.joints)):
        either = [solve_with_stiffness(_moved(truss, place, sign * step)).forces for sign in (1.0, -1.0)]
        columns.append((either[0] - either[1]) / (2 * step))
    return np.stack(columns, axis=1)


def _moved(truss: Truss, place: int, step: float) -> Truss:
    joints = list(truss.joints)
    row, axis = divmod(place, 2)
    joint = joints[row]
    joints[row] = Joint(joint.name, joint.x + step * (axis == 0), joint.y + step * (axis == 1))
    return replace(truss, joints=tuple(joints))


def _by_stiffness(truss: Truss) -> NDArray[np.float64]:
    columns = []
    for row, member in enumerate(truss.members):
        assert member.stiffness is not None  # `demand_of` gave it
        either = []
        for sign in (1.0, -1.0):
            members = list(truss.members)
            members[row] = replace(member, stiffness=member.stiffness * (1 + sign * SETTINGS.step))
            either.append(solve_with_stiffness(replace(truss, members=tuple(members))).forces)
        columns.append((either[0] - either[1]) / (2 * SETTINGS.step))
    return np.stack(columns, axis=1)
