"""The reading of a student's drawing held against the key: joints, members, supports, loads, shape."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cli.drawing_check.actions import load_slips, support_slips
from cli.drawing_check.slips import DrawingCheck, Slip, Verdict
from cli.model.file import Model
from cli.translate.places import place
from vision.matching import Match, match

__all__ = ["CheckSettings", "check_drawing", "verdict_of"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class CheckSettings:
    """Limits of the comparison."""

    least_sure: float = 0.7
    """Confidence below which what was read is not held against a student without a person's look."""
    least_sure_symbol: float = 0.9
    """The same for supports and arrows: pin and roller, head and tail are easily taken for each other."""
    most_slips: float = 0.4
    """For each member of the key: with more slips than that it is another truss, and they are not told."""
    few_slips: float = 2.0
    """So many are told of the smallest truss."""
    shape_off: float = 0.06
    """Root mean square over the joints, of the drawing's larger side. Free-hand sketches are off by 0.01 to
    0.03 after an even stretch; one panel drawn twice as wide as the others is off by about 0.06."""
    told_off: float = 0.005
    """The same, from which it is mentioned at all: less is rounded to 0 %."""
    joint_off: float = 0.12
    """One joint, of the drawing's larger side: it looks out of place to anybody."""
    turned: float = math.radians(60)
    """Turn from which a drawing is said to be turned: hand-held pictures turn by a few degrees."""
    told_stretch: float = 1.25
    """Largest over least stretch from which it is mentioned: less is not seen."""


def check_drawing(key: Model, drawn: Model, *, settings: CheckSettings | None = None) -> DrawingCheck:
    """Hold a drawing against the key.

    Parameters
    ----------
    key
        The truss that was set.
    drawn
        What was read from the photograph, in pixels; its names do not matter.
    settings
        Limits.

    Raises
    ------
    SurveyError, FaultsError
        When the key's joints cannot be placed.
    """
    s = settings or CheckSettings()
    set_joints = place(key).at * [1.0, -1.0]
    joints = np.array([joint.px for joint in drawn.joints], dtype=float).reshape(-1, 2)
    set_members, members = _pairs(key), _pairs(drawn)
    with_supports = bool(key.supports and drawn.supports)
    with_loads = bool(key.loads and drawn.loads)
    labelled = with_supports or with_loads
    found = match(
        set_joints,
        set_members,
        joints,
        members,
        set_labels=_labels(key, supports=with_supports, loads=with_loads) if labelled else None,
        labels=_labels(drawn, supports=with_supports, loads=with_loads) if labelled else None,
    )
    if found is None or found.differences.slips > max(s.few_slips, s.most_slips * len(set_members)):
        return DrawingCheck("another truss", (), (), (), None, (None,) * len(drawn.joints))
    names: list[str | None] = [None] * len(drawn.joints)
    for row, at in enumerate(found.to):
        if at is not None:
            names[at] = key.names[row]
    slips = (*_structure_slips(key, drawn, found, s), *_action_slips(key, drawn, found, s))
    remarks, doubts = _remarks(key, drawn, found, s)
    unsure = (f"{slip.says} {_why_unsure(slip)}" for slip in slips if not slip.sure)
    return DrawingCheck(verdict_of(found, slips), slips, remarks, (*unsure, *doubts), found, tuple(names))


def _pairs(model: Model) -> list[tuple[int, int]]:
    rows = model.rows
    return [(rows[member.joints[0]], rows[member.joints[1]]) for member in model.members]


def _labels(model: Model, *, supports: bool, loads: bool) -> list[frozenset[str]]:
    """Return what stands at each joint, of what was seen in both."""
    standing: dict[str, set[str]] = {name: set() for name in model.names}
    for support in model.supports if supports else ():
        standing[support.joint].add(support.kind)
    for one_load in model.loads if loads else ():
        standing[one_load.joint].add("load")
    return [frozenset(standing[name]) for name in model.names]


def verdict_of(found: Match, slips: Iterable[Slip]) -> Verdict:
    """Return what a drawing with these slips is called."""
    slips = tuple(slips)
    if any(slip.sure for slip in slips):
        return "differs"
    if found.mirrored:
        return "mirror image"
    return "not sure" if slips else "right"


def _why_unsure(slip: Slip) -> str:
    return "It was read with little confidence." if slip.drawn_rows else "Perhaps it was only not seen."


def _structure_slips(key: Model, drawn: Model, found: Match, s: CheckSettings) -> Iterator[Slip]:
    """Name missing and extra joints and members."""
    names, slips = key.names, found.differences
    back = {at: row for row, at in enumerate(found.to) if at is not None}
    trusted = {
        frozenset(pair): member.confidence is None or member.confidence >= s.least_sure
        for pair, member in zip(_pairs(drawn), drawn.members, strict=True)
    }

    def joint_is_sure(row: int) -> bool:
        confidence = drawn.joints[row].confidence
        return confidence is None or confidence >= s.least_sure

    for row, ends in slips.passed_joints:
        one, other = sorted(back[end] for end in ends)
        yield Slip(
            "joint missing",
            f"Joint {names[row]} is missing: {names[one]}-{names[other]} runs straight through its place.",
            (row,),
        )
    for row in slips.missing_joints:
        yield Slip(
            "joint missing", f"Joint {names[row]} is missing, with the members that end there.", (row,)
        )
    for (one, other), row in slips.split_members:
        says = f"There is a joint too many on member {names[one]}-{names[other]}."
        yield Slip("joint extra", says, (one, other), (row,), sure=joint_is_sure(row))
    for row in slips.extra_joints:
        near = _nearest(found, drawn, row)
        says = f"There is a joint too many, near {names[near]}, with the members that end there."
        yield Slip("joint extra", says, (), (row,), sure=joint_is_sure(row))
    for one, other in slips.missing_members:
        says = f"Member {names[one]}-{names[other]} is missing."
        yield Slip("member missing", says, (one, other))
    for pair in slips.extra_members:
        one, other = sorted(back[end] for end in pair)
        says = f"Member {names[one]}-{names[other]} is too many."
        yield Slip("member extra", says, (one, other), pair, sure=trusted[frozenset(pair)])


def _nearest(found: Match, drawn: Model, row: int) -> int:
    """Return the key's joint whose place is nearest to a drawn joint."""
    px = drawn.joints[row].px
    assert px is not None
    return int(np.linalg.norm(found.carried - px, axis=1).argmin())


def _action_slips(key: Model, drawn: Model, found: Match, s: CheckSettings) -> Iterator[Slip]:
    yield from support_slips(key, drawn, found, least_sure=s.least_sure_symbol)
    yield from load_slips(key, drawn, found, least_sure=s.least_sure_symbol, turned=s.turned)


def _remarks(
    key: Model, drawn: Model, found: Match, s: CheckSettings
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Tell what a sketch may do, and what a person should look at."""
    remarks, doubts = [], []
    off = found.off
    worst = int(np.nanargmax(off))
    shape = f"Its shape is off by {100 * found.shape_off:.0f} % of its size"
    if found.shape_off >= s.shape_off or off[worst] >= s.joint_off:
        doubts.append(f"{shape}, most at joint {key.names[worst]}: {100 * off[worst]:.0f} %.")
    elif found.shape_off >= s.told_off:
        remarks.append(f"{shape}: as near as a hand draws.")
    if found.stretch >= s.told_stretch:
        remarks.append("It is sheared or stretched, as a sketch may be.")
    if abs(found.turn) >= s.turned:
        doubts.append(f"It is turned by about {abs(math.degrees(found.turn)):.0f} degrees.")
    if found.mirrored:
        doubts.append("It is drawn as a mirror image.")
    unseen = list(_unseen(key, drawn))
    if unseen:
        doubts.append(f"No {_listed(unseen)} could be read in the picture: look at them.")
    return tuple(remarks), tuple(doubts)


def _unseen(key: Model, drawn: Model) -> Iterator[str]:
    if key.supports and not drawn.supports:
        yield "supports"
    if (key.loads or key.deck_loads) and not drawn.loads:
        yield "loads"


def _listed(words: Iterable[str]) -> str:
    return " and no ".join(words)
