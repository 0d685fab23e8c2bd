"""What one broken bridge says about the class's own stock."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solver.errors import QuestionError
from solver.strength.settings import SETTINGS

__all__ = ["StrengthUpdate", "update_strength", "update_together"]


@dataclass(frozen=True)
class StrengthUpdate:
    """The class's own stock as a factor on the averages used, after testing."""

    factor: float
    """Multiply predictions, or strengths and modulus alike, by this."""
    low: float
    """Two standard errors below."""
    high: float
    """Two standard errors above."""
    weight: float
    """Share that the tests have in the logarithm of the factor, 0 to 1; the rest is the averages' own."""


def update_strength(
    predicted: float,
    tested: Sequence[float],
    *,
    scatter: float,
    batch: float = SETTINGS.batch,
) -> StrengthUpdate:
    """Weigh tests against the averages: each counts by how little it scatters.

    Parameters
    ----------
    predicted : float
        Failure load, median of the draws, in any unit.
    tested : sequence of float
        Failure loads of trusses like it, in the same unit.
    scatter : float
        Standard deviation of the logarithm of one truss's failure load (`Chances.log_spread`).
    batch : float
        Standard deviation of the logarithm of the class's average over the one used, before any test.

    Raises
    ------
    QuestionError
        When a load is not a positive number, or there is none.

    References
    ----------
    Normal prior and normal observations with known variances, in logarithms: A. Gelman et al., Bayesian
    Data Analysis, section 2.5 (from memory).
    """
    if not math.isfinite(predicted) or predicted <= 0:
        raise QuestionError("A predicted load is a number above zero.")
    ratios = [load / predicted for load in tested]
    return update_together(ratios, [scatter] * len(ratios), batch=batch)


def update_together(
    ratios: Sequence[float], scatters: Sequence[float], *, batch: float = SETTINGS.batch
) -> StrengthUpdate:
    """Weigh tests of different trusses of one stock against the averages, each by how little it scatters.

    Parameters
    ----------
    ratios : sequence of float
        Load at which each truss let go over its predicted median.
    scatters : sequence of float
        Standard deviation of the logarithm of each truss's failure load (`Chances.log_spread`).
    batch : float
        As of `update_strength`.

    Raises
    ------
    QuestionError
        As of `update_strength`, which has the reference.
    """
    if not ratios or not all(math.isfinite(ratio) and ratio > 0 for ratio in ratios):
        raise QuestionError("A tested load is a number above zero: give the load at which the truss let go.")
    sound = all(math.isfinite(scatter) and scatter >= 0 for scatter in scatters)
    if not (sound and math.isfinite(batch) and batch > 0):
        raise QuestionError("Give a scatter of zero or more, and a spread of batches above zero.")
    logs = [math.log(ratio) for ratio in ratios]
    exact = [log for log, scatter in zip(logs, scatters, strict=True) if scatter == 0]
    if exact:  # what does not scatter leaves nothing to the rest
        mean, noise = sum(exact) / len(exact), 0.0
    else:
        shares = [scatter**-2 for scatter in scatters]
        noise = 1 / sum(shares)
        mean = noise * sum(share * log for share, log in zip(shares, logs, strict=True))
    weight = batch**2 / (batch**2 + noise)
    error = math.sqrt(weight * noise)
    return StrengthUpdate(
        math.exp(weight * mean),
        math.exp(weight * mean - 2 * error),
        math.exp(weight * mean + 2 * error),
        weight,
    )
