"""Loose ends of strokes meet circles, other ends and other strokes near by.

A person's strokes stop short of the joint or of the circle drawn there. Nearest pairs meet first, and only
where the stroke points there.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, Point, STRtree

from vision.net import Net
from vision.settings import JointSettings

__all__ = ["bridge_gaps", "meet_ends", "meet_in_marks", "meet_strokes"]


def meet_in_marks(net: Net, stroke_width: float, settings: JointSettings) -> None:
    """Let strokes end in the centre of the circle or dot that they touch or point at."""
    for node in range(net.first_mark):
        reached = [
            (net.length(node, place), place)
            for place in range(net.first_mark, len(net.at))
            if net.near[node] and _ends_in(net, node, place, stroke_width, settings)
        ]
        if reached:
            net.merge(node, min(reached)[1])


def _ends_in(net: Net, node: int, place: int, stroke_width: float, settings: JointSettings) -> bool:
    mark = net.mark[place]
    assert mark is not None
    if mark.reach(net.at[node])[0] * mark.radius <= mark.radius + settings.touch_widths * stroke_width:
        return True
    if len(net.near[node]) != 1:
        return False
    ahead, aside = _seen_from(net, node, net.at[place])
    far = mark.radius * (1 + settings.gap_to_mark) + 2 * stroke_width
    return ahead > 0 and np.hypot(ahead, aside) <= far and aside <= mark.radius


def _seen_from(net: Net, end: int, place: NDArray[np.float64]) -> tuple[float, float]:
    """Give how far ahead of a loose end and how far aside of its line a place lies, working pixels."""
    away = place - net.at[end]
    heading = net.heading(end)
    return float(away @ heading), abs(float(away[0] * heading[1] - away[1] * heading[0]))


def meet_ends(net: Net, gap: float, stroke_width: float) -> None:
    """Let loose ends meet other places that are nearer than `gap`, nearest pairs first."""
    places = net.places()
    tree = STRtree([Point(net.at[n]) for n in places])
    pairs = []
    for end in net.loose():
        for index in tree.query(Point(net.at[end]), predicate="dwithin", distance=gap):
            other = places[int(index)]
            if other == end or other in net.near[end]:
                continue
            ahead, aside = _seen_from(net, end, net.at[other])
            if ahead >= -2 * stroke_width and aside <= max(2 * stroke_width, 0.8 * gap):
                pairs.append((net.length(end, other), end, other))
    moved: dict[int, int] = {}
    for _, end, other in sorted(pairs):
        gone, into = _now(moved, end), _now(moved, other)
        if net.mark[gone] is not None:
            gone, into = into, gone
        # Two ends of one stroke or of two strokes that already meet stay apart: that would close a
        # triangle to a line.
        if gone == into or into in net.near[gone] or net.near[gone] & net.near[into]:
            continue
        if net.mark[gone] is None:
            if net.mark[into] is None and len(net.near[into]) == len(net.near[gone]) == 1:
                net.at[into] = (net.at[into] + net.at[gone]) / 2
            net.merge(gone, into)
            moved[gone] = into


def _now(moved: dict[int, int], place: int) -> int:
    while place in moved:
        place = moved[place]
    return place


def bridge_gaps(net: Net, gap: float, stroke_width: float, settings: JointSettings) -> None:
    """Make one stroke of two that point at each other along one line, with less than `gap` between."""
    ends = net.loose()
    straight = np.cos(np.deg2rad(180 - settings.straight_degrees))
    pairs = []
    for index, one in enumerate(ends):
        for two in ends[index + 1 :]:
            distance = net.length(one, two)
            if not 0 < distance <= gap or two in net.near[one]:
                continue
            ahead, aside = _seen_from(net, one, net.at[two])
            _, aside_back = _seen_from(net, two, net.at[one])
            in_line = max(aside, aside_back) < max(1.5 * stroke_width, 0.15 * distance)
            if ahead > 0 and in_line and float(net.heading(one) @ net.heading(two)) < straight:
                pairs.append((distance, one, two))
    for _, one, two in sorted(pairs):
        if len(net.near[one]) == len(net.near[two]) == 1:
            (first,), (last,) = net.near[one], net.near[two]
            net.cut(one, first)
            net.cut(two, last)
            net.link(first, last)


def meet_strokes(net: Net, gap: float, stroke_width: float) -> None:
    """Let a loose end that points at a stroke close by end on it."""
    for end in net.loose():
        if len(net.near[end]) != 1:
            continue
        edges = net.edges()
        tree = STRtree([LineString([net.at[a], net.at[b]]) for a, b in edges])
        heading = net.heading(end)
        feeler = LineString([net.at[end] - heading * stroke_width, net.at[end] + heading * gap])
        best: tuple[float, int, int, NDArray[np.float64]] | None = None
        for index in tree.query(feeler, predicate="intersects"):
            a, b = edges[int(index)]
            if end in {a, b}:
                continue
            meeting = feeler.intersection(LineString([net.at[a], net.at[b]]))
            if meeting.geom_type != "Point":
                continue
            at = np.array([meeting.x, meeting.y])
            distance = float(np.hypot(*(at - net.at[end])))
            if best is None or distance < best[0]:
                best = (distance, a, b, at)
        if best is not None:
            _, a, b, net.at[end] = best
            net.cut(a, b)
            net.link(a, end)
            net.link(end, b)
