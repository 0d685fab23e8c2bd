"""The model file: the one document that passes between the commands, the confirm page and a text editor.

JSON, UTF-8, two-space indent, stable key order. `Model` and its parts are the format; `schema.json` beside is
generated from them (`python -m cli.model.file`) and tested against them. `px` is where a joint is in the
picture (x right, y down), `at` where it is in the plane (length units, x right, y up).
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal, Self

from pydantic import Field, ValidationError, model_validator

from cli.errors import ModelFileError
from cli.model.entry import Entry, Positive
from cli.model.faults import faults_of
from cli.model.json_schema import json_schema
from cli.model.parts import (
    DeckLoadEntry,
    DimensionEntry,
    JointEntry,
    LoadEntry,
    MemberEntry,
    Name,
    PictureEntry,
    SupportEntry,
    UnitsEntry,
    ViewEntry,
)
from cli.model.readable_json import readable_json
from cli.model.stock import StockEntry
from cli.model.text import parse_model_text
from cli.model.versions import FORMAT, VERSION, migrate
from cli.outputs import write_atomically

__all__ = [
    "MODEL_SUFFIX",
    "Model",
    "dumps",
    "load",
    "loads",
    "model_schema",
    "save",
]

MODEL_SUFFIX = ".truss.json"
"""What the name of a model file ends in."""
LARGEST_FILE = 32 * 1024 * 1024
"""Bytes. A truss of 100,000 joints takes about half of it; anything beyond is not a model file."""

NAMES_LISTED = 30
"""Names of joints that a message lists: more would bury it."""


class Model(Entry):
    """A truss as read, confirmed or typed by a person."""

    format: Literal["panelpoint truss"] = FORMAT
    version: Literal[1] = VERSION
    title: str | None = None
    sheet: str | None = Field(
        default=None, description="Code of the worksheet that it is the key of, such as B-7K2Q."
    )
    confirmed: bool = Field(default=True, description="False until a person has looked at what was read.")
    units: UnitsEntry
    picture: PictureEntry | None = None
    joints: tuple[JointEntry, ...]
    members: tuple[MemberEntry, ...]
    supports: tuple[SupportEntry, ...] = ()
    loads: tuple[LoadEntry, ...] = ()
    deck_loads: tuple[DeckLoadEntry, ...] = ()
    self_weight: Positive | None = Field(
        default=None,
        description="Of every member, force units per length unit; members weigh nothing without it.",
    )
    dimensions: tuple[DimensionEntry, ...] = ()
    view: ViewEntry | None = None
    level: tuple[Name, Name] | None = Field(default=None, description="Two joints that are at one height.")
    stocks: dict[str, StockEntry] = Field(default_factory=dict)

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the joints, in the order of the file."""
        return tuple(joint.name for joint in self.joints)

    @property
    def rows(self) -> dict[str, int]:
        """Row of each joint by its name."""
        return {joint.name: row for row, joint in enumerate(self.joints)}

    @model_validator(mode="after")
    def _names_are_known(self) -> Self:
        """Every name used is the name of exactly one joint; every stock used is listed."""
        faults = [*self._repeated_names(), *self._unknown_names(), *self._unknown_stocks()]
        if faults:
            raise ValueError("\n".join(faults))
        return self

    def _repeated_names(self) -> Iterator[str]:
        first: dict[str, int] = {}
        for row, name in enumerate(self.names):
            if name in first:
                yield f'joints[{row}].name: joints[{first[name]}] has the name "{name}" too; rename one.'
            first.setdefault(name, row)

    def _unknown_names(self) -> Iterator[str]:
        known = set(self.names)
        listed = ", ".join(self.names[:NAMES_LISTED]) + (", ..." if len(self.names) > NAMES_LISTED else "")
        for place, name in self._used_names():
            if name not in known:
                yield f'{place}: there is no joint "{name}"; the joints are {listed or "none"}.'

    def _used_names(self) -> Iterator[tuple[str, str]]:
        for row, member in enumerate(self.members):
            for end, name in enumerate(member.joints):
                yield f"members[{row}].joints[{end}]", name
        for row, support in enumerate(self.supports):
            yield f"supports[{row}].joint", support.joint
        for row, one_load in enumerate(self.loads):
            yield f"loads[{row}].joint", one_load.joint
        for row, deck in enumerate(self.deck_loads):
            for place, name in enumerate(deck.joints):
                yield f"deck_loads[{row}].joints[{place}]", name
        for row, dimension in enumerate(self.dimensions):
            yield f"dimensions[{row}].from", dimension.start
            yield f"dimensions[{row}].to", dimension.end
        for row, known in enumerate((self.view.known if self.view else None) or ()):
            yield f"view.known[{row}].joint", known.joint
        for end, name in enumerate(self.level or ()):
            yield f"level[{end}]", name

    def _unknown_stocks(self) -> Iterator[str]:
        for row, member in enumerate(self.members):
            if member.stock is not None and member.stock not in self.stocks:
                listed = ", ".join(self.stocks) or "none"
                yield f'members[{row}].stock: there is no stock "{member.stock}"; the stocks are {listed}.'


def load(path: Path) -> Model:
    """Read a model file, migrating an older version.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Model
        What it holds, checked: types, unknown keys, unknown and repeated names.

    Raises
    ------
    ModelFileError
        When the file is not a model file, with every fault and its place.
    NewerVersionError
        When a later version of the program wrote it.
    OSError
        When the file cannot be read.
    """
    size = path.stat().st_size
    if size > LARGEST_FILE:
        raise ModelFileError(
            path, (f"the file has {size:,} bytes, too many for a model file: give another file.",)
        )
    return loads(path, path.read_bytes())


def loads(path: Path, content: bytes) -> Model:
    """Return what the bytes of a model file hold; `path` names it in errors. See `load`."""
    document = migrate(path, parse_model_text(path, content))
    try:
        # By way of JSON, since strict types take a list for a tuple only from there.
        return Model.model_validate_json(json.dumps(document), by_alias=True, by_name=False)
    except ValidationError as error:
        raise ModelFileError(path, faults_of(error, Model)) from None


def save(path: Path, model: Model) -> None:
    """Write a model file in one step, so that it is never half there.

    Parameters
    ----------
    path
        The file; what is there is replaced. Whether that is wanted is for the caller to ask.
    model
        What to write.
    """
    write_atomically(path, dumps(model).encode())


def dumps(model: Model) -> str:
    """Return the text of a model file: stable key order, short parts on one line."""
    return readable_json(_document(model))


def _document(model: Model) -> dict[str, Any]:
    """Return the JSON document: absent things are left out, present ones are in the order of the types."""
    document: dict[str, Any] = model.model_dump(mode="json", by_alias=True, exclude_none=True)
    optional_lists = ("supports", "loads", "deck_loads", "dimensions", "stocks")
    return {key: value for key, value in document.items() if value or key not in optional_lists}


def model_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of the model file, as generated from the types."""
    return json_schema(Model)


if __name__ == "__main__":
    print(json.dumps(model_schema(), indent=2))
