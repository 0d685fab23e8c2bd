"""A small pile for the tests of `panelpoint batch`: drawings, one worked by hand, and files that are none."""

from __future__ import annotations

import json
from pathlib import Path

import cv2
import numpy as np

__all__ = ["KING_POST", "draw_king_post", "king_post_model", "small_pile"]

KING_POST = {"A": (150.0, 420.0), "B": (400.0, 420.0), "C": (650.0, 420.0), "D": (400.0, 230.0)}
MEMBERS = ("AB", "BC", "AD", "CD", "BD")
SIZE = (800, 560)


def draw_king_post(path: Path, *, shift: int = 0, members: tuple[str, ...] = MEMBERS) -> None:
    """Draw the truss with a dark pen on a light sheet, a little aside so that each file is its own."""
    page = np.full((SIZE[1], SIZE[0], 3), 244, dtype=np.uint8)
    for ends in members:
        places = [(round((KING_POST[name][0] + shift) * 16), round(KING_POST[name][1] * 16)) for name in ends]
        cv2.line(page, places[0], places[1], (60, 40, 30), 5, cv2.LINE_AA, 4)
    done, data = cv2.imencode(path.suffix, page)
    assert done
    path.write_bytes(data.tobytes())


def king_post_model(photo: Path, **changes: object) -> Path:
    """Write the confirmed model of such a drawing beside it: pin A, roller C, 40 N down at D, 500 mm span."""
    import hashlib  # noqa: PLC0415

    document: dict[str, object] = {
        "format": "panelpoint truss",
        "version": 1,
        "units": {"length": "mm", "force": "N"},
        "picture": {
            "file": photo.name,
            "sha256": hashlib.sha256(photo.read_bytes()).hexdigest(),
            "width": SIZE[0],
            "height": SIZE[1],
        },
        "joints": [{"name": name, "px": list(place)} for name, place in KING_POST.items()],
        "members": [{"joints": list(ends)} for ends in MEMBERS],
        "supports": [{"joint": "A", "kind": "pin"}, {"joint": "C", "kind": "roller"}],
        "loads": [{"joint": "D", "force": [0, -40]}],
        "dimensions": [{"kind": "across", "from": "A", "to": "C", "value": 500}],
        **changes,
    }
    path = photo.with_name(f"{photo.stem}.truss.json")
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def small_pile(folder: Path) -> Path:
    """Make a pile: two to solve, two to read, a blank page, a text called .jpg, the same drawing twice."""
    (folder / "group b").mkdir(parents=True)
    for row, name in enumerate(("ada.png", "ben.png", "group b/cleo.png", "group b/dan.jpg")):
        draw_king_post(folder / name, shift=3 * row)
    king_post_model(folder / "ada.png")
    king_post_model(folder / "ben.png", loads=[])
    (folder / "twin.png").write_bytes((folder / "group b" / "cleo.png").read_bytes())
    cv2.imwrite(str(folder / "blank.png"), np.full((300, 400, 3), 250, np.uint8))
    (folder / "text.jpg").write_text("not a picture")
    (folder / "notes.txt").write_text("left alone")
    return folder
