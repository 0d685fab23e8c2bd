"""The marker's figures on the full synthetic class: `pytest tests/benchmarks/test_marking.py -n 0 -s`."""

from __future__ import annotations

import time

import pytest

from tests.marking_class import REPORTED, Score, class_of, class_of_unknown, score


def _shown(name: str, found: Score, seconds: float) -> None:
    print(f"\n{name}: {1000 * seconds / found.papers:.0f} ms a paper\n{found.lines()}")
    for note in found.notes:
        print("  ", note)


@pytest.mark.benchmark
@pytest.mark.timeout(3600)
def test_figures_of_the_class() -> None:
    """Print them for the seed kept for reporting, apart from those that prices were tuned on."""
    for name, papers in (
        ("class of 200", class_of(200, REPORTED)),
        ("300 unknown", class_of_unknown(300, REPORTED)),
    ):
        start = time.process_time()
        found = score(papers)
        _shown(name, found, time.process_time() - start)
        assert found.papers == len(papers)
