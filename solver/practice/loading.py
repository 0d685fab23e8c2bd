"""Other loads on the same joints: loads that were equal, or one half of another, stay so."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from solver.parts import DeckLoad, Joint, Load, MemberLoad, Support
from solver.practice.settings import PracticeSettings
from solver.practice.shapes import Shape
from solver.practice.tidy import tidy_direction, tidy_near, tidy_triangle
from solver.truss import Truss

__all__ = ["LoadGroup", "groups_of", "loaded", "multipliers", "unloaded"]

_EQUAL = 0.01
"""Loads that differ by less than this share are equal: people write two figures."""


@dataclass(frozen=True)
class LoadGroup:
    """Loads that grow together."""

    kind: str
    """`joint`, `deck`, `member` or `weight`."""
    rows: tuple[int, ...]
    """Rows of `truss.loads`, `deck_loads` or `member_loads`; none for self-weight."""
    ways: tuple[tuple[Fraction, Fraction], ...]
    """What each takes of the group's multiplier, right and up, in the order of `rows`."""
    original: Fraction
    """Multiplier nearest to the original loads."""
    options: tuple[Fraction, ...]
    """Tidy multipliers."""


def groups_of(truss: Truss, settings: PracticeSettings) -> tuple[LoadGroup, ...]:
    """Sort the loads of a truss into groups."""
    found = [
        *_force_groups("joint", [(load.fx, load.fy) for load in truss.loads], settings),
        *_force_groups("deck", [(load.fx, load.fy) for load in truss.deck_loads], settings),
        *_force_groups("member", [(load.fx, load.fy) for load in truss.member_loads], settings),
    ]
    weights = [member.weight for member in truss.members if member.weight]
    if weights:
        options = tuple(_options(max(weights), settings))
        found.append(LoadGroup("weight", (), (), _nearest(max(weights), options), options))
    return tuple(found)


def multipliers(groups: Sequence[LoadGroup], draw: random.Random, count: int) -> list[tuple[Fraction, ...]]:
    """Draw sets of multipliers, one for each group; no set twice."""
    drawn = (tuple(draw.choice(group.options) for group in groups) for _ in range(count))
    return list(dict.fromkeys(drawn))


def unloaded(truss: Truss, shape: Shape) -> Truss:
    """Give a truss another shape, without loads; inclined rollers get tidy directions."""
    return replace(
        truss,
        joints=tuple(
            Joint(joint.name, float(x), float(y))
            for joint, (x, y) in zip(truss.joints, shape.at, strict=True)
        ),
        members=tuple(replace(member, weight=0.0) for member in truss.members),
        supports=tuple(_tidy_support(support) for support in truss.supports),
        loads=(),
        deck_loads=(),
        member_loads=(),
    )


def loaded(truss: Truss, bare: Truss, groups: Sequence[LoadGroup], multiplier: Sequence[Fraction]) -> Truss:
    """Put loads on a bare truss, in the order of the original's; groups with multiplier 0 are left out.

    Parameters
    ----------
    truss : Truss
        The original, with the loads that the groups were made from.
    bare : Truss
        Another shape of it without loads.
    groups, multiplier
        What acts, and how much.
    """
    loads: dict[int, Load] = {}
    decks: dict[int, DeckLoad] = {}
    between: dict[int, MemberLoad] = {}
    weight: Fraction | None = None
    for group, amount in zip(groups, multiplier, strict=True):
        if group.kind == "weight":
            weight = amount
        if not amount:
            continue
        for row, (right, up) in zip(group.rows, group.ways, strict=True):
            fx, fy = float(right * amount), float(up * amount)
            if group.kind == "joint":
                loads[row] = Load(truss.loads[row].joint, fx, fy)
            elif group.kind == "deck":
                decks[row] = DeckLoad(truss.deck_loads[row].joints, fx, fy)
            else:
                old = truss.member_loads[row]
                ends = truss.row[old.start], truss.row[old.end]
                stretch = _length(bare, *ends) / _length(truss, *ends)
                between[row] = replace(old, distance=old.distance * stretch, fx=fx, fy=fy)
    return replace(
        bare,
        members=tuple(
            replace(member, weight=float(weight) if weight and old.weight else 0.0)
            for member, old in zip(bare.members, truss.members, strict=True)
        ),
        loads=tuple(loads[row] for row in sorted(loads)),
        deck_loads=tuple(decks[row] for row in sorted(decks)),
        member_loads=tuple(between[row] for row in sorted(between)),
    )


def _length(truss: Truss, start: int, end: int) -> float:
    return math.hypot(*(truss.at[end] - truss.at[start]).tolist())


def _force_groups(
    kind: str, forces: list[tuple[float, float]], settings: PracticeSettings
) -> Iterator[LoadGroup]:
    left = [row for row, force in enumerate(forces) if math.hypot(*force) > 0]
    left.sort(key=lambda row: (-math.hypot(*forces[row]), row))
    while left:
        size = math.hypot(*forces[left[0]])
        triangle = _steepness(forces[left[0]])
        shares = {row: _share(forces[row], size, triangle) for row in left}
        rows = sorted(row for row, share in shares.items() if share is not None)
        left = [row for row in left if row not in rows]
        hypotenuse = math.isqrt(triangle[0] ** 2 + triangle[1] ** 2)
        options = tuple(_options(size / hypotenuse, settings))
        ways = []
        for row in rows:
            share = shares[row]
            assert share is not None
            right, up = tidy_triangle(*forces[row])
            ways.append((share * right, share * up))
        yield LoadGroup(kind, tuple(rows), tuple(ways), _nearest(size / hypotenuse, options), options)


def _steepness(force: tuple[float, float]) -> tuple[int, int]:
    right, up = tidy_triangle(*force)
    return abs(right), abs(up)


def _share(force: tuple[float, float], size: float, triangle: tuple[int, int]) -> Fraction | None:
    """Say what a load is of the largest of its group: the whole, one half, or not in it."""
    if _steepness(force) != triangle:
        return None
    for share in (Fraction(1), Fraction(1, 2)):
        if abs(math.hypot(*force) - float(share) * size) <= _EQUAL * size:
            return share
    return None


def _options(size: float, settings: PracticeSettings) -> list[Fraction]:
    return tidy_near(size, settings.least_load, settings.most_load, settings.steps_in_gap)


def _nearest(size: float, options: Sequence[Fraction]) -> Fraction:
    return min(options, key=lambda option: abs(float(option) - size))


def _tidy_support(support: Support) -> Support:
    if support.kind == "pin":
        return support
    right, up = tidy_direction(*support.normal)
    return replace(support, normal=(float(right), float(up)))
