"""JSON that a person can read, and a diff of two versions too: one joint, member or load a line."""

from __future__ import annotations

import json
from typing import Any

__all__ = ["readable_json"]

LINE = 110
"""Characters. A part of the document goes on one line when it fits, and on several when it does not."""

WHOLE_BELOW = 1e15
"""Whole numbers are written without '.0' below this size, where a float still holds every whole number."""


def readable_json(document: dict[str, Any]) -> str:
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
