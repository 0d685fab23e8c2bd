"""What came of one photograph: the small file that says that its work is done.

It holds no name of a file or a person, so that the same photograph under two names is worked on once.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cli.drawing_check.slips import VERDICTS
from cli.model.entry import Entry

__all__ = ["FILE", "NEEDS_LOOK", "STATES", "TYPED", "Outcome", "State"]

FILE = "{file}"
"""Stands in sentences where the name of the photograph goes."""
TYPED = "{typed}"
"""Stands in commands where the photograph goes, as it is typed where the pile was started."""

State = Literal[
    "solved",
    "no answer",
    "not solved",
    "read",
    "right",
    "not sure",
    "differs",
    "mirror image",
    "another truss",
    "marked",
    "not marked",
    "no truss",
    "unreadable",
    "failed",
]

STATES: dict[State, str] = {
    "solved": "Solved",
    "no answer": "No unique answer",
    "not solved": "Not solved",
    "read": "Read, not solved",
    "right": VERDICTS["right"],
    "not sure": VERDICTS["not sure"],
    "differs": VERDICTS["differs"],
    "mirror image": VERDICTS["mirror image"],
    "another truss": VERDICTS["another truss"],
    "marked": "Marked",
    "not marked": "Answers not marked",
    "no truss": "No truss found",
    "unreadable": "Not a readable picture",
    "failed": "Failed",
}
"""What each state is called."""

NEEDS_LOOK: tuple[State, ...] = (
    "failed",
    "unreadable",
    "not marked",
    "no truss",
    "another truss",
    "no answer",
    "not solved",
    "not sure",
    "mirror image",
    "differs",
)
"""States that a person must look at, the worst first."""


class Outcome(Entry):
    """What came of one photograph."""

    format: Literal["panelpoint sheet"] = "panelpoint sheet"
    version: Literal[1] = 1
    key: str
    """Of content, settings and program; see `cli.pile.task`."""
    state: State
    says: tuple[str, ...] = ()
    """Sentences for the person, the most important first."""
    doubts: tuple[str, ...] = ()
    """What should be looked at although the state is a good one."""
    joints: Annotated[int, Field(ge=0)] | None = None
    members: Annotated[int, Field(ge=0)] | None = None
    alt: str = ""
    """What the picture shows, for a reader who cannot see it."""
    thumbnail: str | None = None
    """Small JPEG, base64."""
    thumbnail_size: tuple[int, int] | None = None
    """Pixels across and down."""
    drawing: bool = False
    """A large picture with what was found on it is kept beside this file."""

    @property
    def needs_look(self) -> bool:
        """Say whether a person should look at it first."""
        return self.state in NEEDS_LOOK or bool(self.doubts)
