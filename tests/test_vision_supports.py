"""Supports at joints: where, of which kind, which way up; silence where nothing stands."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from drawing import DRAWN, Sheet, draw, photo_of

from vision import Reading, read_photo
from vision.support_look import CROP_SIDE, KINDS, cut_out, even_out, look_closely
from vision.training import make_page


def nearest(reading: Reading, at: np.ndarray) -> int:
    """Return the row of the joint nearest to a place."""
    return int(np.hypot(*(reading.joints - at).T).argmin())


@pytest.mark.parametrize("name", ["warren", "crossed panel"])
def test_pins_drawn_at_joints_are_read_and_nothing_else(name: str) -> None:
    """Triangles on hatching are pins at their joints, and their ground is below."""
    drawn = draw(name, seed=3, sheet=Sheet(signs=True))
    reading = read_photo(photo_of(drawn))
    wanted = {nearest(reading, drawn.joints[row]) for row in DRAWN[name].supports}
    assert {support.joint for support in reading.supports} == wanted
    for support in reading.supports:
        assert support.kind == "pin"
        assert support.normal == pytest.approx((0, -1), abs=0.3)


def test_on_a_sheet_that_lies_on_its_side_the_ground_does_too() -> None:
    """The direction turns with the picture."""
    drawn = draw("triangle", seed=3, sheet=Sheet(signs=True))
    at = np.stack([899 - drawn.joints[:, 1], drawn.joints[:, 0]], 1)
    close = look_closely(np.ascontiguousarray(np.rot90(drawn.rgb, -1)), at[:2], span=800)
    for normal in close.normal:
        assert normal / np.hypot(*normal) == pytest.approx((1, 0), abs=0.3)


def test_a_truss_without_supports_has_none() -> None:
    """Silence is better than a wrong suggestion."""
    assert read_photo(photo_of(draw("pratt", seed=3))).supports == ()


def test_a_wheel_is_told_from_a_triangle_close_up() -> None:
    """On made pages never trained on, most supports are told rightly, and bare joints are none."""
    right = told = bare = silent = 0
    for seed in range(700_000, 700_012):
        page = make_page(seed, family="pen", size=800, fonts=False)
        held = {support.joint: support.kind for support in page.supports}
        span = float(np.ptp(page.joints, axis=0).max())
        close = look_closely(page.rgb, page.joints, span=span)
        for row, chance in enumerate(close.chance):
            said = KINDS[int(chance.argmax())]
            if row in held:
                told, right = told + 1, right + (said == held[row])
            else:
                bare, silent = bare + 1, silent + (said == "none")
    assert told >= 10
    assert right / told >= 0.8
    assert silent / bare >= 0.85


def test_crops_reach_over_the_edge_and_have_one_size() -> None:
    """A joint at the picture's corner is seen as well as one in the middle."""
    gray = np.full((60, 80), 200, np.uint8)
    cv2.circle(gray, (0, 0), 5, 0, -1)
    for at in ((0.0, 0.0), (79.0, 59.0), (40.0, 30.0)):
        assert cut_out(gray, np.array(at), 30.0, CROP_SIDE).shape == (CROP_SIDE, CROP_SIDE)
    assert cut_out(gray, np.zeros(2), 30.0, 31)[15, 15] < 60
    assert (cut_out(gray, np.array([60.0, 40.0]), 20.0, 16) == 200).all()


def test_light_and_contrast_do_not_change_a_crop() -> None:
    """A darker and flatter photograph of the same joint is the same crop; bare paper is not blown up."""
    rng = np.random.default_rng(1)
    crop = rng.uniform(100, 200, (1, CROP_SIDE, CROP_SIDE)).astype(np.float32)
    assert even_out(crop * 0.5 + 20) == pytest.approx(even_out(crop), abs=1e-3)
    assert np.abs(even_out(200 + rng.normal(0, 0.5, crop.shape).astype(np.float32))).max() < 1


def test_no_joints_no_look() -> None:
    """Nothing to look at gives empty tables."""
    close = look_closely(np.zeros((50, 50, 3), np.uint8), np.zeros((0, 2)), span=10.0)
    assert close.chance.shape == (0, 3)
    assert close.normal.shape == (0, 2)
