"""From signs to a chance: a logistic curve, the one way in which this house says how sure it is."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["chance"]


def chance(curve: Sequence[float], signs: ArrayLike) -> NDArray[np.float64]:
    """Return the chance that something is what it seems.

    Parameters
    ----------
    curve : sequence of K + 1 floats
        Log odds where all signs are 0, and what each unit of a sign adds to them.
    signs : (..., K) float
        What speaks for it.

    Returns
    -------
    (...) float
        From 0 to 1.
    """
    odds = curve[0] + np.asarray(signs, np.float64) @ np.asarray(curve[1:], np.float64)
    return np.asarray(1 / (1 + np.exp(-odds)), np.float64)
