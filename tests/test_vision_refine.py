"""Proposed joints, from whichever stage, are placed on the ink with honest errors."""

from __future__ import annotations

import numpy as np
import pytest
from drawing import Drawn, Sheet, draw

from vision.contrast import find_contrast, measure_stroke, work_picture
from vision.refine import Placed, place_joints
from vision.settings import ReadSettings

SETTINGS = ReadSettings()


def placed(drawn: Drawn, proposals: np.ndarray, *, prior: float) -> Placed:
    """Place proposals on the ink of a drawing, which is at working size already."""
    work = work_picture(drawn.rgb, SETTINGS.contrast)
    assert work.scale == 1.0
    contrast = find_contrast(work, proposals, drawn.members, SETTINGS.contrast)
    width = measure_stroke(contrast, proposals, drawn.members, slack=prior, settings=SETTINGS.contrast)
    return place_joints(
        contrast,
        proposals,
        drawn.members,
        prior_error=np.full(len(proposals), prior),
        stroke_width=width,
        settings=SETTINGS.refine,
    )


@pytest.mark.parametrize("seed", range(4))
def test_proposals_some_pixels_off_are_brought_to_the_crossing_of_the_axes(seed: int) -> None:
    """A stage that is right to four pixels, like a map at a quarter of the size, gains a factor of three."""
    drawn = draw("pratt", seed=seed, sheet=Sheet(wobble=0.5))
    off = np.random.default_rng(seed).normal(0, 3, drawn.joints.shape)
    result = placed(drawn, drawn.joints + off, prior=6.0)
    before = float(np.sqrt(np.mean(np.square(off))))
    after = float(np.sqrt(np.mean(np.square(result.joints - drawn.joints))))
    assert after < before / 2.9
    assert all(axis is not None and axis.covered > 0.8 for axis in result.axes)


def test_a_joint_of_two_collinear_members_keeps_its_place_along_them() -> None:
    """Where the axes cannot say, the proposal's own error stays."""
    drawn = draw("triangle", sheet=Sheet(wobble=0.0))
    middle = (drawn.joints[0] + drawn.joints[1]) / 2
    split = Drawn(drawn.rgb, np.vstack([drawn.joints, middle]), ((0, 3), (1, 3), (1, 2), (0, 2)))
    result = placed(split, split.joints + np.array([0.0, 3.0]), prior=5.0)
    assert abs(result.joints[3, 0] - middle[0]) < 0.5
    assert abs(result.joints[3, 1] - middle[1]) < 0.5
    assert result.px_error[3] > 3
    assert result.px_error[0] < 1


def test_members_drawn_to_the_edge_of_a_circle_do_not_pull_its_centre() -> None:
    """Axes that miss the centre by more than their own scatter weigh little against it."""
    drawn = draw("warren", sheet=Sheet(circles=16, wobble=1.5))
    result = placed(drawn, drawn.joints, prior=1.0)
    assert np.abs(result.joints - drawn.joints).max() < 0.5


def test_a_member_without_ink_has_no_axis_and_moves_nothing() -> None:
    """A proposal on bare paper is left where it was, with its own error."""
    drawn = draw("triangle")
    bare = Drawn(drawn.rgb, np.array([[100.0, 100.0], [300.0, 60.0]]), ((0, 1),))
    result = placed(bare, bare.joints, prior=4.0)
    assert result.axes == (None,)
    np.testing.assert_allclose(result.joints, bare.joints)
    np.testing.assert_allclose(result.px_error, 4.0)
