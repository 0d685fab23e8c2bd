"""What the files of a test day share: read strictly, told in plain words, written in one step."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from cli.errors import ModelFileError, NewerVersionError
from cli.model.entry import Entry
from cli.model.faults import faults_of
from cli.model.readable_json import readable_json
from cli.model.text import parse_model_text
from cli.outputs import write_atomically

__all__ = ["load_document", "save_document"]

Document = TypeVar("Document", bound=Entry)


def load_document(path: Path, kind: type[Document], *, suffix: str) -> Document:
    """Read a file of a test day.

    Parameters
    ----------
    path
        The file.
    kind
        Its type; its fields `format` and `version` have one value each.
    suffix
        What the name of such a file ends in.

    Raises
    ------
    ModelFileError
        When it is not such a file, with every fault and its place.
    NewerVersionError
        When a later version of the program wrote it.
    OSError
        When it cannot be read.
    """
    document = parse_model_text(path, path.read_bytes(), kind=f"such a file (NAME{suffix})")
    named, version = kind.model_fields["format"].default, kind.model_fields["version"].default
    if document.get("format") != named:
        raise ModelFileError(path, (f'it should begin with "format": "{named}".',))
    found = document.get("version", version)
    if isinstance(found, int) and not isinstance(found, bool) and found > version:
        raise NewerVersionError(path, found, version)
    try:
        # By way of JSON, since strict types take a list for a tuple only from there.
        return kind.model_validate_json(json.dumps(document), by_alias=True, by_name=False)
    except ValidationError as error:
        raise ModelFileError(path, faults_of(error, kind)) from None


def save_document(path: Path, document: Entry) -> None:
    """Write a file in one step, so that it is never half there: what is absent or empty is left out."""
    dumped: dict[str, Any] = document.model_dump(mode="json", by_alias=True, exclude_none=True)
    kept = {key: value for key, value in dumped.items() if value not in ([], {})}
    write_atomically(path, readable_json(kept).encode())
