"""Arrows that say which way to move a joint: at the joint, longer where more is gained."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cli.sheets.marks import Mark, quad
from cli.sheets.scene import Scene, SceneMove
from cli.sheets.sizes import Sizes
from cli.sheets.symbols import block_arrow

__all__ = ["MOVE_WIDTH", "PlacedMove", "place_moves"]

Array = NDArray[np.float64]

MOVE_WIDTH = 0.42
"""Of the arrow's shaft, in units of the drawing: broader than any member, so that it is not taken for one."""
_SHORTEST, _LONGEST = 1.1, 2.6
"""From tail to tip, in units of the drawing, for no gain and for the largest."""


@dataclass(frozen=True, eq=False)
class PlacedMove:
    """One arrow with its place."""

    shown: SceneMove
    tail: Array
    """(2,) x, y, near the joint."""
    tip: Array
    """(2,) x, y, where its label goes."""

    @property
    def outward(self) -> Array:
        """(2,) unit vector from the joint along the arrow."""
        return np.array(self.shown.direction)

    def marks(self, sizes: Sizes) -> tuple[Mark, ...]:
        """Return the arrow as strokes and shapes."""
        return block_arrow(self.tail, self.tip, MOVE_WIDTH * sizes.unit, 0.8 * sizes.line)

    def hull(self, sizes: Sizes) -> Array:
        """Return a rectangle (4, 2) that holds it."""
        return quad(self.tail, self.tip, 2 * MOVE_WIDTH * sizes.unit + sizes.line)


def place_moves(scene: Scene, sizes: Sizes, at: Array) -> list[PlacedMove]:
    """Give every arrow its place; it may lie over members, since where it points is not to choose.

    Parameters
    ----------
    scene : Scene
        With moves.
    sizes : Sizes
        Lengths.
    at : (N, 2) float
        Joints in the drawing.
    """
    placed = []
    for shown in scene.moves:
        outward = np.array(shown.direction)
        tail = at[shown.joint] + outward * (sizes.joint + 1.4 * sizes.line)
        length = (_SHORTEST + (_LONGEST - _SHORTEST) * shown.share) * sizes.unit
        placed.append(PlacedMove(shown, tail, tail + outward * length))
    return placed
