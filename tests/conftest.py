"""What all tests share: the switch that renews golden files."""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add `--update-golden`, which writes golden files anew instead of comparing with them."""
    parser.addoption(
        "--update-golden", action="store_true", help="write golden files anew; look at them before committing"
    )


@pytest.fixture
def update_golden(request: pytest.FixtureRequest) -> bool:
    """Tell whether golden files are to be written anew."""
    return bool(request.config.getoption("--update-golden"))
