"""Which way to move each joint to hold more for every gram, as text and as JSON."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from cli.report import aligned, wrapped
from cli.sheets.numerals import Numerals
from solver import Truss, convert_force, convert_length
from solver.strength import ShapeGradient, Standing

__all__ = ["JointMove", "Step", "move_figure", "moves_of", "shape_json", "shape_text", "step_length"]

NUMERALS = Numerals(figures=2)
SMALL = 1e-3
"""Of the largest: a joint whose movement gains less is not listed."""
STEPS_IN_SIZE = 100
"""Steps in the size of the truss, at least: small enough for the gain to be in proportion to the move."""
SIDEWAYS = 0.1
"""Of a movement: a part of it smaller than this is not said."""


@dataclass(frozen=True)
class JointMove:
    """Which way to move one joint, and what that gains."""

    joint: str
    right: float
    """Part of the direction."""
    up: float
    """Part of the direction, as long as `right` by its own."""
    gain: float
    """Share of the load held per gram, for each step of `step_length`."""


@dataclass(frozen=True)
class Step:
    """How far a joint is taken to move where gains are told."""

    length: float
    """Length units."""
    words: str
    """`mm`, `0.01 m`."""


def step_length(truss: Truss) -> Step:
    """Return the power of ten of length units that is at most a hundredth of the truss's size."""
    size = float(np.ptp(truss.at, axis=0).max())
    length = 10.0 ** math.floor(math.log10(size / STEPS_IN_SIZE))
    number = "" if length == 1 else f"{NUMERALS.given(length)} "
    return Step(length, f"{number}{truss.length_unit}")


def moves_of(shape: ShapeGradient, standing: Standing) -> list[JointMove]:
    """Return the joints worth moving, those that gain most first; supports stay where they are."""
    truss = standing.demand.truss
    held = {support.joint for support in truss.supports}
    step = step_length(truss).length * convert_length(1.0, truss.length_unit, "mm")
    found = [
        JointMove(joint.name, float(right), float(up), float(np.hypot(right, up)) * step / shape.merit)
        for joint, (right, up) in zip(truss.joints, shape.gradient, strict=True)
        if joint.name not in held
    ]
    largest = max((move.gain for move in found), default=0.0)
    worth = [move for move in found if move.gain > SMALL * largest]
    return sorted(worth, key=lambda move: -move.gain)


def move_figure(move: JointMove) -> str:
    """Return what a move gains: `+0.48 %`."""
    return f"+{NUMERALS.number(100 * move.gain)} %"


def shape_text(shape: ShapeGradient, standing: Standing) -> list[str]:
    """Return the lines of the report; none where no move gains anything."""
    moves = moves_of(shape, standing)
    if not moves:
        return []
    head = ("joint", "move", f"for each {step_length(standing.demand.truss).words}")
    rows = [(move.joint, _way(move.right, move.up), move_figure(move)) for move in moves]
    said = wrapped(
        "Load held per gram, the stock staying as it is. Move the joints together, each in proportion to its "
        "figure, and by little: soon another member goes first."
    )
    return ["", "What moving a joint gains", *aligned([head, *rows], left=(0, 1)), *said]


def _way(right: float, up: float) -> str:
    """Name a direction."""
    size = float(np.hypot(right, up))
    across = "" if abs(right) < SIDEWAYS * size else "right" if right > 0 else "left"
    along = "" if abs(up) < SIDEWAYS * size else "up" if up > 0 else "down"
    return " and ".join(word for word in (along, across) if word)


def shape_json(shape: ShapeGradient, standing: Standing) -> dict[str, Any]:
    """Return the JSON object under the key `shape`: force units per gram, and for each length unit."""
    truss = standing.demand.truss
    unit = convert_force(1.0, "N", truss.force_unit)
    millimetre = convert_length(1.0, truss.length_unit, "mm")
    return {
        "load_per_gram": shape.merit * unit,
        "gradient": [
            {"joint": joint.name, "by_move": [float(part) * unit * millimetre for part in row]}
            for joint, row in zip(truss.joints, shape.gradient, strict=True)
        ],
    }
