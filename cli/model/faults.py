"""Faults that the types find in a model file, said in plain words: the place, what is wrong, the cure."""

from __future__ import annotations

import difflib
import json
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

__all__ = ["faults_of"]

WORDS = {
    "string_type": "text in double quotes is wanted",
    "string_pattern_mismatch": "this text does not fit",
    "float_type": "a number is wanted",
    "int_type": "a whole number is wanted",
    "int_from_float": "a whole number is wanted",
    "bool_type": "true or false is wanted",
    "finite_number": "a finite number is wanted",
    "tuple_type": "a list in square brackets is wanted",
    "model_type": "an object in curly brackets is wanted",
    "dict_type": "an object in curly brackets is wanted",
    "string_too_short": "this text is empty",
}
QUOTED = 40
"""Characters of a wrong value that are quoted back."""


def faults_of(error: ValidationError, model: type[BaseModel]) -> tuple[str, ...]:
    """Return one sentence a fault.

    Parameters
    ----------
    error
        What the types raised.
    model
        The type of the whole document, to know which keys a place can have.
    """
    sentences: list[str] = []
    all_details = error.errors(include_url=False)
    places = [details["loc"] for details in all_details]
    for details in all_details:
        place = details["loc"]
        if details["type"] == "too_short" and any(other[: len(place)] == place != other for other in places):
            continue  # items that are wrong in themselves are not counted; they are named already
        sentences.extend(_sentences(details, model))
    return tuple(sentences)


def _sentences(details: ErrorDetails, model: type[BaseModel]) -> list[str]:
    place, kind = _place(details["loc"]), details["type"]
    if kind == "value_error":
        # Said by a check of our own: it carries its place when it is about the whole document.
        said = str(details["ctx"]["error"])
        return said.split("\n") if not place else [f"{place}: {said}."]
    if kind == "extra_forbidden":
        return [f"{place}: {_unknown_key(str(details['loc'][-1]), _keys_at(details['loc'][:-1], model))}"]
    if kind == "missing":
        return [f"{place} is missing{_example(details['loc'])}: add it."]
    if kind in {"too_short", "too_long"}:
        context = details["ctx"]
        wanted = context.get("min_length", context.get("max_length"))
        return [f"{place}: {wanted} items are wanted and {context['actual_length']} are there."]
    if kind == "literal_error":
        return [f"{place}: {_quoted(details['input'])} is not one of {details['ctx']['expected']}."]
    said = WORDS.get(kind) or details["msg"].replace("Input should be", "the value should be").rstrip(".")
    if details["loc"][-1:] == ("name",) and kind == "string_pattern_mismatch":
        said = "a joint's name has 1 to 40 characters and no blanks"
    return [f"{place}: {said}, not {_quoted(details['input'])}."]


def _place(loc: tuple[int | str, ...]) -> str:
    """Return `members[3].joints[1]` for ('members', 3, 'joints', 1)."""
    text = ""
    for part in loc:
        text += f"[{part}]" if isinstance(part, int) else f".{part}"
    return text.removeprefix(".")


def _unknown_key(key: str, known: list[str]) -> str:
    near = difflib.get_close_matches(key, known, n=1)
    guess = f' (did you mean "{near[0]}"?)' if near else ""
    return f'"{key}" is not a key known here{guess}; known keys are {", ".join(known)}.'


def _keys_at(loc: tuple[int | str, ...], model: type[BaseModel]) -> list[str]:
    """Return the keys that the object at a place can have, found by walking the schema there."""
    schema: dict[str, Any] = model.model_json_schema(by_alias=True)
    definitions = schema.get("$defs", {})

    def resolved(part: dict[str, Any]) -> dict[str, Any]:
        for choice in part.get("anyOf", ()):
            if choice.get("type") != "null":
                return resolved(choice)
        reference = part.get("$ref")
        return definitions[reference.rsplit("/", 1)[1]] if reference else part

    here = schema
    for part in loc:
        if isinstance(part, int):
            here = resolved(here.get("items") or here["prefixItems"][part])
        elif part in here.get("properties", {}):
            here = resolved(here["properties"][part])
        else:
            here = resolved(here["additionalProperties"])
    return list(here["properties"])


def _example(loc: tuple[int | str, ...]) -> str:
    return ' (for example "units": {"length": "mm", "force": "N"})' if loc == ("units",) else ""


def _quoted(value: object) -> str:
    try:
        text = json.dumps(value, ensure_ascii=False)
    except (TypeError, ValueError):
        text = str(value)
    return text if len(text) <= QUOTED else text[:QUOTED] + "..."
