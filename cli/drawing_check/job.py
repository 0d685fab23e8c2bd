"""One student's drawing: read the photograph, hold it against the key, draw and tell what is not as set."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from cli.drawing_check.check import check_drawing
from cli.drawing_check.picture import draw_check
from cli.drawing_check.slips import DrawingCheck
from cli.errors import FaultsError
from cli.model_file import Model, load
from cli.photo_to_model import read_model
from cli.progress import busy
from cli.sheets.overlay import encode
from cli.translate import place

__all__ = ["CheckedDrawing", "drawing_text", "key_bytes", "mark_drawing"]


@dataclass(frozen=True, eq=False)
class CheckedDrawing:
    """A photograph held against a key."""

    checked: DrawingCheck
    picture: bytes
    """The photograph with the comparison on it, of the kind that was asked for."""


def key_bytes(path: Path) -> bytes:
    """Return the bytes of a key, once it is sure that drawings can be held against it.

    Raises
    ------
    ModelFileError, NewerVersionError, OSError
        When it is no model file that can be read.
    FaultsError, SurveyError
        When its truss has no members, or its joints cannot be placed.
    """
    _usable(load(path))
    return path.read_bytes()


def _usable(key: Model) -> Model:
    if not key.members:
        raise FaultsError(("The key has no members: give the model file of the truss that was set.",))
    place(key)
    return key


def mark_drawing(photo: Path, key_path: Path, *, kind: str) -> CheckedDrawing:
    """Hold one photograph against a key.

    Parameters
    ----------
    photo
        The student's drawing.
    key_path
        Model file of the truss that was set.
    kind
        `png`, `jpg`, `svg` or `pdf`: what the picture is to be.

    Raises
    ------
    PhotoError, NoTrussError
        When the photograph cannot be read, or shows no truss.
    ModelFileError, FaultsError, SurveyError
        When the key cannot be used.
    """
    key = _usable(load(key_path))
    picture, drawn, _ = read_model(photo, model_folder=photo.parent)
    checked = check_drawing(key, drawn)
    with busy("Drawing the comparison"):
        return CheckedDrawing(checked, encode(draw_check(picture, key, drawn, checked), kind))


def drawing_text(checked: DrawingCheck) -> str:
    """Return what to tell, one sentence a line, the verdict first and doubts last."""
    return "".join(f"{text}\n" for text in (*checked.says, *(f"Look: {doubt}" for doubt in checked.doubts)))
