"""Several drawings in one picture: the largest is read, the others are named by where they are."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from drawing import Sheet, draw, photo_of
from scoring import score

from vision import Photo, read_photo
from vision.channels import CHANNELS, JOINT, LINES
from vision.maps import Maps
from vision.others import find_others


def beside(small: str, share: float) -> tuple[Photo, np.ndarray, tuple[tuple[int, int], ...], np.ndarray]:
    """Draw the warren large and another truss small to the right of it; where the small one's joints are."""
    large, other = draw("warren", seed=3, sheet=Sheet(shadow=0)), draw(small, seed=4, sheet=Sheet(shadow=0))
    shrunk = cv2.resize(other.rgb, None, fx=share, fy=share, interpolation=cv2.INTER_AREA)
    page = np.full((900, 1200 + shrunk.shape[1], 3), (236, 233, 224), np.uint8)
    page[:, :1200] = large.rgb
    page[100 : 100 + len(shrunk), 1200:] = shrunk
    joints = (other.joints + 0.5) * share - 0.5 + [1200, 100]
    return Photo(page, photo_of(large).path, "0" * 64), large.joints, large.members, joints


def test_the_largest_is_read_and_the_other_is_offered() -> None:
    """Nothing of the small triangle is in the reading; its box is, within a few pixels."""
    photo, joints, members, small = beside("triangle", 0.4)
    reading = read_photo(photo)
    assert score(joints, members, reading.joints, reading.members).corrections == 0
    (other,) = reading.others
    assert other.joints == 3
    assert other.box == pytest.approx([*small.min(0), *small.max(0)], abs=14)
    assert any("of about 3 joints, lies to the right. It was left out" in said for said in reading.remarks)


def test_one_drawing_has_no_others() -> None:
    """Names, supports and a dimension line are no drawing."""
    assert read_photo(photo_of(draw("pratt", seed=3, sheet=Sheet(signs=True)))).others == ()


def test_nothing_read_nothing_beside() -> None:
    """Without a drawing that was read there is nothing to stand beside."""
    maps = Maps(np.zeros((CHANNELS, 20, 30), np.float32), 1.0)
    assert find_others([maps], np.zeros((0, 2)), ()) == ()
    assert find_others([], np.ones((3, 2)), ((0, 1),)) == ()


def test_lines_without_joints_are_no_drawing() -> None:
    """A ruler's edge or a table rule has no joints on it."""
    maps = Maps(np.zeros((CHANNELS, 100, 150), np.float32), 1.0)
    maps.values[LINES.start, 80, 20:140] = 1
    joints = np.array([[40.0, 40.0], [400.0, 40.0], [200.0, 150.0]])
    members = ((0, 1), (1, 2), (0, 2))
    assert find_others([maps], joints, members) == ()
    for x in (20, 80, 139):
        maps.values[JOINT, 80, x] = 0.9
    (other,) = find_others([maps], joints, members)
    assert other.joints == 3
    assert other.box == pytest.approx((81.5, 321.5, 557.5, 321.5), abs=1)
