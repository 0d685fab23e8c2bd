"""One student's drawing: read the photograph, hold it against the key, draw and tell what is not as set."""

from __future__ import annotations

import math
import sys
from pathlib import Path

from cli.drawing_check.check import check_drawing
from cli.drawing_check.picture import draw_check
from cli.drawing_check.second_look import second_look
from cli.drawing_check.slips import DrawingCheck
from cli.errors import FaultsError
from cli.messages import say
from cli.model.file import Model, load
from cli.model.readable_json import readable_json
from cli.outputs import ensure_folder, ensure_free, put_into
from cli.photo_to_model import read_model
from cli.progress import busy
from cli.sheets.overlay import encode
from cli.translate.places import place

__all__ = ["drawing_json", "drawing_text", "key_bytes", "mark_drawing"]


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


def mark_drawing(
    photo: Path, key_path: Path, folder: Path | None, *, as_json: bool, force: bool
) -> DrawingCheck:
    """Hold one photograph against a key, tell what came of it, and draw it.

    Parameters
    ----------
    photo
        The student's drawing.
    key_path
        Model file of the truss that was set.
    folder
        For the picture `NAME-checked.png`; None for none.
    as_json
        Print one JSON object instead of sentences.
    force
        Replace a picture that is there already.

    Raises
    ------
    PhotoError, NoTrussError
        When the photograph cannot be read, or shows no truss.
    ModelFileError, FaultsError, SurveyError
        When the key cannot be used.
    OutputExistsError, UnwritableError
        When the picture cannot be written.
    """
    key = _usable(load(key_path))
    name = f"{photo.stem}-checked.png"
    if folder is not None:
        ensure_folder(folder)
        if folder.is_dir():
            ensure_free(folder / name, force=force, inputs=((photo, "the picture itself"),))
    picture, drawn, _ = read_model(photo, model_folder=photo.parent)
    checked = second_look(picture, drawn, check_drawing(key, drawn))
    if folder is not None:
        with busy("Drawing the comparison"):
            drawing = encode(draw_check(picture, key, drawn, checked), "png")
        put_into(folder, {name: drawing}, force=force)
    sys.stdout.write(drawing_json(checked) if as_json else drawing_text(checked))
    if folder is not None:
        say(f"Written to {folder / name}.")
    return checked


def drawing_text(checked: DrawingCheck) -> str:
    """Return what to tell, one sentence a line, the verdict first and doubts last."""
    return "".join(f"{text}\n" for text in (*checked.says, *(f"Look: {doubt}" for doubt in checked.doubts)))


def drawing_json(checked: DrawingCheck) -> str:
    """Return the same as one JSON object; its keys are stable, more may be added."""
    found = checked.found
    return readable_json(
        {
            "verdict": checked.verdict,
            "slips": [{"kind": slip.kind, "says": slip.says, "sure": slip.sure} for slip in checked.slips],
            "shape_off": None if found is None else found.shape_off,
            "mirrored": None if found is None else found.mirrored,
            "turned_degrees": None if found is None else math.degrees(found.turn),
            "stretch": None if found is None else found.stretch,
            "joints": list(checked.names),
            "remarks": list(checked.remarks),
            "look": list(checked.doubts),
        }
    )
