"""Which members are pieces of a bent chord: a polygon, not a level line drawn by an unsteady hand.

The pieces of a chord meant level wobble to either side of level, each by less than a free hand strays. So a
chord counts as level where its pieces are all within `straighten_degrees`, however they bend against each
other. It counts as bent at a joint where

- of two members that carry each other on through the joint, one is clearly not level, further off than
  `straighten_degrees`;
- they bend against each other by no more than `camber_degrees`. More, and the other is an end post or a
  rafter, which says nothing of the slope of the chord it meets; and
- both slope by `camber_share` of that bend or more. In a polygon of equal bends the pieces next to the crown
  slope by half the bend between them; a piece meant level beside a sloping one slopes by none of it.

Both members are then pieces of a polygon, and to level one would move its joint. The one between two that
clearly slope opposite ways, and about equally, is the crown of the polygon, which is level.

For upright chords, as in a tower, the same holds with upright for level. Slopes are those after the
dimensions and before any member is straightened, so a dimension has its way first.

The bounds are common sense checked on sketches, not taken from a handbook.
"""

from __future__ import annotations

from collections import defaultdict

import numpy as np

from vision.survey.constraints import Floats
from vision.survey.settings import SurveySettings

__all__ = ["bent_chords"]

Pair = tuple[int, int]


def bent_chords(at: Floats, members: tuple[Pair, ...], settings: SurveySettings) -> frozenset[Pair]:
    """Return the members that are pieces of a bent chord.

    Parameters
    ----------
    at : (N, 2) float
        The joints, laid level, with the dimensions followed.
    members : tuple of (int, int)
        Rows of `at`.
    settings : SurveySettings
        Its `straighten_degrees`, `camber_degrees` and `camber_share` apply.
    """
    found: set[Pair] = set()
    for axis in (0, 1):
        found |= _bent_along(at[:, ::-1] if axis == 0 else at, members, settings)
    return frozenset(found)


def _bent_along(along: Floats, members: tuple[Pair, ...], settings: SurveySettings) -> set[Pair]:
    """Return the pieces of chords that run along the first axis of `along`."""
    slope: dict[Pair, float] = {}
    before: defaultdict[int, list[Pair]] = defaultdict(list)
    after: defaultdict[int, list[Pair]] = defaultdict(list)
    for pair in members:
        start, end = sorted(pair, key=lambda joint: along[joint, 0])
        across, up = along[end] - along[start]
        if abs(up) > across:  # it runs the other way
            continue
        slope[pair] = float(np.degrees(np.arctan2(up, across)))
        after[start].append(pair)
        before[end].append(pair)

    found: set[Pair] = set()
    neighbours: defaultdict[Pair, list[float]] = defaultdict(list)
    for joint in before.keys() & after.keys():
        for left, right in _carried_on(before[joint], after[joint], slope):
            neighbours[left].append(slope[right])
            neighbours[right].append(slope[left])
            bend = abs(slope[right] - slope[left])
            slopes = abs(slope[left]), abs(slope[right])
            if (
                max(slopes) >= settings.straighten_degrees
                and bend <= settings.camber_degrees
                and min(slopes) >= settings.camber_share * bend
            ):
                found |= {left, right}
    return {pair for pair in found if not _is_crown(slope[pair], neighbours[pair], settings)}


def _carried_on(before: list[Pair], after: list[Pair], slope: dict[Pair, float]) -> list[tuple[Pair, Pair]]:
    """Return the pairs of members at a joint each of which is the other's straightest continuation."""
    onward = {left: min(after, key=lambda right: abs(slope[right] - slope[left])) for left in before}
    back = {right: min(before, key=lambda left: abs(slope[right] - slope[left])) for right in after}
    return [(left, right) for left, right in onward.items() if back[right] == left]


def _is_crown(slope: float, neighbours: list[float], settings: SurveySettings) -> bool:
    """Whether a near-level piece lies between two that are not, but whose mean slope is."""
    within = settings.straighten_degrees
    down, up = min(neighbours), max(neighbours)
    return abs(slope) < within and down <= -within and up >= within and abs(down + up) / 2.0 < within
