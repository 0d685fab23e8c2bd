"""Chances: scipy's logistic function of the log odds."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import expit, logit

from vision.chances import chance


def test_a_chance_is_the_logistic_of_its_odds() -> None:
    """For one set of signs and for many, against scipy; each sign counts by itself."""
    signs = np.random.default_rng(2).normal(0, 2, (50, 3))
    curve = (-1.5, 0.5, 2.0, -0.25)
    wanted = expit(-1.5 + 0.5 * signs[:, 0] + 2.0 * signs[:, 1] - 0.25 * signs[:, 2])
    assert chance(curve, signs) == pytest.approx(wanted, rel=1e-12)
    assert float(chance(curve, signs[0])) == pytest.approx(wanted[0], rel=1e-12)
    assert logit(chance((0.0, 1.0), [[0.0], [1.0]])) == pytest.approx([0.0, 1.0])
