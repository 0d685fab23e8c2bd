"""The live answer: from a model to verdict, forces, reactions, free bodies, or why there are none.

Whatever stands in the way becomes a fault or a sentence of the answer; nothing is raised. What was only
guessed from the picture (supports, loads, dimensions) is not used before a person has said that it is right.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cli.errors import FaultsError
from cli.model.file import Model
from cli.page.answer_types import (
    Answer,
    Count,
    FaultFound,
    JointAnswer,
    MemberAnswer,
    Motion,
    ReactionAnswer,
    Sense,
)
from cli.page.canvas import canvas_of
from cli.page.free_body import free_bodies
from cli.page.places import placed
from cli.page.strength import strength_shown
from cli.page.trust import trusted
from cli.page.wording import (
    NUMERALS,
    count_words,
    force_words,
    headline,
    kinds,
    quantity,
    verdict_words,
)
from cli.sheets.directions import direction_axes
from cli.sheets.scene import force_label
from cli.stability_words import motion_words
from cli.translate.places import Placed
from cli.translate.to_truss import truss_of
from solver import (
    NoUniqueSolutionError,
    Solution,
    Stability,
    Truss,
    TrussError,
    assess,
    solve,
)
from vision.errors import ContradictionError, SurveyError

__all__ = ["answer_of"]

DUST = 1e-9
"""Share of the largest below which a component of a reaction, or a standard error, is nothing."""


def answer_of(model: Model) -> Answer:
    """Return everything that follows from a model.

    Parameters
    ----------
    model
        As the person has it now, finished or not.
    """
    used = trusted(model)
    bare = _bare(model)
    if not model.members:
        return bare
    try:
        where = placed(used.model)
        truss = truss_of(used.model, where.at)
    except ContradictionError as error:
        rows = tuple(used.dimension_rows[row] for row in error.dimensions if row < len(used.dimension_rows))
        return _faulty(bare, (FaultFound(sentence=str(error), dimensions=rows),))
    except (SurveyError, FaultsError) as error:
        return _faulty(bare, (FaultFound(sentence=str(error)),))
    except TrussError as error:
        found = tuple(
            FaultFound(sentence=fault.sentence, joints=fault.joints, members=fault.members)
            for fault in error.faults
        )
        return _faulty(bare, found)
    return _judged(used.model, bare, where, truss)


def _bare(model: Model) -> Answer:
    """Return what is known before any calculation: places on the page."""
    canvas = canvas_of(model)
    joints = tuple(
        JointAnswer(name=name, page=(float(x), float(y)))
        for name, (x, y) in zip(model.names, canvas.joints, strict=True)
    )
    return Answer(
        headline="No truss yet" if not model.members else "",
        words="" if model.members else "Draw its members from joint to joint.",
        joints=joints,
        members=tuple(MemberAnswer(start=m.joints[0], end=m.joints[1]) for m in model.members),
    )


def _faulty(bare: Answer, faults: tuple[FaultFound, ...]) -> Answer:
    one = len(faults) == 1
    return bare.model_copy(
        update={
            "headline": "One thing to mend" if one else f"{len(faults)} things to mend",
            "faults": faults,
        }
    )


def _judged(model: Model, bare: Answer, where: Placed, truss: Truss) -> Answer:
    """Add verdict, and the forces where there are any."""
    page = np.array([joint.page for joint in bare.joints])
    axes = direction_axes(where.at, page, aslant=model.view is not None)
    errors = _place_errors(where)
    placed_answer = bare.model_copy(
        update={
            "joints": tuple(
                joint.model_copy(update={"at": (float(x), float(y)), "at_error": error})
                for joint, (x, y), error in zip(bare.joints, where.at, errors, strict=True)
            ),
            "remarks": where.remarks,
            "axes": ((float(axes[0, 0]), float(axes[0, 1])), (float(axes[1, 0]), float(axes[1, 1]))),
            "has_lengths": _has_lengths(model),
        }
    )
    try:
        solution = solve(truss, joint_covariance=where.covariance)
    except NoUniqueSolutionError as error:
        return _unsolved(placed_answer, truss, error.stability, axes)
    except TrussError:
        # Supports or loads are still missing; the shape can be judged all the same.
        return _unsolved(placed_answer, truss, assess(truss), axes)
    return _solved(model, placed_answer, solution)


def _has_lengths(model: Model) -> bool:
    return (
        model.view is not None
        or any(entry.kind != "angle" for entry in model.dimensions)
        or all(joint.at is not None for joint in model.joints)
    )


def _place_errors(where: Placed) -> list[tuple[float, float] | None]:
    if where.covariance is None:
        return [None] * len(where.at)
    errors = np.sqrt(np.maximum(np.diag(where.covariance), 0.0)).reshape(-1, 2)
    errors[errors <= DUST * errors.max(initial=0.0)] = 0.0
    return [(float(x), float(y)) for x, y in errors]


def _counted(stability: Stability) -> Count:
    left, right = stability.m + stability.r, 2 * stability.j
    sign = "=" if left == right else "<" if left < right else ">"
    sums = f"m + r = {stability.m} + {stability.r} = {left}", f"2j = 2 × {stability.j} = {right}"
    return Count(
        m=stability.m,
        r=stability.r,
        j=stability.j,
        mechanisms=stability.mechanisms,
        self_stress=stability.self_stress,
        arithmetic=f"{sums[0]}  {sign}  {sums[1]}",
        words=count_words(stability),
    )


def _unsolved(answer: Answer, truss: Truss, stability: Stability, axes: NDArray[np.float64]) -> Answer:
    """Show what moves, or what is too much; without supports only that they are missing."""
    count = _counted(stability)
    held = bool(truss.supports)
    motions = []
    for movement in stability.movements if held else ():
        on_page = movement.displacements @ axes.T
        largest = float(np.hypot(on_page[:, 0], on_page[:, 1]).max())
        motions.append(
            Motion(
                joints=tuple((float(x), float(y)) for x, y in on_page / largest),
                says=motion_words(movement),
            )
        )
    involved = {pair for redundancy in stability.redundancies for pair in redundancy.members}
    redundant = tuple(
        row for row, member in enumerate(truss.members) if (member.start, member.end) in involved
    )
    return answer.model_copy(
        update={
            "verdict": kinds(stability.verdict) if held else None,
            "headline": headline(stability, supports=held, loads=_is_loaded(truss)),
            "words": verdict_words(stability, supports=held, loads=_is_loaded(truss)),
            "count": count if held else None,
            "motions": tuple(motions),
            "redundant": redundant,
        }
    )


def _is_loaded(truss: Truss) -> bool:
    return bool(truss.loads or truss.deck_loads or any(member.weight for member in truss.members))


def _solved(model: Model, answer: Answer, solution: Solution) -> Answer:
    truss = solution.truss
    unit = truss.force_unit
    largest = float(np.abs(solution.forces).max(initial=0.0))
    members = []
    for row, member in enumerate(truss.members):
        sense: Sense = sense_of(solution.senses[row])
        force = 0.0 if sense == "0" else float(solution.forces[row])
        error = None if solution.force_errors is None else float(solution.force_errors[row])
        members.append(
            MemberAnswer(
                start=member.start,
                end=member.end,
                length=quantity(float(truss.lengths[row]), truss.length_unit) if answer.has_lengths else None,
                force=force,
                error=error,
                sense=sense,
                label=force_label(force, sense, NUMERALS),
                share=abs(force) / largest if largest else 0.0,
                says=force_words((member.start, member.end), force, error, sense, unit),
            )
        )
    bodies = free_bodies(solution)
    return answer.model_copy(
        update={
            "verdict": kinds(solution.stability.verdict),
            "headline": headline(solution.stability, supports=True, loads=True),
            "words": verdict_words(solution.stability, supports=True, loads=True),
            "count": _counted(solution.stability),
            "solved": True,
            "joints": tuple(
                joint.model_copy(update={"free_body": body})
                for joint, body in zip(answer.joints, bodies, strict=True)
            ),
            "members": tuple(members),
            "reactions": _reactions(solution),
            "strength": strength_shown(model, solution),
            "remarks": (*answer.remarks, *(str(notice) for notice in solution.warnings)),
        }
    )


def sense_of(letter: str) -> Sense:
    """Return the letter of a sense as the types know it."""
    for sense in ("T", "C", "0"):
        if letter == sense:
            return sense
    return "?"


def _reactions(solution: Solution) -> tuple[ReactionAnswer, ...]:
    """Give a pin's reaction in its two components, a roller's in one along its normal."""
    unit = solution.truss.force_unit
    dust = DUST * max(solution.checks.largest_load, float(np.abs(solution.forces).max(initial=0.0)))
    shown: list[ReactionAnswer] = []
    for reaction in solution.reactions:
        if reaction.kind == "pin":
            parts = [
                ((reaction.fx, 0.0), reaction.fx_error),
                ((0.0, reaction.fy), reaction.fy_error),
            ]
        else:
            size = None
            if reaction.fx_error is not None and reaction.fy_error is not None:
                size = float(np.hypot(reaction.fx_error, reaction.fy_error))
            parts = [((reaction.fx, reaction.fy), size)]
        for vector, error in parts:
            size_of = float(np.hypot(*vector))
            if size_of <= dust:
                continue
            shown.append(
                ReactionAnswer(
                    joint=reaction.joint,
                    direction=(vector[0] / size_of, vector[1] / size_of),
                    size=size_of,
                    error=error,
                    label=quantity(size_of, unit),
                )
            )
    return tuple(shown)
