"""What was only guessed from the picture: arrows, supports, loads, dimensions, faint joints and members."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from cli.drawings import separate_drawings
from cli.lists import listed
from cli.model.file import Model
from cli.page.edits.drawings import AcceptDrawing, DeleteDrawing
from cli.page.edits.forces import PutSupport, RemoveLoad, RemoveSupport
from cli.page.edits.joints import DeleteJoint
from cli.page.edits.looks import AcceptJoint, AcceptLoad, AcceptMember, AcceptSupport
from cli.page.edits.members import DeleteMember
from cli.page.edits.sizes import PutDimension, RemoveDimension
from cli.page.look_types import Cure, Look
from cli.reading_words import DOUBTFUL, MOST_NAMED

__all__ = ["apart", "doubtful", "guessed_dimensions", "guessed_loads", "guessed_supports", "unsized_loads"]


def unsized_loads(model: Model) -> Iterator[Look]:
    """Ask how big the loads of arrows are that were seen."""
    for row, load in enumerate(model.loads):
        if load.force is None:
            yield Look(
                key=f"unsized load {load.joint} {row}",
                sentence=f"An arrow was seen at joint {load.joint}. How big is the load?",
                urgent=True,
                joints=(load.joint,),
                loads=(row,),
                cures=(Cure(label="No load here", edit=RemoveLoad(row=row)),),
            )


def guessed_supports(model: Model) -> Iterator[Look]:
    """Ask about supports that were seen in the picture."""
    for support in model.supports:
        if support.confidence is not None:
            other: Literal["pin", "roller"] = "roller" if support.kind == "pin" else "pin"
            yield Look(
                key=f"support {support.joint}",
                sentence=f"A {support.kind} was seen at joint {support.joint}. Is it right?",
                urgent=True,
                joints=(support.joint,),
                cures=(
                    Cure(label=f"Yes, a {support.kind}", edit=AcceptSupport(joint=support.joint)),
                    Cure(
                        label=f"No, a {other}",
                        edit=PutSupport(joint=support.joint, support=other),
                    ),
                    Cure(label="No support", edit=RemoveSupport(joint=support.joint)),
                ),
            )


def guessed_loads(model: Model) -> Iterator[Look]:
    """Ask about loads that were read with their sizes."""
    for row, load in enumerate(model.loads):
        if load.force is not None and load.confidence is not None:
            yield Look(
                key=f"load {load.joint} {row}",
                sentence=f"A load was read at joint {load.joint}. Is it right?",
                urgent=True,
                joints=(load.joint,),
                loads=(row,),
                cures=(
                    Cure(label="Yes", edit=AcceptLoad(row=row)),
                    Cure(label="No load here", edit=RemoveLoad(row=row)),
                ),
            )


def guessed_dimensions(model: Model) -> Iterator[Look]:
    """Ask about dimensions that were read."""
    for row, entry in enumerate(model.dimensions):
        if entry.confidence is not None:
            unit = "°" if entry.kind == "angle" else f" {model.units.length}"
            yield Look(
                key=f"dimension {entry.kind} {entry.start} {entry.end}",
                sentence=f"{entry.kind} {entry.start}–{entry.end}: {entry.value:g}{unit} was read. Right?",
                urgent=False,
                joints=(entry.start, entry.end),
                dimensions=(row,),
                cures=(
                    Cure(
                        label="Yes",
                        edit=PutDimension(
                            dimension=entry.kind, start=entry.start, end=entry.end, value=entry.value
                        ),
                    ),
                    Cure(label="Leave it out", edit=RemoveDimension(row=row)),
                ),
            )


def apart(model: Model) -> Iterator[Look]:
    """Ask about drawings that were read beside the largest one."""
    doubted = {joint.name for joint in model.joints if joint.confidence is not None}
    for names in separate_drawings(model)[1:]:
        if doubted.intersection(names):
            yield Look(
                key=f"apart {names[0]}",
                sentence=f"Joints {listed(names, most=MOST_NAMED)} are a drawing of their own. "
                "Do they belong to your truss?",
                urgent=False,
                joints=names,
                cures=(
                    Cure(label="Delete them", edit=DeleteDrawing(joints=names)),
                    Cure(label="They belong to it", edit=AcceptDrawing(joints=names)),
                ),
            )


def doubtful(model: Model) -> Iterator[Look]:
    """Ask about joints and members in the order of doubt."""
    doubts: list[tuple[float, Look]] = []
    for joint in model.joints:
        if joint.confidence is not None and joint.confidence < DOUBTFUL:
            look = Look(
                key=f"joint {joint.name}",
                sentence=f"Is there a joint at {joint.name}?",
                urgent=False,
                joints=(joint.name,),
                cures=(
                    Cure(label="Yes", edit=AcceptJoint(joint=joint.name)),
                    Cure(label="Delete it", edit=DeleteJoint(joint=joint.name)),
                ),
            )
            doubts.append((joint.confidence, look))
    for member in model.members:
        if member.confidence is not None and member.confidence < DOUBTFUL:
            start, end = member.joints
            look = Look(
                key=f"member {start} {end}",
                sentence=f"Is there a member {start}–{end}?",
                urgent=False,
                members=(member.joints,),
                cures=(
                    Cure(label="Yes", edit=AcceptMember(start=start, end=end)),
                    Cure(label="Delete it", edit=DeleteMember(start=start, end=end)),
                ),
            )
            doubts.append((member.confidence, look))
    yield from (look for _, look in sorted(doubts, key=lambda pair: pair[0]))
