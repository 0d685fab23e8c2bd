"""Supports and loads of a drawing held against those of the key. Sizes of loads are not looked at.

Where nothing of a kind was read, nothing is said here, and one that is missing is never sure: symbols are
small, and what was only not seen is not wrong.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from cli.drawing_check.slips import Slip
from cli.model.file import Model
from cli.model.parts import LoadEntry, SupportEntry
from vision.matching import Match

__all__ = ["load_slips", "support_slips"]

LOAD_TURNED = math.radians(50)
"""Between a drawn arrow and the load that was set: half way to another of the four directions, and a little
for the hand."""


def support_slips(key: Model, drawn: Model, found: Match, *, least_sure: float) -> Iterator[Slip]:
    """Name supports that are missing, of the wrong kind, at another joint, or too many."""
    if not (key.supports and drawn.supports):
        return
    rows, names = key.rows, key.names
    back = {at: row for row, at in enumerate(found.to) if at is not None}
    wanted = {rows[support.joint]: support for support in key.supports}
    at_key: dict[int, SupportEntry] = {}
    strange: list[tuple[int, SupportEntry]] = []
    for support in drawn.supports:
        at = drawn.rows[support.joint]
        if at in back:
            at_key[back[at]] = support
        else:
            strange.append((at, support))
    missing = [row for row in wanted if row not in at_key]
    extra = [row for row in at_key if row not in wanted]
    for row in sorted(wanted.keys() & at_key.keys()):
        if wanted[row].kind != at_key[row].kind:
            says = f"A {wanted[row].kind} was set at {names[row]}, and a {at_key[row].kind} is drawn there."
            yield Slip("support", says, (row,), (_at(found, row),), sure=_sure(at_key[row], least_sure))
    for row in missing:
        kind = wanted[row].kind
        moved = next((other for other in extra if at_key[other].kind == kind), None)
        if moved is None:
            yield Slip("support", f"The {kind} at {names[row]} is missing.", (row,), sure=False)
        else:
            extra.remove(moved)
            says = f"The {kind} that was set at {names[row]} is drawn at {names[moved]}."
            sure = _sure(at_key[moved], least_sure)
            yield Slip("support", says, (row,), (_at(found, moved),), sure=sure)
    for row in extra:
        says = f"The {at_key[row].kind} at {names[row]} is too many."
        yield Slip("support", says, (row,), (_at(found, row),), sure=_sure(at_key[row], least_sure))
    for at, support in strange:
        says = f"There is a {support.kind} at a joint that is too many."
        yield Slip("support", says, (), (at,), sure=_sure(support, least_sure))


def load_slips(key: Model, drawn: Model, found: Match, *, least_sure: float, turned: float) -> Iterator[Slip]:
    """Name loads that are missing, at another joint, too many, or point another way.

    An arrow at a support that carries no load may be a reaction, and is let be. Where the key has a load
    along its deck, arrows on the deck are let be.
    """
    if not ((key.loads or key.deck_loads) and drawn.loads):
        return
    rows, names = key.rows, key.names
    back = {at: row for row, at in enumerate(found.to) if at is not None}
    wanted = {rows[one.joint]: one for one in key.loads}
    allowed = {rows[support.joint] for support in key.supports}
    allowed |= {rows[name] for deck in key.deck_loads for name in deck.joints}
    at_key = {back[drawn.rows[one.joint]]: one for one in drawn.loads if drawn.rows[one.joint] in back}
    missing = [row for row in wanted if row not in at_key]
    extra = [row for row in at_key if row not in wanted and row not in allowed]
    for row in sorted(wanted.keys() & at_key.keys()):
        if _apart(wanted[row], at_key[row], found, turned) > LOAD_TURNED:
            says = f"The load at {names[row]} points another way than was set."
            yield Slip("load", says, (row,), (_at(found, row),), sure=_sure(at_key[row], least_sure))
    for row in missing:
        if not extra:
            yield Slip("load", f"The load at {names[row]} is missing.", (row,), sure=False)
            continue
        moved = extra.pop(0)
        says = f"The load that was set at {names[row]} is drawn at {names[moved]}."
        yield Slip("load", says, (row,), (_at(found, moved),), sure=_sure(at_key[moved], least_sure))
    for row in extra:
        says = f"The load at {names[row]} is too many."
        yield Slip("load", says, (row,), (_at(found, row),), sure=_sure(at_key[row], least_sure))


def _at(found: Match, row: int) -> int:
    at = found.to[row]
    assert at is not None
    return at


def _sure(read: SupportEntry | LoadEntry, least: float) -> bool:
    return read.confidence is None or read.confidence >= least


def _apart(wanted: LoadEntry, read: LoadEntry, found: Match, turned: float) -> float:
    """Return the angle between a load that was set and the drawn arrow, radians, 0 where one is not known.

    A sketch shears the truss and not its loads, so directions are compared as they stand; only a drawing that
    is turned as a whole turns its loads too.
    """
    if wanted.force is None or wanted.force == (0, 0):
        return 0.0
    right, down = wanted.force[0], -wanted.force[1]
    if found.mirrored:
        right = -right
    angle = math.atan2(down, right) + (found.turn if abs(found.turn) >= turned else 0.0)
    if read.px_direction is not None:
        drawn = math.atan2(read.px_direction[1], read.px_direction[0])
    elif read.force is not None:
        drawn = math.atan2(-read.force[1], read.force[0])
    else:
        return 0.0
    return abs(math.remainder(drawn - angle, 2 * math.pi))
