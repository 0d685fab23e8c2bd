"""What all tests share: the switches for full counts and for golden files, and maps that are kept."""

from __future__ import annotations

import gc
import hashlib
import os
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.samples import THOROUGH
from vision import maps


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


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Leave what collecting makes out of every later search for garbage.

    All test modules, and the libraries they import, are some 300,000 objects that stay to the end. To walk
    through them again and again would be a tenth of the work of the whole suite; what tests leave behind is
    searched more seldom than a program of unknown length should.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.collect()
        gc.freeze()
        gc.set_threshold(20_000, 20, 20)
        gc.enable()


@pytest.fixture
def update_golden(request: pytest.FixtureRequest) -> bool:
    """Tell whether golden files are to be written anew."""
    return bool(request.config.getoption("--update-golden"))


class _Asked:
    """The network, asked once about each picture."""

    def __init__(self, network: Any, weights: Path, kept: dict[bytes, list[np.ndarray]]) -> None:
        self._network, self._weights, self._kept = network, weights, kept

    def run(self, outputs: None, inputs: dict[str, np.ndarray]) -> list[np.ndarray]:
        picture = inputs["picture"]
        key = hashlib.sha256(f"{self._weights} {picture.shape}".encode() + picture.tobytes()).digest()
        if key not in self._kept:
            self._kept[key] = self._network.run(outputs, inputs)
        return [answer.copy() for answer in self._kept[key]]


@pytest.fixture(scope="module")
def kept_maps() -> Iterator[dict[bytes, list[np.ndarray]]]:
    """Ask the network once about each picture: for modules that read one often, to test what follows.

    Everything else of the reading is done each time. That the network says the same of the same picture
    again is tested where the kept maps are cleared (`test_cli_run.py`).
    """
    kept: dict[bytes, list[np.ndarray]] = {}
    network = maps._session
    with pytest.MonkeyPatch.context() as patch:

        def asked(weights: Path, threads: int) -> _Asked:
            return _Asked(network(weights, threads), weights, kept)

        patch.setattr(maps, "_session", asked)
        yield kept
