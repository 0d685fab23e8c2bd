"""How much of a large random check runs: a fixed sample by default, all of it with `pytest --thorough`."""

from __future__ import annotations

import os

THOROUGH = "PANELPOINT_THOROUGH"
"""Environment variable that the option sets (tests/conftest.py)."""

EVERY = 9
"""Of numbered trusses the sample takes every ninth: their joints are counted by number modulo 28 and their
pictures sized by number modulo 4, so nearly every count and all sizes are met."""


def seeds(everything: int) -> range:
    """Return the numbers of all random trusses with `--thorough`, and every ninth otherwise."""
    return range(0, everything, 1 if os.environ.get(THOROUGH) else EVERY)


def sampled(everything: int, sample: int) -> int:
    """Return the full count with `--thorough`, and the count of the fixed sample otherwise."""
    return everything if os.environ.get(THOROUGH) else sample
