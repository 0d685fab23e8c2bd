"""What a slip changes: the bodies with it in, or the numbers as they were meant, and its price.

Prices say how rare a slip is among slips at one place (from judgement, tuned on papers apart from those that
figures are reported on).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from solver.marking.equations import Body
from solver.marking.records import Slip

__all__ = [
    "LOAD_SLIPS",
    "PRICES",
    "Hypothesis",
    "Prices",
    "exchanged",
    "of_joint",
    "scaled",
    "sloping",
    "swapped",
]


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
class Prices:
    """In nats: -ln of how likely a slip is beside others at its place; see the top of this module."""

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


PRICES = Prices()

LOAD_SLIPS = (
    ("load left out", 0.0, PRICES.load_left_out),
    ("load sign", -1.0, PRICES.sign),
    ("load counted twice", 2.0, PRICES.twice),
)
"""Kind, factor on the load, price."""


def scaled(body: Body, places: int | list[int], factor: float, row: int | None = None) -> Body:
    """Multiply the loads at some places of a body by a factor, in one of its equations or in all."""
    pushes = body.pushes.copy()
    pushes[slice(None) if row is None else row, places] *= factor
    return body.changed(pushes=pushes)


def exchanged(body: Body, joint: int) -> Body:
    """Exchange the sizes of the two parts of a joint's load, each part keeping its sense."""
    places = {body.parts[place][1]: place for place in of_joint(body, joint)}
    x, y = (_size(body, places[axis], axis) for axis in (0, 1))
    pushes = body.pushes.copy()
    pushes[:, places[0]] *= y / x
    pushes[:, places[1]] *= x / y
    return body.changed(pushes=pushes)


def _size(body: Body, place: int, axis: int) -> float:
    return abs(float(body.pushes[axis, place]))


def of_joint(body: Body, joint: int) -> list[int]:
    """List the parts of a joint's own load, but for those that a slip has left out."""
    return [
        place for place, (row, _) in enumerate(body.parts) if row == joint and body.pushes[:, place].any()
    ]


def sloping(body: Body) -> list[int]:
    """List places of forces whose sine and cosine differ and are neither 0 nor 1."""
    x, y = np.abs(body.factors)
    return np.flatnonzero(body.rounds.any(axis=0) & (np.abs(x - y) > 1e-6)).tolist()


def swapped(body: Body, places: list[int], axis: str = "") -> Body:
    """Exchange sine and cosine of the forces at some places of a body, each part keeping its sign.

    In the sum across (`x`) or up (`y`) alone where an axis is given.
    """
    factors = body.factors.copy()
    for place in places:
        x, y = body.factors[:, place]
        if axis != "y":
            factors[0, place] = math.copysign(abs(y), x)
        if axis != "x":
            factors[1, place] = math.copysign(abs(x), y)
    return body.changed(factors=factors)
