"""Where the strength rooms draw their lines, with unit and reason."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["SETTINGS", "StrengthSettings"]


@dataclass(frozen=True)
class StrengthSettings:
    """All are ratios unless a unit is given."""

    tie: float = 0.05
    """Of the lowest load factor. Members within it are named together as first: sticks scatter by four times
    as much, so that each of them is about as likely to be it, and the halves of a symmetrical truss may
    differ by this much in the way the photograph was read."""
    share: float = 0.9
    """Of all draws that lie within the interval given: nine trusses of ten."""
    draws: int = 10_000
    """Number of trusses drawn. The ends of the interval then move by about 1 % from seed to seed."""
    batch: float = 0.2
    """Standard deviation of the logarithm of a class's own average over the handbook's, before any test: lots
    of one species differ about as much as single sticks do (from memory, common practice)."""
    joint_scatter: float = 0.14
    """Coefficient of variation of what a glued joint holds, where none is given: that of wood in shear along
    the grain (USDA Wood Handbook, Table 5-6, from memory)."""
    step: float = 1e-5
    """Of the truss's size, or of a stiffness: step of central differences where forces depend on stiffness.
    Near the cube root of a double's rounding, where both errors of such a difference are smallest."""
    free_turns: int = 12
    """Turns of choosing stock and solving again before a member may only become stronger. Redundant trusses
    of classrooms settle in two to five."""
    rounding: float = 1e-9
    """Of a load factor: two ways to one number may differ by this."""
    turns: int = 40
    """Turns of making stronger what goes first: three options for each of a dozen kinds of member."""
    steps: int = 5
    """Steps of making members stronger that are listed: more than anybody builds at once."""
    patterns: int = 20_000
    """Ways of cutting one bar that are listed; beyond it the integer programme would take minutes."""
    cutting_seconds: float = 5.0
    """For the integer programme of a cutting list; a classroom bridge needs a tenth of a second."""


SETTINGS = StrengthSettings()
