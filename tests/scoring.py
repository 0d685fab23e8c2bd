"""How a reading is scored against truth: the same rule in tests, benchmarks and training."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment
from scipy.spatial.distance import cdist, pdist

__all__ = ["FOUND_WITHIN", "Score", "score"]

FOUND_WITHIN = 0.025
"""Of the drawing's largest dimension: a joint this near to the truth is found."""


@dataclass(frozen=True)
class Score:
    """One reading against its truth."""

    joints_true: int
    joints_read: int
    joints_found: int
    members_true: int
    members_read: int
    members_found: int
    joint_errors: tuple[float, ...]
    """Distance of each found joint from its truth, as a share of the drawing's largest dimension."""
    pairs: tuple[tuple[int, int], ...]
    """Rows (truth, read) of the joints found."""

    @property
    def corrections(self) -> int:
        """Missing and extra joints and members: what the person must mend."""
        joints = self.joints_true + self.joints_read - 2 * self.joints_found
        return joints + self.members_true + self.members_read - 2 * self.members_found


def score(
    truth_joints: NDArray[np.float64],
    truth_members: Iterable[tuple[int, int]],
    joints: NDArray[np.float64],
    members: Iterable[tuple[int, int]],
) -> Score:
    """Score a reading.

    Joints are paired one to one so that the most are found and their distances are least; a member is found
    when both its ends are, and joins them.

    Parameters
    ----------
    truth_joints, joints
        (N, 2) and (K, 2), pixels.
    truth_members, members
        Pairs of rows.
    """
    wanted = {(min(a, b), max(a, b)) for a, b in truth_members}
    given = {(min(a, b), max(a, b)) for a, b in members}
    truth_joints, joints = np.reshape(truth_joints, (-1, 2)), np.reshape(joints, (-1, 2))
    span = float(pdist(truth_joints).max()) if len(truth_joints) > 1 else 1.0
    pairs: list[tuple[int, int]] = []
    errors: list[float] = []
    if len(truth_joints) and len(joints):
        distance = cdist(truth_joints, joints) / span
        # A pair beyond reach costs more than all pairs within it together, so it never displaces one.
        cost = np.where(distance <= FOUND_WITHIN, distance, 1.0 + len(truth_joints))
        for truth, read in zip(*linear_sum_assignment(cost), strict=True):
            if distance[truth, read] <= FOUND_WITHIN:
                pairs.append((int(truth), int(read)))
                errors.append(float(distance[truth, read]))
    to_truth = {read: truth for truth, read in pairs}
    found = {
        (min(to_truth[a], to_truth[b]), max(to_truth[a], to_truth[b]))
        for a, b in given
        if a in to_truth and b in to_truth
    } & wanted
    return Score(
        joints_true=len(truth_joints),
        joints_read=len(joints),
        joints_found=len(pairs),
        members_true=len(wanted),
        members_read=len(given),
        members_found=len(found),
        joint_errors=tuple(errors),
        pairs=tuple(pairs),
    )
