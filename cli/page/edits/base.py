"""What every edit shares: its types, and how a model is changed without ever becoming a wrong one."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    ValidationError,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from cli.model.faults import faults_of
from cli.model.file import Model
from cli.model.parts import JointEntry
from cli.names import letters
from cli.page.errors import EditError

__all__ = [
    "FARTHEST",
    "Edit",
    "JointName",
    "NotNegative",
    "Number",
    "Pair",
    "Positive",
    "Whole",
    "changed",
    "drawn_at",
    "joint_row",
    "member_row",
    "next_name",
    "same_pair",
]

FARTHEST = 1e12
"""Largest number that an edit takes, in any unit: beyond it nothing is a truss, and squares still fit a
float."""

Number = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=-FARTHEST, le=FARTHEST)]
Positive = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=FARTHEST)]
NotNegative = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=FARTHEST)]
Pair = tuple[Number, Number]
JointName = Annotated[str, Field(strict=True, min_length=1, max_length=40)]


def _whole(value: object) -> object:
    """Take 7.0 for 7, as JSON Schema does; anything else is left for the type to judge."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


Whole = Annotated[int, Field(strict=True, ge=0), BeforeValidator(_whole)]


class Edit(BaseModel, ABC):
    """One change that a person makes: a pure function from model to model."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Say that `kind` is wanted: over the wire it tells the edits apart, in the code it is known."""
        schema = handler.resolve_ref_schema(handler(core))
        if "kind" in schema.get("properties", {}):
            schema["required"] = sorted({*schema.get("required", ()), "kind"})
        return schema

    @abstractmethod
    def apply(self, model: Model) -> Model:
        """Return the changed model.

        Raises
        ------
        EditError
            When the change cannot be made; the model is as it was.
        """

    @abstractmethod
    def says(self) -> str:
        """Return what the edit does, as the undo button says it: "Move joint B"."""


def changed(model: Model, **fields: Any) -> Model:
    """Return the model with some fields replaced, checked as a whole.

    Raises
    ------
    EditError
        When the result would not be a model; it says what is wrong with it.
    """
    present = {name: getattr(model, name) for name in Model.model_fields}
    try:
        return Model(**{**present, **fields})
    except ValidationError as error:
        raise EditError(" ".join(faults_of(error, Model)), "Nothing was changed.") from None


def joint_row(model: Model, name: str) -> int:
    """Return the row of a joint.

    Raises
    ------
    EditError
        When there is no such joint.
    """
    row = model.rows.get(name)
    if row is None:
        raise EditError(f'There is no joint "{name}" any more.', "Choose another one.")
    return row


def same_pair(one: tuple[str, str], other: tuple[str, str]) -> bool:
    """Return whether two pairs of names are one member, whichever end comes first."""
    return one in (other, other[::-1])


def member_row(model: Model, start: str, end: str) -> int:
    """Return the row of the member between two joints.

    Raises
    ------
    EditError
        When there is no such member.
    """
    for row, member in enumerate(model.members):
        if same_pair(member.joints, (start, end)):
            return row
    raise EditError(f"There is no member {start}-{end} any more.", "Choose another one.")


def next_name(model: Model) -> str:
    """Return the first free name: A, B, C ... Z, AA."""
    taken = set(model.names)
    count = 0
    while letters(count) in taken:
        count += 1
    return letters(count)


def drawn_at(joint: JointEntry) -> tuple[float, float]:
    """Return where a joint is drawn, y DOWN: in the picture, or turned over from the plane without one."""
    if joint.px is not None:
        return joint.px
    if joint.at is None:
        raise AssertionError("a joint is in the picture or in the plane")
    return joint.at[0], -joint.at[1]
