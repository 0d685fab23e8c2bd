"""Joints and members of either side as arrays, with labels on the joints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Pair", "Sketch"]

Floats = NDArray[np.float64]
Pair = tuple[int, int]
"""Two rows of joints, the smaller first."""


@dataclass(frozen=True, eq=False)
class Sketch:
    """Joints and members as arrays, with labels such as supports on them."""

    joints: Floats
    """(N, 2)."""
    joined: Floats
    """(N, N), 1 where a member joins two joints."""
    labels: tuple[frozenset[str], ...]
    """Of each joint."""

    @classmethod
    def of(
        cls, joints: Floats, members: Sequence[tuple[int, int]], labels: Sequence[frozenset[str]]
    ) -> Sketch:
        """Return the arrays of a drawing."""
        joined = np.zeros((len(joints), len(joints)))
        for start, end in members:
            joined[start, end] = joined[end, start] = 1.0
        return cls(joints, joined, tuple(labels))

    @property
    def members(self) -> set[Pair]:
        """Pairs of rows."""
        return {(int(start), int(end)) for start, end in np.argwhere(np.triu(self.joined))}
