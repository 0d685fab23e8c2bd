"""How far angles rounded on the way move each force: worked steps taken again with them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.errors import QuestionError
from solver.steps import (
    BlockStep,
    Equation,
    JointStep,
    Quantity,
    ReactionStep,
    SectionStep,
    Term,
    ZeroForceStep,
)
from solver.working import Working

__all__ = ["RoundedAngles", "round_angles"]


@dataclass(frozen=True, eq=False)
class RoundedAngles:
    """Forces that come of working with rounded angles."""

    places: int
    """Decimals that angles in degrees were rounded to."""
    forces: NDArray[np.float64]
    """(M,) force units, tension positive."""
    changes: NDArray[np.float64]
    """(M,) difference from the exact forces."""


def round_angles(working: Working, *, places: int = 0) -> RoundedAngles:
    """Take each step of a worked solution again with the members' angles rounded.

    Reactions and moments use lengths, as a hand calculation does, and stay exact in them; sums of forces at
    joints and across sections use the rounded angles. What depends on what follows the order of the steps.

    Parameters
    ----------
    places : int
        0 for whole degrees, 1 for tenths; 0 to 6.

    Raises
    ------
    QuestionError
        When `places` is not 0 to 6, or an angle so rounded leaves a joint's two unknowns in one line.
    """
    if not 0 <= places <= 6:
        raise QuestionError("Angles can be rounded to 0 to 6 decimals of a degree.")
    values: dict[Quantity, float] = {}
    for step in working.steps:
        match step:
            case ReactionStep():
                values.update({result.quantity: result.value for result in step.results})
            case ZeroForceStep():
                values.update({Quantity("member", member): 0.0 for member in step.members})
            case JointStep():
                _solve(step.equations, [result.quantity for result in step.results], values, places)
            case SectionStep():
                _solve((step.equation,), [step.result.quantity], values, places)
            case BlockStep():
                _solve(step.equations, [result.quantity for result in step.results], values, places)
            case _:
                continue
    forces = np.array([values[Quantity("member", (m.start, m.end))] for m in working.truss.members])
    return RoundedAngles(places, forces, forces - working.solution.forces)


def _solve(
    equations: tuple[Equation, ...], wanted: list[Quantity], values: dict[Quantity, float], places: int
) -> None:
    """Solve the equations of a step with rounded angles, in the step's own order, and note what they give."""
    alone = [equation for equation in equations if equation.solves_for in wanted]
    together = [quantity for quantity in wanted if all(quantity != equation.solves_for for equation in alone)]
    for equation in alone:
        assert equation.solves_for is not None
        _together((equation,), [equation.solves_for], values, places)
    if together:
        rest = tuple(equation for equation in equations if equation not in alone)
        _together(rest, together, values, places)


def _together(
    equations: tuple[Equation, ...], wanted: list[Quantity], values: dict[Quantity, float], places: int
) -> None:
    matrix = np.zeros((len(equations), len(wanted)))
    right = np.zeros(len(equations))
    for row, equation in enumerate(equations):
        for term in equation.terms:
            factor = _rounded(equation, term, places)
            if term.quantity in wanted:
                matrix[row, wanted.index(term.quantity)] += factor
            else:
                known = values.get(term.quantity, term.value)
                assert known is not None  # a step uses only what came before it
                right[row] -= factor * known
    found, _, rank, _ = np.linalg.lstsq(matrix, right, rcond=None)
    if rank < len(wanted):
        raise QuestionError(
            f"With angles rounded to {places} decimals the unknowns at one joint lie in one line; keep "
            "more decimals."
        )
    values.update(zip(wanted, found.tolist(), strict=True))


def _rounded(equation: Equation, term: Term, places: int) -> float:
    """Give a term's factor with the member's angle rounded; lever arms, loads and reactions stay."""
    if equation.kind == "moment" or term.quantity.kind != "member":
        return term.factor
    size = min(abs(term.factor), 1.0)
    if equation.kind == "y":
        new = math.sin(math.radians(round(math.degrees(math.asin(size)), places)))
    else:
        new = math.cos(math.radians(round(math.degrees(math.acos(size)), places)))
    return math.copysign(new, term.factor)
