"""How sure each joint and member is, as a share of cases: of those said 0.9, nine in ten are right.

Logistic curves through what the network and the decoding say, fitted on made pages of the tuning seeds; how
well they hold on other seeds is in `vision/weights/CARD.md`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vision.decode import Structure

__all__ = ["joint_sureness", "member_sureness"]

_JOINT = (-6.54, 11.38)
"""Log odds of a joint: at no heat, and for each unit of its heat."""
_MEMBER = (-10.29, 15.77, -0.4)
"""Log odds of a member: at no evidence, for each unit of its mean evidence, and of its worst stretch's."""


def _logistic(x: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(1 / (1 + np.exp(-x)), np.float64)


def joint_sureness(structure: Structure) -> NDArray[np.float64]:
    """Chance that each joint is one, (N,)."""
    start, heat = _JOINT
    return _logistic(start + heat * structure.heat)


def member_sureness(structure: Structure) -> NDArray[np.float64]:
    """Chance that each member is one, (M,)."""
    start, mean, worst = _MEMBER
    return _logistic(start + mean * structure.mean + worst * structure.worst)
