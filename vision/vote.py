"""One reading from several looks at the same part: each member stands that most of the looks show.

Where looks do not read the same, each of them is mostly right, and rarely wrong at the same place as another.
A member split by a joint in one look and whole in another needs no rule of its own: whichever has the votes
takes its joints along.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from vision.decode import Structure

__all__ = ["vote"]

_SIDE_OF_MEMBER = {False: 1.0, True: -1.0}
"""A bow changes sign with the order of a member's ends."""


@dataclass(frozen=True)
class _Shown:
    """One member in one look."""

    weight: float
    mean: float
    worst: float
    bow: float


def _gathered(looks: Sequence[Structure], reach: float) -> tuple[list[list[float]], list[NDArray[np.int64]]]:
    """Give the joints of all looks one list, the clearest look's first; what lies within reach has one row.

    Returns x, y, heat of each row, and the rows of each look's joints.
    """
    joints: list[list[float]] = []
    numbers = []
    for look in looks:
        mine: list[int] = []
        for (x, y), heat in zip(look.joints.tolist(), look.heat.tolist(), strict=True):
            apart = [
                (float(np.hypot(x - other[0], y - other[1])), row)
                for row, other in enumerate(joints)
                if row not in mine
            ]
            nearest, row = min(apart, default=(np.inf, -1))
            if nearest >= reach:
                row = len(joints)
                joints.append([x, y, heat])
            mine.append(row)
        numbers.append(np.array(mine, np.int64))
    return joints, numbers


def vote(looks: Sequence[Structure], *, within: float, favour: float) -> Structure:
    """Let several looks at one part vote on its members.

    Parameters
    ----------
    looks
        What each look read.
    within : float
        Distance at which two joints are one, as a part of the drawing's larger side.
    favour : float
        What the clearest look's word counts more than its clarity: at 1 it counts twice.

    Returns
    -------
    Structure
        The clearest look's, with the members that more than half of the votes are for. Places, heat and
        evidence are those of the clearest look that shows them.
    """
    ordered = sorted((look for look in looks if look.members), key=lambda look: -look.clarity)
    best = ordered[0]
    joints, numbers = _gathered(ordered, within * float(np.ptp(best.joints, axis=0).max()))
    shown: dict[tuple[int, int], list[_Shown]] = {}
    total = 0.0
    for look, number in zip(ordered, numbers, strict=True):
        weight = look.clarity * (1 + favour * (look is best))
        total += weight
        for k, (a, b) in enumerate(look.members):
            start, end = int(number[a]), int(number[b])
            bow = float(look.bow[k]) * _SIDE_OF_MEMBER[start > end]
            one = _Shown(weight, float(look.mean[k]), float(look.worst[k]), bow)
            shown.setdefault((min(start, end), max(start, end)), []).append(one)
    stands = sorted(pair for pair, by in shown.items() if sum(one.weight for one in by) > total / 2)
    if not stands:
        return best
    used = sorted({row for pair in stands for row in pair})
    row = {old: new for new, old in enumerate(used)}
    first = [shown[pair][0] for pair in stands]
    kept = np.array([joints[old] for old in used])
    return replace(
        best,
        joints=kept[:, :2],
        heat=kept[:, 2],
        members=tuple((row[a], row[b]) for a, b in stands),
        mean=np.array([one.mean for one in first]),
        worst=np.array([one.worst for one in first]),
        bow=np.array([one.bow for one in first]),
    )
