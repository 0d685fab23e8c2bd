"""The scoring rule itself, by cases worked by hand."""

from __future__ import annotations

import numpy as np
from scoring import FOUND_WITHIN, score

SQUARE = np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]])
SIDES = ((0, 1), (1, 2), (2, 3), (0, 3))


def test_the_truth_itself_needs_no_correction() -> None:
    """Any order of joints and ends counts the same."""
    turned = np.roll(SQUARE, 1, axis=0)
    members = [((a + 1) % 4, (b + 1) % 4) for a, b in SIDES]
    assert score(SQUARE, SIDES, turned, members).corrections == 0


def test_a_joint_just_beyond_reach_costs_itself_and_its_members_twice() -> None:
    """One joint missing and one extra, two members missing and two extra: six corrections."""
    moved = SQUARE.copy()
    moved[2] += FOUND_WITHIN * 1.01 * np.hypot(100, 100) / np.sqrt(2)
    assert score(SQUARE, SIDES, moved, SIDES).corrections == 6
    moved = SQUARE.copy()
    moved[2] += FOUND_WITHIN * 0.99 * np.hypot(100, 100) / np.sqrt(2)
    assert score(SQUARE, SIDES, moved, SIDES).corrections == 0


def test_an_extra_joint_beside_a_true_one_is_extra() -> None:
    """Pairs are one to one: of two joints at one place the second is a correction."""
    joints = np.vstack([SQUARE, SQUARE[:1] + 0.5])
    result = score(SQUARE, SIDES, joints, SIDES)
    assert (result.joints_found, result.corrections) == (4, 1)


def test_a_member_through_a_joint_is_one_extra_and_two_missing() -> None:
    """A chord read across its middle joint is wrong three times."""
    joints = np.array([[0.0, 0.0], [50.0, 0.0], [100.0, 0.0]])
    assert score(joints, [(0, 1), (1, 2)], joints, [(0, 2)]).corrections == 3


def test_nothing_read_and_nothing_there() -> None:
    """An empty reading misses everything; an empty truth makes everything extra."""
    nothing = np.zeros((0, 2))
    assert score(SQUARE, SIDES, nothing, ()).corrections == 8
    assert score(nothing, (), SQUARE, SIDES).corrections == 8
    assert score(nothing, (), nothing, ()).corrections == 0
