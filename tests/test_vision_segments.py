"""Segments of the ink and clusters of their ends, on lines drawn with exact truth."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from drawing import DRAWN, Sheet, draw

from vision.contrast import find_contrast, measure_stroke, work_picture
from vision.segments import cluster_ends, find_segments
from vision.settings import ContrastSettings


def ink(*lines: tuple[tuple[int, int], tuple[int, int]], width: int = 4) -> np.ndarray:
    """Draw lines of contrast 200 on nothing."""
    canvas = np.zeros((300, 400), np.uint8)
    for start, end in lines:
        cv2.line(canvas, start, end, 200, width, cv2.LINE_AA)
    return canvas.astype(np.float32)


def test_a_straight_line_is_one_segment_end_to_end() -> None:
    """Its ends are where the stroke ends, whatever pieces the transform finds."""
    (segment,) = find_segments(ink(((40, 50), (360, 250))), stroke_width=4)
    ends = segment[np.argsort(segment[:, 0])]
    assert ends == pytest.approx(np.array([[40, 50], [360, 250]]), abs=6)


def test_a_gap_in_a_stroke_is_bridged_and_a_wide_one_is_not() -> None:
    """Half a circle's width belongs to the stroke; a panel's does not."""
    near = find_segments(ink(((40, 100), (190, 100)), ((205, 100), (360, 100))), stroke_width=4)
    far = find_segments(ink(((40, 100), (150, 100)), ((250, 100), (360, 100))), stroke_width=4)
    assert [len(near), len(far)] == [1, 2]


def test_parallel_lines_stay_apart() -> None:
    """A dimension line below a chord is no part of it."""
    assert len(find_segments(ink(((40, 100), (360, 100)), ((40, 125), (360, 125))), stroke_width=4)) == 2


def test_ends_that_meet_are_one_cluster() -> None:
    """Three members that meet are three ends in one place; free ends stand alone."""
    lines = (((200, 150), (40, 150)), ((200, 150), (300, 40)), ((200, 150), (300, 260)))
    clusters = cluster_ends(find_segments(ink(*lines), stroke_width=4), stroke_width=4)
    assert [cluster.ends for cluster in clusters] == [3, 1, 1, 1]
    assert clusters[0].at == pytest.approx((200, 150), abs=6)
    assert clusters[0].radius < 12


def test_bare_ground_has_neither() -> None:
    """Nothing drawn gives empty tables."""
    segments = find_segments(np.zeros((80, 90), np.float32), stroke_width=3)
    assert segments.shape == (0, 2, 2)
    assert cluster_ends(segments, stroke_width=3) == ()


def test_members_drawn_by_hand_are_covered_by_segments() -> None:
    """Most of every member of a drawn truss lies on segments found in its photograph."""
    drawn = draw("warren", seed=3, sheet=Sheet())
    work = work_picture(drawn.rgb, ContrastSettings())
    contrast = find_contrast(work, drawn.joints, drawn.members, ContrastSettings())
    width = measure_stroke(contrast, drawn.joints, drawn.members, slack=4, settings=ContrastSettings())
    covered = np.zeros(contrast.shape, np.uint8)
    for start, end in np.rint(find_segments(contrast, stroke_width=width)).astype(int):
        cv2.line(covered, start.tolist(), end.tolist(), 1, 11)
    t = np.linspace(0.05, 0.95, 60)[:, None]
    for a, b in DRAWN["warren"].members:
        x, y = np.rint(drawn.joints[a] + t * (drawn.joints[b] - drawn.joints[a])).astype(int).T
        assert covered[y, x].mean() > 0.7
