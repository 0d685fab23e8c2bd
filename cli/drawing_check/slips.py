"""What a drawing has wrong, as records and as sentences; nothing here knows how it was found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from vision.matching import Match

__all__ = ["VERDICTS", "DrawingCheck", "Slip", "SlipKind", "Verdict"]

SlipKind = Literal["joint missing", "joint extra", "member missing", "member extra", "support", "load"]

Verdict = Literal["right", "not sure", "differs", "mirror image", "another truss"]

VERDICTS: dict[Verdict, str] = {
    "right": "The truss that was set",
    "not sure": "Perhaps the truss that was set",
    "differs": "Not quite the truss that was set",
    "mirror image": "The mirror image of the truss that was set",
    "another truss": "Not the truss that was set",
}


@dataclass(frozen=True)
class Slip:
    """One thing that is missing, too much, or elsewhere."""

    kind: SlipKind
    says: str
    """A sentence that names joints as the key does."""
    set_rows: tuple[int, ...] = ()
    """Joints of the key: one of a joint, support or load, two of a member."""
    drawn_rows: tuple[int, ...] = ()
    """Joints of the drawing, where it is something drawn."""
    sure: bool = True
    """False where it rests on something that was read with little confidence."""


@dataclass(frozen=True, eq=False)
class DrawingCheck:
    """A drawing held against the key."""

    verdict: Verdict
    slips: tuple[Slip, ...]
    remarks: tuple[str, ...]
    """Sentences on what a sketch may do, and on what could not be seen."""
    doubts: tuple[str, ...]
    """Sentences on what a person should look at."""
    found: Match | None
    """How the key lies on the drawing; None where it does not at all."""
    names: tuple[str | None, ...]
    """Of each drawn joint, as the key names it; None for a joint that the key does not have."""

    @property
    def says(self) -> tuple[str, ...]:
        """Everything to tell but the doubts, the verdict first."""
        return (f"{VERDICTS[self.verdict]}.", *(slip.says for slip in self.slips if slip.sure), *self.remarks)
