"""The key made ready for marking: its equations, its values, and how near is near enough."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from solver.marking.drift import drift
from solver.marking.equations import (
    Body,
    Geometry,
    bodies_of,
    rounded_sines,
    rounded_to_degrees,
    section_bodies,
)
from solver.solution import Solution
from solver.steps import BlockStep, JointStep, Quantity, ReactionStep, SectionStep, ZeroForceStep
from solver.working import work

__all__ = ["Key", "key_of"]

Array = NDArray[np.float64]

_SEEN = 0.01
"""Change of a sine or cosine that shows: where rounding leaves them as they are, nobody can tell it."""


@dataclass(frozen=True, eq=False)
class Key:
    """What all papers of one truss are marked against."""

    solution: Solution
    quantities: tuple[Quantity, ...]
    """(V,) members, then reaction components."""
    values: Array
    """(V,) force units, tension positive."""
    exact: Geometry
    degrees: Geometry
    """The same with angles rounded to whole degrees."""
    exact_drift: Array
    """(V,) what rounding to three figures does."""
    degrees_drift: Array
    """(V,) what rounding angles to whole degrees does besides."""
    rank: NDArray[np.intp]
    """(V,) place of each value in the worked solution."""

    @cached_property
    def column(self) -> dict[Quantity, int]:
        """Column of each quantity; members by either order of their ends."""
        found = {quantity: place for place, quantity in enumerate(self.quantities)}
        for quantity, place in tuple(found.items()):
            if quantity.kind == "member":
                found[Quantity("member", (quantity.joints[1], quantity.joints[0]))] = place
        return found

    @cached_property
    def members(self) -> int:
        """How many columns are members."""
        return len(self.solution.truss.members)

    @cached_property
    def largest(self) -> float:
        """Largest value, force units."""
        return float(np.abs(self.values).max())

    @cached_property
    def whole_first(self) -> bool:
        """Whether sums of the whole truss give all reactions, so that these come first."""
        return len(self.exact.at_joint) <= 3

    @cached_property
    def bodies(self) -> dict[bool, tuple[Body, ...]]:
        """Joints and the whole truss, by whether angles are rounded to whole degrees."""
        return {False: bodies_of(self.exact), True: bodies_of(self.degrees)}

    @cached_property
    def coarse_joints(self) -> dict[str, tuple[Body, ...]]:
        """Joints with angles or their sines and cosines rounded too early, by how."""
        ways = {
            "sines to one decimal": rounded_sines(self.exact, 1),
            "angles to five degrees": rounded_to_degrees(self.exact, step=5.0),
        }
        return {
            how: bodies_of(geometry)[:-1]
            for how, geometry in ways.items()
            if np.abs(geometry.ways - self.exact.ways).max() > _SEEN
        }

    @cached_property
    def sections(self) -> tuple[Body, ...]:
        """Sections that isolate one member."""
        return section_bodies(self.solution)

    def drift(self, *, whole_degrees: bool) -> Array:
        """Give (V,) what honest rounding of that kind does."""
        return self.degrees_drift if whole_degrees else self.exact_drift


@lru_cache(maxsize=8)
def key_of(solution: Solution) -> Key:
    """Make a key ready; the same solution is made ready once."""
    truss = solution.truss
    board = solution.board()
    exact = Geometry.of(truss)
    degrees = rounded_to_degrees(exact)
    column = np.array(board.values)
    exact_drift = drift(exact, column)
    return Key(
        solution,
        tuple(board.quantities),
        column,
        exact,
        degrees,
        exact_drift,
        np.maximum(exact_drift, drift(degrees, column)),
        _ranks(solution, tuple(board.quantities)),
    )


def _ranks(solution: Solution, quantities: tuple[Quantity, ...]) -> NDArray[np.intp]:
    order: dict[Quantity, int] = {}
    for step in work(solution.truss).steps:
        match step:
            case ReactionStep() | JointStep() | BlockStep():
                found = [result.quantity for result in step.results]
            case SectionStep():
                found = [step.result.quantity]
            case ZeroForceStep():
                found = [Quantity("member", member) for member in step.members]
            case _:
                continue
        for quantity in found:
            order.setdefault(quantity, len(order))
    return np.array([order.get(quantity, len(order)) for quantity in quantities], dtype=np.intp)
