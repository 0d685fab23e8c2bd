"""From the bytes of a model file to its JSON document, or a sentence that says why not."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

from cli.errors import ModelFileError

__all__ = ["parse_model_text"]


def parse_model_text(
    path: Path, data: bytes, *, kind: str = "a model file (NAME.truss.json)"
) -> dict[str, Any]:
    """Parse the bytes of a model file, or of another file of the same manner.

    Parameters
    ----------
    path
        Only to name the file in an error.
    data
        UTF-8, with or without a byte order mark.
    kind
        What should have been given.

    Returns
    -------
    dict
        The document. Nothing but its being a JSON object without repeated keys has been checked.

    Raises
    ------
    ModelFileError
        When it is not JSON, names line and column; when a key stands twice, names the key.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ModelFileError(path, (f"this is not text: give {kind}.",)) from None
    repeated: list[str] = []

    def no_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        keys = [key for key, _ in pairs]
        repeated.extend(key for key in dict.fromkeys(keys) if keys.count(key) > 1)
        return dict(pairs)

    try:
        document = json.loads(text, object_pairs_hook=no_repeats, parse_constant=lambda _: math.nan)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        what = error.msg[0].lower() + error.msg[1:]
        raise ModelFileError(
            path, (f"this is not JSON at {place}: {what}; mend it in a text editor.",)
        ) from None
    except RecursionError:
        raise ModelFileError(path, ("the brackets are nested too deep for such a file.",)) from None
    except ValueError:
        # Python refuses to turn thousands of digits into a whole number.
        raise ModelFileError(path, ("a number has too many digits: shorten it.",)) from None
    if repeated:
        faults = tuple(f'the key "{key}" stands twice in one place: remove one of them.' for key in repeated)
        raise ModelFileError(path, faults)
    if not isinstance(document, dict):
        raise ModelFileError(
            path, ("this is not one JSON object in curly brackets: mend it in a text editor.",)
        )
    return document
