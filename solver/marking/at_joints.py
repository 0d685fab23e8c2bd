"""Slips in the sums at one joint: sine and cosine, a part of a force, its load."""

from __future__ import annotations

from collections.abc import Iterator

from solver.marking.changes import (
    LOAD_SLIPS,
    PRICES,
    Hypothesis,
    exchanged,
    of_joint,
    scaled,
    sloping,
    swapped,
)
from solver.marking.equations import Body
from solver.marking.key import Key
from solver.marking.records import Slip
from solver.steps import Quantity

__all__ = ["load_at", "parts_at", "trig_at"]


_PART_SLIPS = (
    ("component left out", 0.0, PRICES.component),
    ("component sign", -1.0, PRICES.component_sign),
)
"""Kind, factor on one part of a force at a joint, price."""


def trig_at(key: Key, bodies: tuple[Body, ...], joint: int) -> Iterator[Hypothesis]:
    """Exchange sine and cosine at a joint: of one force, in both sums or one, or of all."""
    body = bodies[joint]
    places = sloping(body)
    for place in places:
        quantity = key.quantities[body.columns[place]]
        for axis, price in (("", PRICES.trig), ("x", PRICES.trig_one_sum), ("y", PRICES.trig_one_sum)):
            slip = Slip("sine and cosine", "joint", body.origin.name, quantity, axis)
            yield Hypothesis(slip, price, {joint: swapped(body, [place], axis)})
    if len(places) > 1:
        slip = Slip("sine and cosine", "joint", body.origin.name)
        yield Hypothesis(slip, PRICES.trig_joint, {joint: swapped(body, places)})


def parts_at(key: Key, bodies: tuple[Body, ...], joint: int) -> Iterator[Hypothesis]:
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


def load_at(bodies: tuple[Body, ...], joint: int) -> Iterator[Hypothesis]:
    """Leave the load at a joint out, turn it, count it twice, or exchange its parts."""
    body = bodies[joint]
    name = body.origin.name
    load = Quantity("load", (name,))
    places = of_joint(body, joint)
    several = len(places) > 1
    for place in places:
        for kind, factor, price in LOAD_SLIPS:
            slip = Slip(kind, "joint", name, load, "xy"[body.parts[place][1]] if several else "")
            yield Hypothesis(slip, price, {joint: scaled(body, place, factor)})
    if several:
        for kind, factor, price in LOAD_SLIPS:
            yield Hypothesis(Slip(kind, "joint", name, load), price, {joint: scaled(body, places, factor)})
        slip = Slip("load components swapped", "joint", name, load)
        yield Hypothesis(slip, PRICES.load_part, {joint: exchanged(body, joint)})
