"""Directions of the plane in the picture: where a load, a reaction or a support points on a photograph.

A direction in the plane (y up) becomes one in the picture (y down) by the linear part of the map from plane
to picture that fits the joints best. The whole of it counts only where the photograph is known to be seen
aslant: the survey takes a picture without a view as seen square on, and what its joints are then out of
square by is the hand that drew them, which does not draw its loads and supports askew.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

__all__ = ["direction_axes", "direction_in"]

FLAT = 1e-6
"""Share of the length of a set of joints below which its width counts as none: they lie on one line."""


def direction_axes(at: NDArray[np.float64], px: NDArray[np.float64], *, aslant: bool) -> NDArray[np.float64]:
    """Return the (2, 2) matrix from directions in the plane, y up, to directions in the picture, y down.

    Its determinant is -1: lengths are kept on average. Where the joints do not span the plane, or the map
    would turn the picture over, it is that of plain axes. Unless the photograph is known to be seen aslant,
    upright stays square to level: what else a sketch does to its angles is not to scale.
    """
    plain = np.array([[1.0, 0.0], [0.0, -1.0]])
    if len(at) < 3:
        return plain
    centred = at - at.mean(axis=0)
    spread = np.linalg.svd(centred, compute_uv=False)
    if spread[-1] <= FLAT * spread[0]:
        return plain
    linear: NDArray[np.float64] = np.linalg.lstsq(centred, px - px.mean(axis=0), rcond=None)[0].T
    turned = float(np.linalg.det(linear))
    if turned >= 0:
        return plain
    if aslant:
        return linear / math.sqrt(-turned)
    across, down = linear[:, 0] / math.hypot(*linear[:, 0])
    return np.array([[across, down], [down, -across]])


def direction_in(axes: NDArray[np.float64], x: float, y: float) -> tuple[float, float]:
    """Return a direction of the plane (y up) as it is in the picture (y down), length 1."""
    right, down = axes @ (x, y)
    length = math.hypot(right, down)
    return float(right / length), float(down / length)
