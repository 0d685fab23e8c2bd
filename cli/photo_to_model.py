"""From a photograph to an unconfirmed model."""

from __future__ import annotations

from pathlib import Path

from cli.model.file import Model
from cli.model.parts import UnitsEntry
from cli.progress import busy
from cli.reading_words import reading_remarks
from cli.translate.from_reading import model_of
from vision import Keep, Photo, load_photo, read_photo

__all__ = ["names_beside", "read_model"]

UNITS_BEFORE_ANSWERS = UnitsEntry(length="mm", force="N")
"""Units of a file in which nobody has put a number yet."""


def read_model(
    path: Path, *, model_folder: Path, keep: Keep | None = None
) -> tuple[Photo, Model, tuple[str, ...]]:
    """Read a photograph into an unconfirmed model.

    Parameters
    ----------
    path
        The photograph.
    model_folder
        Where the model file will be: it names its picture from there.
    keep
        Takes the pictures of the stages.

    Returns
    -------
    photo, model, remarks
        The upright picture, what was read, and sentences for the person.

    Raises
    ------
    PhotoError
        When the file is no picture that can be read.
    NoTrussError
        When no truss is seen in it.
    """
    with busy(f"Reading {path.name}"):
        photo = load_photo(path)
        reading = read_photo(photo, keep=keep)
    model = model_of(reading, photo, model_folder=model_folder, units=UNITS_BEFORE_ANSWERS)
    return photo, model, reading_remarks(model, reading.remarks)


def names_beside(path: Path) -> Path:
    """Return where the picture with the joints' names goes: `creek-names.png` beside `creek.truss.json`."""
    stem = path.name.removesuffix(".json").removesuffix(".truss") if path.suffix == ".json" else path.stem
    return path.with_name(f"{stem}-names.png")
