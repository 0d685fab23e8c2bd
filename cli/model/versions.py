"""Older versions of the model file, and how each becomes the next one.

Version 0 is the short form that was typed by hand before versions were numbered: no `version` key, `joints`
an object of name and place, `members` bare pairs. To add a version: raise `VERSION`, add one function to
`STEPS`.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from cli.errors import ModelFileError, NewerVersionError

__all__ = ["FORMAT", "VERSION", "migrate"]

FORMAT: Final = "panelpoint truss"
VERSION: Final = 1


def migrate(path: Path, document: dict[str, Any]) -> dict[str, Any]:
    """Return the document in the present version.

    Parameters
    ----------
    path
        Only to name the file in an error.
    document
        As parsed; it is not changed.

    Raises
    ------
    ModelFileError
        When it is not a panelpoint truss at all.
    NewerVersionError
        When it is of a later version than this program knows.
    """
    if document.get("format") != FORMAT:
        cure = f'this is not a model file: it should begin with "format": "{FORMAT}".'
        raise ModelFileError(path, (cure,))
    found = document.get("version", 0)
    if not isinstance(found, int) or isinstance(found, bool) or found < 0:
        raise ModelFileError(path, (f"version: a whole number is wanted; this panelpoint writes {VERSION}.",))
    if found > VERSION:
        raise NewerVersionError(path, found, VERSION)
    for step in STEPS[found:]:
        document = step(document)
    return document


def _from_0_to_1(document: dict[str, Any]) -> dict[str, Any]:
    """Give every joint and member an object of its own."""
    new = {**document, "version": 1}
    joints, members = document.get("joints"), document.get("members")
    if isinstance(joints, dict):
        new["joints"] = [{"name": name, "at": at} for name, at in joints.items()]
    if isinstance(members, list):
        new["members"] = [{"joints": pair} if isinstance(pair, list) else pair for pair in members]
    return new


STEPS: tuple[Callable[[dict[str, Any]], dict[str, Any]], ...] = (_from_0_to_1,)
"""Step number v turns a document of version v into one of version v + 1."""
