"""The slips that are known here, each as equations with the slip in or numbers as they were meant.

A slip in an equation changes the factors or loads of a body. A number worked rightly and carried on wrongly
is the same body with that number's column scaled by meant over written; one that was only written wrongly is
another number on the sheet. Prices say how rare a slip is among slips at one place (from judgement, tuned on
papers apart from those that figures are reported on).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from solver.marking.equations import Body, turning
from solver.marking.key import Key
from solver.marking.records import Slip
from solver.steps import Quantity

__all__ = ["Hypothesis", "hypotheses"]


@dataclass(frozen=True, eq=False)
class Hypothesis:
    """A slip and what it changes."""

    slip: Slip
    price: float
    bodies: Mapping[int, Body] = field(default_factory=dict)
    """Bodies with the slip in, by number."""
    values: Mapping[int, float] = field(default_factory=dict)
    """Numbers as they were meant, by column."""


@dataclass(frozen=True)
class _Prices:
    """In nats; see the top of this module."""

    trig: float = 4.0
    trig_one_sum: float = 6.0
    trig_joint: float = 4.5
    trig_member: float = 4.0
    trig_throughout: float = 3.5
    component: float = 5.5
    load_left_out: float = 2.5
    one_sum: float = 2.0
    """More, for one of several equations of the whole truss."""
    load_throughout: float = 2.0
    load_part: float = 3.0
    sign: float = 2.5
    component_sign: float = 3.5
    twice: float = 3.5
    misplaced: float = 6.0
    swapped: float = 1.5
    arm: float = 3.0
    rounding: float = 3.0
    halves: float = 2.0


_PRICES = _Prices()
_PART_SLIPS = (
    ("component left out", 0.0, _PRICES.component),
    ("component sign", -1.0, _PRICES.component_sign),
)
"""Kind, factor on one part of a force at a joint, price."""
_LOAD_SLIPS = (
    ("load left out", 0.0, _PRICES.load_left_out),
    ("load sign", -1.0, _PRICES.sign),
    ("load counted twice", 2.0, _PRICES.twice),
)
"""Kind, factor on the load, price."""
_MUCH_THE_SAME = 0.7
"""Cosine between the directions of two reactions that may be taken for each other."""


def hypotheses(key: Key, bodies: tuple[Body, ...], failing: frozenset[int]) -> Iterator[Hypothesis]:
    """List every slip in an equation.

    Parameters
    ----------
    bodies
        The joints first and then the whole truss.
    failing
        Those in which an equation does not hold: there is nothing to explain in others.
    """
    for joint in sorted(failing & set(range(len(key.solution.truss.joints)))):
        yield from _trig_at(key, bodies, joint)
        yield from _parts_at(key, bodies, joint)
        yield from _load_at(bodies, joint)
    yield from _trig_throughout(key, bodies)
    for how, coarse in key.coarse_joints.items():
        changed = {n: body for n, body in enumerate(coarse) if body.rounds.any()}
        yield Hypothesis(Slip("rounding", "throughout", other=how), _PRICES.rounding, changed)
    if key.whole_first and len(bodies) - 1 in failing:
        yield from _in_the_whole(key, bodies)
    yield from _loads_throughout(key, bodies)


def _swapped(body: Body, places: list[int], axis: str = "") -> Body:
    factors = body.factors.copy()
    for place in places:
        x, y = body.factors[:, place]
        if axis != "y":
            factors[0, place] = math.copysign(abs(y), x)
        if axis != "x":
            factors[1, place] = math.copysign(abs(x), y)
    return body.changed(factors=factors)


def _sloping(body: Body) -> list[int]:
    """List places of forces whose sine and cosine differ and are neither 0 nor 1."""
    x, y = np.abs(body.factors)
    return np.flatnonzero(body.rounds.any(axis=0) & (np.abs(x - y) > 1e-6)).tolist()


def _trig_at(key: Key, bodies: tuple[Body, ...], joint: int) -> Iterator[Hypothesis]:
    body = bodies[joint]
    places = _sloping(body)
    for place in places:
        quantity = key.quantities[body.columns[place]]
        for axis, price in (("", _PRICES.trig), ("x", _PRICES.trig_one_sum), ("y", _PRICES.trig_one_sum)):
            slip = Slip("sine and cosine", "joint", body.origin.name, quantity, axis)
            yield Hypothesis(slip, price, {joint: _swapped(body, [place], axis)})
    if len(places) > 1:
        slip = Slip("sine and cosine", "joint", body.origin.name)
        yield Hypothesis(slip, _PRICES.trig_joint, {joint: _swapped(body, places)})


def _trig_throughout(key: Key, bodies: tuple[Body, ...]) -> Iterator[Hypothesis]:
    joints = range(len(key.solution.truss.joints))
    places = {joint: _sloping(bodies[joint]) for joint in joints}
    for member, ends in enumerate(key.solution.truss.ends.tolist()):
        here = {
            joint: [place for place in places[joint] if bodies[joint].columns[place] == member]
            for joint in ends
        }
        if all(here.values()):
            slip = Slip("sine and cosine", "throughout", quantity=key.quantities[member])
            changed = {joint: _swapped(bodies[joint], here[joint]) for joint in ends}
            yield Hypothesis(slip, _PRICES.trig_member, changed)
    changed = {joint: _swapped(bodies[joint], places[joint]) for joint in joints if places[joint]}
    if len(changed) > 1:
        yield Hypothesis(Slip("sine and cosine", "throughout"), _PRICES.trig_throughout, changed)


def _parts_at(key: Key, bodies: tuple[Body, ...], joint: int) -> Iterator[Hypothesis]:
    """Leave one part of a force out of a sum, or turn its sign."""
    body = bodies[joint]
    for place, column in enumerate(body.columns.tolist()):
        for row, axis in enumerate("xy"):
            if abs(body.factors[row, place]) > 1e-9:
                for kind, times, price in _PART_SLIPS:
                    factors = body.factors.copy()
                    factors[row, place] *= times
                    slip = Slip(kind, "joint", body.origin.name, key.quantities[column], axis)
                    yield Hypothesis(slip, price, {joint: body.changed(factors=factors)})


def _load_at(bodies: tuple[Body, ...], joint: int) -> Iterator[Hypothesis]:
    body = bodies[joint]
    name = body.origin.name
    load = Quantity("load", (name,))
    places = _of_joint(body, joint)
    several = len(places) > 1
    for place in places:
        for kind, factor, price in _LOAD_SLIPS:
            slip = Slip(kind, "joint", name, load, "xy"[body.parts[place][1]] if several else "")
            yield Hypothesis(slip, price, {joint: _scaled(body, place, factor)})
    if several:
        for kind, factor, price in _LOAD_SLIPS:
            yield Hypothesis(Slip(kind, "joint", name, load), price, {joint: _scaled(body, places, factor)})
        slip = Slip("load components swapped", "joint", name, load)
        yield Hypothesis(slip, _PRICES.load_part, {joint: _exchanged(body, joint)})


def _scaled(body: Body, places: int | list[int], factor: float, row: int | None = None) -> Body:
    pushes = body.pushes.copy()
    pushes[slice(None) if row is None else row, places] *= factor
    return body.changed(pushes=pushes)


def _exchanged(body: Body, joint: int) -> Body:
    """Exchange the sizes of the two parts of a joint's load, each part keeping its sense."""
    places = {body.parts[place][1]: place for place in _of_joint(body, joint)}
    x, y = (_size(body, places[axis], axis) for axis in (0, 1))
    pushes = body.pushes.copy()
    pushes[:, places[0]] *= y / x
    pushes[:, places[1]] *= x / y
    return body.changed(pushes=pushes)


def _size(body: Body, place: int, axis: int) -> float:
    return abs(float(body.pushes[axis, place]))


def _of_joint(body: Body, joint: int) -> list[int]:
    """List the parts of a joint's own load, but for those that a slip has left out."""
    return [
        place for place, (row, _) in enumerate(body.parts) if row == joint and body.pushes[:, place].any()
    ]


def _in_the_whole(key: Key, bodies: tuple[Body, ...]) -> Iterator[Hypothesis]:
    number = len(key.solution.truss.joints)
    whole = bodies[number]
    names = [joint.name for joint in key.solution.truss.joints]
    for joint in dict.fromkeys(row for row, _ in whole.parts):
        load = Quantity("load", (names[joint],))
        places = _of_joint(whole, joint)
        for kind, factor, price in _LOAD_SLIPS:
            slip = Slip(kind, "whole", quantity=load)
            yield Hypothesis(slip, price, {number: _scaled(whole, places, factor)})
            for row, axis in enumerate(whole.axes):
                if whole.pushes[row, places].any():
                    slip = Slip(kind, "whole", quantity=load, axis=axis)
                    yield Hypothesis(
                        slip, price + _PRICES.one_sum, {number: _scaled(whole, places, factor, row)}
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
                yield Hypothesis(slip, _PRICES.arm, {number: whole.changed(pushes=pushes)})
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
                    yield Hypothesis(slip, _PRICES.arm, {number: whole.changed(factors=factors)})


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
    for place in sorted(up.tolist(), key=lambda place: int(key.rank[whole.columns[place]])):
        factors, pushes = whole.factors.copy(), whole.pushes.copy()
        for row, axis in enumerate(whole.axes):
            if axis.startswith("@"):
                factors[row], pushes[row] = 0.0, 0.5 * whole.pushes[1]
                factors[row, place] = whole.factors[1, place]
        slip = Slip("reactions halved", "whole", quantity=key.quantities[whole.columns[place]])
        yield Hypothesis(slip, _PRICES.halves, {number: whole.changed(factors=factors, pushes=pushes)})


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
                yield Hypothesis(slip, _PRICES.swapped, {number: whole.changed(factors=factors)})


def _loads_throughout(key: Key, bodies: tuple[Body, ...]) -> Iterator[Hypothesis]:
    truss = key.solution.truss
    number = len(truss.joints)
    whole = bodies[number]
    for joint in dict.fromkeys(row for row, _ in whole.parts):
        load = Quantity("load", (truss.joints[joint].name,))
        both, here = _of_joint(whole, joint), bodies[joint]
        if not both:
            continue
        cases = [("load left out", "", both, 0.0, _PRICES.load_throughout)]
        cases.append(("load sign", "", both, -1.0, _PRICES.sign))
        cases.append(("load counted twice", "", both, 2.0, _PRICES.twice))
        if len(both) > 1:
            for place in both:
                axis = "xy"[whole.parts[place][1]]
                cases.append(("load left out", axis, [place], 0.0, _PRICES.load_part))
                cases.append(("load sign", axis, [place], -1.0, _PRICES.sign))
        for kind, axis, places, factor, price in cases:
            kept = {whole.parts[place][1] for place in places}
            inside = [place for place, (_, way) in enumerate(here.parts) if way in kept]
            slip = Slip(kind, "throughout", quantity=load, axis=axis)
            changed = {number: _scaled(whole, places, factor), joint: _scaled(here, inside, factor)}
            yield Hypothesis(slip, price, changed)
        if len(both) > 1 and len(_of_joint(here, joint)) > 1:
            slip = Slip("load components swapped", "throughout", quantity=load)
            changed = {number: _exchanged(whole, joint), joint: _exchanged(here, joint)}
            yield Hypothesis(slip, _PRICES.load_part, changed)
        yield from _misplaced(key, bodies, joint)


def _misplaced(key: Key, bodies: tuple[Body, ...], joint: int) -> Iterator[Hypothesis]:
    """Put a joint's load on the other end of one of its members."""
    truss = key.solution.truss
    number = len(truss.joints)
    whole = bodies[number]
    reach = float(np.ptp(truss.at, axis=0).max())
    row_of = truss.row
    for start, end in truss.ends.tolist():
        if joint not in {start, end}:
            continue
        other = end if start == joint else start
        pushes = whole.pushes.copy()
        for place in _of_joint(whole, joint):
            way = whole.parts[place][1]
            for row, axis in enumerate(whole.axes):
                if axis.startswith("@"):
                    arm = truss.at[other] - truss.at[row_of[axis[1:]]]
                    pushes[row, place] = turning(arm, way, float(key.exact.loads[joint, way])) / reach
        receiving = bodies[other]
        more = np.hstack((receiving.pushes, bodies[joint].pushes))
        moved = Body(
            receiving.origin,
            receiving.axes,
            receiving.columns,
            receiving.factors,
            (*receiving.parts, *bodies[joint].parts),
            more,
            receiving.rounds,
        )
        slip = Slip(
            "load misplaced",
            "throughout",
            quantity=Quantity("load", (truss.joints[joint].name,)),
            other=truss.joints[other].name,
        )
        changed = {
            number: whole.changed(pushes=pushes),
            joint: bodies[joint].changed(pushes=0.0 * bodies[joint].pushes),
            other: moved,
        }
        yield Hypothesis(slip, _PRICES.misplaced, changed)
