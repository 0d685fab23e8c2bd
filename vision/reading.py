"""What a photograph shows, in pixels: the `Reading` that the vision stages end with."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["OtherDrawing", "Reading", "SeenArrow", "SeenSupport"]


@dataclass(frozen=True)
class SeenSupport:
    """A support symbol found in the picture. Nothing is solved with it before a person has confirmed it."""

    joint: int
    """Row of `Reading.joints`."""
    kind: str
    """`pin` or `roller`."""
    confidence: float
    """0 to 1: that there is a support, and that it is of this kind."""
    normal: tuple[float, float] | None = None
    """Unit vector in pixels, x right, y down: away from the ground towards the joint; None where it could not
    be told."""


@dataclass(frozen=True)
class SeenArrow:
    """An arrow found at a joint; what it stands for, and how much, is for the person to say."""

    joint: int
    """Row of `Reading.joints`."""
    direction: tuple[float, float]
    """Unit vector in pixels, x right, y down, in the sense of the arrow."""
    confidence: float
    """0 to 1."""
    tail: tuple[float, float]
    """Where the shaft starts, pixels."""
    head: tuple[float, float]
    """The tip, pixels."""


@dataclass(frozen=True)
class OtherDrawing:
    """A further drawing in the picture that looks like a truss and was not read."""

    box: tuple[float, float, float, float]
    """Left, top, right, bottom, pixels."""
    joints: int
    """About how many joints it has."""


@dataclass(frozen=True, eq=False)
class Reading:
    """What the photograph shows, in pixels of the upright picture.

    x runs right, y runs down, the first pixel's centre is at 0, 0.
    """

    width: int
    """Pixels across."""
    height: int
    """Pixels down."""
    joints: NDArray[np.float64]
    """(N, 2) as x, y."""
    px_error: NDArray[np.float64]
    """(N,) standard error of each joint in pixels, the same in both directions."""
    joint_confidence: NDArray[np.float64]
    """(N,) 0 to 1."""
    members: tuple[tuple[int, int], ...]
    """(M) pairs of rows of `joints`, smaller first, sorted."""
    member_confidence: NDArray[np.float64]
    """(M,) 0 to 1."""
    supports: tuple[SeenSupport, ...] = ()
    arrows: tuple[SeenArrow, ...] = ()
    others: tuple[OtherDrawing, ...] = ()
    """Further drawings, the largest first."""
    remarks: tuple[str, ...] = field(default=())
    """Sentences for the person: what was seen and left out, what to look at."""
