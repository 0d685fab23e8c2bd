"""The whole worked solution: count, loads, reactions, zero-force members, joints, and checks."""

from __future__ import annotations

from dataclasses import dataclass

from solver.board import Board
from solver.equilibrium import Equilibrium
from solver.joints import check_joint, next_joint, solve_joint, zero_force_step
from solver.loads import load_shares
from solver.reactions import whole_truss
from solver.solution import Solution, solve
from solver.stability import Stability
from solver.steps import BlockStep, CountStep, JointStep, LoadStep, Step
from solver.truss import Truss
from solver.zero_force import findings

__all__ = ["Working", "work"]


@dataclass(frozen=True, eq=False)
class Working:
    """A solution and the steps that a person would take to it."""

    solution: Solution
    steps: tuple[Step, ...]

    @property
    def truss(self) -> Truss:
        """The truss that was solved."""
        return self.solution.truss


def work(truss: Truss) -> Working:
    """Solve a determinate truss by hand's order.

    Raises
    ------
    TrussError, NoUniqueSolutionError
        As `solve` does.
    """
    solution = solve(truss)
    equilibrium = Equilibrium(truss)
    board = Board(equilibrium, solution)
    steps: list[Step] = [count_step(solution.stability)]
    shares = load_shares(truss)
    if shares:
        steps.append(LoadStep(shares))
    steps += whole_truss(board)
    steps += [zero_force_step(board, finding) for finding in findings(equilibrium)]
    steps += _joint_by_joint(board)
    return Working(solution, tuple(steps))


def count_step(stability: Stability) -> CountStep:
    """Write the count and the verdict."""
    return CountStep(
        stability.m,
        stability.r,
        stability.j,
        stability.verdict,
        stability.mechanisms,
        stability.self_stress,
    )


def _joint_by_joint(board: Board) -> list[Step]:
    steps: list[Step] = []
    candidates = set(range(len(board.names)))
    last: int | None = None
    checks: list[int] = []
    while not all(board.known):
        joint = next_joint(board, candidates, last)
        if joint is None:
            steps.append(_block(board))
            break
        step: JointStep = solve_joint(board, joint)
        steps.append(step)
        candidates.discard(joint)
        last = joint
    checks = sorted(joint for joint in candidates if board.meeting[joint])
    steps += [check_joint(board, joint) for joint in checks]
    return steps


def _block(board: Board) -> BlockStep:
    """Solve together whatever no joint gives."""
    left = [unknown for unknown, known in enumerate(board.known) if not known]
    joints = sorted({joint for unknown in left for joint in board.joints_of(unknown)})
    equations = tuple(board.joint_equation(joint, axis) for joint in joints for axis in (0, 1))
    results = tuple(board.find(unknown) for unknown in left)
    return BlockStep(tuple(board.names[joint] for joint in joints), equations, results)
