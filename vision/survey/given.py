"""What a person can tell the survey: dimensions, and points or a rectangle of known size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = ["Dimension", "DimensionKind", "KnownPoints", "KnownRectangle", "View"]

DimensionKind = Literal["across", "up", "along", "angle"]


@dataclass(frozen=True)
class Dimension:
    """A dimension written between two joints. It overrules the drawing and holds exactly.

    A written dimension is never negative; which way it runs is taken from the drawing.
    """

    kind: DimensionKind
    """`across` horizontal distance, `up` vertical distance, `along` length, `angle` from horizontal."""
    start: int
    """Row of the joints."""
    end: int
    """Row of the joints."""
    value: float
    """In length units; an angle in degrees, 0 to 90."""


@dataclass(frozen=True, eq=False)
class KnownPoints:
    """Four or more joints whose places in the plane are known. They fix view, scale and level."""

    joints: tuple[int, ...]
    """Rows of the joints, K of them."""
    at: NDArray[np.float64]
    """(K, 2) as x, y in length units, y up."""


@dataclass(frozen=True, eq=False)
class KnownRectangle:
    """A rectangle of known size in the plane of the truss: the page, a board, a cutting mat.

    It removes perspective. It gives the scale too, unless a length is among the dimensions: the page
    under a sketch is not in the units of the truss.
    """

    corners: NDArray[np.float64]
    """(4, 2) pixels, clockwise as seen, from the top left."""
    width: float
    """Length units, along the top edge."""
    height: float
    """Length units, along the left edge."""
    px_error: float = 1.0
    """Standard error of each corner in pixels, the same in both directions."""


View = KnownPoints | KnownRectangle
