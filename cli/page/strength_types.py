"""What the page is told about strength: how near to failing each member is, and what lets go first."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["MemberUse", "Prediction", "Ranked", "StrengthShown"]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class MemberUse(_Part):
    """How much of its strength a member uses at the given load."""

    share: float = Field(description="Of what the member that is used most uses, 0 to 1.")
    tone: int = Field(description="Which of the tones of use it is drawn in, from 0, the palest.")
    label: str = Field(description="Percent, (T) or (C), and whether it is the first to go.")
    first: bool
    says: str = Field(description="What it carries at most, and its formula with numbers.")


class Ranked(_Part):
    """One member or joint in the order in which they would let go."""

    name: str
    joints: tuple[str, ...] = Field(description="Both ends of a member, or the one joint.")
    event: str = Field(description="How it would let go.")
    used: str
    load: str = Field(description="The whole load at which it would.")
    first: bool


class StrengthShown(_Part):
    """The strength of a solved truss, at averages."""

    sentence: str = Field(description="What lets go first and at what load, or what is still missing.")
    members: tuple[MemberUse, ...] = Field(default=(), description="In the order of the members.")
    ranking: tuple[Ranked, ...] = Field(default=(), description="The first to let go comes first.")


class Prediction(_Part):
    """The prediction of one revision with how sure it is, from many draws."""

    revision: int
    sentence: str
    note: str
