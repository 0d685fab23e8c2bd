"""The method of joints, in the order a person would take."""

from __future__ import annotations

from heapq import heappop

from solver.board import Board
from solver.settings import TOLERANCES
from solver.steps import CheckStep, JointStep, ZeroForceStep
from solver.zero_force import ZeroForceFinding

__all__ = ["check_joint", "next_joint", "solve_joint", "zero_force_step"]


def zero_force_step(board: Board, finding: ZeroForceFinding) -> ZeroForceStep:
    """Write down members that inspection shows to carry nothing."""
    for member in finding.zero:
        board.find(member)
    return ZeroForceStep(
        board.names[finding.joint],
        finding.rule,
        tuple(board.pair(member) for member in finding.zero),
        tuple(board.pair(member) for member in finding.in_line),
        finding.load,
        finding.reaction,
    )


def next_joint(board: Board, last: int | None) -> int | None:
    """Choose where to go on: beside the last joint if one is ready there, else the first of the model.

    A joint is ready when one or two unknowns meet there and are not in one line.
    """
    if last is not None:
        beside = {joint for unknown in board.meeting[last] for joint in board.joints_of(unknown)}
        for joint in sorted(beside):
            if _ready(board, joint):
                return joint
    while board.few:
        joint = heappop(board.few)
        if _ready(board, joint):
            return joint
    return None


def _ready(board: Board, joint: int) -> bool:
    if board.unknown_at[joint] not in {1, 2}:
        return False
    left = board.unknowns_at(joint)
    if len(left) == 1:
        return True
    (ax, ay), (bx, by) = (board.direction(unknown, joint) for unknown in left)
    return abs(ax * by - ay * bx) > TOLERANCES.collinear


def solve_joint(board: Board, joint: int) -> JointStep:
    """Write the two equations of a joint and find what is unknown there.

    The equation that has one unknown comes first, so that no two equations are solved together without need.
    """
    left = board.unknowns_at(joint)
    slopes = board.slopes(joint, board.meeting[joint])
    parts = {unknown: board.direction(unknown, joint) for unknown in left}
    for axis in (1, 0):
        inside = [unknown for unknown in left if abs(parts[unknown][axis]) > TOLERANCES.collinear]
        if len(inside) == 1 and (
            len(left) == 2 or abs(parts[inside[0]][axis]) >= abs(parts[inside[0]][1 - axis])
        ):
            first = board.joint_equation(joint, axis, inside[0])
            results = [board.find(inside[0])]
            others = [unknown for unknown in left if unknown != inside[0]]
            second = board.joint_equation(joint, 1 - axis, others[0] if others else None)
            results += [board.find(unknown) for unknown in others]
            return JointStep(board.names[joint], slopes, (first, second), tuple(results))
    equations = (board.joint_equation(joint, 0), board.joint_equation(joint, 1))
    return JointStep(board.names[joint], slopes, equations, tuple(board.find(unknown) for unknown in left))


def check_joint(board: Board, joint: int) -> CheckStep:
    """Write the two equations of a joint where everything is known, and what they lack of zero."""
    equations = (board.joint_equation(joint, 0), board.joint_equation(joint, 1))
    lacking = [sum(term.factor * (term.value or 0.0) for term in equation.terms) for equation in equations]
    return CheckStep(board.names[joint], equations, (lacking[0], lacking[1]))
