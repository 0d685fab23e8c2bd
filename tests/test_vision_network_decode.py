"""From perfect maps to joints and members: what the network should see is what is decoded."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from vision.channels import CHANNELS, DIRECTIONS, JOINT, LINES, STRIDE
from vision.decode import decode
from vision.maps import Maps
from vision.peaks import find_peaks


def _painted(joints, paths, size=(128, 160)):
    """Paint maps as a perfect network would give them: spots at joints, bars along paths."""
    rows, columns = size
    y, x = np.mgrid[0:rows, 0:columns].astype(float)
    values = np.zeros((CHANNELS, rows, columns), np.float32)
    for jx, jy in joints:
        values[JOINT] = np.maximum(values[JOINT], np.exp(-((x - jx) ** 2 + (y - jy) ** 2) / (2 * 1.4**2)))
    for path in paths:
        for a, b in pairwise(path):
            run = b - a
            t = np.clip(((x - a[0]) * run[0] + (y - a[1]) * run[1]) / (run @ run), 0, 1)
            off = np.hypot(x - a[0] - t * run[0], y - a[1] - t * run[1])
            angle = np.mod(np.arctan2(run[1], run[0]), np.pi) / (np.pi / DIRECTIONS)
            for k in range(DIRECTIONS):
                turn = abs((angle - k + DIRECTIONS / 2) % DIRECTIONS - DIRECTIONS / 2)
                bar = np.exp(-(off**2) / 2) * np.clip(1.5 - turn, 0, 1)
                values[LINES][k] = np.maximum(values[LINES][k], bar)
    return Maps(values, 1.0)


def _straight(joints, pairs):
    return [np.array([joints[a], joints[b]], float) for a, b in pairs]


def test_a_triangle_with_a_post_is_read():
    """All joints and members come back, joints to a tenth of a cell."""
    joints = np.array([[20.3, 100.2], [80.1, 100.7], [140.4, 100.1], [80.2, 40.6]])
    pairs = ((0, 1), (0, 3), (1, 2), (1, 3), (2, 3))
    found = decode(_painted(joints, _straight(joints, pairs)))
    cells = (found.joints - (STRIDE - 1) / 2) / STRIDE
    order = [int(np.argmin(np.hypot(*(cells - j).T))) for j in joints]
    assert len(found.joints) == 4
    assert np.abs(cells[order] - joints).max() < 0.1
    assert {tuple(sorted((order[a], order[b]))) for a, b in pairs} == set(found.members)
    assert found.explained > 0.95
    assert found.confidence > 0.7


def test_a_crossing_without_heat_is_no_joint():
    """Two diagonals that cross stay whole."""
    joints = np.array([[30, 30], [120, 30], [120, 100], [30, 100]], float)
    pairs = ((0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3))
    found = decode(_painted(joints, _straight(joints, pairs)))
    assert len(found.joints) == 4
    assert len(found.members) == 6


@pytest.mark.parametrize("bow", [0.05, -0.09])
def test_a_bowed_stroke_is_one_member(bow):
    """A stroke that bows is read along its bow, and the bow is told."""
    a, b = np.array([20.0, 60.0]), np.array([140.0, 70.0])
    t = np.linspace(0, 1, 13)[:, None]
    path = a + t * (b - a) + 4 * t * (1 - t) * bow * np.array([-(b - a)[1], (b - a)[0]])
    found = decode(_painted(np.stack([a, b]), [path]))
    assert found.members == ((0, 1),)
    assert found.bow[0] * np.sign(bow) > 0.5 * abs(bow)


def test_an_arch_of_joints_has_no_chord():
    """Four members in a gentle arch are four, without the chords that could hug them."""
    x = np.linspace(15, 145, 5)
    joints = np.stack([x, 40 + 12 * ((x - 80) / 65) ** 2], 1)
    pairs = ((0, 1), (1, 2), (2, 3), (3, 4))
    found = decode(_painted(joints, _straight(joints, pairs)))
    assert len(found.members) == 4


def test_a_chord_of_many_members_is_kept_apart():
    """Joints in a row divide a straight line into members; none runs over another joint."""
    joints = np.array([[20, 80], [50, 80], [80, 80], [110, 80], [140, 80], [80, 30]], float)
    pairs = ((0, 1), (1, 2), (2, 3), (3, 4), (0, 5), (2, 5), (4, 5))
    found = decode(_painted(joints, _straight(joints, pairs)))
    assert len(found.members) == 7


def test_a_faint_joint_in_a_straight_member_goes():
    """A weak peak between two members in line is a mark on the stroke, not a joint."""
    joints = np.array([[20, 60], [140, 60]], float)
    maps = _painted(joints, _straight(joints, ((0, 1),)))
    spot = _painted(np.array([[80, 60]], float), []).values[JOINT]
    maps.values[JOINT] = np.maximum(maps.values[JOINT], 0.5 * spot)
    assert decode(maps).members == ((0, 1),)


@pytest.mark.parametrize(("plain", "faint", "members"), [(1.0, 0.5, 4), (0.66, 0.5, 5), (0.66, 0.3, 4)])
def test_what_is_faint_is_measured_by_the_rest(plain, faint, members):
    """A member at half strength is none beside plain ones and one beside faint ones; a trace is none ever."""
    joints = np.array([[20, 100], [80, 100], [140, 100], [80, 40]], float)
    pairs = ((0, 1), (0, 3), (1, 2), (2, 3))
    maps = _painted(joints, _straight(joints, pairs))
    maps.values[LINES] *= plain
    post = faint * _painted(joints, _straight(joints, ((1, 3),))).values[LINES]
    maps.values[LINES] = np.maximum(maps.values[LINES], post)
    assert len(decode(maps).members) == members


def test_empty_maps_give_nothing():
    """Nothing seen is nothing read, with no confidence."""
    found = decode(Maps(np.zeros((CHANNELS, 40, 50), np.float32), 1.0))
    assert len(found.joints) == 0
    assert found.members == ()
    assert found.confidence == 0.0


def test_two_equal_neighbours_are_one_peak():
    """A flat top between two cells is one peak half way."""
    heat = np.zeros((20, 20), np.float32)
    heat[10, 8:10] = 0.9
    at, height = find_peaks(heat, least=0.4)
    assert len(at) == 1
    assert at[0] == pytest.approx([8.5, 10.0])
    assert height[0] == pytest.approx(0.9)
