"""Standard errors of the survey: against Monte Carlo, and against differences of the survey itself."""

from __future__ import annotations

import numpy as np
import pytest

from tests.samples import sampled
from tests.survey_scenes import WARREN, WARREN_MEMBERS, drawn, in_perspective, rectangle
from vision.survey import Dimension, KnownPoints, KnownRectangle, SurveySettings, survey

AS_DRAWN = SurveySettings(straighten_degrees=0.0)
PX_ERROR = np.array([1.0, 2.0, 0.7, 1.5, 1.2])
CORNER_ERROR = 1.5
DRAWS = sampled(600, 150)
SCATTER = 0.1 * (600 / DRAWS) ** 0.5
"""Relative. A scatter is good to 1 / sqrt(2 draws): 3 % with 600 draws, 6 % with the sample; three and a half
times that is allowed."""

ACROSS = Dimension("across", 0, 2, 6.0)
SLANT = Dimension("along", 0, 4, float(np.hypot(4.5, 2.5)))
# Heights a third too large and every joint off its place; the dimensions put that right.
SKETCH = drawn(WARREN * [1.0, 1.3] + [[0, 0], [0.06, 0.02], [0.02, -0.03], [0.05, 0.04], [-0.04, 0.03]])
SKETCHED = (
    Dimension("along", 0, 3, 2.9),
    Dimension("along", 3, 4, 3.1),
    Dimension("angle", 2, 4, 58.0),
    ACROSS,
)
FLAT = drawn(WARREN)
SEEN = in_perspective(WARREN)
KNOWN = (0, 2, 3, 4)

# Name: picture, corners of a known rectangle or None, what is given.
SCENES = {
    "one length": (FLAT, None, {"dimensions": [SLANT], "level": (0, 2)}),
    "one length, as drawn": (FLAT, None, {"dimensions": [SLANT], "level": (0, 2), "settings": AS_DRAWN}),
    "a sketch": (SKETCH, None, {"dimensions": SKETCHED}),
    "a sketch, as drawn": (SKETCH, None, {"dimensions": SKETCHED, "settings": AS_DRAWN}),
    "four known points": (
        SEEN,
        None,
        {"view": KnownPoints(KNOWN, WARREN[list(KNOWN)]), "settings": AS_DRAWN},
    ),
    "a rectangle": (SEEN, in_perspective(rectangle(8, 5)), {}),
    "a rectangle and a length": (SEEN, in_perspective(rectangle(8, 5)), {"dimensions": [SLANT]}),
}


def place(px, corners, given):
    """Survey a scene, through the rectangle if it has one."""
    view = {} if corners is None else {"view": KnownRectangle(corners, 8.0, 5.0, px_error=CORNER_ERROR)}
    return survey(px, PX_ERROR, WARREN_MEMBERS, **given, **view)


@pytest.mark.parametrize("scene", SCENES)
def test_standard_errors_against_monte_carlo(scene):
    """Over many noisy pictures the scatter is what the first picture foretold.

    Within a tenth for 600 draws (`--thorough`), a fifth for the sample of 150. The length of every member is
    compared too, so the correlations between joints are seen to be right as well.
    """
    px, corners, given = SCENES[scene]
    dice = np.random.default_rng(2026)
    foretold = place(px, corners, given)
    placed = []
    for _ in range(DRAWS):
        noisy = px + dice.normal(size=px.shape) * PX_ERROR[:, None]
        moved = None if corners is None else corners + dice.normal(size=(4, 2)) * CORNER_ERROR
        placed.append(place(noisy, moved, given).at)
    at = np.array(placed)

    scatter, errors = at.std(axis=0, ddof=1), foretold.errors
    sure = errors < 1e-9
    assert scatter[sure].max(initial=0.0) < 1e-9
    assert not sure.all()
    np.testing.assert_allclose(scatter[~sure] / errors[~sure], 1.0, atol=SCATTER)

    for start, end in WARREN_MEMBERS:
        along = foretold.at[end] - foretold.at[start]
        row = np.zeros(10)
        row[2 * end : 2 * end + 2] = along / np.hypot(*along)
        row[2 * start : 2 * start + 2] = -along / np.hypot(*along)
        error = np.sqrt(max(row @ foretold.covariance @ row, 0.0))
        lengths = np.hypot(*(at[:, end] - at[:, start]).T)
        assert lengths.std(ddof=1) == pytest.approx(error, rel=SCATTER, abs=1e-9)


@pytest.mark.parametrize("scene", SCENES)
def test_covariance_against_differences(scene):
    """Moving one picture number at a time by a hundredth of a pixel gives the same covariance."""
    px, corners, given = SCENES[scene]
    base = place(px, corners, given)
    errors = np.repeat(PX_ERROR, 2)
    numbers = px.ravel()
    if corners is not None:
        numbers = np.append(numbers, corners.ravel())
        errors = np.append(errors, np.full(8, CORNER_ERROR))

    def at(moved):
        return place(
            moved[:10].reshape(5, 2), None if corners is None else moved[10:].reshape(4, 2), given
        ).at

    step = 0.01 * np.eye(len(numbers))
    slopes = np.array([(at(numbers + s) - at(numbers - s)).ravel() / 0.02 for s in step])
    by_hand = (slopes.T * errors**2) @ slopes
    # On a sketch the balance of stretching and moving shifts a little with the picture's size, held fixed.
    np.testing.assert_allclose(base.covariance, by_hand, atol=2e-2 * by_hand.max())


@pytest.mark.parametrize("factor", [0.5, 3.0])
def test_errors_grow_with_the_pixel_errors(factor):
    """First order: twice the pixel errors, twice the standard errors, and the same joints."""
    one = survey(FLAT, PX_ERROR, WARREN_MEMBERS, dimensions=[ACROSS])
    other = survey(FLAT, PX_ERROR * factor, WARREN_MEMBERS, dimensions=[ACROSS])
    np.testing.assert_allclose(other.errors, one.errors * factor, atol=1e-12)
    np.testing.assert_allclose(other.at, one.at, atol=1e-12)


def test_a_rectangle_far_from_the_truss_adds_error():
    """Beyond the rectangle the view is stretched out, and the errors say so."""
    far = in_perspective(rectangle(2.0, 1.0, corner=(-3.0, -2.0)))
    near = in_perspective(rectangle(8.0, 5.0))
    errors = [
        survey(SEEN, PX_ERROR, WARREN_MEMBERS, view=KnownRectangle(corners, width, height)).errors[4]
        for corners, width, height in ((far, 2.0, 1.0), (near, 8.0, 5.0))
    ]
    assert (errors[0] > 3 * errors[1]).all()
