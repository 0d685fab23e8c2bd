"""The whole worked solution: count, loads, reactions, zero-force members, joints, and checks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from solver.board import Board
from solver.equilibrium import Equilibrium
from solver.joints import check_joint, next_joint, solve_joint, zero_force_step
from solver.loads import load_shares
from solver.reactions import find_reactions
from solver.sections import Cut, find_cut, solve_section
from solver.solution import Solution
from solver.solving import solve
from solver.stability import Stability
from solver.steps import BlockStep, CountStep, LoadStep, Step
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

    def _repr_html_(self) -> str:
        return "".join(step._repr_html_() for step in self.steps)


def work(truss: Truss) -> Working:
    """Solve a determinate truss by hand's order.

    Raises
    ------
    TrussError, NoUniqueSolutionError
        As `solve` does.
    """
    solution = solve(truss)
    board = solution.board()
    steps: list[Step] = [count_step(solution.stability)]
    shares = load_shares(truss)
    if shares:
        steps.append(LoadStep(shares))
    steps += find_reactions(board)
    steps += [zero_force_step(board, finding) for finding in findings(Equilibrium(truss))]
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


def _joint_by_joint(board: Board) -> Iterator[Step]:
    """Go from joint to joint; where none is ready try a section, and only then solve the rest together."""
    solved: set[int] = set()
    last: int | None = None
    while board.left:
        joint = next_joint(board, last)
        if joint is not None:
            yield solve_joint(board, joint)
            solved.add(joint)
            last = joint
            continue
        cut = _a_section(board)
        if cut is None:
            yield _block(board)
            return
        yield solve_section(board, cut)
    for joint in range(len(board.names)):
        if joint not in solved and board.meeting[joint]:
            yield check_joint(board, joint)


def _a_section(board: Board) -> Cut | None:
    """Find a section that gives some member.

    The one that cuts fewest, about a joint of the cut, most evenly, at the longest arm.
    """
    joints = len(board.names)
    tried = (find_cut(board, member) for member in range(board.members) if not board.known[member])
    found = [
        cut
        for cut in islice(tried, max(_FEWEST_TRIED, min(_MOST_TRIED, _EFFORT // joints)))
        if cut is not None
    ]
    return min(
        found,
        key=lambda cut: (
            len(cut.crossing),
            not any(cut.hinge in board.ends[member] for member in cut.crossing),
            -min(len(cut.part), joints - len(cut.part)),
            -round(cut.arm, 9),
            cut.target,
        ),
        default=None,
    )


_MOST_TRIED, _FEWEST_TRIED = 400, 30
"""Members for which a section is sought before the rest is solved together; a person gives up far sooner."""
_EFFORT = 40_000
"""Members tried times joints looked through for each: about a second."""


def _block(board: Board) -> BlockStep:
    """Solve together whatever no joint gives."""
    left = [unknown for unknown, known in enumerate(board.known) if not known]
    joints = sorted({joint for unknown in left for joint in board.joints_of(unknown)})
    equations = tuple(board.joint_equation(joint, axis) for joint in joints for axis in (0, 1))
    results = tuple(board.find(unknown) for unknown in left)
    return BlockStep(tuple(board.names[joint] for joint in joints), equations, results)
