"""How an unstable truss moves and a redundant one can be stressed: facts for a sentence or a drawing."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from solver.settings import TOLERANCES
from solver.stability import Movement, SelfStress
from solver.truss import Truss

__all__ = ["describe_movement", "describe_self_stress"]


def describe_movement(truss: Truss, pattern: NDArray[np.float64]) -> Movement:
    """Say what a (N, 2) displacement pattern does."""
    sizes = np.hypot(pattern[:, 0], pattern[:, 1])
    pattern = np.where((sizes > _STILL)[:, None], pattern, 0.0)
    rows = np.flatnonzero(sizes > _STILL)
    names = [joint.name for joint in truss.joints]
    kind, centre = _as_one_body(truss.at[rows], pattern[rows])
    still = len(names) - len(rows)
    pivot = centre is not None and bool(
        (np.hypot(*(truss.at[sizes <= _STILL] - centre).T) <= _STILL * _reach(truss)).all()
    )
    return Movement(
        displacements=pattern,
        moving=tuple(names[row] for row in rows),
        kind=kind,
        whole=kind != "bends" and (still == 0 or (kind == "turns" and pivot)),
        centre=centre,
        racking=tuple(tuple(names[row] for row in panel) for panel in _racking(truss, pattern)),
    )


def describe_self_stress(truss: Truss, unknowns: NDArray[np.float64]) -> SelfStress:
    """Say which members and supports a (M + R,) self-stress takes in."""
    count = len(truss.members)
    parts = np.cumsum([0, *(2 if support.kind == "pin" else 1 for support in truss.supports)])
    outer = unknowns[count:]
    supports = tuple(
        support.joint
        for support, begin, end in zip(truss.supports, parts[:-1], parts[1:], strict=True)
        if (np.abs(outer[begin:end]) > _STILL).any()
    )
    members = tuple(
        (truss.members[row].start, truss.members[row].end)
        for row in np.flatnonzero(np.abs(unknowns[:count]) > _STILL)
    )
    return SelfStress(unknowns[:count], members, supports)


_STILL = 1e-7
"""Of the largest movement or force: below it a joint rests or a member carries nothing. Null vectors are
computed to about 1e-12 of it, over the condition of the rest of the truss."""


def _reach(truss: Truss) -> float:
    return float(np.ptp(truss.at, axis=0).max())


def _as_one_body(
    at: NDArray[np.float64], pattern: NDArray[np.float64]
) -> tuple[str, tuple[float, float] | None]:
    """Tell whether joints move as one rigid body: sliding, or turning about a centre."""
    if len(at) == 1:
        return "slides", None
    middle, mean = at.mean(axis=0), pattern.mean(axis=0)
    arms, rest = at - middle, pattern - mean
    spread = float((arms**2).sum())
    spin = float((arms[:, 0] * rest[:, 1] - arms[:, 1] * rest[:, 0]).sum()) / spread
    turned = spin * np.stack([-arms[:, 1], arms[:, 0]], axis=1)
    if np.abs(rest - turned).max() > _STILL:
        return "bends", None
    if abs(spin) * math.sqrt(spread / len(at)) <= _STILL:
        return "slides", None
    return "turns", (float(middle[0] - mean[1] / spin), float(middle[1] + mean[0] / spin))


def _racking(truss: Truss, pattern: NDArray[np.float64]) -> Iterator[tuple[int, ...]]:
    """Find four-sided panels without a diagonal whose diagonals change length, each once.

    Panels are rings of four members with no member across, of convex shape and with no joint inside.
    """
    beside: dict[int, set[int]] = {}
    for start, end in truss.ends.tolist():
        beside.setdefault(start, set()).add(end)
        beside.setdefault(end, set()).add(start)
    seen: set[frozenset[int]] = set()
    moving = set(np.flatnonzero(pattern.any(axis=1)).tolist())
    for first in sorted(moving):
        for second in beside[first]:
            for fourth in beside[first] - {second} - beside[second]:
                for third in (beside[second] & beside[fourth]) - {first} - beside[first]:
                    ring = (first, second, third, fourth)
                    if frozenset(ring) in seen:
                        continue
                    seen.add(frozenset(ring))
                    if _convex(truss.at[list(ring)]) and _shears(truss, pattern, first, third):
                        yield _from_lowest_left(truss, ring)


def _convex(corners: NDArray[np.float64]) -> bool:
    sides = np.roll(corners, -1, axis=0) - corners
    after = np.roll(sides, -1, axis=0)
    turns = sides[:, 0] * after[:, 1] - sides[:, 1] * after[:, 0]
    sizes = np.hypot(*sides.T) * np.hypot(*after.T)
    return bool((turns > TOLERANCES.collinear * sizes).all() or (turns < -TOLERANCES.collinear * sizes).all())


def _shears(truss: Truss, pattern: NDArray[np.float64], one: int, other: int) -> bool:
    span = truss.at[other] - truss.at[one]
    stretch = (pattern[other] - pattern[one]) @ span / np.hypot(*span)
    return bool(abs(stretch) > _STILL)


def _from_lowest_left(truss: Truss, ring: tuple[int, ...]) -> tuple[int, ...]:
    """Name a panel counter-clockwise from its lowest, leftmost joint, so that it is always named alike."""
    turned = ring if _area(truss.at[list(ring)]) > 0 else ring[::-1]
    start = min(range(4), key=lambda place: (truss.at[turned[place]][1], truss.at[turned[place]][0]))
    return turned[start:] + turned[:start]


def _area(corners: NDArray[np.float64]) -> float:
    x, y = corners[:, 0], corners[:, 1]
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2
