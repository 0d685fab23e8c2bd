"""The idealised truss: joints, members, supports and loads. x runs right, y runs up."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Joint", "Load", "Member", "Support", "Truss"]


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
class Truss:
    """A planar truss."""

    joints: tuple[Joint, ...]
    members: tuple[Member, ...]
    supports: tuple[Support, ...]
    loads: tuple[Load, ...]
    length_unit: str = "m"
    force_unit: str = "kN"
