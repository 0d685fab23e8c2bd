"""What can be wrong with a model, found all together.

Each check is one function that yields faults. Checks that need sound names or numbers look only at what is
sound, so that one slip does not hide the next.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import chain
from numbers import Real
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from solver.errors import Fault
from solver.geometry import coincident_pairs, joints_on_members
from solver.settings import TOLERANCES
from solver.sound import FORCE_UNITS, LENGTH_UNITS, SUPPORT_KINDS, is_sound

if TYPE_CHECKING:
    from solver.truss import DeckLoad, Load, MemberLoad, Truss

__all__ = ["faults_of", "lacking_of"]


def faults_of(truss: Truss) -> tuple[tuple[Fault, ...], tuple[Fault, ...]]:
    """Find all faults of a model.

    Returns
    -------
    faults : tuple of Fault
        What makes the model meaningless.
    lacking : tuple of Fault
        What it needs before it can be solved: supports, loads. It can be drawn and assessed without.
    """
    if is_sound(truss):
        return (), lacking_of(truss)
    faults = (
        *_units(truss),
        *_joint_names(truss),
        *_numbers(truss),
        *_member_ends(truss),
        *_supports(truss),
        *_load_places(truss),
        *_member_loads(truss),
        *_geometry(truss),
    )
    return faults, lacking_of(truss)


def _units(truss: Truss) -> Iterator[Fault]:
    for what, unit, known in (
        ("length", truss.length_unit, LENGTH_UNITS),
        ("force", truss.force_unit, FORCE_UNITS),
    ):
        if unit not in known:
            yield Fault(
                "unknown unit", f"{unit!r} is not a unit of {what} known here; use one of {', '.join(known)}."
            )


def _joint_names(truss: Truss) -> Iterator[Fault]:
    if not truss.joints:
        yield Fault("no joints", "The truss has no joints; give at least two.")
    if not truss.members:
        yield Fault("no members", "The truss has no members; join its joints with members.")
    names = [joint.name for joint in truss.joints]
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


def _numbers(truss: Truss) -> Iterator[Fault]:
    if not all(
        type(joint.x) is float and type(joint.y) is float for joint in truss.joints
    ) or not _all_in_range(chain.from_iterable((joint.x, joint.y) for joint in truss.joints)):
        for joint in truss.joints:
            for axis, value in (("x", joint.x), ("y", joint.y)):
                yield from _number(value, f"{axis} of joint {joint.name}", joints=(joint.name,))
    yield from _member_numbers(truss)
    for load in truss.loads:
        for axis, value in (("x", load.fx), ("y", load.fy)):
            yield from _number(
                value, f"The {axis} part of the load on joint {load.joint}", joints=(load.joint,)
            )
    for deck in truss.deck_loads:
        for axis, value in (("x", deck.fx), ("y", deck.fy)):
            where = f"The {axis} part of the load along the deck {_dash(*deck.joints)}"
            yield from _number(value, where, joints=tuple(deck.joints))


def _member_numbers(truss: Truss) -> Iterator[Fault]:
    for member in truss.members:
        ends = ((member.start, member.end),)
        if member.weight != 0.0 or type(member.weight) is not float:
            yield from _number(
                member.weight, f"The weight of member {_dash(*ends[0])}", members=ends, least=0.0
            )
        if member.stiffness is not None:
            where = f"The stiffness of member {_dash(*ends[0])}"
            yield from _number(member.stiffness, where, members=ends, least=0.0)
            if member.stiffness == 0:
                yield Fault(
                    "no stiffness", f"{where} is zero; give a positive EA or none at all.", members=ends
                )


def _all_in_range(values: Iterable[float]) -> bool:
    sizes = np.abs(np.fromiter(values, dtype=float))
    in_range = (sizes == 0.0) | ((sizes >= TOLERANCES.smallest_number) & (sizes <= TOLERANCES.largest_number))
    return bool(in_range.all())


def _number(
    value: object,
    where: str,
    *,
    joints: tuple[str, ...] = (),
    members: tuple[tuple[str, str], ...] = (),
    least: float = -math.inf,
) -> Iterator[Fault]:
    """Yield a fault unless the value is a finite real number of a size that arithmetic can carry."""
    trouble, kind = "", "not a number"
    if isinstance(value, bool) or not isinstance(value, Real):
        trouble = f"is {value!r}, not a number; give a plain number"
    else:
        try:
            size = float(value)
        except OverflowError:
            size = math.inf
        if math.isnan(size):
            trouble = "is not a number; give a plain number"
        elif abs(size) > TOLERANCES.largest_number:
            trouble, kind = "is too large to calculate with; choose a larger unit", "out of range"
        elif value != 0 and abs(size) < TOLERANCES.smallest_number:
            trouble, kind = "is too small to calculate with; choose a smaller unit or zero", "out of range"
        elif size < least:
            trouble, kind = "is negative; give zero or more", "out of range"
    if trouble:
        yield Fault(kind, f"{where[:1].upper()}{where[1:]} {trouble}.", joints=joints, members=members)


def _member_ends(truss: Truss) -> Iterator[Fault]:
    names = _names(truss)
    seen: dict[frozenset[str], int] = {}
    attached: set[str] = set()
    for member in truss.members:
        ends = (member.start, member.end)
        if member.start not in names or member.end not in names:
            for name in ends:
                if name not in names:
                    yield _unknown(name, f"member {_dash(*ends)}", members=(ends,))
        if member.start == member.end:
            yield Fault(
                "no length",
                f"Member {_dash(*ends)} starts and ends at one joint; join two different joints.",
                joints=(str(member.start),),
                members=(ends,),
            )
        attached.update(ends)
        key = frozenset(ends)
        seen[key] = seen.get(key, 0) + 1
    if len(seen) < len(truss.members):
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


def _supports(truss: Truss) -> Iterator[Fault]:
    names = _names(truss)
    for support in truss.supports:
        if support.joint not in names:
            yield _unknown(support.joint, "a support")
        if support.kind not in SUPPORT_KINDS:
            yield Fault(
                "unknown support",
                f"The support at joint {support.joint} is {support.kind!r}; a support is a pin or a roller.",
                joints=(str(support.joint),),
            )
        if support.kind == "roller":
            yield from _normal(support.normal, support.joint)
    for name, times in Counter(support.joint for support in truss.supports).items():
        if times > 1:
            yield Fault(
                "doubled support",
                f"Joint {name} has {times} supports; keep one: a pin holds both directions, a roller one.",
                joints=(name,),
            )


def _normal(normal: object, joint: str) -> Iterator[Fault]:
    where = f"the direction of the roller at joint {joint}"
    if not isinstance(normal, tuple | list | np.ndarray) or len(normal) != 2:
        yield Fault("not a number", f"{where.capitalize()} needs two numbers, x and y.", joints=(joint,))
        return
    troubles = [fault for value in normal for fault in _number(value, where, joints=(joint,))]
    yield from troubles
    if not troubles and normal[0] == 0 and normal[1] == 0:
        yield Fault(
            "no direction",
            f"The roller at joint {joint} has no direction; give the direction in which its surface pushes.",
            joints=(joint,),
        )


def _load_places(truss: Truss) -> Iterator[Fault]:
    names = _names(truss)
    for load in truss.loads:
        if load.joint not in names:
            yield _unknown(load.joint, "a load")
    for deck in truss.deck_loads:
        for name in deck.joints:
            if name not in names:
                yield _unknown(name, "the load along a deck")
        if len(deck.joints) < 2:
            yield Fault("short deck", "A load along a deck needs at least two deck joints, in order.")
        elif len(set(deck.joints)) < len(deck.joints):
            yield Fault(
                "repeated deck joint",
                f"The deck {_dash(*deck.joints)} passes a joint twice; name each deck joint once, in order.",
                joints=tuple(deck.joints),
            )


def _member_loads(truss: Truss) -> Iterator[Fault]:
    if not truss.member_loads:
        return
    places = {joint.name: (joint.x, joint.y) for joint in truss.joints}
    pairs = {frozenset((member.start, member.end)) for member in truss.members}
    for load in truss.member_loads:
        ends = (load.start, load.end)
        where = f"the load on member {_dash(*ends)}"
        if frozenset(ends) not in pairs:
            yield Fault(
                "unknown member",
                f"There is no member {_dash(*ends)} for a load to act on; name a member by its two joints.",
                members=(ends,),
            )
            continue
        troubles = [
            fault
            for value, what in (
                (load.distance, f"the distance of {where}"),
                (load.fx, f"the x part of {where}"),
                (load.fy, f"the y part of {where}"),
            )
            for fault in _number(value, what, members=(ends,))
        ]
        yield from troubles
        if not load.share:
            yield Fault(
                "load between joints",
                f"A load acts on member {_dash(*ends)} between its joints, but members of a truss carry only "
                "axial force: move the load to a joint, put a joint there, or ask for it to be shared to "
                "the two ends by the lever rule (bending of the member is then not covered).",
                members=(ends,),
            )
        if not troubles and all(name in places for name in ends):
            length = _distance(places[load.start], places[load.end])
            if length is not None and not 0 <= load.distance <= length:
                yield Fault(
                    "off the member",
                    f"The load on member {_dash(*ends)} acts {load.distance:g} from {load.start}, but the "
                    f"member is {length:g} long; measure along the member from {load.start}.",
                    members=(ends,),
                )


def _distance(first: tuple[object, object], second: tuple[object, object]) -> float | None:
    """Give the distance between two places, or none when a coordinate is faulty."""
    flat = (*first, *second)
    if any(True for value in flat for _ in _number(value, "")):
        return None
    numbers = [float(value) for value in flat if isinstance(value, Real)]
    return math.hypot(numbers[2] - numbers[0], numbers[3] - numbers[1])


def _geometry(truss: Truss) -> Iterator[Fault]:
    """Look at where the joints are: only those with sound names and places, and the members between them."""
    sound, at = _sound_places(truss)
    if len(at) < 2:
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
        for member in truss.members
        if member.start in sound and member.end in sound and member.start != member.end
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
                f"Member {_dash(*pair)} has no length: its joints are at one place.",
                joints=pair,
                members=(pair,),
            )
        rows = rows[kept]
    for member, joint in joints_on_members(at, rows):
        pair = (names[rows[member][0]], names[rows[member][1]])
        yield Fault(
            "member through a joint",
            f"Member {_dash(*pair)} passes through joint {names[joint]} but is not attached to it; "
            f"split the member there into {_dash(pair[0], names[joint])} and {_dash(names[joint], pair[1])}, "
            f"or move the joint.",
            joints=(names[joint],),
            members=(pair,),
        )


def _sound_places(truss: Truss) -> tuple[dict[str, int], NDArray[np.float64]]:
    """Rows and positions of joints whose names and coordinates can be used; the first of a repeated name."""
    rows: dict[str, int] = {}
    places: list[tuple[float, float]] = []
    fast = all(type(joint.x) is float and type(joint.y) is float for joint in truss.joints)
    fast = fast and _all_in_range(chain.from_iterable((joint.x, joint.y) for joint in truss.joints))
    for joint in truss.joints:
        if joint.name in rows or type(joint.name) is not str:
            continue
        if not fast and any(True for value in (joint.x, joint.y) for _ in _number(value, "")):
            continue
        rows[joint.name] = len(places)
        places.append((float(joint.x), float(joint.y)))
    return rows, np.array(places, dtype=float).reshape(-1, 2)


def lacking_of(truss: Truss) -> tuple[Fault, ...]:
    """Find what a truss needs before it can be solved."""
    return tuple(_lacking(truss))


def _lacking(truss: Truss) -> Iterator[Fault]:
    if not truss.supports:
        yield Fault(
            "no supports", "The truss has no supports; put a pin at one joint and a roller at another."
        )
    loads: tuple[Load | DeckLoad | MemberLoad, ...] = (*truss.loads, *truss.deck_loads, *truss.member_loads)
    if all(load.fx == 0 and load.fy == 0 for load in loads) and all(
        member.weight == 0 for member in truss.members
    ):
        yield Fault(
            "no loads", "The truss carries no load; put a load on a joint or give its members weight."
        )


def _names(truss: Truss) -> dict[str, None]:
    return dict.fromkeys(joint.name for joint in truss.joints if type(joint.name) is str)


def _unknown(name: object, where: str, *, members: tuple[tuple[str, str], ...] = ()) -> Fault:
    return Fault(
        "unknown joint",
        f"There is no joint {name}, which {where} names; correct the name or add the joint.",
        joints=(str(name),),
        members=members,
    )


def _dash(*names: object) -> str:
    """Name a member or a deck by its joints, as sentences do."""
    return "–".join(str(name) for name in names)
