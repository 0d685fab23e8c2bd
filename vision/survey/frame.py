"""Where the plane's origin, level and scale come from, and what was said, ready to be solved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vision.errors import ScaleMissingError
from vision.survey.constraints import PEN, Conditions, Floats, difference, length, linear, unit_row
from vision.survey.dimensions import condition, measured, say
from vision.survey.given import Dimension
from vision.survey.statements import Statement

__all__ = ["Frame", "known_frame", "level_frame"]

Pair = tuple[int, int]


@dataclass(frozen=True, eq=False)
class Frame:
    """The survey's problem in its own units: the truss of size about 1."""

    upright: Floats
    """(N, 2) the drawing laid level, y up: it says which way each dimension runs."""
    unit: float
    """Length units to one unit of the frame."""
    origin: Floats
    """(2,) the frame's origin in the plane, length units."""
    fixed: Conditions
    """What holds by choice of the axes; never at fault."""
    start: Floats
    """(2N + 6,) the drawing as it is."""

    @property
    def size(self) -> int:
        """How many unknowns there are."""
        return len(self.start)

    def dimension(self, place: int, dimension: Dimension, names: Sequence[str]) -> Statement:
        """Return a dimension as a statement; `place` is its place among those handed over."""
        return Statement(
            say(dimension, names),
            (dimension.start, dimension.end),
            condition(dimension, self.upright, self.size, self.unit),
            place,
        )

    def level(self, pair: Pair, names: Sequence[str]) -> Statement:
        """Return the statement that two joints lie level."""
        row = difference(*pair, self.size)[1]
        return Statement(f"level {names[pair[0]]} {names[pair[1]]}", pair, linear(row, 0.0))

    def level_wish(self, pair: Pair | None) -> Conditions:
        """Return the condition for level when nobody named it: a chord's ends, or the picture as it is."""
        if pair is None:
            return linear(unit_row(self.size - 5, self.size) - unit_row(self.size - 3, self.size), 0.0)
        return linear(difference(*pair, self.size)[1], 0.0)

    def known(self, joint: int, at: Floats, names: Sequence[str]) -> Statement:
        """Return the statement that a joint's position is known; `at` is (2,) in length units."""
        here = (at - self.origin) / self.unit
        rows = (linear(unit_row(2 * joint + axis, self.size), here[axis]) for axis in (0, 1))
        words = f"position {names[joint]} ({at[0]:g}, {at[1]:g})"
        return Statement(words, (joint,), Conditions.join(rows, self.size))


def known_frame(drawn: Floats, unit: float, origin: Floats) -> Frame:
    """Return the frame of known points: the drawing, seen square on, lies in the plane as it is.

    Parameters
    ----------
    drawn : (N, 2) float
        The joints seen square on, less `origin`, over `unit`.
    unit, origin
        As in `Frame`.
    """
    size = drawn.size + PEN
    as_it_is = np.array([1.0, 0.0, 0.0, 0.0, 1.0, 0.0])
    lies = (linear(unit_row(size - PEN + k, size), as_it_is[k]) for k in range(PEN))
    start = np.append(drawn.ravel(), as_it_is)
    return Frame(drawn, unit, origin, Conditions.join(lies, size), start)


def level_frame(
    drawn: Floats, pair: Pair | None, dimensions: Sequence[Dimension], scale: float | None
) -> Frame:
    """Return the frame with the left joint of a level pair at its origin.

    Parameters
    ----------
    drawn : (N, 2) float
        The joints seen square on, y up, of size about 1.
    pair : (int, int) or None
        Two joints that lie level, or nearly. Without them the drawing is not turned, and its leftmost joint
        is at the origin.
    dimensions : sequence of Dimension
        Checked. Lengths among them give the scale.
    scale : float or None
        Length units to one unit of `drawn`, if a rectangle of known size says it.

    Raises
    ------
    ScaleMissingError
        Neither says it.
    """
    left, right = sorted(pair or (int(np.argmin(drawn[:, 0])),) * 2, key=lambda joint: drawn[joint, 0])
    across, up = drawn[right] - drawn[left]
    reach = np.hypot(across, up)
    cosine, sine = (across / reach, -up / reach) if reach > 0 else (1.0, 0.0)
    turned = drawn @ np.array([[cosine, sine], [-sine, cosine]])
    upright = turned - turned[left]

    size = drawn.size + PEN
    fixed = [linear(unit_row(2 * left + axis, size), 0.0) for axis in (0, 1)]
    unit = _scale_of(dimensions, upright)
    if unit is None and scale is not None:
        unit = scale
        a_row, b_row, _, d_row, e_row, _ = (unit_row(size - PEN + k, size) for k in range(PEN))
        fixed += [
            linear(a_row - e_row, 0.0),
            linear(b_row + d_row, 0.0),
            length(np.stack([a_row, d_row]), 1.0),
        ]
    if unit is None:
        raise ScaleMissingError
    x0, y0 = drawn[left]
    start = np.concatenate([upright.ravel(), [cosine, sine, x0, -sine, cosine, y0]])
    return Frame(upright, unit, np.zeros(2), Conditions.join(fixed, size), start)


# A dimension whose drawn extent is below this share of the truss's size says nothing of the scale.
_NO_EXTENT = 1e-3


def _scale_of(dimensions: Sequence[Dimension], upright: Floats) -> float | None:
    """Return the middle one of the scales that the lengths among the dimensions give."""
    scales = [
        dimension.value / drawn
        for dimension in dimensions
        if dimension.kind != "angle"
        and dimension.value > 0
        and (drawn := measured(dimension, upright)) > _NO_EXTENT
    ]
    return float(np.median(scales)) if scales else None
