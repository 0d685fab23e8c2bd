"""Which way to move each joint to hold more for every gram, as text and as JSON."""

from __future__ import annotations

from typing import Any

import numpy as np

from cli.report import aligned, wrapped
from cli.sheets.numerals import Numerals
from solver import convert_force, convert_length
from solver.strength import ShapeGradient, Standing

__all__ = ["shape_json", "shape_text"]

NUMERALS = Numerals(figures=2)
SMALL = 1e-3
"""Of the largest: a joint whose movement gains less is not listed."""
SIDEWAYS = 0.1
"""Of a movement: a part of it smaller than this is not said."""


def shape_text(shape: ShapeGradient, standing: Standing) -> list[str]:
    """Return the lines of the report: joints that gain most first; supports stay where they are."""
    truss = standing.demand.truss
    held = {support.joint for support in truss.supports}
    sizes = np.hypot(shape.gradient[:, 0], shape.gradient[:, 1])
    free = [size for joint, size in zip(truss.joints, sizes, strict=True) if joint.name not in held]
    largest = max(free, default=0.0)
    millimetre = convert_length(1.0, truss.length_unit, "mm")
    rows: list[tuple[str, ...]] = []
    for row in np.argsort(-sizes, kind="stable"):
        name = truss.joints[row].name
        if name not in held and sizes[row] > SMALL * largest:
            gain = sizes[row] * millimetre / shape.merit
            rows.append((name, _way(*shape.gradient[row].tolist()), f"+{NUMERALS.number(100 * gain)} %"))
    if not rows:
        return []
    head = ("joint", "move", f"for each {truss.length_unit}")
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
