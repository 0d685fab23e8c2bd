"""The words of feedback sheets and of the summary of a class."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["ClassWords", "FeedbackWords", "MarkWords", "SlipWords"]


@dataclass(frozen=True)
class MarkWords:
    """What came of an answer, and what answers are called."""

    member: str
    reaction: str
    load: str
    count: str
    other: str
    """Of `{item}` within a sentence; a load by `{joint}`."""
    angle: str
    """`{members}`, in a table."""
    items: Mapping[str, str]
    """Answers that are words themselves, in a table."""
    outcomes: Mapping[str, str]
    """By `Mark.outcome`."""
    senses: Mapping[str, str]
    """By `Mark.sense`, of a member."""
    ways: Mapping[str, str]
    """By `Mark.sense`, of a reaction."""
    size_right: str
    unit_wrong: str
    ideas: Mapping[str, str]
    """By `Slip.kind`, in a summary."""


@dataclass(frozen=True)
class SlipWords:
    """What may have happened, as half a sentence; `{where}` is one of the first five."""

    at_joint: str
    about_point: str
    in_whole: str
    in_reactions: str
    from_start: str
    sums: Mapping[str, str]
    """`{way}`, by the axis of a sum."""
    part: str
    """`{way}` part of `{about}`."""
    kinds: Mapping[str, str]
    """By `Slip.kind`, of `{what}` or `{about}`, `{other}` and `{where}`."""
    trig_one: str
    trig_all: str
    trig_sum: str
    sense_all: str
    sense_one: str
    sense_carried: str
    unit_times: str
    unit_part: str
    every_member: str
    every_force: str
    rounded: Mapping[str, str]
    or_other: str
    """Another `{slip}` that fits as well."""
    or_same: str
    """The same with `{name}`, `{where}`."""
    same_at: str


@dataclass(frozen=True)
class FeedbackWords:
    """A student's sheet."""

    untitled: str
    kind: str
    """For `{student}`."""
    credit: str
    credit_of: str
    right: str
    one_followed: str
    several_followed: str
    blank: str
    waiting: str
    truss_alt: str
    wrong_head: str
    wrong_text: str
    shows_first: str
    one_follows: str
    several_follow: str
    again_head: str
    again_text: str
    joint_equations: str
    whole_equations: str
    whole_alt: str
    joint_alt: str
    two_sums: str
    answers: str
    heads: tuple[str, str, str, str, str]
    """Answer, yours in `{unit}`, key, outcome, credit."""
    units: str
    together: str
    followed_note: str


@dataclass(frozen=True)
class ClassWords:
    """The summary of a class."""

    title: str
    kind: str
    one_paper: str
    several_papers: str
    names_replaced: str
    tomorrow: str
    tomorrow_item: str
    tomorrow_idea: str
    most_often: str
    nothing: str
    one_unread: str
    several_unread: str
    marks: str
    marks_heads: tuple[str, str, str, str, str, str, str]
    histogram: str
    slips: str
    slips_heads: tuple[str, str, str]
    slips_text: str
    one_unexplained: str
    several_unexplained: str
    none_found: str
    items: str
    items_heads: tuple[str, str, str, str, str, str, str, str]
    items_text: str
