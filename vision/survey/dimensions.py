"""Written dimensions as exact conditions: a direction from the drawing, a value from the person."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from vision.errors import DimensionError
from vision.survey.constraints import Conditions, Floats, difference, length, linear
from vision.survey.given import Dimension

__all__ = ["check_dimension", "condition", "drawn_length", "say"]


def say(dimension: Dimension, names: Sequence[str]) -> str:
    """Return the dimension as a person would write it."""
    unit = "°" if dimension.kind == "angle" else ""
    return f"{dimension.kind} {names[dimension.start]} {names[dimension.end]} {dimension.value:g}{unit}"


def check_dimension(dimension: Dimension, names: Sequence[str]) -> None:
    """Refuse a dimension that makes no sense on its own.

    Raises
    ------
    DimensionError
        Unknown kind, unknown joint, a joint to itself, or a value out of range.
    """
    ends = (dimension.start, dimension.end)
    if not all(0 <= end < len(names) for end in ends):
        words = f"{dimension.kind} {dimension.start} {dimension.end}"
        raise DimensionError(words, "it names a joint that is not there.", "Name two joints of the reading.")
    words, value = say(dimension, names), dimension.value
    if dimension.kind not in ("across", "up", "along", "angle"):
        raise DimensionError(words, "its kind is not known.", "Use across, up, along or angle.")
    if dimension.start == dimension.end:
        raise DimensionError(words, "it runs from a joint to itself.", "Name two joints.")
    if not math.isfinite(value):
        raise DimensionError(words, "its value is not a number.", "Give the number that is written.")
    if value < 0:
        raise DimensionError(
            words,
            "its value is negative.",
            "Write it without a sign: which way it runs is taken from the drawing.",
        )
    if dimension.kind == "along" and value == 0:
        raise DimensionError(words, "its length is zero.", "Give the length, or remove one of the joints.")
    if dimension.kind == "angle" and value > 90:
        raise DimensionError(
            words,
            "its angle is over 90 degrees.",
            f"Write the sharp angle from horizontal, 0 to 90 (perhaps {180 - value:g}).",
        )


def drawn_length(dimension: Dimension, at: Floats) -> float:
    """Return what the dimension measures on the drawing, without sign; an angle measures nothing."""
    across, up = at[dimension.end] - at[dimension.start]
    measures = {"across": abs(across), "up": abs(up), "along": math.hypot(across, up), "angle": 0.0}
    return float(measures[dimension.kind])


def condition(dimension: Dimension, at: Floats, size: int, unit: float) -> Conditions:
    """Return the dimension as a condition on the unknowns.

    Parameters
    ----------
    dimension : Dimension
        Checked before.
    at : (N, 2) float
        The drawing, laid level, y up: it says which way the dimension runs. Exactly neither way counts as
        right, or up.
    size : int
        How many unknowns there are.
    unit : float
        Length units to one unit of the unknowns.
    """
    pair = difference(dimension.start, dimension.end, size)
    drawn = at[dimension.end] - at[dimension.start]
    right, upward = np.where(drawn >= 0, 1.0, -1.0)
    if dimension.kind == "across":
        return linear(pair[0], right * dimension.value / unit)
    if dimension.kind == "up":
        return linear(pair[1], upward * dimension.value / unit)
    if dimension.kind == "along":
        return length(pair, dimension.value / unit)
    radians = math.radians(dimension.value)
    return linear(upward * math.sin(radians) * pair[0] - right * math.cos(radians) * pair[1], 0.0)
