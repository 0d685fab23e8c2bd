"""The label of a training picture: everything a target map is drawn from, as vectors."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["LabelledPicture", "no_quads", "no_segments"]


def no_segments() -> NDArray[np.float32]:
    """Return an empty (0, 4) array of segments."""
    return np.zeros((0, 4), np.float32)


def no_quads() -> NDArray[np.float32]:
    """Return an empty (0, 4, 2) array of quadrilaterals."""
    return np.zeros((0, 4, 2), np.float32)


@dataclass(frozen=True, eq=False)
class LabelledPicture:
    """A picture and its truth, in pixels: x right, y down, the first pixel's centre at 0, 0.

    A member is labelled from joint centre to joint centre, also through circles and gaps, and along
    its bow where the stroke bows.
    """

    rgb: NDArray[np.uint8]
    """(H, W, 3)."""
    joints: NDArray[np.float32]
    """(N, 2)."""
    members: tuple[tuple[int, int], ...]
    """Pairs of rows of `joints`."""
    lines: NDArray[np.float32]
    """(S, 4) straight pieces of member centre lines as x0, y0, x1, y1."""
    far_lines: NDArray[np.float32] = field(default_factory=no_segments)
    """(F, 4) members of a rear plane and cross pieces: seen, not to be read."""
    pins: NDArray[np.float32] = field(default_factory=lambda: np.zeros((0, 2), np.float32))
    """(P, 2) joints that stand on a drawn pin."""
    rollers: NDArray[np.float32] = field(default_factory=lambda: np.zeros((0, 2), np.float32))
    """(R, 2) joints that stand on a drawn roller."""
    arrows: NDArray[np.float32] = field(default_factory=no_segments)
    """(A, 4) load arrows, tail to tip."""
    other: NDArray[np.float32] = field(default_factory=no_quads)
    """(T, 4, 2) boxes round writing and other ink that is no part of the structure."""
    upright: bool = False
    """True where turning the picture far would change what is near and what is far."""
