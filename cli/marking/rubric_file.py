"""The rubric: a small file, JSON or TOML, in which a teacher says what each answer is worth."""

from __future__ import annotations

import dataclasses
import json
import tomllib
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from cli.marking.errors import RubricFileError
from solver import Rubric

__all__ = ["RubricFile", "read_rubric", "rubric_text"]

_DEFAULT = Rubric()


class RubricFile(BaseModel):
    """What may stand in a rubric; what does not keeps its default."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, title="panelpoint rubric")

    verdict: float = Field(_DEFAULT.verdict, ge=0, le=1000, description="Credit for the verdict.")
    count: float = Field(_DEFAULT.count, ge=0, le=1000, description="Credit for each of m, r and j.")
    reaction: float = Field(
        _DEFAULT.reaction, ge=0, le=1000, description="For the size of each reaction part."
    )
    direction: float = Field(
        _DEFAULT.direction, ge=0, le=1000, description="For the direction of each of them."
    )
    member: float = Field(_DEFAULT.member, ge=0, le=1000, description="For the size of each member force.")
    sense: float = Field(
        _DEFAULT.sense, ge=0, le=1000, description="For tension or compression of each member."
    )
    angle: float = Field(_DEFAULT.angle, ge=0, le=1000, description="Credit for each angle.")
    units: float = Field(_DEFAULT.units, ge=0, le=1000, description="Credit for units, once a paper.")
    follow_through: float = Field(
        _DEFAULT.follow_through,
        ge=0,
        le=1,
        description="Share for what is right on the student's own numbers.",
    )
    tolerance: float = Field(
        _DEFAULT.tolerance, ge=0, le=0.5, description="Of the key's value: 0.02 is two per cent."
    )
    angle_tolerance: float = Field(_DEFAULT.angle_tolerance, ge=0, le=10, description="Degrees.")


def read_rubric(path: Path) -> Rubric:
    """Read a rubric.

    Raises
    ------
    RubricFileError
        When it is neither JSON nor TOML, or a key or value in it cannot be.
    """
    text = path.read_text(encoding="utf-8-sig", errors="replace")
    try:
        found = tomllib.loads(text) if path.suffix.lower() == ".toml" else json.loads(text)
    except (json.JSONDecodeError, tomllib.TOMLDecodeError, RecursionError) as error:
        raise RubricFileError(
            path, f"it cannot be read as {path.suffix[1:].upper() or 'JSON'} ({error})."
        ) from None
    try:
        # As JSON, whole numbers may stand for others.
        entry = RubricFile.model_validate(found, strict=False)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or "the rubric"
        known = ", ".join(RubricFile.model_fields)
        cure = f" The keys are {known}." if first["type"] == "extra_forbidden" else ""
        raise RubricFileError(path, f"{where}: {first['msg'][:1].lower()}{first['msg'][1:]}.{cure}") from None
    return Rubric(**entry.model_dump())


def rubric_text(rubric: Rubric) -> str:
    """Write a rubric as JSON."""
    return json.dumps(dataclasses.asdict(rubric), indent=2) + "\n"
