"""How sure each joint and member is, as a share of cases: of those said 0.9, nine in ten are right.

Logistic curves through what the network and the decoding say, fitted by `vision.training.fit_sureness` on
made pages of the tuning seeds; how well they hold on other seeds is in `vision/weights/CARD.md`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vision.chances import chance
from vision.decode import Structure

__all__ = ["joint_signs", "joint_sureness", "member_signs", "member_sureness"]

_JOINT = (-13.08, 18.47, 4.72)
"""Log odds of a joint: where all signs are 0, and for one unit of each of `joint_signs`."""
_MEMBER = (-17.97, 10.67, 0.66, 12.17, 5.38)
"""Log odds of a member: where all signs are 0, and for one unit of each of `member_signs`."""


def joint_signs(structure: Structure) -> NDArray[np.float64]:
    """Return what speaks for each joint, (N, 2): its heat, and the confidence of the whole reading."""
    return np.stack([structure.heat, np.full(len(structure.heat), structure.confidence)], 1)


def member_signs(structure: Structure) -> NDArray[np.float64]:
    """Return what speaks for each member, (M, 4).

    Mean evidence, evidence in its worst stretch, heat of its fainter end, confidence of the whole reading.
    """
    ends = structure.heat[np.array(structure.members, np.int64).reshape(-1, 2)].min(axis=1)
    whole = np.full(len(structure.members), structure.confidence)
    return np.stack([structure.mean, structure.worst, ends, whole], 1)


def joint_sureness(structure: Structure) -> NDArray[np.float64]:
    """Chance that each joint is one, (N,)."""
    return chance(_JOINT, joint_signs(structure))


def member_sureness(structure: Structure) -> NDArray[np.float64]:
    """Chance that each member is one, (M,)."""
    return chance(_MEMBER, member_signs(structure))
