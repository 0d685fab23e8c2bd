"""Real photographs with hand-marked truth, read as they are; skipped where they are not at hand.

The pictures are not part of the project. The figures printed here are the honest state of the reading.
"""

from __future__ import annotations

import numpy as np
import pytest
from real_photos import FOLDER, Truth, real_photos
from scoring import Score, score

from vision import NoTrussError, load_photo, read_photo

MOST_CORRECTIONS = 8
"""Over all pictures together: none was measured; other builds of the runtimes may turn a picture or two."""


def read_and_score(truth: Truth) -> Score:
    """Read one picture; a picture in which no truss is seen has everything missing."""
    try:
        reading = read_photo(load_photo(truth.picture))
    except NoTrussError:
        return score(truth.joints, truth.members, np.zeros((0, 2)), ())
    return score(truth.joints, truth.members, reading.joints, reading.members)


@pytest.mark.skipif(not FOLDER.is_dir(), reason="the real photographs are not beside this checkout")
def test_real_photographs_are_read_and_counted() -> None:
    """Every real photograph ends in a reading or an honest no; corrections stay below what was measured."""
    total = 0
    print(f"\n{'picture':34} joints P/R     members P/R    corrections")
    for truth in real_photos():
        result = read_and_score(truth)
        total += result.corrections
        joints = (
            f"{_share(result.joints_found, result.joints_read)}/"
            f"{_share(result.joints_found, result.joints_true)}"
        )
        members = (
            f"{_share(result.members_found, result.members_read)}/"
            f"{_share(result.members_found, result.members_true)}"
        )
        print(f"{truth.picture.stem:34} {joints:14} {members:14} {result.corrections}")
    print(f"{'all':34} {'':14} {'':14} {total}")
    assert total <= MOST_CORRECTIONS


def _share(part: int, whole: int) -> str:
    return f"{part / whole:.2f}" if whole else "  - "
