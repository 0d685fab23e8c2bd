"""What a photograph shows, in pixels: the `Reading` that the vision stages end with."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["Reading", "SeenLoad", "SeenSupport"]


@dataclass(frozen=True)
class SeenSupport:
    """A support symbol found in the picture. Nothing is solved with it before a person has confirmed it."""

    joint: int
    """Row of `Reading.joints`."""
    kind: str
    """`pin` or `roller`."""
    confidence: float
    """0 to 1."""


@dataclass(frozen=True)
class SeenLoad:
    """A load arrow found in the picture; its size is for the person to give."""

    joint: int
    """Row of `Reading.joints`."""
    direction: tuple[float, float]
    """Unit vector in pixels, x right, y down, in the sense of the arrow."""
    confidence: float
    """0 to 1."""


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
    loads: tuple[SeenLoad, ...] = ()
    remarks: tuple[str, ...] = field(default=())
    """Sentences for the person: what was seen and left out, what to look at."""
