"""Pairs of numbers as they are written into a file."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["rounded"]


def rounded(pair: Sequence[float] | NDArray[np.float64], decimals: int) -> tuple[float, float]:
    """Return a pair with so many decimals."""
    # Adding zero turns -0.0 into 0.0, which nobody wants to read in a file.
    return round(float(pair[0]), decimals) + 0.0, round(float(pair[1]), decimals) + 0.0
