"""What wild drawings are drawn on and with: grounds, wiping, light, runs of strokes, bars and hinges."""

from __future__ import annotations

from itertools import pairwise

import cv2
import numpy as np
import pytest

from vision.training import make_page
from vision.training.sources import picture_of_page
from vision.training.wild.asides import draw_aside, draw_cut
from vision.training.wild.boards import board, dusted, half_wiped, smeared
from vision.training.wild.drawings import draw_structure
from vision.training.wild.layout import lay_out
from vision.training.wild.light import lit
from vision.training.wild.marks import Marks
from vision.training.wild.measures import draw_chain
from vision.training.wild.papers import paper
from vision.training.wild.screens import screen
from vision.training.wild.shapes import truss
from vision.training.wild.strokes import Hand, Pen
from vision.training.wild.symbols import draw_arrow
from vision.training.wild.worn import worn


def _crossed(height=200, width=300):
    """Make a grey ground, and the same with a dark cross on it."""
    bare = np.full((height, width, 3), 180, np.uint8)
    written = bare.copy()
    cv2.line(written, (20, 20), (280, 180), (30, 30, 30), 5)
    cv2.line(written, (280, 20), (20, 180), (30, 30, 30), 5)
    return bare, written


@pytest.mark.parametrize("make", [board, paper, screen])
def test_grounds_have_the_size_asked_for(make):
    """Boards and papers of any proportion come out whole, three channels of bytes."""
    for seed in range(12):
        picture = make(np.random.default_rng(seed), 90 + seed, 160)
        assert picture.shape == (90 + seed, 160, 3)
        assert picture.dtype == np.uint8


def test_what_is_wiped_is_far_paler_than_what_was_written():
    """Of a wiped drawing, on average at most two fifths of the contrast is left."""
    bare, written = _crossed()
    before = np.abs(written.astype(float) - bare).sum()
    left = [
        np.abs(half_wiped(np.random.default_rng(seed), written, bare).astype(float) - bare).sum()
        for seed in range(20)
    ]
    assert np.mean(left) < 0.4 * before
    assert min(left) > 0


def test_a_sleeve_leaves_the_ink_to_be_seen():
    """Smeared ink is paler, but never gone: over a third of the contrast of the whole stays."""
    bare, written = _crossed()
    before = np.abs(written.astype(float) - bare).sum()
    for seed in range(12):
        after = np.abs(smeared(np.random.default_rng(seed), written, bare).astype(float) - bare).sum()
        assert after > 0.35 * before


def test_dust_hides_no_ink():
    """The sponge's dust lies on ink and ground alike and leaves over half of their contrast."""
    _, written = _crossed()
    ink = written[..., 0] < 100
    for seed in range(12):
        out = dusted(np.random.default_rng(seed), written).astype(float).mean(2)
        assert out[~ink].mean() - out[ink].mean() > 75


def test_light_moves_no_edge():
    """Where the cross was darker than its ground it still is, under any lamp or shadow."""
    _, written = _crossed()
    ink = written[..., 0] < 100
    for seed in range(12):
        out = lit(np.random.default_rng(seed), written).astype(float).mean(2)
        assert out[ink].mean() < out[~ink].mean()


def test_strokes_along_a_chord_end_where_a_member_is_missing():
    """Two joints in a row of one stroke always have a member between them."""
    for seed in range(300):
        shape = truss(np.random.default_rng(seed))
        for run in shape.runs:
            assert all((min(p), max(p)) in shape.pairs for p in pairwise(run))


def test_a_printed_structure_lies_under_its_labels():
    """Without any wobble, ink lies on the middle of nearly every labelled member, on bars too."""
    hits = []
    for seed in range(40):
        rng = np.random.default_rng(seed)
        picture = np.full((420, 560, 3), 255, np.uint8)
        marks = Marks()
        draw_structure(Pen(rng, picture, (0, 0, 0), Hand(3.0, 0.0, 0.0, 0.0)), (40, 40, 480, 340), marks)
        dark = 255 - picture.min(2)
        for a, b in marks.members:
            at = marks.joints[a] + np.linspace(0.25, 0.75, 9)[:, None] * (marks.joints[b] - marks.joints[a])
            near = [
                dark[max(0, int(y) - 6) : int(y) + 7, max(0, int(x) - 6) : int(x) + 7].max() for x, y in at
            ]
            hits.append(np.median(near) > 60)
    assert len(hits) > 200
    assert np.mean(hits) > 0.97


def test_measures_are_no_members():
    """A chain of measures adds writing at most, never joints or members."""
    at = np.array([[100.0, 200.0], [200.0, 200.0], [300.0, 200.0], [200.0, 120.0]])
    pairs = ((0, 1), (1, 2), (0, 3), (1, 3), (2, 3))
    drawn = 0
    for seed in range(12):
        picture = np.full((400, 400, 3), 255, np.uint8)
        marks = Marks()
        draw_chain(
            Pen(np.random.default_rng(seed), picture, (0, 0, 0), Hand(2.0, 0.0, 0.0, 0.0)),
            at,
            pairs,
            14.0,
            marks,
        )
        drawn += picture.min() < 128
        assert not marks.joints
        assert not marks.lines
    assert drawn >= 10


def test_wear_moves_no_label():
    """A worn page keeps its joints and lines; remarks come on top of what was written."""
    page = picture_of_page(make_page(5, family="whiteboard", size=320, fonts=False))
    changed = 0
    for seed in range(12):
        after = worn(np.random.default_rng(seed), page)
        assert np.array_equal(after.joints, page.joints)
        assert np.array_equal(after.lines, page.lines)
        assert np.array_equal(after.other[: len(page.other)], page.other)
        changed += not np.array_equal(after.rgb, page.rgb)
    assert 2 <= changed <= 11


def test_asides_and_cuts_are_no_members():
    """Beams, polygons of forces, cuts and the like add ink and writing, never joints or members."""
    at = np.array([[100.0, 300.0], [300.0, 300.0], [200.0, 150.0]])
    for seed in range(24):
        picture = np.full((400, 400, 3), 255, np.uint8)
        marks = Marks()
        pen = Pen(np.random.default_rng(seed), picture, (0, 0, 0), Hand(2.0, 0.003, 0.0, 0.0))
        draw_aside(pen, (60.0, 60.0, 220.0, 180.0), marks)
        draw_cut(pen, at, 14.0, marks)
        assert picture.min() < 128
        assert not marks.joints
        assert not marks.members
        assert not marks.lines


def test_a_cut_goes_through_a_truss_that_stands_on_end():
    """Far taller than wide, it is cut all the same: the cut's place goes by the width."""
    tower = np.array([[190.0, 380.0], [210.0, 380.0], [200.0, 20.0]])
    for seed in range(8):
        picture = np.full((400, 400, 3), 255, np.uint8)
        pen = Pen(np.random.default_rng(seed), picture, (0, 0, 0), Hand(2.0, 0.003, 0.0, 0.0))
        draw_cut(pen, tower, 14.0, Marks())
        assert picture.min() < 128


def test_a_sheet_keeps_its_things_in_its_frame():
    """Whatever stands on a sheet, at least one structure stands mostly within the frame it was given."""
    for seed in range(30):
        picture = np.full((300, 400, 3), 255, np.uint8)
        marks = Marks()
        pen = Pen(np.random.default_rng(seed), picture, (0, 0, 0), Hand(2.0, 0.003, 0.0, 0.0))
        lay_out(pen.rng, pen, marks, (100.0, 80.0, 250.0, 180.0))
        at = np.array(marks.joints)
        assert len(marks.members) >= 2
        assert ((at > (99, 79)) & (at < (351, 261))).all(1).mean() > 0.4


def test_loads_stand_at_their_joint_beside_its_members():
    """One end of a load arrow lies near its joint, and most arrows keep off the members that end there."""
    members = np.array([[200.0, 200, 350, 200], [200, 200, 200, 320], [120, 300, 340, 320]])
    at = np.array([200.0, 200.0])
    beside = []
    for seed in range(60):
        picture = np.full((400, 400, 3), 255, np.uint8)
        marks = Marks()
        pen = Pen(np.random.default_rng(seed), picture, (0, 0, 0), Hand(2.0, 0.0, 0.0, 0.0))
        draw_arrow(pen, at, 14.0, marks, members=members, reach=100.0)
        (arrow,) = marks.arrows
        tail, tip = arrow[:2], arrow[2:]
        near, far = sorted((tail, tip), key=lambda end: float(np.hypot(*(end - at))))
        assert np.hypot(*(near - at)) < 12
        way = (far - at) / np.hypot(*(far - at))
        beside.append(max(way[0], way[1]) < np.cos(0.2))
    assert np.mean(beside) > 0.9
