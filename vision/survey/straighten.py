"""Members near level become level, members near upright become upright, unless the dimensions say no.

A member counts as near if it is so on the drawing, or where the dimensions have put it. Near members that
hang together are straightened together or, where they cannot all be, one by one, and then only those near
where they are: in a chord drawn level but dimensioned to fall, no panel is flattened at the cost of the next.
Pieces of a bent chord stay as they are, see `camber`.

Most drawings let every group be straightened, so all groups are tried at once; where that fails the groups
are halved until those that do not go are found. A group is taken or refused as if one after another.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.cluster.hierarchy import DisjointSet

from vision.survey.constraints import EXACT, PEN, Conditions, Floats, difference, linear
from vision.survey.settings import SurveySettings
from vision.survey.settle import fixes, open_directions, settle
from vision.survey.span import Span

__all__ = ["Straightened", "straighten"]

Pair = tuple[int, int]


@dataclass(frozen=True, eq=False)
class Straightened:
    """The conditions with those of the straightened members, and a point that meets them all."""

    conditions: Conditions
    z: Floats
    held: tuple[Pair, ...]
    """Members near level or upright that the dimensions hold at their slope."""
    nearly: tuple[Pair, ...]
    """Members only just too far off to be straightened, with no dimension to say so."""
    cambered: tuple[Pair, ...]
    """Members near level or upright, or only just not, that stay because their chord bends there."""
    made: tuple[Pair, ...]
    """Members straightened in this round."""


@dataclass(frozen=True)
class _Lean:
    """How far a member is from having no extent along an axis."""

    degrees: float
    """Where it is or on the drawing, whichever is less."""
    placed_degrees: float
    """Where it is."""
    pair: Pair
    axis: int
    """0 for upright, 1 for level."""


def straighten(
    members: tuple[Pair, ...],
    conditions: Conditions,
    z: Floats,
    *,
    upright: Floats,
    bent: frozenset[Pair],
    settings: SurveySettings,
) -> Straightened:
    """Straighten members, the nearest to straight first, each where the conditions so far allow it.

    Parameters
    ----------
    members : tuple of (int, int)
        Rows of the joints.
    conditions : Conditions
        What holds already.
    z : (2N + 6,) float
        A point that meets them.
    upright : (N, 2) float
        The drawing, laid level.
    bent : set of (int, int)
        Members of chords that bend, which stay as they are.
    settings : SurveySettings
        Its `straighten_degrees` and `nearly_degrees` apply.
    """
    within = settings.straighten_degrees
    most = within + settings.nearly_degrees if within > 0.0 else 0.0
    leans = sorted(_leans(members, z, upright), key=lambda lean: lean.degrees)
    rows = np.array([_row(lean, z) for lean in leans]).reshape(-1, len(z))
    fixed = fixes(open_directions(conditions, z), rows)
    sloping = np.abs(rows @ z) > EXACT
    held = [
        lean.pair
        for lean, is_fixed, slopes in zip(leans, fixed, sloping, strict=True)
        if is_fixed and slopes and lean.degrees < within
    ]
    loose = [lean for lean, is_fixed in zip(leans, fixed, strict=True) if not is_fixed]
    cambered = tuple(lean.pair for lean in loose if lean.pair in bent and lean.degrees < most)
    loose = [lean for lean in loose if lean.pair not in bent]
    made: list[Pair] = []
    span = Span.of(conditions, z)
    waiting = [_groups([lean for lean in loose if lean.degrees < within])]
    while waiting:
        groups = waiting.pop()
        wished = [lean for group in groups for lean in group]
        if not wished:
            continue
        rows = np.array([_row(lean, z) for lean in wished])
        more = Conditions.join((conditions, *(linear(row, 0.0) for row in rows)), len(z))
        together = span.grown(rows, z) or _settled(more, z)
        if together and (_lengths(members, together[1]) > _LEAST_KEPT * _lengths(members, z)).all():
            conditions, (span, z) = more, together
            made += [lean.pair for lean in wished]
        elif len(groups) > 1:
            half = len(groups) // 2
            waiting += [groups[half:], groups[:half]]
        elif len(wished) > 1:
            waiting.append([[lean] for lean in wished if lean.placed_degrees < within])
            held += [lean.pair for lean in wished if lean.placed_degrees >= within]
        else:
            held += [lean.pair for lean in wished]
    nearly = tuple(lean.pair for lean in loose if within <= lean.degrees < most)
    return Straightened(conditions, z, tuple(held), nearly, cambered, tuple(made))


def _leans(members: tuple[Pair, ...], z: Floats, upright: Floats) -> list[_Lean]:
    placed, drawn = (_off_axes(members, at) for at in (z[:-PEN].reshape(-1, 2), upright))
    nearer = np.minimum(placed, drawn)
    return [
        _Lean(float(nearer[row, axis]), float(placed[row, axis]), pair, int(axis))
        for row, (pair, axis) in enumerate(zip(members, np.argmin(nearer, axis=1), strict=True))
    ]


def _off_axes(members: tuple[Pair, ...], at: Floats) -> Floats:
    """Return the degrees by which members are off upright and off level, (M, 2)."""
    starts, ends = np.array(members, dtype=int).reshape(-1, 2).T
    extent = np.abs(at[ends] - at[starts])
    return np.asarray(np.degrees(np.arctan2(extent, extent[:, ::-1])))


def _row(lean: _Lean, z: Floats) -> Floats:
    return np.asarray(difference(*lean.pair, len(z))[lean.axis])


def _groups(leans: list[_Lean]) -> list[list[_Lean]]:
    """Return the leans along one axis that hang together, in the order of the first of each group."""
    hangs = DisjointSet((lean.axis, joint) for lean in leans for joint in lean.pair)
    for lean in leans:
        hangs.merge((lean.axis, lean.pair[0]), (lean.axis, lean.pair[1]))
    groups: dict[tuple[int, int], list[_Lean]] = {}
    for lean in leans:
        groups.setdefault(hangs[lean.axis, lean.pair[0]], []).append(lean)
    return list(groups.values())


def _settled(conditions: Conditions, z: Floats) -> tuple[Span, Floats] | None:
    """Return where conditions settle that the span's plain steps did not meet; None if nowhere near."""
    settled = settle(conditions, z)
    return (Span.of(conditions, settled.z), settled.z) if settled.met else None


# Straightening two members of a sliver can only be had by squeezing the third; no member may lose more.
_LEAST_KEPT = 0.5


def _lengths(members: tuple[Pair, ...], z: Floats) -> Floats:
    at = z[:-PEN].reshape(-1, 2)
    starts, ends = np.array(members, dtype=int).reshape(-1, 2).T
    return np.asarray(np.hypot(*(at[ends] - at[starts]).T))
