"""A person's own material: what a few broken samples say about mean and spread."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from solver.errors import StockError
from solver.strength.materials import Figure
from solver.strength.stock import Section

__all__ = ["FEWEST_SAMPLES", "modulus_of_samples", "shear_of_samples", "strength_of_samples"]

FEWEST_SAMPLES = 3
"""Two say next to nothing about a spread."""


def strength_of_samples(loads: Sequence[float], section: Section, *, net: float = 1.0) -> Figure:
    """Give mean strength and spread from the loads at which samples snapped or crushed.

    Parameters
    ----------
    loads : sequence of float
        Newtons, three or more.
    section : Section
        Of each sample.
    net : float
        Share of the area that carried, 0 to 1.

    Returns
    -------
    Figure
        MPa. Its scatter is that of the next piece: s sqrt(1 + 1/n) over the mean, with s the sample standard
        deviation (n - 1), since the mean of n samples is itself uncertain.

    Raises
    ------
    StockError
        When there are fewer than three samples, or one is not a positive number.
    """
    return _figure(np.asarray(loads, dtype=float) / (section.area * net), len(loads))


def shear_of_samples(loads: Sequence[float], area: float) -> Figure:
    """Give the shear strength of glued laps and its spread from the loads at which samples let go.

    Parameters
    ----------
    loads : sequence of float
        Newtons, three or more.
    area : float
        Glued area of each lap, mm².

    Notes
    -----
    The glue peels and the wood beside it shears; what let go does not matter, since it is tested as built.
    """
    if not math.isfinite(area) or area <= 0:
        raise StockError(f"A lap of {area:g} mm² is impossible: give an area above zero.")
    return _figure(np.asarray(loads, dtype=float) / area, len(loads))


def modulus_of_samples(loads: Sequence[float], section: Section, *, length: float) -> Figure:
    """Give the modulus E and its spread from the loads at which slender samples bent out sideways.

    The ends must be free to turn, such as in two shallow hollows: E = P L² / (pi² I), Euler turned round.

    Parameters
    ----------
    loads : sequence of float
        Newtons, three or more.
    length : float
        Millimetres between the two ends.
    """
    if not math.isfinite(length) or length <= 0:
        raise StockError(f"A sample {length:g} mm long is impossible: give a length above zero.")
    return _figure(np.asarray(loads, dtype=float) * length**2 / (math.pi**2 * section.inertia), len(loads))


def _figure(values: np.ndarray[tuple[int], np.dtype[np.float64]], count: int) -> Figure:
    if count < FEWEST_SAMPLES:
        raise StockError(
            f"{count} broken samples say too little about the spread: break {FEWEST_SAMPLES} or more."
        )
    if not np.isfinite(values).all() or (values <= 0).any():
        raise StockError("A sample broke at no load or less, which is impossible: give loads above zero.")
    mean = float(values.mean())
    spread = float(values.std(ddof=1)) * math.sqrt(1 + 1 / count)
    source = f"own test of {count} samples"
    return Figure(mean, source, "own test", spread / mean, source)
