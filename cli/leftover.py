"""The model file that a `run` left behind when it was not confirmed: the next `run` may replace it.

Nothing that a person worked on is ever taken for one: not a confirmed file, not one that the confirm page
has changed, not one whose text, joints or members are other than a `run` writes.
"""

from __future__ import annotations

from pathlib import Path

from cli.errors import ModelFileError, NewerVersionError, OutputExistsError
from cli.model.file import Model, dumps, load
from cli.page.journal import journal_path

__all__ = ["ensure_replaceable", "may_be_leftover"]

_ANSWERED = ("title", "units", "supports", "loads", "dimensions", "level")
"""What the options of `run` put into a file beside the reading."""


def may_be_leftover(path: Path) -> bool:
    """Say, before the picture is read, whether a file can be one that a `run` left unconfirmed."""
    return _left(path) is not None


def ensure_replaceable(path: Path, reading: Model) -> None:
    """Make sure that a model file that is there holds nothing but this reading and answers to a `run`.

    Parameters
    ----------
    path
        Where the model file goes.
    reading
        As just read from the picture.

    Raises
    ------
    OutputExistsError
        When something else is there.
    """
    if not path.exists():
        return
    left = _left(path)
    if left is None or left.model_copy(update={key: getattr(reading, key) for key in _ANSWERED}) != reading:
        raise OutputExistsError(path)


def _left(path: Path) -> Model | None:
    if not path.is_file() or journal_path(path).exists():
        return None
    try:
        model = load(path)
        as_written = dumps(model).encode() == path.read_bytes()
    except (ModelFileError, NewerVersionError):
        return None
    return model if as_written and not model.confirmed else None
