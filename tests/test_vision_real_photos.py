"""Real photographs with hand-marked truth, read as they are; skipped where they are not at hand.

The pictures are not part of the project. The figures printed here are the honest state of the reading.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from scoring import Score, score

from vision import NoTrussError, load_photo, read_photo

FOLDER = Path(__file__).parents[2] / "shared" / "real_photos"

MOST_CORRECTIONS = 520
"""Over all pictures together: 472 were measured, and a tenth is added for other builds of OpenCV."""


@dataclass(frozen=True, eq=False)
class Truth:
    """What a person marked in one photograph."""

    picture: Path
    joints: np.ndarray
    members: tuple[tuple[int, int], ...]


def truths() -> list[Truth]:
    """Load the hand-marked truth of every picture."""
    found = []
    for path in sorted(FOLDER.glob("*.truth.json")):
        content = json.loads(path.read_text(encoding="utf-8"))
        names = [joint["name"] for joint in content["joints"]]
        found.append(
            Truth(
                picture=FOLDER / content["image"],
                joints=np.array([joint["px"] for joint in content["joints"]]),
                members=tuple((names.index(a), names.index(b)) for a, b in content["members"]),
            )
        )
    return found


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
    for truth in truths():
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
