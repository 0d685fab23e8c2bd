"""The forces in a truss, with the checks that they passed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from solver.balance import Checks, Reaction, components_of
from solver.board import Board
from solver.equilibrium import Equilibrium
from solver.notices import Notice
from solver.section_checks import SectionCheck, check_by_sections
from solver.shown import solution_html, solution_svg
from solver.stability import Stability
from solver.truss import Truss

__all__ = ["Solution"]


@dataclass(frozen=True, eq=False)
class Solution:
    """Reactions and member forces of a truss."""

    truss: Truss
    stability: Stability
    forces: NDArray[np.float64]
    """(M,) force units, tension positive, in the order of `truss.members`."""
    force_errors: NDArray[np.float64] | None
    """(M,) standard errors from those of the joint positions, or none."""
    reactions: tuple[Reaction, ...]
    """In the order of `truss.supports`."""
    senses: tuple[str, ...]
    """`T`, `C`, `0` or `?` (sign not certain) for each member."""
    zero_by_inspection: NDArray[np.bool_]
    """(M,) members that a person sees to carry nothing before calculating."""
    checks: Checks
    warnings: tuple[Notice, ...]

    @cached_property
    def section_checks(self) -> tuple[SectionCheck, ...]:
        """Forces found again by sections, of every member that one isolates; of a large truss a sample."""
        return check_by_sections(
            self.board(),
            largest_load=self.checks.largest_load,
            condition=self.stability.condition or 1.0,
        )

    def board(self) -> Board:
        """Lay out the values for working through them by hand's order, with nothing found yet."""
        equilibrium = Equilibrium(self.truss)
        values = [*self.forces.tolist(), *components_of(equilibrium, self.reactions)]
        return Board(equilibrium, values, self.senses)

    def _pushes(self) -> list[tuple[str, float, float]]:
        return [(reaction.joint, reaction.fx, reaction.fy) for reaction in self.reactions]

    def _repr_svg_(self) -> str:
        return solution_svg(self.truss, self.forces, self.senses, self._pushes())

    def _repr_html_(self) -> str:
        return solution_html(self.truss, self.forces, self.senses, self._pushes(), self.force_errors)

    def with_notice(self, notice: Notice) -> Solution:
        """Give the same solution with one more warning, in front."""
        return replace(self, warnings=(notice, *self.warnings))
