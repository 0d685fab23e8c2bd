"""Speed of breaking ten thousand trusses, beside solving each drawn truss anew."""

from __future__ import annotations

import time

import numpy as np
import pytest

from solver import joint_covariance
from solver.strength import SETTINGS, chances_of, demand_of, standing_of
from tests.test_solver_strength_failing import STRIP, ladder
from tests.test_solver_strength_shape import moved

PANELS = 14
RESOLVED = 100
"""Draws solved anew: enough for a time per draw."""


@pytest.mark.benchmark
def test_draws_against_solving_each_anew() -> None:
    """Print the time of all draws of a truss of 30 joints, and the ratio to solving it once for each draw."""
    truss = ladder(PANELS)
    pieces = (STRIP,) * len(truss.members)
    standing = standing_of(demand_of(truss, pieces), pieces)
    covariance = joint_covariance(np.full(len(truss.joints), 0.5))
    chances_of(standing, joint_covariance=covariance, draws=10)
    start = time.perf_counter()
    chances_of(standing, joint_covariance=covariance)
    drawn = time.perf_counter() - start
    random = np.random.default_rng(0)
    start = time.perf_counter()
    for _ in range(RESOLVED):
        other = moved(truss, random.normal(0, 0.5, (len(truss.joints), 2)))
        standing_of(demand_of(other, pieces), pieces)
    anew = (time.perf_counter() - start) * SETTINGS.draws / RESOLVED
    print(
        f"\n{len(truss.joints)} joints, {SETTINGS.draws} draws: {drawn:.2f} s; each solved anew "
        f"{anew:.0f} s, {anew / drawn:.0f} times as long"
    )
