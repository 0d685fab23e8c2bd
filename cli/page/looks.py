"""What a person should look at, each with the edits that settle it; and what is still to do."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

import numpy as np
from pydantic import BaseModel, ConfigDict, Field

from cli.model_file import Model
from cli.page.answer_types import Answer, FaultFound
from cli.page.canvas import canvas_of
from cli.page.edits import AnyEdit
from cli.page.edits.forces import PutSupport, RemoveLoad, RemoveSupport
from cli.page.edits.joints import CrossMembers, DeleteJoint, MeetMembers, MergeJoints
from cli.page.edits.looks import AcceptJoint, AcceptLoad, AcceptMember, AcceptSupport
from cli.page.edits.members import DeleteMember, SplitMember
from cli.page.edits.sizes import PutDimension, RemoveDimension

__all__ = ["Cure", "Look", "Task", "looks_of", "tasks_of"]

LOOK_BELOW = 0.7
"""Confidence below which something read is on the list: what the reading itself calls doubtful.

At 0.9 a shaky sketch that is read rightly gives eighteen questions, and nobody answers eighteen questions."""

STRAIGHT_WITHIN = math.radians(9)
"""Two members on either side of a joint are one straight line within this, at a place where members may only
cross."""

INSIDE = 0.04
"""Share of a member's length near its ends in which a crossing is no crossing but a joint drawn loosely."""

MOST_CROSSINGS = 24
"""Crossings listed; a drawing with more was not read as a truss."""


class Cure(BaseModel):
    """One way to settle a look: a button."""

    model_config = ConfigDict(frozen=True)

    label: str
    edit: AnyEdit


class Look(BaseModel):
    """Something to look at."""

    model_config = ConfigDict(frozen=True)

    key: str = Field(description="Stays the same as long as the matter does.")
    sentence: str
    urgent: bool = Field(description="Whether it stands in the way of an answer.")
    joints: tuple[str, ...] = ()
    members: tuple[tuple[str, str], ...] = ()
    loads: tuple[int, ...] = Field(default=(), description="Rows of loads.")
    dimensions: tuple[int, ...] = Field(default=(), description="Rows of dimensions.")
    cures: tuple[Cure, ...] = ()


class Task(BaseModel):
    """One of the few things that turn a picture into forces."""

    model_config = ConfigDict(frozen=True)

    key: str
    label: str
    done: bool
    words: str


def looks_of(model: Model, answer: Answer) -> tuple[Look, ...]:
    """Return what to look at: first what is in the way, then what was read with doubt."""
    looks = [*_faults(model, answer.faults)]
    if not model.confirmed:
        looks += [
            *_unsized_loads(model),
            *_guessed_supports(model),
            *_guessed_loads(model),
            *_guessed_dimensions(model),
            *_doubtful(model),
            *_crossing_joints(model),
            *_crossings(model),
        ]
    unique = {look.key: look for look in reversed(looks)}
    return tuple(reversed(unique.values()))


def tasks_of(model: Model, looks: tuple[Look, ...], answer: Answer) -> tuple[Task, ...]:
    """Return what turns this picture into forces, in order, and what of it is done."""
    used = model.confirmed
    supports = [entry for entry in model.supports if used or entry.confidence is None]
    loads = [entry for entry in model.loads if entry.force and (used or entry.confidence is None)]
    loaded = bool(loads or model.deck_loads or model.self_weight)
    left = len(looks)
    return (
        Task(
            key="reading",
            label="Joints and members",
            done=bool(model.members) and not left,
            words="Nothing left to look at."
            if model.members and not left
            else f"{left} to look at."
            if model.members
            else "Draw the members from joint to joint.",
        ),
        Task(
            key="supports",
            label="Supports",
            done=bool(supports),
            words=", ".join(f"{entry.kind} at {entry.joint}" for entry in supports)
            or "Choose what holds it.",
        ),
        Task(
            key="loads",
            label="Loads",
            done=loaded,
            words=_load_words(model, len(loads)) if loaded else "Drag an arrow from a joint.",
        ),
        Task(
            key="lengths",
            label="One length",
            done=answer.has_lengths,
            words="Lengths are known."
            if answer.has_lengths
            else "Forces need none. Give one for true lengths and self-weight.",
        ),
    )


def _load_words(model: Model, count: int) -> str:
    parts = []
    if count:
        parts.append("1 load" if count == 1 else f"{count} loads")
    if model.deck_loads:
        parts.append("a deck load")
    if model.self_weight:
        parts.append("self-weight")
    return ", ".join(parts)


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


def _unsized_loads(model: Model) -> Iterator[Look]:
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


def _guessed_supports(model: Model) -> Iterator[Look]:
    for support in model.supports:
        if support.confidence is not None:
            other = "roller" if support.kind == "pin" else "pin"
            yield Look(
                key=f"support {support.joint}",
                sentence=f"A {support.kind} was seen at joint {support.joint}. Is it right?",
                urgent=True,
                joints=(support.joint,),
                cures=(
                    Cure(label=f"Yes, a {support.kind}", edit=AcceptSupport(joint=support.joint)),
                    Cure(
                        label=f"No, a {other}",
                        edit=PutSupport(
                            joint=support.joint, support="roller" if other == "roller" else "pin"
                        ),
                    ),
                    Cure(label="No support", edit=RemoveSupport(joint=support.joint)),
                ),
            )


def _guessed_loads(model: Model) -> Iterator[Look]:
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


def _guessed_dimensions(model: Model) -> Iterator[Look]:
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


def _doubtful(model: Model) -> Iterator[Look]:
    """Joints and members in the order of doubt."""
    doubts: list[tuple[float, Look]] = []
    for joint in model.joints:
        if joint.confidence is not None and joint.confidence < LOOK_BELOW:
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
        if member.confidence is not None and member.confidence < LOOK_BELOW:
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


def _crossing_joints(model: Model) -> Iterator[Look]:
    """Joints at which two straight members meet that may only cross."""
    places = canvas_of(model).joints
    rows = model.rows
    for joint in model.joints:
        if joint.confidence is None:
            continue
        far = [
            end if start == joint.name else start
            for start, end in (member.joints for member in model.members)
            if joint.name in (start, end)
        ]
        if len(far) != 4:
            continue
        angles = sorted(math.atan2(*(places[rows[name]] - places[rows[joint.name]])[::-1]) for name in far)
        bends = (abs(angles[row + 2] - angles[row] - math.pi) for row in (0, 1))
        if all(bend < STRAIGHT_WITHIN for bend in bends):
            yield Look(
                key=f"crossing joint {joint.name}",
                sentence=f"Two straight members meet at {joint.name}. Are they joined there?",
                urgent=False,
                joints=(joint.name,),
                cures=(
                    Cure(label="Yes, a joint", edit=AcceptJoint(joint=joint.name)),
                    Cure(label="No, they only cross", edit=CrossMembers(joint=joint.name)),
                ),
            )


def _crossings(model: Model) -> Iterator[Look]:
    """Members that cross away from their ends: perhaps a joint was missed there."""
    if not model.members:
        return
    places = canvas_of(model).joints
    rows = model.rows
    ends = np.array([[rows[name] for name in member.joints] for member in model.members])
    start, way = places[ends[:, 0]], places[ends[:, 1]] - places[ends[:, 0]]
    found = 0
    for one in range(len(ends)):
        for other in range(one + 1, len(ends)):
            if set(ends[one]) & set(ends[other]):
                continue
            both = _meeting(start[one], way[one], start[other], way[other])
            doubted = any(model.members[row].confidence is not None for row in (one, other))
            if both is None or not doubted or found >= MOST_CROSSINGS:
                continue
            found += 1
            first, second = model.members[one].joints, model.members[other].joints
            yield Look(
                key=f"crossing {first} {second}",
                sentence=f"{'–'.join(first)} and {'–'.join(second)} cross, taken as not joined there.",
                urgent=False,
                members=(first, second),
                cures=(
                    Cure(
                        label="Right, no joint",
                        edit=AcceptMember(start=first[0], end=first[1])
                        if model.members[one].confidence is not None
                        else AcceptMember(start=second[0], end=second[1]),
                    ),
                    Cure(
                        label="Put a joint there",
                        edit=MeetMembers(first=first, second=second, px=both)
                        if model.picture is not None
                        else MeetMembers(first=first, second=second, at=_plane(model, both)),
                    ),
                ),
            )


def _plane(model: Model, page: tuple[float, float]) -> tuple[float, float]:
    scale = canvas_of(model).scale or 1.0
    return page[0] / scale, -page[1] / scale


def _meeting(p: np.ndarray, u: np.ndarray, q: np.ndarray, v: np.ndarray) -> tuple[float, float] | None:
    """Return where two members cross well inside both, None when they do not."""
    area = float(u[0] * v[1] - u[1] * v[0])
    if abs(area) <= 1e-9 * float(np.hypot(*u) * np.hypot(*v)):
        return None
    s = float((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / area
    t = float((q[0] - p[0]) * u[1] - (q[1] - p[1]) * u[0]) / area
    if not (INSIDE < s < 1 - INSIDE and INSIDE < t < 1 - INSIDE):
        return None
    return float(p[0] + s * u[0]), float(p[1] + s * u[1])
