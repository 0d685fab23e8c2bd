"""The JSON Schema of a file of ours, generated from its type."""

from __future__ import annotations

import re
from typing import Any

from cli.model.entry import Entry

__all__ = ["json_schema"]

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema(kind: type[Entry]) -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a kind of file.

    Parameters
    ----------
    kind
        The type of the whole file. Its `format` and `version` have defaults in the code and are asked for in
        files all the same.
    """
    schema = kind.model_json_schema(by_alias=True)
    schema["required"] = ["format", "version", *schema.get("required", ())]
    for part in (schema, *schema["$defs"].values()):
        part["title"] = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", part["title"].removesuffix("Entry"))
    return {"$schema": _DIALECT, **schema}
