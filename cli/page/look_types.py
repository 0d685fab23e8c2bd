"""What the page asks a person to look at, and what is still to do, as they go over the wire."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

from cli.page.edits import AnyEdit

__all__ = ["Cure", "Look", "Task"]


class Cure(BaseModel):
    """One way to settle a look: a button."""

    model_config = ConfigDict(frozen=True)

    label: str
    edit: AnyEdit


class Look(BaseModel):
    """Something to look at."""

    model_config = ConfigDict(frozen=True)

    key: str = Field(description="Stays the same as long as the matter does.")
    sentence: str
    urgent: bool = Field(description="Whether it stands in the way of an answer.")
    joints: tuple[str, ...] = ()
    members: tuple[tuple[str, str], ...] = ()
    loads: tuple[int, ...] = Field(default=(), description="Rows of loads.")
    dimensions: tuple[int, ...] = Field(default=(), description="Rows of dimensions.")
    cures: tuple[Cure, ...] = ()


class Task(BaseModel):
    """One of the few things that turn a picture into forces."""

    model_config = ConfigDict(frozen=True)

    key: str
    label: str
    done: bool
    words: str
