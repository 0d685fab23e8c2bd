"""Forces found again by another route: one section, one equation, instead of all joints at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solver.board import Board
from solver.sections import find_cut, section_equation
from solver.settings import TOLERANCES
from solver.steps import Equation

__all__ = ["SectionCheck", "check_by_sections"]


@dataclass(frozen=True)
class SectionCheck:
    """A member's force from a section that isolates it."""

    member: tuple[str, str]
    cut: tuple[tuple[str, str], ...]
    """Members cut."""
    part: tuple[str, ...]
    """Joints on the side that is looked at."""
    equation: Equation
    force: float
    """By the section, in force units, tension positive."""
    difference: float
    """From the force by the joints, in force units."""
    agrees: bool
    """Whether the difference is within the stated tolerance."""


def check_by_sections(board: Board, *, largest_load: float, condition: float) -> tuple[SectionCheck, ...]:
    """Find forces again by the method of sections.

    Each member is tried for which one joint, or two other members, lets a section isolate it: chords by
    moments, web members by moments or, between parallel chords, by the sum of forces across. Of a truss
    beyond `TOLERANCES.dense_joints` joints an even sample of `TOLERANCES.sampled_sections` members is tried.
    Reactions are taken as found; global equilibrium checks them on its own.

    Parameters
    ----------
    board : Board
        With nothing found yet.
    largest_load : float
        Largest load on a joint, force units: with the largest force it scales what counts as agreement.
    condition : float
        Condition number of the equilibrium matrix, which loosens it.
    """
    for reaction in range(board.members, len(board.values)):
        board.find(reaction)
    tried = np.arange(board.members)
    if len(board.names) > TOLERANCES.dense_joints:
        tried = np.unique(np.linspace(0, board.members - 1, TOLERANCES.sampled_sections).astype(int))
    scale = max(largest_load, float(np.abs(board.values[: board.members]).max()))
    allowed = TOLERANCES.inexact_section * scale * max(1.0, condition / 1e6)
    return tuple(check for member in tried.tolist() if (check := _check(board, member, allowed)) is not None)


def _check(board: Board, member: int, allowed: float) -> SectionCheck | None:
    cut = find_cut(board, member)
    if cut is None:
        return None
    equation = section_equation(board, cut)
    known = sum(term.factor * term.value for term in equation.terms if term.value is not None)
    arm = sum(term.factor for term in equation.terms if term.value is None)
    force = -known / arm
    difference = force - board.values[member]
    return SectionCheck(
        member=board.pair(member),
        cut=tuple(board.pair(other) for other in cut.crossing),
        part=tuple(board.names[joint] for joint in sorted(cut.part)),
        equation=equation,
        force=force,
        difference=difference,
        agrees=abs(difference) <= allowed,
    )
