"""The survey through a camera: known points, a known rectangle, and views that cannot be."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from scipy.optimize import least_squares

from tests.survey_scenes import (
    AS_DRAWN,
    FINK,
    FINK_MEMBERS,
    WARREN,
    drawn,
    in_perspective,
    place,
    rectangle,
)
from vision.errors import ContradictionError, ViewError
from vision.survey import Dimension, KnownPoints, KnownRectangle
from vision.survey.homography import estimate, plane_points, projected

MAT = rectangle(8.0, 5.0)


@pytest.mark.parametrize("known", [(0, 3, 4, 5), (6, 1, 4, 2, 5), (0, 1, 2, 3, 4, 5, 6)])
@pytest.mark.parametrize("offset", [(0.0, 0.0), (-250.0, 4000.0)])
def test_known_points_take_the_perspective_away(known, offset):
    """Every joint comes out in the axes of the known points to 1e-9 of the truss's size."""
    truth = FINK + offset
    px = in_perspective(FINK)
    placed = place(px, FINK_MEMBERS, view=KnownPoints(known, truth[list(known)]), settings=AS_DRAWN)
    np.testing.assert_allclose(placed.at, truth, atol=1e-9)
    assert {free.joint for free in placed.free} == set(range(7)) - set(known)


def test_known_points_are_kept_exactly():
    """More known points than needed, a pixel off: each is placed where it is known to be, without error."""
    px = in_perspective(FINK) + np.random.default_rng(4).normal(size=FINK.shape)
    known = (0, 3, 4, 5, 6)
    placed = place(px, FINK_MEMBERS, view=KnownPoints(known, FINK[list(known)]))
    np.testing.assert_allclose(placed.at[list(known)], FINK[list(known)], atol=1e-9)
    np.testing.assert_allclose(placed.errors[list(known)], 0.0, atol=1e-9)
    assert (placed.errors[[1, 2], 0] > 0).all()


def test_a_known_rectangle_takes_the_perspective_away():
    """A cutting mat of known size gives view and scale."""
    placed = place(in_perspective(WARREN), view=KnownRectangle(in_perspective(MAT), 8.0, 5.0))
    np.testing.assert_allclose(placed.at, WARREN, atol=1e-9)


def test_a_truss_lying_askew_on_the_rectangle():
    """A model turned by 25 degrees on the mat is brought level by the joints named."""
    turn = np.radians(25)
    askew = WARREN @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    placed = place(in_perspective(askew), view=KnownRectangle(in_perspective(MAT), 8.0, 5.0), level=(0, 2))
    np.testing.assert_allclose(placed.at, WARREN, atol=1e-9)


def test_a_page_under_a_sketch_gives_no_scale_when_a_length_does():
    """The page is 297 by 186 mm, the truss 6 m: the length rules, and a remark says so."""
    page = KnownRectangle(in_perspective(MAT), 297.0, 297.0 * 5 / 8)
    placed = place(in_perspective(WARREN), view=page, dimensions=[Dimension("across", 0, 2, 6.0)])
    np.testing.assert_allclose(placed.at, WARREN, atol=1e-9)
    assert any("only took the perspective away" in remark for remark in placed.remarks)


def test_an_angle_leaves_the_scale_to_the_rectangle():
    """Without a length the rectangle's size is the scale, also beside an angle."""
    angle = float(np.degrees(np.arctan2(2.5, 1.5)))
    placed = place(
        in_perspective(WARREN),
        view=KnownRectangle(in_perspective(MAT), 8.0, 5.0),
        dimensions=[Dimension("angle", 0, 3, angle)],
    )
    np.testing.assert_allclose(placed.at, WARREN, atol=1e-9)


def test_a_view_and_dimensions_together():
    """A sketch out of scale on a page seen askew: dimensions hold, the rest is as drawn on the page."""
    sketch = WARREN * [1.0, 1.4]
    given = [Dimension("across", 0, 2, 6.0), Dimension("up", 0, 3, 2.5), Dimension("up", 0, 4, 2.5)]
    page = KnownRectangle(in_perspective(rectangle(8.0, 5.0)), 210.0, 210.0 * 5 / 8)
    seen = place(in_perspective(sketch), view=page, dimensions=given)
    square = place(drawn(sketch), dimensions=given)
    # The weights differ, since a pixel is worth more far from the camera; it matters little here.
    np.testing.assert_allclose(seen.at, square.at, atol=0.02)
    assert seen.at[3, 1] == pytest.approx(2.5, abs=1e-9)


def test_known_points_and_a_dimension_that_denies_them():
    """A length between two known joints must agree with them; the sentence names all three."""
    known = KnownPoints((0, 2, 3, 4), WARREN[[0, 2, 3, 4]])
    agreed = Dimension("along", 0, 2, 6.0)
    np.testing.assert_allclose(
        place(in_perspective(WARREN), view=known, dimensions=[agreed]).at, WARREN, atol=1e-9
    )
    with pytest.raises(ContradictionError) as caught:
        place(in_perspective(WARREN), view=known, dimensions=[agreed, Dimension("across", 3, 4, 4.0)])
    assert caught.value.dimensions == (1,)
    assert caught.value.statements == ("across D E 4", "position D (1.5, 2.5)", "position E (4.5, 2.5)")


def test_known_points_and_a_dimension_on_another_joint():
    """A dimension moves a joint that is not known, and only that."""
    known = KnownPoints((0, 2, 3, 4), WARREN[[0, 2, 3, 4]])
    at = place(in_perspective(WARREN), view=known, dimensions=[Dimension("across", 0, 1, 2.8)]).at
    np.testing.assert_allclose(at, np.where(np.arange(5)[:, None] == 1, [[2.8, 0.0]], WARREN), atol=1e-9)


def test_homography_against_a_general_optimiser():
    """Noisy points of unlike weights: scipy's least squares reaches the same eight numbers."""
    rng = np.random.default_rng(11)
    plane = rng.uniform(-1, 1, size=(9, 2))
    picture = in_perspective(plane) * [1, -1]
    picture = (picture - picture.mean(axis=0)) / 90 + rng.normal(scale=0.01, size=(9, 2))
    weights = rng.uniform(0.3, 3.0, size=9)

    def missed(h):
        seen = np.column_stack([plane, np.ones(9)]) @ np.append(h, 1.0).reshape(3, 3).T
        return ((seen[:, :2] / seen[:, 2:] - picture) * np.sqrt(weights)[:, None]).ravel()

    found = least_squares(missed, [1, 0, 0, 0, 1, 0, 0, 0], xtol=1e-15, ftol=1e-15, gtol=1e-15)
    np.testing.assert_allclose(estimate(plane, picture, weights).numbers, found.x, atol=1e-7)


def test_homography_against_opencv():
    """OpenCV's least squares homography maps the plane to the same pixels within a thousandth."""
    rng = np.random.default_rng(12)
    plane = rng.uniform(-1, 1, size=(8, 2))
    picture = in_perspective(plane) + rng.normal(scale=0.5, size=(8, 2))
    centre, size = picture.mean(axis=0), 90.0
    ours = estimate(plane, (picture - centre) / size, np.ones(8))
    theirs, _ = cv2.findHomography(plane, picture, 0)
    mapped = cv2.perspectiveTransform(plane[None], theirs)[0]
    np.testing.assert_allclose(projected(ours.numbers, plane) * size + centre, mapped, atol=1e-3)


def test_homography_derivatives_against_differences():
    """How plane points follow the picture agrees with central differences where the fit is exact."""
    rng = np.random.default_rng(13)
    plane = np.array([[-1.0, 1.0], [1.0, 1.1], [0.9, -1.0], [-1.2, -0.9]])
    picture = (in_perspective(plane) * [1, -1] - [300, -900]) / 90
    point = np.array([[0.2, 0.3]])
    view = estimate(plane, picture, np.ones(4))
    _, by_point, by_view = plane_points(view, point)
    step = 1e-6
    nudge = rng.normal(size=picture.shape)
    ends = [
        plane_points(estimate(plane, picture + side * step * nudge, np.ones(4)), point)[0] for side in (1, -1)
    ]
    by_hand = (ends[0] - ends[1])[0] / (2 * step)
    np.testing.assert_allclose(by_view[0] @ view.gain @ nudge.ravel(), by_hand, rtol=1e-6)
    ends = [plane_points(view, point + side * step * nudge[:1])[0] for side in (1, -1)]
    np.testing.assert_allclose(by_point[0] @ nudge[0], (ends[0] - ends[1])[0] / (2 * step), rtol=1e-6)


CORNERS = (0, 2, 3, 4)
BAD_POINTS = {
    "three points": (KnownPoints((0, 2, 3), WARREN[[0, 2, 3]]), "Only 3 known positions"),
    "four on a line": (KnownPoints((0, 1, 2, 3), WARREN[[0, 1, 2, 0]]), "lie on one line"),
    "three of four on a line": (KnownPoints((0, 1, 2, 3), WARREN[[0, 1, 2, 3]]), "lie on one line"),
    "on a line only in the plane": (KnownPoints(CORNERS, WARREN[[0, 1, 2, 3]]), "lie on one line"),
    "all at one place": (KnownPoints(CORNERS, np.ones((4, 2))), "fall on one point"),
    "mirrored": (KnownPoints(CORNERS, WARREN[list(CORNERS)] * [1, -1]), "y is given upwards"),
    "exchanged": (KnownPoints(CORNERS, WARREN[[2, 0, 3, 4]]), "no two of them are exchanged"),
    "NaN": (KnownPoints(CORNERS, np.full((4, 2), np.nan)), "not two numbers"),
    "too few positions": (KnownPoints(CORNERS, WARREN[[0, 2, 3]]), "not two numbers"),
    "twice": (KnownPoints((0, 0, 3, 4), WARREN[[0, 0, 3, 4]]), "two known positions"),
    "not there": (KnownPoints((0, 2, 3, 9), WARREN[[0, 2, 3, 4]]), "not there"),
}


@pytest.mark.parametrize("case", BAD_POINTS)
def test_known_points_that_fix_no_view(case):
    """Each is refused with its cure."""
    view, sentence = BAD_POINTS[case]
    with pytest.raises(ViewError, match=sentence):
        place(in_perspective(WARREN), view=view)


SEEN = in_perspective(MAT)
BAD_RECTANGLES = {
    "counter-clockwise": (KnownRectangle(SEEN[::-1], 8, 5), "clockwise"),
    "crossed": (KnownRectangle(SEEN[[0, 2, 1, 3]], 8, 5), "clockwise"),
    "three on a line": (KnownRectangle(np.array([[0, 0], [5, 0], [10, 0], [0, 9]]), 8, 5), "clockwise"),
    "one point": (KnownRectangle(np.ones((4, 2)), 8, 5), "clockwise"),
    "three corners": (KnownRectangle(SEEN[:3], 8, 5), "four corners"),
    "NaN": (KnownRectangle(SEEN * np.nan, 8, 5), "four corners"),
    "no width": (KnownRectangle(SEEN, 0, 5), "above zero"),
    "NaN height": (KnownRectangle(SEEN, 8, float("nan")), "above zero"),
    "negative error": (KnownRectangle(SEEN, 8, 5, px_error=-1.0), "Give 0 or more"),
}


@pytest.mark.parametrize("case", BAD_RECTANGLES)
def test_rectangles_that_fix_no_view(case):
    """Each is refused with its cure."""
    view, sentence = BAD_RECTANGLES[case]
    with pytest.raises(ViewError, match=sentence):
        place(in_perspective(WARREN), view=view)


def test_a_joint_beyond_the_horizon():
    """A strongly tilted page whose far edges meet below a joint cannot hold that joint."""
    page = np.array([[400.0, 500.0], [600.0, 500.0], [900.0, 900.0], [100.0, 900.0]])
    joints = np.array([[300.0, 800.0], [700.0, 800.0], [500.0, 100.0]])
    with pytest.raises(ViewError, match="Joint C lies on or beyond the horizon"):
        place(joints, ((0, 1), (1, 2), (0, 2)), view=KnownRectangle(page, 8, 5))
