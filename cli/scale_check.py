"""Dimensions that cannot belong to one drawing: told by the scale that each of them implies."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from cli.model.file import Model
from cli.model.parts import DimensionEntry

__all__ = ["far_apart"]

FAR_APART = 10.0
"""Ratio of the scales of two dimensions beyond which one of them is a slip, such as mm for m: no slanted
photograph and no rough sketch stretches one part of a truss so much against another."""


def far_apart(model: Model) -> str | None:
    """Say which two lengths imply the most different scales for the drawing, None when that is no slip.

    A model with a joint that is not in the picture has no scale.
    """
    if any(joint.px is None for joint in model.joints):
        return None
    px = np.array([joint.px for joint in model.joints], dtype=float)
    scales = sorted(_scales(model, px), key=lambda pair: pair[0])
    if not scales or scales[-1][0] < FAR_APART * scales[0][0]:
        return None
    (least, small), (most, large) = scales[0], scales[-1]
    unit = model.units.length
    return (
        f"The dimensions {_said(small, unit)} and {_said(large, unit)} do not go together in this "
        f"drawing. By the way they are drawn, one is {most / least:.0f} times too large or the other as much "
        "too small: check numbers and units."
    )


def _scales(model: Model, px: NDArray[np.float64]) -> Iterator[tuple[float, DimensionEntry]]:
    """Give length units in a pixel for each length; one that is drawn as a point has no scale."""
    for entry in model.dimensions:
        across, up = np.abs(px[model.rows[entry.end]] - px[model.rows[entry.start]])
        drawn = {"along": float(np.hypot(across, up)), "across": float(across), "up": float(up)}.get(
            entry.kind
        )
        # A level line drawn a little askew has no height to speak of, and a plumb one no width.
        if drawn and drawn >= np.hypot(across, up) / FAR_APART and entry.value > 0:
            yield entry.value / drawn, entry


def _said(entry: DimensionEntry, unit: str) -> str:
    return f"{entry.kind} {entry.start} {entry.end} {entry.value:g} {unit}"
