"""Laying a set truss on a sketch: what a sketch may do is allowed, what is missing or too much is named."""

from __future__ import annotations

import numpy as np
import pytest

from tests.samples import sampled
from tests.sketches import SLIPS, TRUSSES, Sketched, sketch
from vision.matching import Differences, Match, match

SEEDS = sampled(10, 1)


def laid(sketched: Sketched, *, labels: bool = True) -> tuple[Match, Differences]:
    """Match and tell the differences."""
    found = match(
        sketched.set_joints,
        sketched.set_members,
        sketched.joints,
        sketched.members,
        set_labels=sketched.set_labels if labels else None,
        labels=sketched.labels if labels else None,
    )
    assert found is not None
    return found, found.differences


NOTHING = Differences((), (), (), (), (), ())


@pytest.mark.parametrize("truss", TRUSSES)
@pytest.mark.parametrize("seed", range(SEEDS))
def test_a_right_truss_sheared_and_stretched_is_right(truss: str, seed: int) -> None:
    """Every joint is found for what it is, whichever way its supports and loads make a symmetric one lie."""
    sketched = sketch(truss, "none", seed)
    found, slips = laid(sketched)
    assert slips.none
    assert slips == NOTHING
    assert not found.mirrored
    assert abs(found.turn) < np.radians(60)
    assert found.shape_off < 0.04


@pytest.mark.parametrize("truss", [name for name in TRUSSES if name != "triangle"])
@pytest.mark.parametrize("slip", [name for name in SLIPS if name != "none"])
def test_a_planted_slip_is_named_and_nothing_else(truss: str, slip: str) -> None:
    """One member or joint missing or extra, anywhere; a mirror image is said to be one."""
    for seed in range(SEEDS):
        sketched = sketch(truss, slip, seed)
        found, slips = laid(sketched)
        if slip == "mirror image":
            assert slips.none, seed
            # Supports and loads of a symmetric truss may be symmetric too: then nobody can tell.
            assert found.mirrored or _symmetric(sketched), seed
        elif slip == "member missing":
            assert slips == Differences((), (), (sketched.slip,), (), (), ()), seed
        elif slip == "member extra":
            ends = tuple(sorted(sketched.rows[row] for row in sketched.slip))
            assert slips == Differences((), (), (), (ends,), (), ()), seed
        elif slip == "joint missing":
            assert slips == Differences((sketched.slip,), (), (), (), (), ()), seed
        else:
            extra = len(sketched.joints) - 1
            assert extra == len(sketched.set_joints)
            (split,) = slips.split_members
            assert split[0] == sketched.slip, seed
            assert split[1] not in sketched.rows, seed


def _symmetric(sketched: Sketched) -> bool:
    """Say whether the plain drawing matches its own mirror image without a single slip."""
    mirrored = sketched.set_joints * [-1, 1]
    found = match(
        sketched.set_joints,
        sketched.set_members,
        mirrored,
        sketched.set_members,
        set_labels=sketched.set_labels,
        labels=sketched.set_labels,
    )
    assert found is not None
    return not found.mirrored and found.differences.none


def test_supports_say_which_end_is_which() -> None:
    """A symmetric truss drawn with its roller on the left is not called a mirror image without need."""
    joints = np.array([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (1.0, -0.6)])
    members = ((0, 1), (1, 2), (0, 3), (2, 3), (1, 3))
    labels = [frozenset({"pin"}), frozenset[str](), frozenset({"roller"}), frozenset({"load"})]
    swapped = [labels[2], labels[1], labels[0], labels[3]]
    as_set = match(joints, members, 300 * joints + 50, members, set_labels=labels, labels=labels)
    unlabelled = match(joints, members, 300 * joints + 50, members)
    turned_round = match(joints, members, 300 * joints + 50, members, set_labels=labels, labels=swapped)
    assert as_set is not None
    assert unlabelled is not None
    assert turned_round is not None
    assert as_set.to == unlabelled.to == (0, 1, 2, 3)
    assert not as_set.mirrored
    assert turned_round.mirrored == (turned_round.to == (2, 1, 0, 3))


def test_upside_down_is_told_by_the_turn() -> None:
    """A warren truss hung from its long chord is the same graph, turned by half a circle."""
    joints = np.array([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (0.5, -0.8), (1.5, -0.8)])
    members = ((0, 1), (1, 2), (3, 4), (0, 3), (3, 1), (1, 4), (4, 2))
    found = match(joints, members, joints * [1, -1] * 200 + 500, members)
    assert found is not None
    assert abs(found.turn) == pytest.approx(np.pi, abs=0.05)
    assert not found.mirrored


def test_a_member_run_past_its_joint_is_one_slip() -> None:
    """A chord drawn through without the joint on it: the joint is passed, not three members wrong."""
    joints = np.array([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (3.0, 0.0), (1.0, -1.0), (2.0, -1.0)])
    members = ((0, 1), (1, 2), (2, 3), (0, 4), (1, 4), (4, 5), (2, 5), (3, 5), (1, 5))
    rows = [0, 1, 3, 4, 5]
    drawn_members = ((0, 1), (1, 2), (0, 3), (1, 3), (3, 4), (2, 4), (1, 4))
    found = match(joints, members, joints[rows] * 100, drawn_members)
    assert found is not None
    assert found.differences == Differences((), (), (), (), (), ((2, (1, 2)),))


@pytest.mark.parametrize("count", [0, 1, 2, 3])
def test_what_is_no_truss_matches_nothing(count: int) -> None:
    """Too few joints, or all in one line: no answer instead of a wild one."""
    set_joints = np.array([(0.0, 0.0), (2.0, 0.0), (1.0, -1.0)])
    line = np.column_stack([np.arange(float(count)), np.zeros(count)])
    assert (
        match(set_joints, ((0, 1), (1, 2), (0, 2)), line, tuple((k, k + 1) for k in range(count - 1))) is None
    )


def test_a_slanted_photograph_is_straightened() -> None:
    """Eight joints seen at a slant: the homography leaves nothing of what an even stretch leaves."""
    joints = np.array([(float(k % 4), -1.3 * (k // 4)) for k in range(8)])
    members = tuple(
        (a, b) for a in range(8) for b in range(a + 1, 8) if np.hypot(*(joints[a] - joints[b])) < 1.7
    )
    seen = joints / (1 + joints @ [0.12, -0.1])[:, None] * 400
    found = match(joints, members, seen, members)
    assert found is not None
    assert found.slanted
    assert found.shape_off < 1e-6
