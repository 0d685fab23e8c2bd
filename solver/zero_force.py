"""Members that carry nothing, seen by inspection before anything is calculated."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.equilibrium import Equilibrium
from solver.settings import TOLERANCES

__all__ = ["ZeroForceFinding", "findings", "inspect"]

Line = Sequence[float]
"""A direction, any length but zero."""


@dataclass(frozen=True)
class ZeroForceFinding:
    """One look at a joint, and the members that it shows to carry nothing."""

    joint: int
    """Row of the joint."""
    rule: str
    """`two members` (unloaded, not in line), `three forces` (all but one in one line), `one member`
    (unloaded), `load along one member` (or a roller's reaction)."""
    zero: tuple[int, ...]
    """Rows of the members that carry nothing."""
    in_line: tuple[int, ...]
    """Rows of the other members there, all in one line."""
    load: bool = False
    """Whether a load lies in that line too."""
    reaction: bool = False
    """Whether a roller's reaction lies in that line too."""


def inspect(equilibrium: Equilibrium) -> NDArray[np.bool_]:
    """Mark the members that inspection shows to carry nothing.

    Returns
    -------
    (M,) bool
    """
    zero = np.zeros(len(equilibrium.truss.members), dtype=bool)
    for finding in findings(equilibrium):
        zero[list(finding.zero)] = True
    return zero


def findings(equilibrium: Equilibrium) -> tuple[ZeroForceFinding, ...]:
    """Look at each joint, and again at the neighbours of each member found to carry nothing.

    The forces at a joint are its members, its load and a roller's reaction. If all of them but one member lie
    in one line, nothing can balance that member across the line: it carries nothing. Two members alone, not
    in one line, both carry nothing. A pin can push any way, so nothing is seen there.

    References
    ----------
    Baker and Haynes, Engineering Statics, section 6.3; the rules are in every statics text.
    """
    truss = equilibrium.truss
    at_joint, pushes = equilibrium.reactions
    loads = equilibrium.loads.reshape(-1, 2)
    pinned = {truss.row[support.joint] for support in truss.supports if support.kind == "pin"}
    rollers = {
        int(row): tuple(push)
        for row, push in zip(at_joint, pushes.tolist(), strict=True)
        if row not in pinned
    }
    meeting = _members_at(equilibrium)
    directions = truss.directions.tolist()
    ends = truss.ends.tolist()
    loaded = {int(row): tuple(loads[row]) for row in np.flatnonzero(loads.any(axis=1))}
    found: list[ZeroForceFinding] = []
    queue = deque(row for row in range(len(truss.joints)) if row not in pinned)
    waiting = set(queue)
    while queue:
        row = queue.popleft()
        waiting.discard(row)
        finding = _look(row, meeting[row], directions, loaded.get(row), rollers.get(row))
        if finding is None:
            continue
        found.append(finding)
        for member in finding.zero:
            for end in ends[member]:
                meeting[end].remove(member)
                if end != row and end not in pinned and end not in waiting:
                    queue.append(end)
                    waiting.add(end)
    return tuple(found)


def _look(
    row: int,
    members: list[int],
    directions: list[Line],
    load: Line | None,
    push: Line | None,
) -> ZeroForceFinding | None:
    lines: list[Line] = [directions[member] for member in members]
    outer = [line for line in (load, push) if line is not None]
    if not outer and len(members) == 1:
        return ZeroForceFinding(row, "one member", (members[0],), ())
    if not outer and len(members) == 2 and not _parallel(*lines):
        return ZeroForceFinding(row, "two members", tuple(members), ())
    if push is None and len(members) == 1:
        return None  # a load on a lone member: either along it, or nothing can balance it
    for index, member in enumerate(members):
        first, *others = [*lines[:index], *lines[index + 1 :], *outer] or [lines[index]]
        if not _parallel(lines[index], first) and all(_parallel(first, other) for other in others):
            rule = "load along one member" if outer else "three forces"
            rest = tuple(other for other in members if other != member)
            return ZeroForceFinding(row, rule, (member,), rest, load is not None, push is not None)
    return None


def _parallel(first: Line, second: Line) -> bool:
    cross = first[0] * second[1] - first[1] * second[0]
    return abs(cross) <= TOLERANCES.collinear * math.hypot(*first) * math.hypot(*second)


def _members_at(equilibrium: Equilibrium) -> list[list[int]]:
    meeting: list[list[int]] = [[] for _ in equilibrium.truss.joints]
    for member, (start, end) in enumerate(equilibrium.truss.ends.tolist()):
        meeting[start].append(member)
        meeting[end].append(member)
    return meeting
