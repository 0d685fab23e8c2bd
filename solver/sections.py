"""The method of sections: cuts through the truss that give one member, or one reaction, by one equation.

Unknowns are seen as a graph: joints are its nodes, the ground is one more, and each force still to be found
joins two of them. A cut that isolates a target force takes away

* one joint P, so that all other cut forces pass through it (moments about P give the target), or
* two more forces: moments about the point where these meet, or the sum square to them when they are parallel.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import chain

import numpy as np

from solver.board import Board
from solver.settings import TOLERANCES
from solver.steps import Equation, Quantity, Result, SectionStep, Term

__all__ = ["Cut", "find_cut", "part_at_hinge", "section_equation", "solve_section"]

GROUND = -1
"""The node that supports hold on to."""


@dataclass(frozen=True)
class Cut:
    """A part of the truss, and the one equation of it that holds a single unknown."""

    target: int
    """The unknown that it gives."""
    part: frozenset[int]
    """Rows of the joints on the side that is looked at."""
    crossing: tuple[int, ...]
    """Members cut, the target among them when it is a member."""
    hinge: int | None
    """Row of the joint that the other cut members meet at, if they do."""
    centre: tuple[float, float] | None
    """Point that moments are taken about, in length units."""
    direction: tuple[float, float] | None
    """Unit vector to sum forces along, where the other two cut members are parallel."""
    arm: float = 0.0
    """Lever arm of the target in length units, or its cosine to the direction, without sign."""


def find_cut(board: Board, target: int) -> Cut | None:
    """Find a cut that isolates one unknown from the others still unknown, if there is one."""
    graph = _Graph(board)
    start, end = graph.nodes_of(target)
    without = frozenset({target})
    path = graph.path(start, end, without, None)
    if path is None:
        return _simple_cut(board, graph, target)
    for hinge in path.nodes[1:-1]:
        if hinge != GROUND and graph.path(start, end, without, hinge) is None:
            cut = _hinged_cut(board, graph, target, hinge)
            if cut is not None:
                return cut
    return next(_three_force_cuts(board, graph, target, path.unknowns), None)


def part_at_hinge(board: Board, pair: list[int]) -> Cut | None:
    """Find a part that two reactions of one joint and a hinge hold: moments about it leave just these."""
    graph = _Graph(board)
    start, _ = graph.nodes_of(pair[0])
    without = frozenset(pair)
    path = graph.path(start, GROUND, without, None)
    for hinge in () if path is None else path.nodes[1:-1]:
        if graph.path(start, GROUND, without, hinge) is None:
            part = graph.side(start, without, hinge, GROUND)
            return Cut(pair[0], part, _crossing(board, part), hinge, board.places[hinge], None)
    return None


def section_equation(board: Board, cut: Cut, *, alone: bool = True) -> Equation:
    """Write the equation of a cut: loads, known forces and unknowns with their lever arms or cosines.

    `alone` says that the target is the only unknown in it, so that it is found from this equation alone.
    """
    factor = _moment_factor(cut.centre) if cut.centre is not None else _along_factor(cut.direction)
    reach = 1.0
    if cut.centre is not None:
        reach = max(np.hypot(x - cut.centre[0], y - cut.centre[1]) for x, y in board.places)
    small = TOLERANCES.collinear * float(reach)
    terms: list[Term] = []
    for joint in sorted(cut.part):
        for axis, load in enumerate(board.loads[joint]):
            arm = factor(board.places[joint], (1.0, 0.0) if axis == 0 else (0.0, 1.0))
            if load and abs(arm) > small:
                terms.append(Term(Quantity("load", (board.names[joint],), "xy"[axis]), arm, load))
    for joint in sorted(cut.part):
        for unknown in board.meeting[joint]:
            inside = unknown < board.members and all(end in cut.part for end in board.joints_of(unknown))
            arm = factor(board.places[joint], board.direction(unknown, joint))
            nothing = board.known[unknown] and board.values[unknown] == 0.0
            if not inside and not nothing and abs(arm) > small:
                terms.append(board.term(unknown, arm))
    kind = "moment" if cut.centre is not None else "along"
    about = None if cut.hinge is None else board.names[cut.hinge]
    solves_for = board.quantities[cut.target] if alone else None
    return Equation(kind, tuple(terms), solves_for, about, cut.centre, cut.direction)


def solve_section(board: Board, cut: Cut) -> SectionStep:
    """Write a cut down as a step, and mark its target as found."""
    equation = section_equation(board, cut)
    slopes = tuple(
        slope
        for member in cut.crossing
        for slope in board.slopes(next(end for end in board.ends[member] if end in cut.part), (member,))
    )
    result: Result = board.find(cut.target)
    return SectionStep(
        cut=tuple(board.pair(member) for member in cut.crossing),
        part=tuple(board.names[joint] for joint in sorted(cut.part)),
        slopes=slopes,
        equation=equation,
        result=result,
    )


@dataclass(frozen=True)
class _Path:
    nodes: tuple[int, ...]
    unknowns: tuple[int, ...]


class _Graph:
    """Joints and ground, held together by what is still unknown."""

    def __init__(self, board: Board) -> None:
        self.board = board

    def nodes_of(self, unknown: int) -> tuple[int, int]:
        joints = self.board.joints_of(unknown)
        return (joints[0], joints[1]) if len(joints) == 2 else (joints[0], GROUND)

    def beside(self, node: int) -> Iterator[tuple[int, int]]:
        """Give the unknowns at a node and the node at the other end of each."""
        board = self.board
        if node == GROUND:
            for unknown in range(board.members, len(board.values)):
                if not board.known[unknown]:
                    yield unknown, board.at_joint[unknown - board.members]
            return
        for unknown in board.meeting[node]:
            if not board.known[unknown]:
                first, second = self.nodes_of(unknown)
                yield unknown, second if first == node else first

    def path(self, start: int, end: int, without: frozenset[int], hinge: int | None) -> _Path | None:
        """Find a shortest way that uses none of some unknowns and does not pass the hinge."""
        came: dict[int, tuple[int, int]] = {start: (start, -1)}
        queue = deque([start])
        while queue and end not in came:
            node = queue.popleft()
            for unknown, other in self.beside(node):
                if unknown not in without and other != hinge and other not in came:
                    came[other] = (node, unknown)
                    queue.append(other)
        if end not in came:
            return None
        nodes, unknowns = [end], []
        while nodes[-1] != start:
            node, unknown = came[nodes[-1]]
            nodes.append(node)
            unknowns.append(unknown)
        return _Path(tuple(reversed(nodes)), tuple(reversed(unknowns)))

    def side(self, start: int, without: frozenset[int], hinge: int | None, other: int) -> frozenset[int]:
        """Give every node that can still be reached.

        Over known members too unless these lead to the other side.
        """
        whole = self._reach(start, without, hinge, known=True)
        if other not in whole:
            return whole
        return self._reach(start, without, hinge, known=False)

    def _reach(
        self, start: int, without: frozenset[int], hinge: int | None, *, known: bool
    ) -> frozenset[int]:
        seen = {start}
        queue = deque([start])
        while queue:
            node = queue.popleft()
            for unknown, other in chain(self.beside(node), self._known_beside(node) if known else ()):
                if unknown not in without and other != hinge and other not in seen:
                    seen.add(other)
                    queue.append(other)
        return frozenset(seen)

    def _known_beside(self, node: int) -> Iterator[tuple[int, int]]:
        board = self.board
        for member in () if node == GROUND else board.meeting[node]:
            if member < board.members and board.known[member]:
                first, second = board.ends[member]
                yield member, second if first == node else first


def _part(board: Board, graph: _Graph, cut: frozenset[int], target: int, hinge: int | None) -> frozenset[int]:
    """Choose the side without the ground, and of two such the one with fewer forces on it."""
    nodes = graph.nodes_of(target)
    sides = [graph.side(node, cut, hinge, other) for node, other in (nodes, nodes[::-1])]
    free = [side for side in sides if GROUND not in side]
    return min(free, key=lambda side: (_forces_on(board, side), len(side), sorted(side)))


def _crossing(board: Board, part: frozenset[int]) -> tuple[int, ...]:
    """List the members with one end in a part."""
    once = (
        unknown
        for joint in part
        for unknown in board.meeting[joint]
        if unknown < board.members and not all(end in part for end in board.joints_of(unknown))
    )
    return tuple(sorted(once))


def _forces_on(board: Board, side: frozenset[int]) -> int:
    loads = sum(1 for joint in side for load in board.loads[joint] if load)
    return loads + sum(1 for joint in board.at_joint if joint in side)


def _simple_cut(board: Board, graph: _Graph, target: int) -> Cut | None:
    """Sum forces along a target that alone holds two parts together."""
    part = _part(board, graph, frozenset({target}), target, None)
    joint = next(joint for joint in board.joints_of(target) if joint in part)
    return Cut(target, part, _crossing(board, part), None, None, board.direction(target, joint), 1.0)


def _hinged_cut(board: Board, graph: _Graph, target: int, hinge: int) -> Cut | None:
    """Take moments about the joint that all other cut members meet at, unless the target passes it too."""
    part = _part(board, graph, frozenset({target}), target, hinge)
    joint = next(joint for joint in board.joints_of(target) if joint in part)
    centre = board.places[hinge]
    arm = _moment_factor(centre)(board.places[joint], board.direction(target, joint))
    if abs(arm) <= TOLERANCES.collinear * np.hypot(*np.subtract(board.places[joint], centre)):
        return None
    return Cut(target, part, _crossing(board, part), hinge, centre, None, abs(arm))


def _three_force_cuts(board: Board, graph: _Graph, target: int, path: tuple[int, ...]) -> Iterator[Cut]:
    """Take two more unknowns, one on each of two separate ways round the target."""
    start, end = graph.nodes_of(target)
    for first in path:
        without = frozenset({target, first})
        around = graph.path(start, end, without, None)
        if around is None:
            continue
        for second in around.unknowns:
            cut = without | {second}
            if graph.path(start, end, cut, None) is None:
                found = _three_force_cut(board, graph, target, (first, second))
                if found is not None:
                    yield found


def _three_force_cut(board: Board, graph: _Graph, target: int, others: tuple[int, int]) -> Cut | None:
    part = _part(board, graph, frozenset({target, *others}), target, None)
    # A way round that does not cross here belongs to another, simpler cut.
    if any(sum(joint in part for joint in board.joints_of(unknown)) != 1 for unknown in others):
        return None
    ends = [
        next(joint for joint in board.joints_of(unknown) if joint in part) for unknown in (target, *others)
    ]
    lines = [board.direction(unknown, end) for unknown, end in zip((target, *others), ends, strict=True)]
    (tx, ty), (ax, ay), (bx, by) = lines
    crossing = _crossing(board, part)
    sine = ax * by - ay * bx
    if abs(sine) <= TOLERANCES.collinear:
        across = (-ay, ax)
        cosine = abs(tx * across[0] + ty * across[1])
        if cosine <= TOLERANCES.collinear:
            return None
        return Cut(target, part, crossing, None, None, across, cosine)
    (px, py), (qx, qy) = board.places[ends[1]], board.places[ends[2]]
    along = ((qx - px) * by - (qy - py) * bx) / sine
    centre = (px + along * ax, py + along * ay)
    place = board.places[ends[0]]
    arm = _moment_factor(centre)(place, (tx, ty))
    if abs(arm) <= TOLERANCES.collinear * max(float(np.hypot(*np.subtract(place, centre))), 1e-300):
        return None
    return Cut(target, part, crossing, _joint_at(board, centre), centre, None, abs(arm))


def _joint_at(board: Board, centre: tuple[float, float]) -> int | None:
    places = np.array(board.places)
    apart = np.hypot(places[:, 0] - centre[0], places[:, 1] - centre[1])
    nearest = int(apart.argmin())
    size = float(np.hypot(*np.ptp(places, axis=0)))
    return nearest if apart[nearest] <= TOLERANCES.coincident * size else None


def _moment_factor(
    centre: tuple[float, float],
) -> Callable[[tuple[float, float], tuple[float, float]], float]:
    """Give the counter-clockwise lever arm of a force in a direction at a place."""
    return lambda place, way: (place[0] - centre[0]) * way[1] - (place[1] - centre[1]) * way[0]


def _along_factor(
    direction: tuple[float, float] | None,
) -> Callable[[tuple[float, float], tuple[float, float]], float]:
    """Give the cosine of a force to a direction."""
    x, y = direction or (0.0, 0.0)
    return lambda _, way: way[0] * x + way[1] * y
