"""How sure a reading is: the fit finds curves again, and no sign weighs against what it says."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import expit
from test_vision_network_decode import _painted, _straight

from vision.decode import decode
from vision.sureness import joint_sureness, member_sureness
from vision.training.fit_sureness import fit_curve, matched


def test_a_curve_is_found_again_from_draws_of_it() -> None:
    """Start and slopes come back within their spread; a slope that would fall below 0 stays there."""
    rng = np.random.default_rng(4)
    signs = rng.normal(0, 1, (6000, 2))
    right = rng.random(6000) < expit(0.5 + signs @ [2.0, 1.0])
    assert fit_curve(signs, right) == pytest.approx((0.5, 2.0, 1.0), abs=0.15)
    against = rng.random(6000) < expit(0.5 + signs @ [2.0, -1.0])
    assert fit_curve(signs, against)[2] == 0


def test_places_are_matched_to_the_truth_one_to_one() -> None:
    """A place beyond reach, and the second of two places at one joint, have no truth."""
    truth = np.array([[0.0, 0.0], [1000.0, 0.0]])
    places = np.array([[3.0, 0.0], [4.0, 0.0], [1000.0, 60.0]])
    assert matched(truth, places).tolist() == [0, -1, -1]


def test_fainter_lines_are_less_sure() -> None:
    """Where the maps show less of lines and joints, both are said to be less sure, between 0 and 1."""
    joints = np.array([[20, 100], [80, 100], [140, 100], [80, 40]], float)
    said = []
    for strength in (0.7, 0.85, 1.0):
        maps = _painted(joints, _straight(joints, ((0, 1), (0, 3), (1, 2), (1, 3), (2, 3))))
        maps.values[:] *= strength
        read = decode(maps)
        said.append((joint_sureness(read).min(), member_sureness(read).min()))
    assert np.all(np.diff(np.array(said), axis=0) > 0)
    assert np.min(said) > 0
    assert np.max(said) < 1
