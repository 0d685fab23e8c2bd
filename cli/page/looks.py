"""What a person should look at, each with the edits that settle it: first what is in the way of an answer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from cli.model.file import Model
from cli.page.answer_types import Answer, FaultFound
from cli.page.crossings import crossing_joints, crossings
from cli.page.edits.joints import DeleteJoint
from cli.page.edits.meetings import MergeJoints
from cli.page.edits.members import SplitMember
from cli.page.edits.sizes import RemoveDimension
from cli.page.guesses import (
    apart,
    doubtful,
    guessed_dimensions,
    guessed_loads,
    guessed_supports,
    unsized_loads,
)
from cli.page.look_types import Cure, Look

__all__ = ["looks_of"]


def looks_of(model: Model, answer: Answer) -> tuple[Look, ...]:
    """Return what to look at: first what is in the way, then what was read with doubt."""
    looks = [*_faults(model, answer.faults)]
    if not model.confirmed:
        looks += [
            *unsized_loads(model),
            *guessed_supports(model),
            *guessed_loads(model),
            *guessed_dimensions(model),
            *apart(model),
            *doubtful(model),
            *crossing_joints(model),
            *crossings(model),
        ]
    unique = {look.key: look for look in reversed(looks)}
    return tuple(reversed(unique.values()))


def _faults(model: Model, faults: tuple[FaultFound, ...]) -> Iterator[Look]:
    names = set(model.names)
    for fault in faults:
        yield Look(
            key=f"fault {fault.sentence}",
            sentence=fault.sentence,
            urgent=True,
            joints=fault.joints,
            members=fault.members,
            dimensions=fault.dimensions,
            cures=tuple(_fault_cures(model, fault, names)),
        )


def _fault_cures(model: Model, fault: FaultFound, names: set[str]) -> Iterator[Cure]:
    for row in fault.dimensions:
        entry = model.dimensions[row]
        yield Cure(label=f"Leave out {entry.kind} {entry.start}–{entry.end}", edit=RemoveDimension(row=row))
    if len(fault.members) == 1 and len(fault.joints) == 1 and fault.joints[0] not in fault.members[0]:
        (start, end), joint = fault.members[0], fault.joints[0]
        yield Cure(
            label=f"Split {start}–{end} at {joint}", edit=SplitMember(start=start, end=end, joint=joint)
        )
    elif not fault.members and len(fault.joints) == 1 and fault.joints[0] in names:
        met = Counter(name for member in model.members for name in member.joints)
        if met[fault.joints[0]] == 0:
            yield Cure(label=f"Delete {fault.joints[0]}", edit=DeleteJoint(joint=fault.joints[0]))
    elif not fault.members and len(fault.joints) == 2:
        one, other = fault.joints
        yield Cure(label=f"Merge {other} into {one}", edit=MergeJoints(joint=other, into=one))
