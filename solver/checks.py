"""What can be wrong with a model, found all together.

Each check is one function that yields faults. Checks that need sound names or numbers look only at what is
sound, so that one slip does not hide the next.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from solver.errors import Fault
from solver.fault_words import dash, is_named, names_of, unknown_joint
from solver.geometry import coincident_pairs, extent, joints_on_members
from solver.layout import Layout
from solver.load_checks import load_faults
from solver.magnitude import is_number, number_faults
from solver.parts import DeckLoad, Load, MemberLoad
from solver.settings import TOLERANCES
from solver.sound import FORCE_UNITS, LENGTH_UNITS, SUPPORT_KINDS, is_sound

__all__ = ["faults_of", "lacking_of"]


def faults_of(layout: Layout) -> tuple[tuple[Fault, ...], tuple[Fault, ...]]:
    """Find all faults of a model.

    Returns
    -------
    faults : tuple of Fault
        What makes the model meaningless.
    lacking : tuple of Fault
        What it needs before it can be solved: supports, loads. It can be drawn and assessed without.
    """
    if is_sound(layout):
        return (), lacking_of(layout)
    faults = (
        *_units(layout),
        *_joint_names(layout),
        *_numbers(layout),
        *_member_ends(layout),
        *_supports(layout),
        *load_faults(layout),
        *_geometry(layout),
    )
    return faults, lacking_of(layout)


def _units(layout: Layout) -> Iterator[Fault]:
    for what, unit, known in (
        ("length", layout.length_unit, LENGTH_UNITS),
        ("force", layout.force_unit, FORCE_UNITS),
    ):
        if unit not in known:
            yield Fault(
                "unknown unit", f"{unit!r} is not a unit of {what} known here; use one of {', '.join(known)}."
            )


def _joint_names(layout: Layout) -> Iterator[Fault]:
    if not layout.joints:
        yield Fault("no joints", "The truss has no joints; give at least two.")
    if not layout.members:
        yield Fault("no members", "The truss has no members; join its joints with members.")
    names = [joint.name for joint in layout.joints]
    if not all(type(name) is str and name for name in names):
        yield Fault("no name", "A joint has no name, or one that is not text; give every joint a name.")
        return
    if len(set(names)) < len(names):
        for name, times in Counter(names).items():
            if times > 1:
                yield Fault(
                    "repeated name",
                    f"{times} joints are named {name}; give every joint a name of its own.",
                    joints=(name,),
                )


def _numbers(layout: Layout) -> Iterator[Fault]:
    for joint in layout.joints:
        for axis, value in (("x", joint.x), ("y", joint.y)):
            yield from number_faults(value, f"{axis} of joint {joint.name}", joints=(joint.name,))
    yield from _member_numbers(layout)


def _member_numbers(layout: Layout) -> Iterator[Fault]:
    for member in layout.members:
        ends = ((member.start, member.end),)
        if member.weight != 0.0 or type(member.weight) is not float:
            yield from number_faults(
                member.weight, f"The weight of member {dash(*ends[0])}", members=ends, least=0.0
            )
        if member.stiffness is not None:
            where = f"The stiffness of member {dash(*ends[0])}"
            yield from number_faults(member.stiffness, where, members=ends, least=0.0)
            if is_number(member.stiffness) and 0 <= member.stiffness < TOLERANCES.smallest_number:
                yield Fault(
                    "no stiffness", f"{where} is nothing; give a positive EA or none at all.", members=ends
                )


def _member_ends(layout: Layout) -> Iterator[Fault]:
    names = names_of(layout)
    seen: dict[frozenset[str], int] = {}
    attached: set[str] = set()
    for member in layout.members:
        ends = (member.start, member.end)
        strange = [name for name in ends if not is_named(name, names)]
        for name in strange:
            yield unknown_joint(name, f"member {dash(*ends)}", members=(ends,))
        if any(type(name) is not str for name in strange):
            continue
        if member.start == member.end:
            yield Fault(
                "no length",
                f"Member {dash(*ends)} starts and ends at one joint; join two different joints.",
                joints=(str(member.start),),
                members=(ends,),
            )
        attached.update(ends)
        key = frozenset(ends)
        seen[key] = seen.get(key, 0) + 1
    if len(seen) < len(layout.members):
        for key, times in seen.items():
            if times > 1 and len(key) == 2:
                first, second = sorted(key)
                yield Fault(
                    "doubled member",
                    f"{times} members join {first} and {second}; keep one of them.",
                    joints=(first, second),
                    members=((first, second),),
                )
    for name in names.keys() - attached:
        yield Fault(
            "joint with no member",
            f"No member meets joint {name}; join it to the truss or take it away.",
            joints=(name,),
        )


def _supports(layout: Layout) -> Iterator[Fault]:
    names = names_of(layout)
    for support in layout.supports:
        if not is_named(support.joint, names):
            yield unknown_joint(support.joint, "a support")
        if support.kind not in SUPPORT_KINDS:
            yield Fault(
                "unknown support",
                f"The support at joint {support.joint} is {support.kind!r}; a support is a pin or a roller.",
                joints=(str(support.joint),),
            )
        if support.kind == "roller":
            yield from _normal(support.normal, support.joint)
    for name, times in Counter(str(support.joint) for support in layout.supports).items():
        if times > 1:
            yield Fault(
                "doubled support",
                f"Joint {name} has {times} supports; keep one: a pin holds both directions, a roller one.",
                joints=(name,),
            )


def _normal(normal: object, joint: str) -> Iterator[Fault]:
    where = f"the direction of the roller at joint {joint}"
    if not isinstance(normal, tuple | list | np.ndarray) or len(normal) != 2:
        yield Fault(
            "not a number",
            f"The direction of the roller at joint {joint} needs two numbers, x and y.",
            joints=(joint,),
        )
        return
    troubles = [fault for value in normal for fault in number_faults(value, where, joints=(joint,))]
    yield from troubles
    if not troubles and normal[0] == 0 and normal[1] == 0:
        yield Fault(
            "no direction",
            f"The roller at joint {joint} has no direction; give the direction in which its surface pushes.",
            joints=(joint,),
        )


def _geometry(layout: Layout) -> Iterator[Fault]:
    """Look at where the joints are: only those with sound names and places, and the members between them."""
    sound, at = _sound_places(layout)
    if len(at) < 2:
        return
    if extent(at) < TOLERANCES.smallest_number:
        yield Fault("out of range", "All joints are at one place; give joints apart, or a smaller unit.")
        return
    names = list(sound)
    shared_place: set[tuple[int, int]] = set()
    for first, second in coincident_pairs(at):
        shared_place.add((first, second))
        yield Fault(
            "coincident joints",
            f"Joints {names[first]} and {names[second]} are at one place; keep one of them.",
            joints=(names[first], names[second]),
        )
    ends = [
        (sound[member.start], sound[member.end])
        for member in layout.members
        if is_named(member.start, sound) and is_named(member.end, sound) and member.start != member.end
    ]
    if not ends:
        return
    rows = np.array(ends, dtype=np.intp)
    if shared_place:
        kept = [index for index, pair in enumerate(ends) if (min(pair), max(pair)) not in shared_place]
        for index in sorted(set(range(len(ends))) - set(kept)):
            pair = (names[ends[index][0]], names[ends[index][1]])
            yield Fault(
                "no length",
                f"Member {dash(*pair)} has no length: its joints are at one place.",
                joints=pair,
                members=(pair,),
            )
        rows = rows[kept]
    for member, joint in joints_on_members(at, rows):
        pair = (names[rows[member][0]], names[rows[member][1]])
        yield Fault(
            "member through a joint",
            f"Member {dash(*pair)} passes through joint {names[joint]} but is not attached to it; "
            f"split the member there into {dash(pair[0], names[joint])} and {dash(names[joint], pair[1])}, "
            f"or move the joint.",
            joints=(names[joint],),
            members=(pair,),
        )


def _sound_places(layout: Layout) -> tuple[dict[str, int], NDArray[np.float64]]:
    """Rows and positions of joints whose names and coordinates can be used; the first of a repeated name."""
    rows: dict[str, int] = {}
    places: list[tuple[float, float]] = []
    for joint in layout.joints:
        if type(joint.name) is not str or joint.name in rows:
            continue
        if not (is_number(joint.x) and is_number(joint.y)):
            continue
        rows[joint.name] = len(places)
        places.append((float(joint.x), float(joint.y)))
    return rows, np.array(places, dtype=float).reshape(-1, 2)


def lacking_of(layout: Layout) -> tuple[Fault, ...]:
    """Find what a truss needs before it can be solved."""
    return tuple(_lacking(layout))


def _lacking(layout: Layout) -> Iterator[Fault]:
    if not layout.supports:
        yield Fault(
            "no supports", "The truss has no supports; put a pin at one joint and a roller at another."
        )
    loads: Iterable[Load | DeckLoad | MemberLoad] = chain(
        layout.loads, layout.deck_loads, layout.member_loads
    )
    parts = chain((part for load in loads for part in (load.fx, load.fy)), (m.weight for m in layout.members))
    if not any(is_number(part) and abs(part) >= TOLERANCES.smallest_number for part in parts):
        yield Fault(
            "no loads", "The truss carries no load; put a load on a joint or give its members weight."
        )
