"""Strokes become members that meet in joints.

Strategy
--------
1. Stroke ends at a circle or dot meet in its centre, also across a gap before its edge.
2. Ends that nearly touch other ends, or point at a stroke close by, meet there; two collinear ends with a
   gap between them are one stroke.
3. Ends that stay loose belong to no truss member: arrows, dimension lines, overshoots. Their strokes go,
   unless the drawing marks its joints and the loose end is marked.
4. Where exactly two strokes run straight through one place, and no mark and no third stroke is there, they
   cross without a joint. Where one stroke runs straight through and another one ends, there is a joint.
   Where a single stroke runs straight through, there is none. (This is the rule that the person may
   overrule: a joint between two crossing members cannot be told from a crossing unless it is marked.)
5. A member that passes over a joint is split there.
6. The largest connected drawing is the structure, with others at least a quarter of it; small parts that
   hang on a single joint (support triangles, arrow heads) are left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, Point, STRtree

from vision.meeting import bridge_gaps, meet_ends, meet_in_marks, meet_strokes
from vision.net import Net
from vision.segments import Strokes
from vision.settings import JointSettings, SymbolSettings
from vision.symbols import Mark

__all__ = ["Candidates", "find_joints"]

_FEW_MARKS = 3
"""Marks in which two strokes meet, from which on a drawing marks its joints: letters lie beside strokes."""
_SAME_DIRECTION = 12.0
"""Degrees: the rows of a table in perspective differ by less."""
_MARKED_SHARE = 0.6
"""Share of its joints that a drawing with marked joints marks at least."""


@dataclass(frozen=True, eq=False)
class Candidates:
    """Joints and members before they are placed exactly."""

    joints: NDArray[np.float64]
    """(N, 2) as x, y, working pixels."""
    members: tuple[tuple[int, int], ...]
    """Pairs of rows of `joints`, smaller first, sorted."""
    marks: tuple[Mark | None, ...]
    """(N,) the circle or dot drawn at each joint."""
    crossings: int
    """Places where two members cross without a joint."""
    loose: int
    """Stroke ends that met nothing."""
    signs: int
    """Small parts hanging on one joint that were left out."""
    marked: bool
    """True where the drawing marks its joints by circles or dots."""
    doubtful: tuple[Mark, ...]
    """Marks touched by strokes, though no two members meet there and joints are not marked: letters."""

    def triangulated(self) -> float:
        """Give the share of the joints, 0 to 1, that are corners of a triangle of members."""
        near: list[set[int]] = [set() for _ in self.joints]
        for a, b in self.members:
            near[a].add(b)
            near[b].add(a)
        corners = {end for a, b in self.members if near[a] & near[b] for end in (a, b)}
        return len(corners) / max(len(self.joints), 1)

    def oblique(self) -> float:
        """Give the share of the members, 0 to 1, that run in neither of the two main directions."""
        ends = self.joints[np.asarray(self.members, int).reshape(-1, 2)]
        run = ends[:, 1] - ends[:, 0]
        angle = np.degrees(np.arctan2(run[:, 1], run[:, 0]))
        for _ in range(2):
            # Directions have a period of half a turn.
            turn = np.abs((angle[:, None] - angle[None, :] + 90) % 180 - 90) < _SAME_DIRECTION
            if len(angle):
                angle = angle[~turn[turn.sum(axis=1).argmax()]]
        return len(angle) / max(len(run), 1)


def find_joints(
    strokes: Strokes,
    marks: tuple[Mark, ...],
    stroke_width: float,
    settings: JointSettings,
    symbols: SymbolSettings,
) -> Candidates:
    """Let strokes meet in joints; see the strategy at the top of the module."""
    net = Net(strokes, marks)
    if not strokes.edges:
        return Candidates(np.zeros((0, 2)), (), (), 0, 0, 0, False, ())
    diagonal = float(np.hypot(*np.ptp(strokes.nodes[np.asarray(strokes.edges).ravel()], axis=0)))
    gap = max(settings.gap * diagonal, 2.5 * stroke_width)
    meet_in_marks(net, stroke_width, settings)
    touched = [n for n in net.places() if net.mark[n] is not None]
    met = sum(len(net.near[n]) >= 2 for n in touched)
    meet_ends(net, gap, stroke_width)
    bridge_gaps(net, settings.gap_along * diagonal, stroke_width, settings)
    meet_strokes(net, gap, stroke_width)
    _trim_overshoots(net, gap)
    _collapse(net, settings.shortest_member * diagonal)
    crossings = _dissolve(net, stroke_width, settings)
    loose = len(net.loose())
    _drop_loose(net)
    crossings += _dissolve(net, stroke_width, settings)
    _split_at_joints(net, stroke_width)
    _drop_loose(net)
    signs = _keep_structure(net, symbols)
    crossings += _dissolve(net, stroke_width, settings)
    kept = net.places()
    marked = met >= _FEW_MARKS or _marks_joints(net)
    doubtful = [] if marked else [n for n in touched if len(net.near[n]) < 2]
    row = {n: index for index, n in enumerate(kept)}
    return Candidates(
        joints=np.array([net.at[n] for n in kept]).reshape(-1, 2),
        members=tuple(sorted((row[a], row[b]) for a, b in net.edges())),
        marks=tuple(net.mark[n] for n in kept),
        crossings=crossings,
        loose=loose,
        signs=signs,
        marked=marked,
        doubtful=tuple(mark for mark in (net.mark[n] for n in doubtful) if mark is not None),
    )


def _trim_overshoots(net: Net, gap: float) -> None:
    for end in net.loose():
        if len(net.near[end]) == 1:
            (other,) = net.near[end]
            if len(net.near[other]) >= 3 and net.length(end, other) < gap:
                net.cut(end, other)


def _collapse(net: Net, shorter: float) -> None:
    """Make one joint of two that are nearer than any two joints of a truss: letters and doubled strokes."""
    short = sorted((net.length(a, b), a, b) for a, b in net.edges())
    marks_used = _marks_joints(net)
    for length, a, b in short:
        if length >= shorter:
            break
        if b not in net.near[a]:
            continue
        # The joint is where it is marked, in a drawing that marks its joints, else where the long members go.
        reach = {n: sum(net.length(n, other) for other in net.near[n]) for n in (a, b)}
        into, gone = sorted((a, b), key=lambda n: (marks_used and net.mark[n] is None, -reach[n]))
        if net.mark[gone] is None or not marks_used:
            net.cut(into, gone)
            net.merge(gone, into)


def _drop_loose(net: Net) -> None:
    """Take away strokes with a loose end, again and again, until none is left."""
    marks_used = _marks_joints(net)
    waiting = [n for n, near in enumerate(net.near) if len(near) == 1]
    while waiting:
        end = waiting.pop()
        if len(net.near[end]) != 1 or (marks_used and net.mark[end] is not None):
            continue
        (other,) = net.near[end]
        net.cut(end, other)
        waiting.append(other)


def _marks_joints(net: Net) -> bool:
    """Tell whether the drawing marks its joints: most of those with two members or more are marked."""
    core = net.core()
    return sum(net.mark[n] is not None for n in core) >= _MARKED_SHARE * len(core)


def _dissolve(net: Net, stroke_width: float, settings: JointSettings) -> int:
    """Remove places where strokes only run straight through, until none is left; give the crossings."""
    crossings = 0
    changed = True
    while changed:
        changed = False
        # Where joints are marked, a bend without a mark is a bowed stroke.
        bend = settings.bow_degrees if _marks_joints(net) else settings.straight_degrees
        for node in net.places():
            group = _group(net, node, settings.twin_widths * stroke_width)
            if not group:
                continue
            pairs = _straight_pairs(
                net, group, bend if len(net.near[node]) == 2 else settings.straight_degrees
            )
            # A way straight through that is a member of its own already: a flat triangle, no bend.
            if not pairs or (len(pairs) == 1 and pairs[0][1] in net.near[pairs[0][0]]):
                continue
            for gone in group:
                for other in tuple(net.near[gone]):
                    net.cut(gone, other)
            for one, two in pairs:
                net.link(one, two)
            crossings += len(pairs) == 2
            changed = True
    return crossings


def _group(net: Net, node: int, reach: float) -> tuple[int, ...]:
    """Give the nodes that may be one place with strokes running through: one node, two, or none."""
    near = net.near[node]
    if net.mark[node] is not None or len(near) not in {2, 3, 4}:
        return ()
    if len(near) != 3:
        return (node,)
    # Thinning makes two places of a crossing at a small angle, with a short piece between.
    for twin in near:
        if (
            net.mark[twin] is None
            and len(net.near[twin]) == 3
            and not near & net.near[twin]
            and net.length(node, twin) < reach
        ):
            return (node, twin)
    return ()


def _straight_pairs(net: Net, places: tuple[int, ...], degrees: float) -> list[tuple[int, int]]:
    """Pair the neighbours of one place (given as one node or two) that lie opposite; none unless all do."""
    straight = np.cos(np.deg2rad(180 - degrees))
    others = sorted({other for place in places for other in net.near[place]} - set(places))
    centre = np.mean([net.at[place] for place in places], axis=0)
    ways = np.array([net.at[other] - centre for other in others])
    ways /= np.maximum(np.hypot(ways[:, 0], ways[:, 1]), 1e-9)[:, None]
    opposite = ways @ ways.T
    partner = opposite.argmin(axis=1)
    if not (partner[partner] == np.arange(len(others))).all():
        return []
    if opposite[np.arange(len(others)), partner].max() > straight:
        return []
    return [(others[one], others[int(two)]) for one, two in enumerate(partner) if one < two]


def _split_at_joints(net: Net, stroke_width: float) -> None:
    """Split members where a joint lies on them, so that none passes over one."""
    nodes = net.places()
    tree = STRtree([Point(net.at[n]) for n in nodes])
    for a, b in net.edges():
        line = LineString([net.at[a], net.at[b]])
        on_line = []
        for index in tree.query(line, predicate="dwithin", distance=1.5 * stroke_width):
            node = nodes[int(index)]
            if node in {a, b}:
                continue
            along = line.project(Point(net.at[node]))
            # Near its ends a member is beside its neighbours' ends, not on them.
            if 3 * stroke_width < along < line.length - 3 * stroke_width:
                on_line.append((along, node))
        if on_line:
            net.cut(a, b)
            stops = [a, *(node for _, node in sorted(on_line)), b]
            for start, end in pairwise(stops):
                net.link(start, end)


def _keep_structure(net: Net, symbols: SymbolSettings) -> int:
    """Keep the largest drawing and others like it, without the small parts that hang on one joint."""
    total = [sum(net.length(a, b) for a, b in part) for part in net.parts()]
    for part, length in zip(net.parts(), total, strict=True):
        if length < symbols.second_drawing * total[0]:
            _remove(net, part)
    signs = 0
    for joint in net.places():
        if len(net.near[joint]) < 3:
            continue
        whole, *hanging = net.parts(without=joint)
        most = symbols.side_block * sum(net.length(a, b) for a, b in whole)
        for part in hanging:
            closed = len(part) >= len({end for edge in part for end in edge})
            at_joint = any(joint in edge for edge in part)
            if closed and at_joint and sum(net.length(a, b) for a, b in part) < most:
                signs += 1
                _remove(net, part)
    _drop_loose(net)
    return signs


def _remove(net: Net, part: set[tuple[int, int]]) -> None:
    for a, b in part:
        net.cut(a, b)
