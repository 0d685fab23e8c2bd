"""The slips in equations that are known here: at one joint, in the whole truss, or from the start throughout.

A slip in an equation changes the factors or loads of a body. A number worked rightly and carried on wrongly
is the same body with that number's column scaled by meant over written; one that was only written wrongly is
another number on the sheet (`written`).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from solver.marking.at_joints import load_at, parts_at, trig_at
from solver.marking.changes import PRICES, Hypothesis, exchanged, of_joint, scaled, sloping, swapped
from solver.marking.equations import Body, turning
from solver.marking.in_the_whole import in_the_whole
from solver.marking.key import Key
from solver.marking.records import Slip
from solver.steps import Quantity

__all__ = ["hypotheses"]


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
        yield from trig_at(key, bodies, joint)
        yield from parts_at(key, bodies, joint)
        yield from load_at(bodies, joint)
    yield from _trig_throughout(key, bodies)
    for how, coarse in key.coarse_joints.items():
        changed = {n: body for n, body in enumerate(coarse) if body.rounds.any()}
        yield Hypothesis(Slip("rounding", "throughout", other=how), PRICES.rounding, changed)
    if key.whole_first and len(bodies) - 1 in failing:
        yield from in_the_whole(key, bodies)
    yield from _loads_throughout(key, bodies)


def _trig_throughout(key: Key, bodies: tuple[Body, ...]) -> Iterator[Hypothesis]:
    joints = range(len(key.solution.truss.joints))
    places = {joint: sloping(bodies[joint]) for joint in joints}
    for member, ends in enumerate(key.solution.truss.ends.tolist()):
        here = {
            joint: [place for place in places[joint] if bodies[joint].columns[place] == member]
            for joint in ends
        }
        if all(here.values()):
            slip = Slip("sine and cosine", "throughout", quantity=key.quantities[member])
            changed = {joint: swapped(bodies[joint], here[joint]) for joint in ends}
            yield Hypothesis(slip, PRICES.trig_member, changed)
    changed = {joint: swapped(bodies[joint], places[joint]) for joint in joints if places[joint]}
    if len(changed) > 1:
        yield Hypothesis(Slip("sine and cosine", "throughout"), PRICES.trig_throughout, changed)


def _loads_throughout(key: Key, bodies: tuple[Body, ...]) -> Iterator[Hypothesis]:
    truss = key.solution.truss
    number = len(truss.joints)
    whole = bodies[number]
    for joint in dict.fromkeys(row for row, _ in whole.parts):
        load = Quantity("load", (truss.joints[joint].name,))
        both, here = of_joint(whole, joint), bodies[joint]
        if not both:
            continue
        cases = [("load left out", "", both, 0.0, PRICES.load_throughout)]
        cases.append(("load sign", "", both, -1.0, PRICES.sign))
        cases.append(("load counted twice", "", both, 2.0, PRICES.twice))
        if len(both) > 1:
            for place in both:
                axis = "xy"[whole.parts[place][1]]
                cases.append(("load left out", axis, [place], 0.0, PRICES.load_part))
                cases.append(("load sign", axis, [place], -1.0, PRICES.sign))
        for kind, axis, places, factor, price in cases:
            kept = {whole.parts[place][1] for place in places}
            inside = [place for place, (_, way) in enumerate(here.parts) if way in kept]
            slip = Slip(kind, "throughout", quantity=load, axis=axis)
            changed = {number: scaled(whole, places, factor), joint: scaled(here, inside, factor)}
            yield Hypothesis(slip, price, changed)
        if len(both) > 1 and len(of_joint(here, joint)) > 1:
            slip = Slip("load components swapped", "throughout", quantity=load)
            changed = {number: exchanged(whole, joint), joint: exchanged(here, joint)}
            yield Hypothesis(slip, PRICES.load_part, changed)
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
        for place in of_joint(whole, joint):
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
        yield Hypothesis(slip, PRICES.misplaced, changed)
