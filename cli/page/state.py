"""What the page is told after every change: the whole state, as it goes over the wire."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from cli.model.file import Model
from cli.page.answer import answer_of
from cli.page.answer_types import Answer
from cli.page.canvas import canvas_of
from cli.page.document import Snapshot
from cli.page.look_types import Look, Task
from cli.page.looks import looks_of
from cli.page.tasks import tasks_of

__all__ = ["PictureShown", "Preview", "Pulse", "Refusal", "State", "preview_of", "state_of"]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class PictureShown(_Part):
    """The photograph under the truss."""

    width: int = Field(description="Pixels of the upright picture, in which joints are given.")
    height: int
    key: str = Field(description="Changes when the picture does.")


class State(_Part):
    """Everything that the page shows."""

    revision: int = Field(description="To be sent with the next edit.")
    file: str | None = Field(description="Name of the model file; none before there is a picture.")
    model: Model | None
    picture: PictureShown | None = None
    scale: float | None = Field(
        default=None, description="Without a picture: pixels a length unit, px = scale x, -scale y."
    )
    answer: Answer | None = None
    looks: tuple[Look, ...] = ()
    tasks: tuple[Task, ...] = ()
    undo: str | None = Field(default=None, description="What undo would take back.")
    redo: str | None = Field(default=None, description="What redo would do again.")
    notices: tuple[str, ...] = Field(default=(), description="Said once, when the model was opened.")
    idle_minutes: int = Field(description="The server ends after so long without an open page.")


class Preview(_Part):
    """The answer to a change that has not been made yet."""

    revision: int
    model: Model
    answer: Answer


class Pulse(_Part):
    """A sign of life, and whether anything happened elsewhere."""

    revision: int
    changed_on_disk: bool


class Refusal(_Part):
    """Why something was not done."""

    kind: Literal["edit", "stale", "disk", "upload", "empty", "request", "forbidden", "answer"]
    message: str = Field(description="For the person: what is wrong, and what to do.")


def state_of(
    snapshot: Snapshot,
    *,
    file: str,
    picture: PictureShown | None,
    notices: tuple[str, ...],
    idle_minutes: int,
) -> State:
    """Return the state of a document."""
    model = snapshot.model
    answer = answer_of(model)
    looks = looks_of(model, answer)
    return State(
        revision=snapshot.revision,
        file=file,
        model=model,
        picture=picture,
        scale=canvas_of(model).scale,
        answer=answer,
        looks=looks,
        tasks=tasks_of(model, looks, answer),
        undo=snapshot.undo_says,
        redo=snapshot.redo_says,
        notices=notices,
        idle_minutes=idle_minutes,
    )


def preview_of(model: Model, revision: int) -> Preview:
    """Return the answer to a model that is only tried."""
    return Preview(revision=revision, model=model, answer=answer_of(model))
