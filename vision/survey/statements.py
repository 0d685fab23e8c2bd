"""What a person said, one statement each: words to repeat, joints it speaks of, conditions that it sets."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from vision.survey.constraints import Conditions
from vision.survey.taut import Tie, pulled_straight

__all__ = ["Statement", "together"]


@dataclass(frozen=True, eq=False)
class Statement:
    """One thing a person said about the joints."""

    words: str
    """As the person would say it: "across A C 600"."""
    joints: tuple[int, ...]
    """Rows of the joints it speaks of."""
    conditions: Conditions
    dimension: int | None = None
    """Its place among the dimensions handed over, if it is one."""

    @property
    def tie(self) -> Tie | None:
        """The length between two joints, if that is what it says."""
        if not len(self.conditions.lengths):
            return None
        start, end = self.joints
        return Tie(start, end, float(self.conditions.lengths[0]))


def together(frame: Conditions, statements: Iterable[Statement]) -> Conditions:
    """Return all conditions: of the frame, of the statements, and what taut chains of lengths imply."""
    said = tuple(statements)
    size = frame.rows.shape[1]
    plain = Conditions.join((frame, *(statement.conditions for statement in said)), size)
    ties = tuple(tie for statement in said if (tie := statement.tie) is not None)
    return Conditions.join((plain, *pulled_straight(plain, ties)), size)
