"""Where everything is drawn: on the photograph, or for a truss typed by hand on a sheet of its own."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cli.model.file import Model

__all__ = ["Canvas", "canvas_of"]

SHEET = 1024.0
"""Pixels that a truss without a picture is drawn across, at most; at least half of it."""


@dataclass(frozen=True, eq=False)
class Canvas:
    """Places on the page."""

    joints: NDArray[np.float64]
    """(N, 2) pixels, x right, y down."""
    scale: float | None
    """Pixels a length unit where there is no picture: a place is then px = scale x, -scale y."""


def canvas_of(model: Model) -> Canvas:
    """Return where the joints of a model are drawn.

    Without a picture the scale is a power of two, so that moving a joint does not move the paper under it. A
    joint that is missing in the picture is put where the others say it should be.
    """
    if not any(joint.px is not None for joint in model.joints):
        if model.picture is not None:
            return Canvas(np.zeros((0, 2)), None)
        at = np.array([joint.at for joint in model.joints], dtype=float).reshape(-1, 2)
        size = float(np.ptp(at, axis=0).max()) if len(at) else 0.0
        scale = 2.0 ** math.floor(math.log2(SHEET / size)) if size > 0 else 1.0
        return Canvas(at * [scale, -scale], scale)
    known = [row for row, joint in enumerate(model.joints) if joint.px is not None]
    places = np.full((len(model.joints), 2), np.nan)
    places[known] = [model.joints[row].px for row in known]
    middle = places[known].mean(axis=0)
    both = [row for row in known if model.joints[row].at is not None]
    for row, joint in enumerate(model.joints):
        if joint.px is None:
            places[row] = middle
            if joint.at is not None and len(both) >= 3:
                at = np.array([[*(model.joints[other].at or (0, 0)), 1.0] for other in both])
                places[row] = [*joint.at, 1.0] @ np.linalg.lstsq(at, places[both], rcond=None)[0]
    return Canvas(places, None)
