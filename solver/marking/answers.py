"""What a student wrote, after it was read and before it is judged."""

from __future__ import annotations

from dataclasses import dataclass

from solver.steps import Quantity

__all__ = ["Answer", "Answers", "Unreadable"]


@dataclass(frozen=True)
class Answer:
    """One number of a student.

    Kinds of quantity: `member` and `reaction` as in worked steps, `angle` (joints of the member; degrees from
    the horizontal, 0 to 90), `count` (axis `m`, `r` or `j`).
    """

    quantity: Quantity
    value: float
    """As written, in `unit`. Of a member the sign counts only where there is no `sense`; tension positive."""
    step: float = 0.0
    """One unit of the last figure written, in `unit`; 0 where it is not known."""
    unit: str = ""
    """Unit as written; empty where there is none, and then the key's unit is meant."""
    sense: str | None = None
    """Of a member: `T`, `C`, or empty where size alone was given; None where the sign tells."""


@dataclass(frozen=True)
class Unreadable:
    """An answer that could not be read: it waits for a person, and is neither right nor wrong."""

    quantity: Quantity
    text: str
    """As written."""
    reason: str = ""
    """What is the matter with it, a short clause."""


@dataclass(frozen=True)
class Answers:
    """All that one student handed in."""

    student: str
    numbers: tuple[Answer, ...] = ()
    verdict: str | None = None
    """`determinate`, `indeterminate`, `unstable` or `unstable and indeterminate`; None where blank."""
    asked: tuple[Quantity, ...] = ()
    """What was asked, in the order of the paper, a verdict as `Quantity("verdict", ())`. What is asked and
    not answered is blank. Empty: what is answered was asked."""
    unreadable: tuple[Unreadable, ...] = ()
