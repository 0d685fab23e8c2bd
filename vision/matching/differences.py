"""What a drawing has too much and too little, told as a person would: the slip, not what follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vision.matching.settings import MatchSettings
from vision.matching.sketch import Pair, Sketch

__all__ = ["Differences", "differences"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Differences:
    """Slips of a drawing. *Set* rows count joints of the set truss, *drawn* rows those of the drawing."""

    missing_joints: tuple[int, ...]
    """Set rows."""
    extra_joints: tuple[int, ...]
    """Drawn rows."""
    missing_members: tuple[Pair, ...]
    """Pairs of set rows, of members whose both ends are there."""
    extra_members: tuple[Pair, ...]
    """Pairs of drawn rows, of members between joints that are both in the set truss."""
    split_members: tuple[tuple[Pair, int], ...]
    """Members of the set truss (set rows) that an extra joint (drawn row) cuts in two."""
    passed_joints: tuple[tuple[int, Pair], ...]
    """Missing joints (set row) where one member runs straight through (drawn rows of its ends)."""

    @property
    def slips(self) -> float:
        """How many a person would count; what hangs on a missing or extra joint makes it one and a half."""
        whole = len(self.missing_joints) + len(self.extra_joints)
        members = len(self.missing_members) + len(self.extra_members)
        return 1.5 * whole + members + len(self.split_members) + len(self.passed_joints)

    @property
    def none(self) -> bool:
        """The drawing has the joints and members of the set truss, no more and no fewer."""
        return not (
            self.missing_joints
            or self.extra_joints
            or self.missing_members
            or self.extra_members
            or self.split_members
            or self.passed_joints
        )


def differences(to: Sequence[int | None], truss: Sketch, drawn: Sketch, s: MatchSettings) -> Differences:
    """Return the slips of a drawing.

    Members that end at a missing or extra joint go with it and are not told one by one.

    Parameters
    ----------
    to
        Row of the drawn joint for each joint of the set truss; None where it is missing.
    truss, drawn
        The set truss and the drawing.
    s
        Tolerances.
    """
    back = {row: number for number, row in enumerate(to) if row is not None}
    wanted, there = truss.members, drawn.members
    known = {_pair(back[a], back[b]) for a, b in there if a in back and b in back}
    missing = {(a, b) for a, b in wanted - known if to[a] is not None and to[b] is not None}
    extra = {(a, b) for a, b in there if a in back and b in back and _pair(back[a], back[b]) not in wanted}
    extra_joints = [row for row in range(len(drawn.joints)) if row not in back]
    missing_joints = [row for row, there_as in enumerate(to) if there_as is None]
    split: list[tuple[Pair, int]] = []
    for row in extra_joints:
        near = [b if a == row else a for a, b in there if row in (a, b)]
        cut = [
            member
            for member in missing
            if {back.get(end) for end in near} >= set(member)
            and _between(drawn.joints[row], drawn.joints[[_drawn(to, end) for end in member]], s)
        ]
        if cut:
            split.append((min(cut), row))
            missing.discard(min(cut))
    passed: list[tuple[int, Pair]] = []
    for row in missing_joints:
        near = [b if a == row else a for a, b in wanted if row in (a, b)]
        through = [
            member
            for member in extra
            if {back[end] for end in member} <= set(near)
            and _between(truss.joints[row], truss.joints[[back[end] for end in member]], s)
        ]
        if through:
            passed.append((row, min(through)))
            extra.discard(min(through))
    gone = {row for row, _ in passed}
    cutting = {row for _, row in split}
    return Differences(
        missing_joints=tuple(row for row in missing_joints if row not in gone),
        extra_joints=tuple(row for row in extra_joints if row not in cutting),
        missing_members=tuple(sorted(missing)),
        extra_members=tuple(sorted(extra)),
        split_members=tuple(sorted(split)),
        passed_joints=tuple(sorted(passed)),
    )


def _pair(one: int, other: int) -> Pair:
    return (one, other) if one < other else (other, one)


def _drawn(to: Sequence[int | None], row: int) -> int:
    drawn = to[row]
    assert drawn is not None
    return drawn


def _between(point: Floats, ends: Floats, s: MatchSettings) -> bool:
    """Say whether a point lies on the line between two ends (2, 2), as a hand draws."""
    start, end = ends
    along = end - start
    length = float(np.hypot(*along))
    if length == 0:
        return False
    share = float((point - start) @ along) / length**2
    aside = abs(float(along[0] * (point - start)[1] - along[1] * (point - start)[0])) / length**2
    return 0 < share < 1 and aside <= s.straight
