"""Free bodies: each joint cut free, its forces as arrows, its two equations with numbers."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from cli.page.answer_types import Arrow, FreeBody, Sense
from cli.page.wording import EQUATION_NUMERALS, quantity
from solver import Solution, joint_loads

__all__ = ["free_bodies"]

DUST = 1e-9
"""Share of the largest force below which a force or a part of one is not written."""

COSINES = 4
"""Decimals of cosines and sines, as hand calculations carry."""


@dataclass(frozen=True)
class _Term:
    """A force in the sums at one joint."""

    size: float
    """Force units, tension positive for a member."""
    way: tuple[float, float]
    """Unit vector of a positive force, y up."""


@dataclass
class _Body:
    """A free body while it is put together."""

    unit: str
    small: float
    arrows: list[Arrow] = field(default_factory=list)
    terms: list[_Term] = field(default_factory=list)

    def member(self, here: str, there: str, force: float, sense: Sense, way: tuple[float, float]) -> None:
        """Add a member, `way` pointing to its far end. Tension pulls on the joint, compression pushes."""
        if abs(force) <= self.small:
            label = f"{here}{there} 0"
            self.arrows.append(Arrow(what="member", name=there, label=label, direction=way, sense="0"))
            return
        pull = 1.0 if force > 0 else -1.0
        label = f"{here}{there} {quantity(abs(force), self.unit)} ({sense})"
        direction = (way[0] * pull, way[1] * pull)
        self.arrows.append(Arrow(what="member", name=there, label=label, direction=direction, sense=sense))
        self.terms.append(_Term(force, way))

    def outer(self, what: Literal["load", "reaction"], name: str, force: tuple[float, float]) -> None:
        """Add a load or a component of a reaction, if it is anything."""
        size = float(np.hypot(*force))
        if size <= self.small:
            return
        way = (force[0] / size, force[1] / size)
        label = f"{name} {quantity(size, self.unit)}".strip()
        self.arrows.append(Arrow(what=what, name=name or what, label=label, direction=way))
        self.terms.append(_Term(size, way))

    def done(self) -> FreeBody:
        """Return the free body."""
        return FreeBody(
            arrows=tuple(self.arrows), equations=(self._equation("ΣFx", 0), self._equation("ΣFy", 1))
        )

    def _equation(self, head: str, axis: int) -> str:
        """Write one sum with its numbers: ΣFx = 11.56 − 22.71·0.5093 = 0."""
        written = ""
        for term in self.terms:
            factor = term.way[axis]
            if abs(term.size * factor) <= self.small:
                continue
            size = EQUATION_NUMERALS.number(abs(term.size))
            if abs(abs(factor) - 1.0) > DUST:
                size = f"{size}·{f'{abs(factor):.{COSINES}f}'.rstrip('0')}"
            sign = "−" if term.size * factor < 0 else "+"
            written += f" {sign} {size}" if written else size if sign == "+" else f"−{size}"
        return f"{head} = {written} = 0" if written else f"{head} = 0"


def free_bodies(solution: Solution) -> tuple[FreeBody, ...]:
    """Return the free body of every joint of a solved truss.

    Member forces are drawn in their own sense: tension away from the joint, compression towards it.
    """
    truss = solution.truss
    largest = max(float(np.abs(solution.forces).max(initial=0.0)), solution.checks.largest_load)
    bodies = [_Body(truss.force_unit, DUST * largest) for _ in truss.joints]
    for row, member in enumerate(truss.members):
        force = float(solution.forces[row])
        letter = solution.senses[row]
        sense: Sense = "T" if letter == "T" else "C" if letter == "C" else "?"
        x, y = (float(part) for part in truss.directions[row])
        bodies[truss.row[member.start]].member(member.start, member.end, force, sense, (x, y))
        bodies[truss.row[member.end]].member(member.end, member.start, force, sense, (-x, -y))
    for body, (fx, fy) in zip(bodies, joint_loads(truss), strict=True):
        body.outer("load", "", (float(fx), float(fy)))
    for reaction in solution.reactions:
        body = bodies[truss.row[reaction.joint]]
        if reaction.kind == "pin":
            body.outer("reaction", f"{reaction.joint}x", (reaction.fx, 0.0))
            body.outer("reaction", f"{reaction.joint}y", (0.0, reaction.fy))
        else:
            body.outer("reaction", f"{reaction.joint}n", (reaction.fx, reaction.fy))
    return tuple(body.done() for body in bodies)
