"""What each answer is worth, and how near is near enough."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Rubric"]


@dataclass(frozen=True)
class Rubric:
    """Credit for each kind of answer. A credit of 0 leaves that kind unjudged."""

    verdict: float = 1.0
    """For the verdict."""
    count: float = 0.5
    """For each number of the count m, r, j."""
    reaction: float = 1.0
    """For the size of each reaction component."""
    direction: float = 0.5
    """For the direction of each reaction component that is not zero."""
    member: float = 1.0
    """For the size of each member force."""
    sense: float = 0.5
    """For tension or compression of each member that carries something."""
    angle: float = 0.5
    """For each angle."""
    units: float = 1.0
    """For units, once a paper."""
    follow_through: float = 1.0
    """Share of the credit for an answer that is right on the student's own numbers. In full, so that a slip
    is paid for once (common practice)."""
    tolerance: float = 0.02
    """Of the key's value. Never tighter than half a unit of the last figure written, nor than what rounding
    angles to whole degrees and values to three figures does."""
    angle_tolerance: float = 0.5
    """Degrees: an angle to the whole degree is right."""
