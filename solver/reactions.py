"""Reactions in the order of the hand: moments about a pin, up, across; parts at a hinge where needed."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solver.board import Board
from solver.sections import find_cut, part_at_hinge, section_equation
from solver.settings import TOLERANCES
from solver.steps import Equation, Quantity, ReactionStep, Result, Term

__all__ = ["find_reactions"]

Kind = tuple[str, int]
"""`moment` about the joint of a row, or `y` or `x` with no joint."""


def find_reactions(board: Board) -> list[ReactionStep]:
    """Find what equilibrium of the whole truss gives, then of parts at a hinge, as far as these go.

    Where more reactions remain (more than three, and no hinge that helps), the last step names them in
    `remaining`: the joints must give them.
    """
    steps: list[ReactionStep] = []
    used: set[Kind] = set()
    while True:
        progress = _whole_truss(board, used)
        if progress is None:
            progress = _part_at_a_hinge(board) or _whole_and_part_together(board)
        if progress is None:
            break
        steps.append(progress)
    left = tuple(board.quantities[unknown] for unknown in _left(board))
    if left:
        steps.append(ReactionStep((), (), remaining=left))
    return steps


def _left(board: Board) -> list[int]:
    return [unknown for unknown in range(board.members, len(board.values)) if not board.known[unknown]]


def _whole_truss(board: Board, used: set[Kind]) -> ReactionStep | None:
    """Use each equation of the whole truss in which one unknown is left; three of them are independent."""
    equations: list[Equation] = []
    results: list[Result] = []
    while len(used) < 3:
        ready = next(_with_one_unknown(board, used), None)
        if ready is None:
            break
        kind, unknown = ready
        used.add(kind)
        equations.append(_equation(board, kind, unknown))
        results.append(board.find(unknown))
    left = _left(board)
    if left and len(left) + len(used) == 3:
        # Three reactions that no equation isolates: what is left of the three equations, together.
        pivot = board.at_joint[left[0] - board.members]
        kinds: list[Kind] = [("moment", pivot), ("y", -1), ("x", -1)]
        chosen = [kind for kind in kinds if kind not in used][: len(left)]
        used.update(chosen)
        equations += [_equation(board, kind, None) for kind in chosen]
        results += [board.find(unknown) for unknown in left]
    return ReactionStep(tuple(equations), tuple(results)) if equations else None


def _with_one_unknown(board: Board, used: set[Kind]) -> Iterator[tuple[Kind, int]]:
    """Go through the equations in the order of the hand, for those with one unknown left."""
    joints = list(dict.fromkeys(board.at_joint))
    pins = [joint for joint in joints if board.at_joint.count(joint) == 2] or joints
    order: list[Kind] = [("moment", joint) for joint in pins[:1]]
    order += [("y", -1), ("x", -1), *(("moment", joint) for joint in joints)]
    for kind in order:
        if kind not in used:
            small = _small(board, kind)
            inside = [unknown for unknown in _left(board) if abs(_factor(board, unknown, kind)) > small]
            if len(inside) == 1:
                yield kind, inside[0]


def _part_at_a_hinge(board: Board) -> ReactionStep | None:
    """Use moments of a part about the hinge where it hangs on the rest."""
    for unknown in _left(board):
        cut = find_cut(board, unknown)
        if cut is not None and cut.hinge is not None:
            equation = section_equation(board, cut)
            return ReactionStep(
                (equation,),
                (board.find(unknown),),
                part=tuple(board.names[joint] for joint in sorted(cut.part)),
                hinge=board.names[cut.hinge],
            )
    return None


def _whole_and_part_together(board: Board) -> ReactionStep | None:
    """Solve the two reactions of a pin from moments of a part about its hinge and of the whole."""
    left = _left(board)
    for joint in dict.fromkeys(board.at_joint):
        pair = [unknown for unknown in left if board.at_joint[unknown - board.members] == joint]
        others = {board.at_joint[unknown - board.members] for unknown in left} - {joint}
        if len(pair) != 2 or len(others) != 1:
            continue
        cut = part_at_hinge(board, pair)
        if cut is None:
            continue
        whole: Kind = ("moment", others.pop())
        equations = (_equation(board, whole, None), section_equation(board, cut, alone=False))
        return ReactionStep(
            equations,
            tuple(board.find(unknown) for unknown in pair),
            part=tuple(board.names[row] for row in sorted(cut.part)),
            hinge=None if cut.hinge is None else board.names[cut.hinge],
        )
    return None


def _small(board: Board, kind: Kind) -> float:
    """Give the lever arm or cosine that counts as none."""
    if kind[0] != "moment":
        return TOLERANCES.collinear
    x, y = board.places[kind[1]]
    return TOLERANCES.collinear * max(math.hypot(px - x, py - y) for px, py in board.places)


def _factor(board: Board, unknown: int, kind: Kind) -> float:
    """Give the lever arm or cosine of a reaction component."""
    place = board.at_joint[unknown - board.members]
    return _part_of(board, place, board.direction(unknown, place), kind)


def _part_of(board: Board, place: int, way: tuple[float, float], kind: Kind) -> float:
    if kind[0] == "moment":
        dx, dy = (a - b for a, b in zip(board.places[place], board.places[kind[1]], strict=True))
        return dx * way[1] - dy * way[0]
    return way[0] if kind[0] == "x" else way[1]


def _equation(board: Board, kind: Kind, solves_for: int | None) -> Equation:
    small = _small(board, kind)
    terms: list[Term] = []
    for row, load in enumerate(board.loads):
        for axis, way in ((0, (1.0, 0.0)), (1, (0.0, 1.0))):
            factor = _part_of(board, row, way, kind) if load[axis] else 0.0
            if abs(factor) > small:
                terms.append(Term(Quantity("load", (board.names[row],), "xy"[axis]), factor, load[axis]))
    for unknown in range(board.members, len(board.values)):
        factor = _factor(board, unknown, kind)
        if abs(factor) > small:
            terms.append(board.term(unknown, factor))
    quantity = None if solves_for is None else board.quantities[solves_for]
    if kind[0] == "moment":
        joint = kind[1]
        return Equation(kind[0], tuple(terms), quantity, about=board.names[joint], centre=board.places[joint])
    return Equation(kind[0], tuple(terms), quantity)
