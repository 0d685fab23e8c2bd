"""Wild models: exact labels of the near plane, faces of boxes, frames that can be built."""

from __future__ import annotations

import numpy as np
import pytest

from vision.training import make_page
from vision.training.sources import picture_of_page
from vision.training.wild import things
from vision.training.wild.bands import paint_band
from vision.training.wild.crowded import crowded
from vision.training.wild.frames import frame
from vision.training.wild.marks import Marks
from vision.training.wild.rods import draw_empty, draw_model
from vision.training.wild.space import Eye, build, look


def _model(seed, width=480, height=360):
    """Draw one model on a plain ground."""
    rng = np.random.default_rng(seed)
    picture, marks = np.full((height, width, 3), 205, np.uint8), Marks()
    draw_model(rng, picture, (50.0, 40.0, width - 100.0, height - 80.0), marks)
    return picture, marks


def test_members_end_at_joints():
    """Every line of the near plane starts and ends at a joint, or at its own next piece where it bows."""
    for seed in range(40):
        _, marks = _model(seed)
        joints = np.array(marks.joints)
        assert len(marks.lines) == len(marks.members)
        pairs = {tuple(sorted(p)) for p in marks.members}
        found = set()
        for line in marks.lines:
            ends = [np.hypot(*(joints - p).T) for p in (line[0, :2], line[-1, 2:])]
            assert max(e.min() for e in ends) < 1e-6
            found.add(tuple(sorted(int(e.argmin()) for e in ends)))
            assert np.allclose(line[:-1, 2:], line[1:, :2])
        assert found == pairs


def test_far_lines_are_no_members():
    """What ties the planes together or lies behind never lies between two near joints."""
    for seed in range(40):
        rng = np.random.default_rng(seed)
        space = build(rng)
        behind = (*space.far_pairs, *space.ties)
        assert not set(space.near_pairs) & set(behind)
        assert all(max(pair) >= space.near for pair in behind)
        assert all(max(pair) < space.near for pair in space.near_pairs)


def test_the_eye_fills_the_box():
    """All joints of a model come to lie in the box that it was given."""
    for seed in range(30):
        rng = np.random.default_rng(seed)
        space = build(rng)
        at = look(rng, space, (30.0, 20.0, 400.0, 300.0), lying=False)(space.at)
        assert at.min(0) == pytest.approx(np.maximum(at.min(0), (30, 20)), abs=1e-6)
        assert at.max(0) == pytest.approx(np.minimum(at.max(0), (430, 320)), abs=1e-6)


def test_what_is_nearer_is_larger():
    """A span before the middle is seen larger than one behind it, and the turn is a rotation."""
    rng = np.random.default_rng(3)
    space = build(rng)
    eye = look(rng, space, (0.0, 0.0, 400.0, 300.0), lying=False)
    assert np.allclose(eye.turn @ eye.turn.T, np.eye(3))
    line = eye.middle + np.outer([-0.4, 0.0, 0.4], eye.turn[2])
    size = eye.size(line)
    assert size[0] > size[1] > size[2]
    assert size[1] == pytest.approx(eye.scale)


def test_a_box_shows_its_front_and_lid():
    """Seen from before and above, the light lid lies above the front, and no inner side is seen."""
    c, s = np.cos(0.4), np.sin(0.4)
    turn = np.array([[1, 0, 0], [0, c, -s], [0, s, c]])
    eye = Eye(turn, np.zeros(3), 4.0, 200.0, np.array([200.0, 150.0]))
    picture = np.zeros((300, 400, 3), np.uint8)
    low, high = np.full(3, -0.3), np.full(3, 0.3)
    things.box(np.random.default_rng(0), picture, eye, low, high, colour=(150.0, 150.0, 150.0))
    lid, front = eye(np.array([[0.05, -0.3, 0.02], [0.22, 0.22, -0.3]])).astype(int)
    assert int(picture[lid[1], lid[0], 0]) > int(picture[front[1], front[0], 0]) > 60


def test_frames_can_be_built():
    """Frames have few joints, each used, no member twice, and none of no length."""
    rng = np.random.default_rng(5)
    for _ in range(300):
        shape = frame(rng)
        assert len(shape.at) <= 22
        assert {i for p in shape.pairs for i in p} == set(range(len(shape.at)))
        assert len(set(shape.pairs)) == len(shape.pairs)
        runs = shape.at[[b for _, b in shape.pairs]] - shape.at[[a for a, _ in shape.pairs]]
        assert np.hypot(*runs.T).min() > 0.02
        assert all(i < len(shape.at) for run in shape.runs for i in run)


def test_ties_may_rest_beside_joints():
    """Places where ties rest lie on a near chord, away from its joints, and are no joints."""
    seen = 0
    for seed in range(120):
        space = build(np.random.default_rng(seed), single=0.0)
        for row in space.rests:
            seen += 1
            assert row >= space.near
            joints = space.at[: space.near]
            assert np.linalg.norm(joints - space.at[row], axis=1).min() > 1e-3
            pairs = np.array(space.near_pairs)
            a, b = joints[pairs[:, 0]], joints[pairs[:, 1]]
            around = np.linalg.norm(space.at[row] - a, axis=1) + np.linalg.norm(space.at[row] - b, axis=1)
            assert (around - np.linalg.norm(b - a, axis=1)).min() < 1e-9
    assert seen > 30


def test_empty_surroundings_differ():
    """Surroundings without a model are painted, and not all alike."""
    pictures = []
    for seed in range(6):
        picture = np.full((200, 300, 3), 128, np.uint8)
        draw_empty(np.random.default_rng(seed), picture, (40.0, 30.0, 220.0, 140.0))
        pictures.append(picture)
    assert sum((picture != 128).any() for picture in pictures) >= 4
    assert any((pictures[0] != other).any() for other in pictures[1:])


def test_a_crowd_moves_no_label():
    """What is put before a built page changes pixels and may add boxes of writing, and nothing else."""
    picture = picture_of_page(make_page(11, family="rods", size=320))
    changed = 0
    for seed in range(25):
        after = crowded(np.random.default_rng(seed), picture)
        changed += bool((after.rgb != picture.rgb).any())
        assert after.rgb.shape == picture.rgb.shape
        for name in ("joints", "lines", "far_lines", "arrows", "pins", "rollers"):
            assert np.array_equal(getattr(after, name), getattr(picture, name))
        assert np.array_equal(after.other[: len(picture.other)], picture.other)
    assert 5 < changed < 25


def test_ties_of_built_pages_are_told():
    """Cross pieces between the planes of a built page are kept apart like the far plane."""
    told = 0
    for seed in range(12):
        page = make_page(seed, family="rods", size=256)
        count = len(page.joints)
        for other in page.others:
            told += sum(1 for a, b in other.members if len(other.joints) == 2 * count and a < count <= b)
    assert told > 10


def test_a_band_stays_on_its_member():
    """What sits on a member changes pixels there, and none a few widths away."""
    way = np.array([0.8, 0.6])
    for seed in range(40):
        picture = np.full((200, 200, 3), 120, np.uint8)
        paint_band(np.random.default_rng(seed), picture, np.array([100.0, 100.0]), way, 8.0)
        rows, columns = np.nonzero((picture != 120).any(-1))
        assert len(rows)
        assert np.hypot(rows - 100, columns - 100).max() < 6 * 8
