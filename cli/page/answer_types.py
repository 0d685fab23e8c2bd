"""What the page is told about a model: the shape of the answer as it goes over the wire.

Forces are in the model's force unit, tension positive; directions of the plane have y up, places on the page
y down.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from cli.page.strength_types import StrengthShown

__all__ = [
    "Answer",
    "Arrow",
    "Count",
    "FaultFound",
    "FreeBody",
    "JointAnswer",
    "MemberAnswer",
    "Motion",
    "ReactionAnswer",
    "StepShown",
]

Sense = Literal["T", "C", "0", "?"]
Pair = tuple[float, float]


class _Part(BaseModel):
    """Parts of the answer do not change after birth."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Count(_Part):
    """The counting rule."""

    m: int
    r: int
    j: int
    mechanisms: int
    self_stress: int
    arithmetic: str = Field(description="m + r = 7 + 3 = 10 = 2j = 2 × 5 = 10, with the right sign between.")
    words: str = Field(description="The same in words.")


class Arrow(_Part):
    """A force on a joint, for its free-body diagram."""

    what: Literal["member", "load", "reaction"]
    name: str = Field(description="Far end of a member; otherwise what it is.")
    label: str
    direction: Pair = Field(
        description="Unit vector in the plane, y up, in the sense of the force on the joint."
    )
    sense: Sense | None = None


class FreeBody(_Part):
    """A joint cut free."""

    arrows: tuple[Arrow, ...]
    equations: tuple[str, ...]


class JointAnswer(_Part):
    """A joint: where it is drawn, where it is in the plane, and its free body."""

    name: str
    page: Pair = Field(description="Where it is drawn, y down.")
    at: Pair | None = Field(default=None, description="In the plane, length units, y up.")
    at_error: Pair | None = Field(default=None, description="Standard errors of `at`.")
    free_body: FreeBody | None = None


class MemberAnswer(_Part):
    """A member and what it carries."""

    start: str
    end: str
    length: str | None = None
    force: float | None = None
    error: float | None = Field(default=None, description="Standard error of the force.")
    sense: Sense | None = None
    label: str = Field(default="", description="Size and (T), (C), 0 or (?).")
    share: float = Field(default=0.0, description="Of the largest force in the truss, 0 to 1.")
    says: str = Field(default="", description="A sentence on it, with its standard error.")


class ReactionAnswer(_Part):
    """The force of a support on the truss, one component."""

    joint: str
    direction: Pair = Field(description="Unit vector in the plane, y up, in the sense of the force.")
    size: float
    error: float | None = None
    label: str


class Motion(_Part):
    """One way in which the truss can move: small displacements of its joints on the page."""

    joints: tuple[Pair, ...] = Field(description="One for each joint; the largest has length 1; y down.")
    says: str


class FaultFound(_Part):
    """Something that is in the way of an answer."""

    sentence: str
    joints: tuple[str, ...] = ()
    members: tuple[tuple[str, str], ...] = ()
    dimensions: tuple[int, ...] = Field(default=(), description="Rows of the model's dimensions at fault.")


class StepShown(_Part):
    """One step of the worked solution."""

    title: str
    lines: tuple[str, ...]
    joints: tuple[str, ...] = Field(default=(), description="Joints it is about.")
    members: tuple[int, ...] = Field(default=(), description="Rows of members it is about.")
    finds: tuple[int, ...] = Field(default=(), description="Rows of members whose force it finds.")
    reactions: bool = Field(default=False, description="Whether reactions are known from here on.")


class Answer(_Part):
    """Everything that follows from a model."""

    verdict: Literal["determinate", "indeterminate", "unstable", "unstable and indeterminate"] | None = None
    headline: str = Field(description="The verdict, or what is missing, in a few words.")
    words: str = Field(default="", description="What the verdict means for this truss.")
    count: Count | None = None
    solved: bool = False
    joints: tuple[JointAnswer, ...] = ()
    members: tuple[MemberAnswer, ...] = ()
    reactions: tuple[ReactionAnswer, ...] = ()
    motions: tuple[Motion, ...] = ()
    redundant: tuple[int, ...] = Field(default=(), description="Rows of members that could be done without.")
    faults: tuple[FaultFound, ...] = ()
    remarks: tuple[str, ...] = ()
    axes: tuple[Pair, Pair] = Field(
        default=((1.0, 0.0), (0.0, -1.0)),
        description="From directions of the plane to directions on the page.",
    )
    strength: StrengthShown | None = Field(
        default=None, description="None when nothing says what the members are made of."
    )
    has_lengths: bool = Field(default=False, description="Whether anything says how long the truss is.")
