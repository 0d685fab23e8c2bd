"""The outcome of marking, as facts without words: sheets, tables and summaries render from these."""

from __future__ import annotations

from dataclasses import dataclass

from solver.marking.answers import Answers
from solver.steps import Quantity

__all__ = ["Finding", "Mark", "Marking", "Origin", "Slip"]


@dataclass(frozen=True)
class Origin:
    """The equations that give a value on the student's own numbers."""

    kind: str
    """`joint`, `whole` (the whole truss) or `section`."""
    name: str = ""
    """The joint; empty for the whole truss; the cut member's ends joined by a hyphen for a section."""


@dataclass(frozen=True)
class Mark:
    """One answer judged."""

    quantity: Quantity
    key: float | None
    """The key's value in the key's unit, tension positive; None for a verdict."""
    answer: float | None
    """The student's, in the key's unit and sign; None where there is none."""
    outcome: str
    """`right`, `followed` (right on the student's own numbers), `wrong`, `blank` or `unreadable`; of a member
    or reaction this is about its size."""
    credit: float
    out_of: float
    tolerance: float = 0.0
    """What the size may differ by, in the key's unit."""
    sense: str = ""
    """The same for tension or compression, or a reaction's direction; `missing` where none was given, empty
    where none is asked."""
    unit: str = ""
    """`wrong` where the number is right in another unit than the one meant."""
    own: float | None = None
    """What the student's own numbers give, where the answer follows from them."""
    origin: Origin | None = None
    """Where it follows from."""
    text: str = ""
    """As written, where it could not be read; a verdict as given."""


@dataclass(frozen=True)
class Slip:
    """A slip that may have been made, as a fact: what kind, and where."""

    kind: str
    """`sine and cosine`, `component left out`, `component sign`, `load left out`, `load sign`,
    `load misplaced`, `load counted twice`, `load components swapped`, `reactions swapped`,
    `reactions halved`, `lever arm`, `sense`, `direction`, `unit`, `digits` or `rounding`."""
    scope: str = ""
    """`joint` (in the sums at `joint`), `whole` (in the equations of the whole truss), `throughout`, or
    `written` (worked rightly and written wrongly)."""
    joint: str = ""
    """Where it happened, for a scope of one joint."""
    quantity: Quantity | None = None
    """The member, reaction or load it is about; none where all are meant."""
    axis: str = ""
    """`x` or `y` where one of a joint's sums is meant; else both, or what the kind says."""
    other: str = ""
    """The neighbour joint whose lever arm or place was taken; what was rounded."""
    factor: float | None = None
    """Of a unit slip: written over meant."""
    meant: float | None = None
    """Of a slip of digits: what the student's own numbers give."""


@dataclass(frozen=True)
class Finding:
    """A likely slip, never a certain one."""

    slips: tuple[Slip, ...]
    """One that fits clearly best, or two that fit about equally and clearly better than all others."""
    explains: tuple[Quantity, ...]
    """The answers that come out with the slip in and are wrong without it."""
    hit: tuple[Quantity, ...]
    """Those of them that the slip hit first; the rest follows."""
    likelihood: float
    """Posterior share of `slips` among all hypotheses, that of an unknown slip included; 0 to 1."""


@dataclass(frozen=True)
class Marking:
    """One student's paper judged."""

    answers: Answers
    marks: tuple[Mark, ...]
    """In the order of what was asked."""
    units: Mark | None
    """The credit for units; None where the rubric gives none or nothing with a unit was asked."""
    findings: tuple[Finding, ...]
    """Likely slips, in the order of the worked solution."""
    sources: tuple[Quantity, ...]
    """Wrong answers that no slip explains and nothing leads to: where to look by hand."""
    whole_degrees: bool
    """Whether the numbers look worked with angles rounded to whole degrees."""

    @property
    def student(self) -> str:
        """Name as handed in."""
        return self.answers.student

    @property
    def credit(self) -> float:
        """All credit given."""
        return sum(mark.credit for mark in self._all())

    @property
    def out_of(self) -> float:
        """All credit to be had."""
        return sum(mark.out_of for mark in self._all())

    @property
    def waiting(self) -> float:
        """Credit that waits for a person to read an answer."""
        return sum(mark.out_of for mark in self.marks if mark.outcome == "unreadable")

    def _all(self) -> tuple[Mark, ...]:
        return self.marks if self.units is None else (*self.marks, self.units)
