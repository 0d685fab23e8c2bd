"""Files that commands write: asked for beforehand, written in one step, never over what the user gave."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path

from cli.errors import OutputExistsError, OutputIsInputError, UnwritableError

__all__ = [
    "STANDARD_OUTPUT",
    "ensure_folder",
    "ensure_free",
    "put_into",
    "write_atomically",
    "write_output",
]

STANDARD_OUTPUT = Path("-")
"""A lone `-` is standard output where a file is asked for."""


def ensure_free(path: Path, *, force: bool, inputs: tuple[tuple[Path, str], ...] = ()) -> None:
    """Make sure, before any work is done, that an output may be written.

    Parameters
    ----------
    path
        The output; standard output is always free.
    force
        The user allows that an older output is replaced.
    inputs
        Files of the user and what each is ("the picture itself"): these are never replaced, `force` or not.

    Raises
    ------
    OutputExistsError
        When it is there already and `force` is not given.
    OutputIsInputError
        When it is one of the inputs, under whatever name.
    UnwritableError
        When the folder is not there or cannot be written to.
    """
    if path == STANDARD_OUTPUT:
        return
    if path.exists():
        for given, what in inputs:
            if given.exists() and path.samefile(given):
                raise OutputIsInputError(path, what)
        if path.is_dir():
            raise UnwritableError(path, "it is a folder")
        if not force:
            raise OutputExistsError(path)
    _ensure_takes_files(path.parent, for_path=path)


def ensure_folder(folder: Path) -> None:
    """Make sure, before any work is done, that an output folder takes files or can be made.

    Raises
    ------
    UnwritableError
        When it is a file, or cannot be written to, or cannot be made.
    """
    if folder.exists() and not folder.is_dir():
        raise UnwritableError(folder, "it is a file, and a folder is wanted")
    nearest = folder
    while not nearest.exists():
        nearest = nearest.parent
    _ensure_takes_files(nearest, for_path=folder)


def _ensure_takes_files(folder: Path, *, for_path: Path) -> None:
    # The sure way to know that a folder takes files is to put one there.
    try:
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise UnwritableError(for_path, reason[0].lower() + reason[1:]) from None


def put_into(folder: Path, files: Mapping[str, bytes], *, force: bool) -> None:
    """Write files into a folder, each in one step; the folder is made when it is not there.

    A file that is there with the same bytes is left alone. Before anything is written, all are looked at.

    Parameters
    ----------
    folder
        Where to.
    files
        Bytes by name.
    force
        The user allows that files with other bytes are replaced.

    Raises
    ------
    OutputExistsError
        When a file with other bytes is there and `force` is not given.
    """
    wanted = {name: data for name, data in files.items() if not _holds(folder / name, data)}
    ensure_folder(folder)
    if folder.is_dir():
        for name in wanted:
            ensure_free(folder / name, force=force)
    folder.mkdir(parents=True, exist_ok=True)
    for name, data in wanted.items():
        write_atomically(folder / name, data)


def _holds(path: Path, data: bytes) -> bool:
    return path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data


def write_atomically(path: Path, data: bytes) -> None:
    """Write a file so that a reader finds the old one or the new one, whole, whenever the power fails.

    Parameters
    ----------
    path
        The file; what is there is replaced.
    data
        Its new bytes.
    """
    handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", suffix=".part", dir=path.parent)
    side = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        side.chmod(_mode(path))
        side.replace(path)
    finally:
        side.unlink(missing_ok=True)
    _sync_folder(path.parent)


def _mode(path: Path) -> int:
    """Return the permissions of the file that is replaced, else those of a new file (mkstemp is stricter)."""
    if path.exists():
        return path.stat().st_mode & 0o777
    umask = os.umask(0)
    os.umask(umask)
    return 0o666 & ~umask


def _sync_folder(folder: Path) -> None:
    """Make the renaming itself last, where the system can do that."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def write_output(path: Path, data: bytes) -> None:
    """Write an output to its file, or to standard output for a lone `-`."""
    if path == STANDARD_OUTPUT:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    else:
        write_atomically(path, data)
