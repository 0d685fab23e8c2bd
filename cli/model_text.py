"""Text of a model file: JSON that a person can read, and a diff of two versions too."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

from cli.errors import ModelFileError

__all__ = ["model_text", "parse_model_text"]

LINE = 110
"""Characters. A part of the document goes on one line when it fits, and on several when it does not."""

WHOLE_BELOW = 1e15
"""Whole numbers are written without '.0' below this size, where a float still holds every whole number."""


def model_text(document: dict[str, Any]) -> str:
    """Return the JSON text of a document: two-space indent, one joint, member or load a line.

    Parameters
    ----------
    document
        JSON values only; the order of the keys is kept.
    """
    lines = [f"  {_string(key)}: {_top_value(value)}" for key, value in document.items()]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _top_value(value: object) -> str:
    """Write the value of a key of the document: a list of objects is always one object a line."""
    if isinstance(value, list) and any(isinstance(item, dict) for item in value):
        return "[\n" + ",\n".join("    " + _value(item, "    ") for item in value) + "\n  ]"
    if isinstance(value, dict) and any(isinstance(item, dict) for item in value.values()):
        inner = ",\n".join(f"    {_string(key)}: {_value(item, '    ')}" for key, item in value.items())
        return "{\n" + inner + "\n  }"
    return _value(value, "  ")


def _value(value: object, indent: str) -> str:
    """Write a value on one line if it fits, else one item a line."""
    line = _one_line(value)
    if len(indent) + len(line) <= LINE or not isinstance(value, dict | list) or not value:
        return line
    deeper = indent + "  "
    if isinstance(value, dict):
        items = [f"{_string(key)}: {_value(item, deeper)}" for key, item in value.items()]
    else:
        items = [_value(item, deeper) for item in value]
    opening, closing = ("{", "}") if isinstance(value, dict) else ("[", "]")
    return f"{opening}\n" + ",\n".join(deeper + item for item in items) + f"\n{indent}{closing}"


def _one_line(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_string(key)}: {_one_line(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_one_line(item) for item in value) + "]"
    if isinstance(value, float) and value.is_integer() and abs(value) < WHOLE_BELOW:
        return str(int(value))
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _string(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def parse_model_text(path: Path, data: bytes) -> dict[str, Any]:
    """Parse the bytes of a model file.

    Parameters
    ----------
    path
        Only to name the file in an error.
    data
        UTF-8, with or without a byte order mark.

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
        raise ModelFileError(path, ("this is not text: give a model file (NAME.truss.json).",)) from None
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
        raise ModelFileError(path, ("the brackets are nested too deep for a model file.",)) from None
    except ValueError:
        # Python refuses to turn thousands of digits into a whole number.
        raise ModelFileError(path, ("a number has too many digits: shorten it.",)) from None
    if repeated:
        faults = tuple(f'the key "{key}" stands twice in one place: remove one of them.' for key in repeated)
        raise ModelFileError(path, faults)
    if not isinstance(document, dict):
        raise ModelFileError(path, ("a model file is one JSON object, in curly brackets.",))
    return document
