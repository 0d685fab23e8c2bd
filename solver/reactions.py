"""Reactions in the order of the hand: moments about a pin, then up, then across."""

from __future__ import annotations

import numpy as np

from solver.board import Board
from solver.settings import TOLERANCES
from solver.steps import Equation, Quantity, ReactionStep, Result, Term

__all__ = ["whole_truss"]


def whole_truss(board: Board) -> list[ReactionStep]:
    """Take the equations of the whole truss for what they give.

    Moments about a pin (of the support with the most unknowns) come first, since they leave its two reactions
    out; then the sum of forces up, then across. An equation is used when exactly one unknown is left in it.
    """
    start = board.members
    unknowns = list(range(start, len(board.values)))
    if not unknowns:
        return []
    joints = sorted({board.at_joint[unknown - start] for unknown in unknowns})
    pins = [joint for joint in joints if board.at_joint.count(joint) == 2] or joints
    candidates = [("moment", pins[0]), ("y", -1), ("x", -1), *(("moment", joint) for joint in joints)]
    equations: list[Equation] = []
    results: list[Result] = []
    progress = True
    used: set[tuple[str, int]] = set()
    while progress and len(equations) < 3:
        progress = False
        for kind, joint in candidates:
            if (kind, joint) in used or len(equations) == 3:
                continue
            left = [
                unknown
                for unknown in unknowns
                if not board.known[unknown]
                and abs(_factor(board, unknown, kind, joint)) > _small(board, kind)
            ]
            if len(left) != 1:
                continue
            used.add((kind, joint))
            equations.append(_equation(board, kind, joint, left[0]))
            results.append(board.find(left[0]))
            progress = True
            break
    remaining = tuple(board.quantities[unknown] for unknown in unknowns if not board.known[unknown])
    if remaining and len(unknowns) == 3:
        return [*_together(board, unknowns, equations, results)]
    return [ReactionStep(tuple(equations), tuple(results), remaining=remaining)]


def _together(
    board: Board, unknowns: list[int], equations: list[Equation], results: list[Result]
) -> list[ReactionStep]:
    """Three reactions that no equation isolates: moments, up and across solved together."""
    joint = board.at_joint[unknowns[0] - board.members]
    kinds = (("moment", joint), ("y", -1), ("x", -1))
    written = [_equation(board, kind, at, None) for kind, at in kinds]
    found = [board.find(unknown) for unknown in unknowns if not board.known[unknown]]
    return [ReactionStep((*equations, *written[len(equations) :]), (*results, *found))]


def _small(board: Board, kind: str) -> float:
    if kind != "moment":
        return TOLERANCES.collinear
    places = np.array(board.places)
    return TOLERANCES.collinear * float(np.hypot(*(places.max(axis=0) - places.min(axis=0))))


def _factor(board: Board, unknown: int, kind: str, joint: int) -> float:
    """Give the lever arm or cosine of a reaction component."""
    place = board.at_joint[unknown - board.members]
    x, y = board.direction(unknown, place)
    if kind == "moment":
        dx, dy = (a - b for a, b in zip(board.places[place], board.places[joint], strict=True))
        return dx * y - dy * x
    return x if kind == "x" else y


def _equation(board: Board, kind: str, joint: int, solves_for: int | None) -> Equation:
    terms: list[Term] = []
    for row, (fx, fy) in enumerate(board.loads):
        name = board.names[row]
        if kind == "moment":
            dx, dy = (a - b for a, b in zip(board.places[row], board.places[joint], strict=True))
            if fx and dy:
                terms.append(Term(Quantity("load", (name,), "x"), -dy, fx))
            if fy and dx:
                terms.append(Term(Quantity("load", (name,), "y"), dx, fy))
        elif kind == "x" and fx:
            terms.append(Term(Quantity("load", (name,), "x"), 1.0, fx))
        elif kind == "y" and fy:
            terms.append(Term(Quantity("load", (name,), "y"), 1.0, fy))
    small = _small(board, kind)
    for unknown in range(board.members, len(board.values)):
        factor = _factor(board, unknown, kind, joint)
        if abs(factor) > small:
            terms.append(board.term(unknown, factor))
    quantity = None if solves_for is None else board.quantities[solves_for]
    if kind == "moment":
        return Equation(kind, tuple(terms), quantity, about=board.names[joint], centre=board.places[joint])
    return Equation(kind, tuple(terms), quantity)
