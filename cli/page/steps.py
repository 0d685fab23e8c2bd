"""The worked solution for the page's step-by-step mode: in a person's order, each with what it is about."""

from __future__ import annotations

from collections.abc import Callable

from pydantic import BaseModel, ConfigDict

from cli.page.answer_types import StepShown
from cli.page.document import Snapshot
from cli.page.places import placed
from cli.page.trust import trusted
from cli.steps_text import step_as_text
from cli.translate.to_truss import truss_of
from solver import SectionCheck, Truss, solve, work
from solver.steps import (
    BlockStep,
    CheckStep,
    JointStep,
    LoadStep,
    Quantity,
    ReactionStep,
    Result,
    SectionStep,
    Step,
    ZeroForceStep,
)

__all__ = ["SectionShown", "Sections", "Walk", "sections_of", "walk_of"]


class Walk(BaseModel):
    """The worked solution of one revision."""

    model_config = ConfigDict(frozen=True)

    revision: int
    steps: tuple[StepShown, ...]


def walk_of(snapshot: Snapshot) -> Walk:
    """Return the steps.

    Raises
    ------
    CliError, SurveyError, SolverError
        When there is no solution; the sentence says why.
    """
    used = trusted(snapshot.model).model
    truss = truss_of(used, placed(used).at)
    steps = work(truss).steps
    return Walk(revision=snapshot.revision, steps=tuple(_shown(step, truss) for step in steps))


class SectionShown(BaseModel):
    """A section that finds a member's force again."""

    model_config = ConfigDict(frozen=True)

    member: tuple[str, str]
    lines: tuple[str, ...]
    agrees: bool


class Sections(BaseModel):
    """The sections that check the solution of one revision."""

    model_config = ConfigDict(frozen=True)

    revision: int
    sections: tuple[SectionShown, ...]


def sections_of(snapshot: Snapshot) -> Sections:
    """Return the sections that check member forces; raises as `walk_of` does."""
    used = trusted(snapshot.model).model
    truss = truss_of(used, placed(used).at)
    return Sections(
        revision=snapshot.revision,
        sections=tuple(_section(check, truss) for check in solve(truss).section_checks),
    )


def _section(check: SectionCheck, truss: Truss) -> SectionShown:
    sense = "T" if check.force > 0 else "C" if check.force < 0 else "0"
    result = Result(Quantity("member", check.member), check.force, sense)
    step = SectionStep(check.cut, check.part, (), check.equation, result)
    title, lines = step_as_text(step, force=truss.force_unit, length=truss.length_unit)
    return SectionShown(member=check.member, lines=(f"{title}.", *lines), agrees=check.agrees)


def _shown(step: Step, truss: Truss) -> StepShown:
    title, lines = step_as_text(step, force=truss.force_unit, length=truss.length_unit)
    rows = {frozenset((member.start, member.end)): row for row, member in enumerate(truss.members)}

    def members(pairs: tuple[tuple[str, ...], ...]) -> tuple[int, ...]:
        return tuple(rows[frozenset(pair)] for pair in pairs)

    joints, about, finds = _about(step, truss, members)
    return StepShown(
        title=title,
        lines=lines,
        joints=joints,
        members=about,
        finds=finds,
        reactions=isinstance(step, ReactionStep),
    )


def _about(
    step: Step, truss: Truss, members: Callable[[tuple[tuple[str, ...], ...]], tuple[int, ...]]
) -> tuple[tuple[str, ...], tuple[int, ...], tuple[int, ...]]:
    """Return the joints that a step is about, the rows of its members, and of those whose force it finds."""
    joints: tuple[str, ...] = ()
    about: tuple[int, ...] = ()
    finds: tuple[int, ...] = ()
    match step:
        case LoadStep():
            joints = tuple(dict.fromkeys(share.joint for share in step.shares))
        case ReactionStep():
            joints = tuple(dict.fromkeys(result.quantity.joints[0] for result in step.results))
        case ZeroForceStep():
            joints, about, finds = (step.joint,), members(step.members), members(step.members)
        case JointStep():
            joints, about = (step.joint,), _meeting(step.joint, truss)
            finds = members(_found(step.results))
        case CheckStep():
            joints, about = (step.joint,), _meeting(step.joint, truss)
        case SectionStep():
            joints, about, finds = step.part, members(step.cut), members(_found((step.result,)))
        case BlockStep():
            joints, finds = step.joints, members(_found(step.results))
            about = finds
    return joints, about, finds


def _meeting(joint: str, truss: Truss) -> tuple[int, ...]:
    return tuple(row for row, member in enumerate(truss.members) if joint in (member.start, member.end))


def _found(results: tuple[Result, ...]) -> tuple[tuple[str, ...], ...]:
    return tuple(result.quantity.joints for result in results if result.quantity.kind == "member")
