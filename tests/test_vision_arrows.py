"""Arrows at joints: from painted maps with exact truth, and from drawn photographs."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest
from drawing import Sheet, draw, photo_of

from vision import read_photo
from vision.arrows import ArrowSettings, find_arrows
from vision.channels import CHANNELS, HEAD, SHAFT
from vision.maps import Maps

JOINTS = np.array([[100.0, 300.0], [500.0, 300.0], [300.0, 120.0]])
"""Pixels; the drawing's larger side is 400."""


def painted(
    *arrows: tuple[tuple[float, float], tuple[float, float]], height: float = 0.9, zoom: float = 1.0
) -> Maps:
    """Paint the maps of a picture 640 x 480 with arrows, tail to head, as the network would give them."""
    rows, columns = int(120 * zoom), int(160 * zoom)
    maps = Maps(np.zeros((CHANNELS, rows, columns), np.float32), zoom)
    y, x = np.mgrid[:rows, :columns]
    for ends in arrows:
        tail, head = maps.to_cells(np.array(ends))
        run = head - tail
        t = np.clip(((x - tail[0]) * run[0] + (y - tail[1]) * run[1]) / (run @ run), 0, 1)
        off = np.hypot(x - tail[0] - t * run[0], y - tail[1] - t * run[1])
        spot = np.hypot(x - head[0], y - head[1])
        for channel, apart, wide in ((SHAFT, off, 1.0), (HEAD, spot, 1.6)):
            shown = height * np.exp(-(apart**2) / (2 * wide**2))
            maps.values[channel] = np.maximum(maps.values[channel], shown.astype(np.float32))
    return maps


@pytest.mark.parametrize("zoom", [0.8, 1.5])
@pytest.mark.parametrize("degrees", range(0, 360, 45))
def test_an_arrow_any_way_round_is_found_at_its_joint(degrees: int, zoom: float) -> None:
    """Tail, head, joint and direction are right, for arrows that end at a joint and that start there."""
    way = np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    pushing, pulling = JOINTS[0] - 10 * way, JOINTS[1] + 10 * way
    drawn = ((pushing - 70 * way, pushing), (pulling, pulling + 70 * way))
    found = find_arrows([painted(*drawn, zoom=zoom)], JOINTS)
    assert [one.joint for one in found] == [0, 1]
    for one, (tail, head) in zip(found, drawn, strict=True):
        assert np.degrees(np.arccos(min(float(np.dot(one.direction, way)), 1.0))) < 4
        assert one.head == pytest.approx(head, abs=4)
        assert one.tail == pytest.approx(tail, abs=8)
        assert one.confidence > 0.9


def test_several_looks_show_one_arrow() -> None:
    """What two looks at two sizes show is one arrow; one that only one of them shows is less sure."""
    arrow = (np.array([300.0, 30.0]), np.array([300.0, 110.0]))
    both = find_arrows([painted(arrow), painted(arrow, zoom=1.5)], JOINTS)
    one = find_arrows([painted(arrow), painted(zoom=1.5)], JOINTS, settings=ArrowSettings(least_confidence=0))
    assert [len(both), len(one)] == [1, 1]
    assert one[0].confidence < both[0].confidence


def test_two_arrows_at_one_joint_are_two() -> None:
    """A load from above and one from the side do not merge, nor do two that pull opposite ways."""
    top = JOINTS[2]
    along, up = np.array([1.0, 0.0]), np.array([0.0, -1.0])
    down, aside = (top + 90 * up, top + 18 * up), (top - 90 * along, top - 18 * along)
    right, left = (top + 8 * along, top + 80 * along), (top - 8 * along, top - 80 * along)
    for pair in ((down, aside), (down, right), (left, right)):
        assert [one.joint for one in find_arrows([painted(*pair)], JOINTS)] == [2, 2]


def test_a_member_behind_a_joint_does_not_lengthen_an_arrow() -> None:
    """Shafts shine through on upright members: an arrow that pulls at a joint starts there, not beyond."""
    maps = painted((JOINTS[0] + [0, 8], JOINTS[0] + [0, 80]))
    x, y0 = np.rint(maps.to_cells(JOINTS)[0]).astype(int)
    cv2.line(maps.values[SHAFT], (int(x), int(y0)), (int(x), int(y0) - 40), 0.6, 1)
    (found,) = find_arrows([maps], JOINTS)
    assert found.joint == 0
    assert found.tail[1] > JOINTS[0][1] - 8


def test_a_faint_head_far_from_joints_or_without_a_shaft_is_no_arrow() -> None:
    """Silence is better than a wrong suggestion."""
    assert (
        find_arrows([painted((np.array([300.0, 30.0]), np.array([300.0, 110.0])), height=0.4)], JOINTS) == ()
    )
    assert find_arrows([painted((np.array([580.0, 20.0]), np.array([580.0, 80.0])))], JOINTS) == ()
    bare = painted((np.array([300.0, 30.0]), np.array([300.0, 110.0])))
    bare.values[SHAFT] = 0
    assert find_arrows([bare], JOINTS) == ()
    assert find_arrows([bare], np.zeros((0, 2))) == ()


@pytest.mark.parametrize("name", ["warren", "crossed panel"])
def test_a_drawn_arrow_is_read_and_nothing_else(name: str) -> None:
    """On a sheet with supports, names and a dimension line, the one arrow is read; without it, none."""
    drawn = draw(name, seed=3, sheet=Sheet(signs=True))
    (arrow,) = read_photo(photo_of(drawn)).arrows
    reading = read_photo(photo_of(draw(name, seed=3, sheet=replace(Sheet(), signs=False))))
    assert reading.arrows == ()
    assert arrow.direction == pytest.approx((0, 1), abs=0.1)
    assert arrow.tail[1] < arrow.head[1]
