"""What the page maker hands over: a picture and everything that is true of it, in its pixels."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["DrawnArrow", "DrawnSupport", "DrawnText", "OtherDrawing", "Page"]


@dataclass(frozen=True, eq=False)
class DrawnSupport:
    """A support symbol on the page."""

    joint: int
    """Row of `Page.joints`."""
    kind: str
    """`pin` or `roller`."""
    normal: tuple[float, float]
    """Unit vector in pixels (x right, y down): the way the ground pushes on the joint."""
    box: tuple[float, float, float, float]
    """Left, top, right, bottom of its ink, in pixels."""


@dataclass(frozen=True, eq=False)
class DrawnArrow:
    """A load arrow on the page."""

    joint: int
    """Row of `Page.joints`."""
    direction: tuple[float, float]
    """Unit vector in pixels (x right, y down), in the sense of the arrow."""
    tail: tuple[float, float]
    """Where the shaft starts, in pixels."""
    head: tuple[float, float]
    """The tip, in pixels."""


@dataclass(frozen=True, eq=False)
class DrawnText:
    """One piece of writing on the page."""

    text: str
    role: str
    """`name`, `load`, `dimension`, `angle` or `note`."""
    corners: NDArray[np.float64]
    """(4, 2) pixels, clockwise from the top left of the writing as one reads it."""


@dataclass(frozen=True, eq=False)
class OtherDrawing:
    """A second truss-like drawing beside the main one, or the far truss of a two-plane model."""

    kind: str
    """`beside` or `behind`."""
    joints: NDArray[np.float64]
    """(N, 2) pixels."""
    members: tuple[tuple[int, int], ...]


@dataclass(frozen=True, eq=False)
class Page:
    """A made picture with its truth.

    Pixels: x runs right, y runs down, the centre of the first pixel is at 0, 0. A picture without a truss
    has no joints and no members.
    """

    rgb: NDArray[np.uint8]
    """(H, W, 3)."""
    seed: int
    family: str
    """How it is drawn; one of `FAMILIES`."""
    shape: str
    """Which truss it is: `pratt`, `fink`, ..."""
    joints: NDArray[np.float64]
    """(N, 2) as x, y; true to a small part of a pixel. A joint may lie outside the frame."""
    members: tuple[tuple[int, int], ...]
    """(M) pairs of rows of `joints`, smaller first, sorted."""
    half_width: NDArray[np.float64]
    """(M,) half the width of the stroke or stick of each member, in pixels, at its middle."""
    centre_lines: tuple[NDArray[np.float64], ...]
    """(M) arrays (K, 2) from the first joint to the second along the middle of the ink, bowed as drawn."""
    mark_radius: NDArray[np.float64]
    """(N,) outer radius of the dot, circle or plate drawn at each joint, in pixels; 0 where there is none."""
    other_ink: NDArray[np.uint8]
    """(H, W), 255 where ink belongs to no member and no joint mark: text, arrows, supports, doodles."""
    text_ink: NDArray[np.uint8]
    """(H, W), the part of `other_ink` that is writing."""
    supports: tuple[DrawnSupport, ...] = ()
    loads: tuple[DrawnArrow, ...] = ()
    texts: tuple[DrawnText, ...] = ()
    others: tuple[OtherDrawing, ...] = field(default=())
    """Further drawings in the picture that are trusses or parts of one, but not the one to read."""
