"""What all tests share: the switches for full counts and for golden files."""

from __future__ import annotations

import os

import pytest

from tests.samples import THOROUGH


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add `--update-golden`, which writes golden files anew, and `--thorough`, which takes no samples."""
    parser.addoption(
        "--update-golden", action="store_true", help="write golden files anew; look at them before committing"
    )
    parser.addoption(
        "--thorough",
        action="store_true",
        help="the full counts of every random check, instead of the fixed samples that fit five minutes",
    )


def pytest_configure(config: pytest.Config) -> None:
    """Tell test modules, and the workers that import them, whether the full counts are wanted.

    Counts stand in decorators, which are read before any fixture exists; workers inherit the environment.
    """
    if config.getoption("--thorough"):
        os.environ[THOROUGH] = "yes"


@pytest.fixture
def update_golden(request: pytest.FixtureRequest) -> bool:
    """Tell whether golden files are to be written anew."""
    return bool(request.config.getoption("--update-golden"))
