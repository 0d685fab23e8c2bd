"""Truth gathered while a wild picture is drawn."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["Marks"]

Points = NDArray[np.float64]


@dataclass
class Marks:
    """Truth gathered while drawing; joints and lines in pixels."""

    joints: list[Points] = field(default_factory=list)
    members: list[tuple[int, int]] = field(default_factory=list)
    lines: list[NDArray[np.float64]] = field(default_factory=list)
    far_lines: list[NDArray[np.float64]] = field(default_factory=list)
    pins: list[Points] = field(default_factory=list)
    rollers: list[Points] = field(default_factory=list)
    arrows: list[NDArray[np.float64]] = field(default_factory=list)
    other: list[NDArray[np.float32]] = field(default_factory=list)
