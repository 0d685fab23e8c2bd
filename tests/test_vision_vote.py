"""Several looks at one part vote on its members; none has to be right everywhere."""

from __future__ import annotations

import numpy as np
import pytest

from vision.decode import Structure
from vision.vote import vote

SQUARE = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]
SIDES = ((0, 1), (1, 2), (2, 3), (0, 3))


def _look(joints, members, clarity=0.6, bow=0.0):
    some, heat = np.full(len(members), 0.8), np.full(len(joints), clarity)
    bows = np.full(len(members), bow)
    at = np.array(joints, float)
    return Structure(at, heat, tuple(members), some, some, bows, 1.0, 0, clarity, clarity)


def _drawn(structure):
    """Give the members by the places of their ends, to ten pixels, whatever the order of the joints."""
    at = [tuple((np.round(p / 10) * 10).astype(int).tolist()) for p in structure.joints]
    return {frozenset((at[a], at[b])) for a, b in structure.members}


def test_each_look_may_be_wrong_at_another_place():
    """One look misses a side, one has a member too many, one another order: a square is read."""
    short = _look(SQUARE, SIDES[:3], 0.7)
    long = _look(SQUARE, (*SIDES, (0, 2)), 0.65)
    turned = _look([(x + 1, y - 1) for x, y in SQUARE[::-1]], ((0, 1), (1, 2), (2, 3), (0, 3)), 0.6)
    read = vote([long, turned, short], within=0.025, favour=0.5)
    assert _drawn(read) == _drawn(_look(SQUARE, SIDES))
    assert read.clarity == pytest.approx(0.7)
    assert len(read.joints) == len(read.heat) == 4
    assert len(read.mean) == len(read.worst) == len(read.bow) == 4


def test_a_joint_that_few_looks_see_goes_with_its_members():
    """A side split in one look of three is whole; split in two of three, it is split."""
    split = _look([*SQUARE, (50.0, 0.0)], ((0, 4), (1, 4), *SIDES[1:]))
    whole = _look(SQUARE, SIDES)
    assert len(vote([split, whole, whole], within=0.025, favour=0.0).joints) == 4
    assert len(vote([split, split, whole], within=0.025, favour=0.0).members) == 5


def test_the_clearest_look_counts_more_where_it_is_favoured():
    """One look against two: outvoted on its own, kept where its word counts three times."""
    clear, other = _look(SQUARE, SIDES, 0.7), _look(SQUARE, SIDES[:3], 0.6)
    assert len(vote([clear, other, other], within=0.025, favour=0.0).members) == 3
    assert len(vote([clear, other, other], within=0.025, favour=2.0).members) == 4


def test_a_bow_keeps_its_side_when_its_ends_change_places():
    """A bow seen from the other end has the other sign."""
    line = _look([(0, 0), (100, 0)], ((0, 1),), 0.7, 0.05)
    back = _look([(100, 0), (0, 0), (50, 80)], ((0, 1), (0, 2), (1, 2)), 0.8, -0.05)
    read = vote([line, back], within=0.025, favour=0.0)
    a, b = read.members[0]
    assert read.bow[0] * np.sign(read.joints[b, 0] - read.joints[a, 0]) == pytest.approx(0.05)


def test_looks_without_a_common_member_leave_the_clearest():
    """Where no member has a majority, the clearest look stands as it is."""
    one, two = _look(SQUARE, ((0, 1),), 0.7), _look(SQUARE, ((2, 3),), 0.7)
    assert vote([one, two], within=0.025, favour=0.0) is one
