"""What can be wrong with the loads of a model."""

from __future__ import annotations

import math
from collections.abc import Iterator
from numbers import Real

from solver.errors import Fault
from solver.fault_words import dash, is_named, names_of, unknown_joint
from solver.layout import Layout
from solver.magnitude import is_number, number_faults

__all__ = ["load_faults"]


def load_faults(layout: Layout) -> Iterator[Fault]:
    """Yield the faults of loads on joints, along decks and between joints."""
    yield from _numbers(layout)
    yield from _load_places(layout)
    yield from _member_loads(layout)


def _numbers(layout: Layout) -> Iterator[Fault]:
    for load in layout.loads:
        for axis, value in (("x", load.fx), ("y", load.fy)):
            yield from number_faults(
                value, f"The {axis} part of the load on joint {load.joint}", joints=(load.joint,)
            )
    for deck in layout.deck_loads:
        for axis, value in (("x", deck.fx), ("y", deck.fy)):
            where = f"The {axis} part of the load along the deck {dash(*deck.joints)}"
            yield from number_faults(value, where, joints=tuple(deck.joints))


def _load_places(layout: Layout) -> Iterator[Fault]:
    names = names_of(layout)
    for load in layout.loads:
        if not is_named(load.joint, names):
            yield unknown_joint(load.joint, "a load")
    for deck in layout.deck_loads:
        for name in deck.joints:
            if not is_named(name, names):
                yield unknown_joint(name, "the load along a deck")
        if len(deck.joints) < 2:
            yield Fault("short deck", "A load along a deck needs at least two deck joints, in order.")
        elif len(set(map(str, deck.joints))) < len(deck.joints):
            yield Fault(
                "repeated deck joint",
                f"The deck {dash(*deck.joints)} passes a joint twice; name each deck joint once, in order.",
                joints=tuple(deck.joints),
            )


def _member_loads(layout: Layout) -> Iterator[Fault]:
    if not layout.member_loads:
        return
    places = {joint.name: (joint.x, joint.y) for joint in layout.joints if type(joint.name) is str}
    pairs = [
        {member.start, member.end}
        for member in layout.members
        if is_named(member.start, places) and is_named(member.end, places)
    ]
    for load in layout.member_loads:
        ends = (load.start, load.end)
        where = f"the load on member {dash(*ends)}"
        if not all(is_named(name, places) for name in ends) or set(ends) not in pairs:
            yield Fault(
                "unknown member",
                f"There is no member {dash(*ends)} for a load to act on; name a member by its two joints.",
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
            for fault in number_faults(value, what, members=(ends,))
        ]
        yield from troubles
        if not load.share:
            yield Fault(
                "load between joints",
                f"A load acts on member {dash(*ends)} between its joints, but members of a truss carry only "
                "axial force: move the load to a joint, put a joint there, or ask for it to be shared to "
                "the two ends by the lever rule (bending of the member is then not covered).",
                members=(ends,),
            )
        if not troubles:
            length = _distance(places[load.start], places[load.end])
            if length is not None and not 0 <= load.distance <= length:
                yield Fault(
                    "off the member",
                    f"The load on member {dash(*ends)} acts {load.distance:g} from {load.start}, but the "
                    f"member is {length:g} long; measure along the member from {load.start}.",
                    members=(ends,),
                )


def _distance(first: tuple[object, object], second: tuple[object, object]) -> float | None:
    """Give the distance between two places, or none when a coordinate is faulty."""
    flat = [float(value) for value in (*first, *second) if isinstance(value, Real) and is_number(value)]
    return math.hypot(flat[2] - flat[0], flat[3] - flat[1]) if len(flat) == 4 else None
