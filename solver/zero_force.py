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
    scene = _Scene(equilibrium)
    carries_nothing: set[int] = set()
    found: list[ZeroForceFinding] = []
    queue = deque(np.flatnonzero(scene.suspects()).tolist())
    waiting = set(queue)
    while queue:
        row = queue.popleft()
        waiting.discard(row)
        members = [member for member in scene.members_at(row) if member not in carries_nothing]
        finding = _look(row, members, scene)
        if finding is None:
            continue
        found.append(finding)
        carries_nothing.update(finding.zero)
        for end in truss.ends[list(finding.zero)].ravel().tolist():
            if end != row and not scene.pinned[end] and end not in waiting:
                queue.append(end)
                waiting.add(end)
    return tuple(found)


class _Scene:
    """What meets each joint, in arrays."""

    def __init__(self, equilibrium: Equilibrium) -> None:
        truss = equilibrium.truss
        count = len(truss.joints)
        self.directions = truss.directions
        self.loads = equilibrium.loads.reshape(-1, 2)
        self.loaded: NDArray[np.bool_] = np.asarray(self.loads.any(axis=1))
        self.pinned = np.zeros(count, dtype=bool)
        self.pinned[[truss.row[support.joint] for support in truss.supports if support.kind == "pin"]] = True
        at_joint, pushes = equilibrium.reactions
        self.push = np.zeros((count, 2))
        self.push[at_joint] = pushes
        self.held: NDArray[np.bool_] = np.asarray(self.push.any(axis=1) & ~self.pinned)
        flat = truss.ends.ravel()
        self.order = np.argsort(flat, kind="stable") // 2
        self.starts = np.concatenate(([0], np.cumsum(np.bincount(flat, minlength=count))))

    def members_at(self, row: int) -> list[int]:
        """Rows of the members that meet a joint."""
        return [int(member) for member in self.order[self.starts[row] : self.starts[row + 1]]]

    def suspects(self) -> NDArray[np.bool_]:
        """Mark the joints worth a look: of any three forces there, two must lie in one line."""
        degree = np.diff(self.starts)
        forces = degree + self.loaded + self.held
        x, y = np.zeros((2, 3, len(degree)))
        run, rise = np.ascontiguousarray(self.directions.T)
        for place in range(3):
            here = degree > place
            member = self.order[self.starts[:-1][here] + place]
            x[place, here], y[place, here] = run[member], rise[member]
        for present, line in ((self.loaded, self.loads), (self.held, self.push)):
            rows = np.flatnonzero(present & (degree < 3))
            x[degree[rows], rows], y[degree[rows], rows] = line[rows].T
            degree[rows] += 1
        sizes = np.maximum(np.hypot(x, y), TOLERANCES.smallest_number)
        x /= sizes
        y /= sizes
        in_line = forces <= 2
        for one, other in ((0, 1), (1, 2), (2, 0)):
            in_line |= np.abs(x[one] * y[other] - y[one] * x[other]) <= TOLERANCES.collinear
        return ~self.pinned & in_line


def _look(row: int, members: list[int], scene: _Scene) -> ZeroForceFinding | None:
    """Apply the rules to the members at one joint that are not known to carry nothing."""
    if not members:
        return None
    load, push = bool(scene.loaded[row]), bool(scene.held[row])
    lines: list[Line] = scene.directions[members].tolist()
    outer: list[Line] = [scene.loads[row].tolist()] if load else []
    outer += [scene.push[row].tolist()] if push else []
    if not outer and len(members) == 1:
        return ZeroForceFinding(row, "one member", (members[0],), ())
    if not outer and len(members) == 2 and not _parallel(*lines):
        return ZeroForceFinding(row, "two members", tuple(members), ())
    if not push and len(members) == 1:
        return None  # a load on a lone member: either along it, or nothing can balance it
    for index, member in enumerate(members):
        first, *others = [*lines[:index], *lines[index + 1 :], *outer] or [lines[index]]
        if not _parallel(lines[index], first) and all(_parallel(first, other) for other in others):
            rule = "load along one member" if outer else "three forces"
            rest = tuple(other for other in members if other != member)
            return ZeroForceFinding(row, rule, (member,), rest, load, push)
    return None


def _parallel(first: Line, second: Line) -> bool:
    cross = first[0] * second[1] - first[1] * second[0]
    return abs(cross) <= TOLERANCES.collinear * math.hypot(*first) * math.hypot(*second)
