"""The whole job on one picture: what `run` and `demo` leave in their folder."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from cli.job import Solved
from cli.model.file import MODEL_SUFFIX, dumps
from cli.pictures import overlay_bytes
from cli.report import members_csv, solution_text
from cli.steps_text import steps_as_text
from cli.translate.places import with_places
from solver import work
from vision import Photo

__all__ = ["MEMBERS", "OVERLAY", "SOLUTION", "model_name", "result_files"]

OVERLAY = "overlay.png"
SOLUTION = "solution.txt"
MEMBERS = "members.csv"


def model_name(photo: Path) -> str:
    """Return the name of the model file of a picture."""
    return f"{photo.stem}{MODEL_SUFFIX}"


def result_files(photo: Photo, solved: Solved) -> Mapping[str, bytes]:
    """Return everything that a solved picture leaves behind: bytes by file name.

    The model file with the joints' places in it, the forces on the photograph, the worked solution as text,
    and the member table.
    """
    solution = solved.solution
    text = solution_text(solution, title=solved.model.title) + "\n" + steps_as_text(work(solution.truss))
    return {
        model_name(photo.path): dumps(with_places(solved.model, solved.placed.at)).encode(),
        OVERLAY: overlay_bytes(photo, solved, "png"),
        SOLUTION: text.encode(),
        MEMBERS: members_csv(solution).encode(),
    }
