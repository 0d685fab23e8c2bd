"""The real photographs with hand-marked truth that may lie beside the checkout; they are not part of it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

__all__ = ["FOLDER", "Truth", "real_photos"]

FOLDER = Path(__file__).parents[2] / "shared" / "real_photos"


@dataclass(frozen=True, eq=False)
class Truth:
    """What a person marked in one photograph."""

    picture: Path
    kind: str
    """`model` for stick models (near truss only), otherwise the manner of drawing."""
    joints: NDArray[np.float64]
    members: tuple[tuple[int, int], ...]


def real_photos() -> list[Truth]:
    """Load the truth of every picture; none where the folder is absent."""
    found = []
    for path in sorted(FOLDER.glob("*.truth.json")):
        content = json.loads(path.read_text(encoding="utf-8"))
        names = [joint["name"] for joint in content["joints"]]
        found.append(
            Truth(
                picture=FOLDER / content["image"],
                kind=content["kind"],
                joints=np.array([joint["px"] for joint in content["joints"]]),
                members=tuple((names.index(a), names.index(b)) for a, b in content["members"]),
            )
        )
    return found
