"""What a truss is made of: joints, members, supports and loads. x runs right, y runs up."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["DeckLoad", "Joint", "Load", "Member", "MemberLoad", "Support"]


@dataclass(frozen=True)
class Joint:
    """A frictionless pin where members meet."""

    name: str
    x: float
    """Length units, to the right."""
    y: float
    """Length units, up."""


@dataclass(frozen=True)
class Member:
    """A straight bar between two joints that carries axial force only."""

    start: str
    end: str
    weight: float = 0.0
    """Self-weight in force units per length unit; half of the member's weight goes to each end."""
    stiffness: float | None = None
    """EA in force units, for displacements and for trusses that equilibrium alone cannot solve."""


@dataclass(frozen=True)
class Support:
    """What holds a joint: a pin (both directions) or a roller (along `normal` only)."""

    joint: str
    kind: str
    """`pin` or `roller`."""
    normal: tuple[float, float] = (0.0, 1.0)
    """Direction in which a roller's surface pushes; any length but zero. A pin ignores it."""


@dataclass(frozen=True)
class Load:
    """A force on a joint."""

    joint: str
    fx: float
    """Force units, to the right."""
    fy: float
    """Force units, up."""


@dataclass(frozen=True)
class DeckLoad:
    """A load spread along a deck, which its joints carry by tributary length.

    The deck hangs between neighbouring deck joints, so that each stretch between two of them gives half of
    its load to either. Lengths are measured along the deck.
    """

    joints: tuple[str, ...]
    """Deck joints in order, two or more."""
    fx: float
    """Force units per length unit of deck, to the right."""
    fy: float
    """Force units per length unit of deck, up."""


@dataclass(frozen=True)
class MemberLoad:
    """A force put on a member between its joints, which a truss as idealised cannot carry.

    It is refused unless `share` asks for the lever rule: the two ends take what a simple beam's supports
    would. Bending of that member is then not covered.
    """

    start: str
    end: str
    distance: float
    """Length units from `start` along the member."""
    fx: float
    """Force units, to the right."""
    fy: float
    """Force units, up."""
    share: bool = False
    """Share the force to the two ends by the lever rule."""
