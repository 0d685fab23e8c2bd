"""Models and pictures for the tests of the page: a king-post truss drawn by OpenCV, with known joints."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import cv2
import numpy as np

from cli.model.file import Model

PLACES = {"A": (100.0, 400.0), "B": (400.0, 400.0), "C": (700.0, 400.0), "D": (400.0, 175.0)}
"""Pixels. Half the span is 300 and the rise 225: a triangle of sides 3, 4, 5 times 75."""

MEMBERS = ("AB", "BC", "AD", "CD", "BD")


def drawn(
    path: Path, *, places: dict[str, tuple[float, float]] = PLACES, members: tuple[str, ...] = MEMBERS
) -> None:
    """Draw the truss with a felt pen on white paper."""
    paper = np.full((560, 800, 3), 246, np.uint8)
    for start, end in members:
        ends = [tuple(round(part * 16) for part in places[name]) for name in (start, end)]
        cv2.line(paper, ends[0], ends[1], (52, 44, 40), 5, cv2.LINE_AA, 4)
    cv2.imwrite(str(path), paper)


def king_post(photo: Path | None = None, **changes: object) -> Model:
    """Return the model: pin at A, roller at C, 40 N down at B, and a span of 600 mm."""
    document: dict[str, object] = {
        "format": "panelpoint truss",
        "version": 1,
        "units": {"length": "mm", "force": "N"},
        "joints": [
            {"name": name, "px": place, "px_error": 1.0}
            if photo
            else {"name": name, "at": [place[0] - 100, 400 - place[1]]}
            for name, place in PLACES.items()
        ],
        "members": [{"joints": list(pair)} for pair in MEMBERS],
        "supports": [{"joint": "A", "kind": "pin"}, {"joint": "C", "kind": "roller"}],
        "loads": [{"joint": "B", "force": [0, -40]}],
    }
    if photo:
        digest = hashlib.sha256(photo.read_bytes()).hexdigest()
        document["picture"] = {"file": photo.name, "sha256": digest, "width": 800, "height": 560}
        document["dimensions"] = [{"kind": "along", "from": "A", "to": "C", "value": 600}]
    return Model.model_validate_json(json.dumps({**document, **changes}))
