"""What the survey ends with: every joint in the plane, with its errors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["FreeJoint", "Placement"]


@dataclass(frozen=True)
class FreeJoint:
    """A joint that no dimension places entirely: it stays as drawn in at least one direction."""

    joint: int
    """Row of the joints."""
    across: bool
    """Its x comes from the drawing."""
    up: bool
    """Its y comes from the drawing."""


@dataclass(frozen=True, eq=False)
class Placement:
    """Joints in the plane. x runs right, y runs UP, in the unit of the dimensions.

    The origin is the left joint of the level pair, unless known points bring their own.
    """

    at: NDArray[np.float64]
    """(N, 2) as x, y in length units."""
    covariance: NDArray[np.float64]
    """(2N, 2N) in squared length units, ordered x0, y0, x1, y1, ... To first order, from the errors of the
    pixels. How far the drawing itself is out of scale is not in it: see `free`."""
    free: tuple[FreeJoint, ...]
    """What stayed as drawn."""
    remarks: tuple[str, ...]
    """Sentences for the person: what the survey decided by itself."""

    @property
    def errors(self) -> NDArray[np.float64]:
        """(N, 2) standard error of each joint in x and y, in length units."""
        return np.sqrt(np.diag(self.covariance)).reshape(-1, 2)
