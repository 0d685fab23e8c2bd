"""Slips in the equations of the whole truss: its loads, lever arms, reactions halved or exchanged."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from solver.marking.changes import LOAD_SLIPS, PRICES, Hypothesis, of_joint, scaled
from solver.marking.equations import Body, turning
from solver.marking.key import Key
from solver.marking.records import Slip
from solver.steps import Quantity

__all__ = ["in_the_whole"]


_MUCH_THE_SAME = 0.7
"""Cosine between the directions of two reactions that may be taken for each other."""


def in_the_whole(key: Key, bodies: tuple[Body, ...]) -> Iterator[Hypothesis]:
    """List every slip in the equations of the whole truss, the last of the bodies."""
    number = len(key.solution.truss.joints)
    whole = bodies[number]
    names = [joint.name for joint in key.solution.truss.joints]
    for joint in dict.fromkeys(row for row, _ in whole.parts):
        load = Quantity("load", (names[joint],))
        places = of_joint(whole, joint)
        for kind, factor, price in LOAD_SLIPS:
            slip = Slip(kind, "whole", quantity=load)
            yield Hypothesis(slip, price, {number: scaled(whole, places, factor)})
            for row, axis in enumerate(whole.axes):
                if whole.pushes[row, places].any():
                    slip = Slip(kind, "whole", quantity=load, axis=axis)
                    yield Hypothesis(
                        slip, price + PRICES.one_sum, {number: scaled(whole, places, factor, row)}
                    )
    yield from _arms(key, whole, number)
    yield from _halves(key, whole, number)
    yield from _swapped_reactions(key, whole, number)


def _arms(key: Key, whole: Body, number: int) -> Iterator[Hypothesis]:
    """Take, in one sum of moments, a neighbour joint's lever arm for a load or reaction."""
    at = key.solution.truss.at
    row_of = key.solution.truss.row
    reach = float(np.ptp(at, axis=0).max())
    for row, axis in enumerate(whole.axes):
        if not axis.startswith("@"):
            continue
        centre = at[row_of[axis[1:]]]
        for place, (joint, way) in enumerate(whole.parts):
            force = float(key.exact.loads[joint, way])
            for other in _neighbours(key, joint, 1 - way):
                pushes = whole.pushes.copy()
                pushes[row, place] = turning(at[other] - centre, way, force) / reach
                if abs(pushes[row, place]) < 1e-9 * key.largest:
                    continue  # no lever arm at all is a load left out
                slip = _arm_slip(key, Quantity("load", (key.solution.truss.joints[joint].name,)), axis, other)
                yield Hypothesis(slip, PRICES.arm, {number: whole.changed(pushes=pushes)})
        for place, joint in enumerate(key.exact.at_joint.tolist()):
            push = key.exact.pushes[place]
            if abs(whole.factors[row, place]) < 1e-9 or np.abs(push).min() > 1e-9:
                continue
            way = int(np.abs(push).argmax())
            for other in _neighbours(key, joint, 1 - way):
                factors = whole.factors.copy()
                factors[row, place] = turning(at[other] - centre, way, float(push[way])) / reach
                if abs(factors[row, place]) > 1e-9:
                    slip = _arm_slip(key, key.quantities[whole.columns[place]], axis, other)
                    yield Hypothesis(slip, PRICES.arm, {number: whole.changed(factors=factors)})


def _arm_slip(key: Key, quantity: Quantity, axis: str, other: int) -> Slip:
    return Slip(
        "lever arm", "whole", quantity=quantity, axis=axis, other=key.solution.truss.joints[other].name
    )


def _neighbours(key: Key, joint: int, along: int) -> list[int]:
    """List the joints with the next smaller and the next larger coordinate."""
    places = key.solution.truss.at[:, along]
    here = places[joint]
    near = 1e-6 * max(float(np.ptp(places)), 1e-9)
    found = []
    for side in (-1.0, 1.0):
        beyond = np.flatnonzero(side * (places - here) > near)
        if len(beyond):
            found.append(int(beyond[np.abs(places[beyond] - here).argmin()]))
    return found


def _halves(key: Key, whole: Body, number: int) -> Iterator[Hypothesis]:
    """Share the loads out in halves, in place of moments: of two supports that push up."""
    up = np.flatnonzero(np.abs(whole.factors[1]) > _MUCH_THE_SAME)
    if len(up) != 2:
        return
    ranked = sorted((int(key.rank[whole.columns[place]]), int(place)) for place in up)
    for _, place in ranked:
        factors, pushes = whole.factors.copy(), whole.pushes.copy()
        for row, axis in enumerate(whole.axes):
            if axis.startswith("@"):
                factors[row], pushes[row] = 0.0, 0.5 * whole.pushes[1]
                factors[row, place] = whole.factors[1, place]
        slip = Slip("reactions halved", "whole", quantity=key.quantities[whole.columns[place]])
        yield Hypothesis(slip, PRICES.halves, {number: whole.changed(factors=factors, pushes=pushes)})


def _swapped_reactions(key: Key, whole: Body, number: int) -> Iterator[Hypothesis]:
    """Exchange two reactions that push much the same way: worked rightly, put to each other's support."""
    pushes = key.exact.pushes
    for one in range(len(pushes)):
        for other in range(one + 1, len(pushes)):
            if abs(float(pushes[one] @ pushes[other])) > _MUCH_THE_SAME:
                factors = whole.factors.copy()
                factors[:, [one, other]] = factors[:, [other, one]]
                slip = Slip(
                    "reactions swapped",
                    "whole",
                    quantity=key.quantities[whole.columns[one]],
                    other=key.quantities[whole.columns[other]].joints[0],
                )
                yield Hypothesis(slip, PRICES.swapped, {number: whole.changed(factors=factors)})
