"""Written dimensions as exact conditions: a direction from the drawing, a value from the person."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal

import numpy as np

from vision.errors import DimensionError
from vision.survey.constraints import EXACT, Conditions, Floats, difference, length, linear
from vision.survey.given import Dimension

__all__ = ["check_dimension", "condition", "direction", "measured", "rounding", "say"]

_LENGTH_MEANT = 100
_ANGLES_MEANT = (0, 30, 45, 60, 90)


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


def measured(dimension: Dimension, at: Floats) -> float:
    """Return what the dimension measures between joints at (N, 2), as a person would write it."""
    across, up = np.abs(at[dimension.end] - at[dimension.start])
    if dimension.kind == "angle":
        return math.degrees(math.atan2(up, across))
    return float({"across": across, "up": up, "along": math.hypot(across, up)}[dimension.kind])


def direction(dimension: Dimension, at: Floats) -> tuple[float, float]:
    """Return which way the dimension runs on a drawing of size 1: 1 or −1 to the right, 1 or −1 up.

    Neither way counts as right, or up.
    """
    across, up = at[dimension.end] - at[dimension.start]
    return (1.0 if across > -EXACT else -1.0), (1.0 if up > -EXACT else -1.0)


def condition(dimension: Dimension, at: Floats, size: int, unit: float) -> Conditions:
    """Return the dimension as a condition on the unknowns.

    Parameters
    ----------
    dimension : Dimension
        Checked before.
    at : (N, 2) float
        The drawing, laid level, y up: it says which way the dimension runs.
    size : int
        How many unknowns there are.
    unit : float
        Length units to one unit of the unknowns.
    """
    pair = difference(dimension.start, dimension.end, size)
    right, upward = direction(dimension, at)
    slack = rounding(dimension)
    if dimension.kind == "across":
        return linear(pair[0], right * dimension.value / unit)
    if dimension.kind == "up":
        return linear(pair[1], upward * dimension.value / unit)
    if dimension.kind == "along":
        return length(pair, dimension.value / unit, max(EXACT, slack / unit))
    radians = math.radians(dimension.value)
    row = upward * math.sin(radians) * pair[0] - right * math.cos(radians) * pair[1]
    reach = float(np.linalg.norm(at[dimension.end] - at[dimension.start]))
    return linear(row, 0.0, max(EXACT, math.radians(slack) * reach))


def rounding(dimension: Dimension) -> float:
    """Return how far the number written may be from the number meant, in its own unit.

    Distances across and up add up exactly on a good sheet. A slanting length or an angle is mostly an endless
    decimal, so its last place is taken as rounded: half a unit of it. Of whole numbers, a length below 100
    and the angles 0, 30, 45, 60 and 90 are taken as meant.
    """
    value = dimension.value
    if dimension.kind in ("across", "up"):
        return 0.0
    if value == int(value):
        meant = value in _ANGLES_MEANT if dimension.kind == "angle" else value < _LENGTH_MEANT
        return 0.0 if meant else 0.5
    places = Decimal(repr(float(value))).as_tuple().exponent
    return 0.5 * 10.0 ** int(places)
