"""Equations that a student may have used: sums at each joint, of the whole truss, and moments of sections.

Columns are the unknowns of the equilibrium matrix: members, tension positive, then reaction components. A
body's equations stand together, since two unknowns at a joint are found from its two sums.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from solver.equilibrium import Equilibrium
from solver.loads import joint_loads
from solver.marking.records import Origin
from solver.marking.settings import SETTINGS
from solver.sections import find_cut, section_equation
from solver.solution import Solution
from solver.steps import Equation, Quantity
from solver.truss import Truss

__all__ = [
    "Body",
    "Geometry",
    "bodies_of",
    "joint_body",
    "rounded_sines",
    "rounded_to_degrees",
    "section_bodies",
    "whole_body",
    "with_angles",
]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Geometry:
    """A truss in columns and rows, with directions as a student may have rounded them."""

    truss: Truss
    directions: Array
    """(M, 2) unit vectors from start to end, or what rounding left of them."""
    pushes: Array
    """(R, 2) directions of the reaction components."""
    loads: Array
    """(N, 2) force units at joints, x right, y up."""
    at_joint: NDArray[np.intp]
    """(R,) joint row of each reaction component."""

    @classmethod
    def of(cls, truss: Truss) -> Geometry:
        """Take the exact directions."""
        at_joint, pushes = Equilibrium(truss).reactions
        return cls(truss, truss.directions, pushes, joint_loads(truss), at_joint)

    @cached_property
    def meeting(self) -> tuple[tuple[tuple[int, float], ...], ...]:
        """For each joint its columns, each with the sign that turns its direction into a pull on it."""
        found: list[list[tuple[int, float]]] = [[] for _ in self.truss.joints]
        for member, (start, end) in enumerate(self.truss.ends.tolist()):
            found[start].append((member, 1.0))
            found[end].append((member, -1.0))
        for index, joint in enumerate(self.at_joint.tolist()):
            found[joint].append((len(self.truss.members) + index, 1.0))
        return tuple(tuple(here) for here in found)

    @cached_property
    def ways(self) -> Array:
        """(V, 2) directions of all columns."""
        return np.concatenate((self.directions, self.pushes))


def rounded_to_degrees(geometry: Geometry, *, step: float = 1.0) -> Geometry:
    """Give the geometry with every angle from the horizontal rounded to whole steps of degrees."""

    def rounded(ways: Array) -> Array:
        angle = np.degrees(np.arctan2(np.abs(ways[:, 1]), np.abs(ways[:, 0])))
        turn = np.radians(np.round(angle / step) * step)
        turned = np.stack((np.cos(turn), np.sin(turn)), axis=1)
        # Level and upright members stay so: nobody writes their angle down.
        return np.where(np.abs(ways) < 1e-12, 0.0, np.copysign(turned, ways))

    return replace(geometry, directions=rounded(geometry.directions), pushes=rounded(geometry.pushes))


def with_angles(geometry: Geometry, degrees: Mapping[int, float]) -> Geometry:
    """Give the geometry with other angles from the horizontal for some members, by row."""
    directions = geometry.directions.copy()
    for row, angle in degrees.items():
        turn = math.radians(angle)
        directions[row] = np.copysign((math.cos(turn), math.sin(turn)), directions[row])
    return replace(geometry, directions=directions)


def rounded_sines(geometry: Geometry, decimals: int) -> Geometry:
    """Give the geometry with sines and cosines rounded to so many decimals, as some write them down."""
    return replace(
        geometry,
        directions=np.round(geometry.directions, decimals),
        pushes=np.round(geometry.pushes, decimals),
    )


@dataclass(frozen=True, eq=False)
class Body:
    """A free body and its equations ``factors @ values[columns] + pushes.sum(axis=1) = 0``, force units."""

    origin: Origin
    axes: tuple[str, ...]
    """(E,) `x`, `y`, or the joint that moments are taken about behind a `@`."""
    columns: NDArray[np.intp]
    """(K,) unknowns that act on it."""
    factors: Array
    """(E, K)"""
    parts: tuple[tuple[int, int], ...]
    """(P,) load parts that act on it: joint row, and 0 for right or 1 for up."""
    pushes: Array
    """(E, P) what each load part adds to each equation."""
    rounds: NDArray[np.bool_]
    """(E, K) factors that are sines or cosines of no exact value, which a student rounds."""

    def changed(self, *, factors: Array | None = None, pushes: Array | None = None) -> Body:
        """Give the same body with other factors or pushes."""
        return replace(
            self,
            factors=self.factors if factors is None else factors,
            pushes=self.pushes if pushes is None else pushes,
        )


def joint_body(geometry: Geometry, joint: int) -> Body:
    """Write the two sums of forces at a joint."""
    here = geometry.meeting[joint]
    columns = np.array([column for column, _ in here], dtype=np.intp)
    signs = np.array([sign for _, sign in here])
    factors = (geometry.ways[columns] * signs[:, None]).T.reshape(2, -1)
    load = geometry.loads[joint]
    parts = tuple((joint, axis) for axis in (0, 1) if load[axis])
    pushes = np.zeros((2, len(parts)))
    for place, (_, axis) in enumerate(parts):
        pushes[axis, place] = load[axis]
    return Body(
        Origin("joint", geometry.truss.joints[joint].name),
        ("x", "y"),
        columns,
        factors,
        parts,
        pushes,
        _irregular(factors),
    )


def _irregular(factors: Array) -> NDArray[np.bool_]:
    size = np.abs(factors)
    return (size > 1e-9) & (size < 1 - 1e-9)


def whole_body(geometry: Geometry) -> Body:
    """Write sums of forces and moments about each supported joint, for the whole truss.

    Moments are divided by the truss's reach, so that all are in force units.
    """
    truss = geometry.truss
    at = truss.at
    reach = float(np.ptp(at, axis=0).max())
    centres = list(dict.fromkeys(geometry.at_joint.tolist()))
    rows = geometry.loads
    parts = tuple((joint, axis) for joint in range(len(at)) for axis in (0, 1) if rows[joint, axis])
    count = len(geometry.at_joint)
    factors, pushes = np.zeros((2 + len(centres), count)), np.zeros((2 + len(centres), len(parts)))
    factors[:2] = geometry.pushes.T
    for place, (joint, axis) in enumerate(parts):
        pushes[axis, place] = rows[joint, axis]
    for row, centre in enumerate(centres, start=2):
        arms = (at[geometry.at_joint] - at[centre]) / reach
        factors[row] = arms[:, 0] * geometry.pushes[:, 1] - arms[:, 1] * geometry.pushes[:, 0]
        for place, (joint, axis) in enumerate(parts):
            pushes[row, place] = turning(at[joint] - at[centre], axis, rows[joint, axis]) / reach
    rounds = np.zeros(factors.shape, dtype=bool)
    rounds[:] = _irregular(geometry.pushes.T).any(axis=0)
    return Body(
        Origin("whole"),
        ("x", "y", *(f"@{truss.joints[centre].name}" for centre in centres)),
        np.arange(len(truss.members), len(truss.members) + count),
        factors,
        parts,
        pushes,
        rounds & (factors != 0),
    )


def turning(arm: Array, axis: int, force: float) -> float:
    """Give the moment of a force to the right (axis 0) or up (axis 1), counter-clockwise positive."""
    return float(-arm[1] * force if axis == 0 else arm[0] * force)


def section_bodies(solution: Solution) -> tuple[Body, ...]:
    """Write, for each member that a section through three members isolates, the equation that gives it."""
    truss = solution.truss
    if len(truss.members) > SETTINGS.sections_up_to:
        return ()
    board = solution.board()
    reactions = range(len(truss.members), len(board.values))
    for unknown in reactions:
        board.find(unknown)
    column = {quantity: place for place, quantity in enumerate(board.quantities)}
    found = []
    for member in range(len(truss.members)):
        cut = find_cut(board, member)
        if cut is not None and len(cut.part) > 1:
            name = "-".join(board.pair(member))
            found.append(_section_body(truss, name, section_equation(board, cut), column))
    return tuple(found)


def _section_body(truss: Truss, name: str, equation: Equation, column: dict[Quantity, int]) -> Body:
    unknown = [term for term in equation.terms if term.quantity.kind != "load"]
    loads = [term for term in equation.terms if term.quantity.kind == "load"]
    size = max(abs(term.factor) for term in unknown)
    factors = np.array([[term.factor / size for term in unknown]])
    return Body(
        Origin("section", name),
        (equation.kind,),
        np.array([column[term.quantity] for term in unknown], dtype=np.intp),
        factors,
        tuple((truss.row[term.quantity.joints[0]], "xy".index(term.quantity.axis)) for term in loads),
        np.array([[term.factor * (term.value or 0.0) / size for term in loads]]).reshape(1, -1),
        np.ones(factors.shape, dtype=bool),
    )


def bodies_of(geometry: Geometry) -> tuple[Body, ...]:
    """Write the joints, in the order of the truss, and then the whole truss."""
    joints = [joint_body(geometry, joint) for joint in range(len(geometry.truss.joints))]
    return (*joints, whole_body(geometry))
