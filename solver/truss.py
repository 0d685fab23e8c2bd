"""The idealised truss: joints, members, supports and loads. x runs right, y runs up."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from operator import attrgetter, itemgetter
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from solver.checks import faults_of
from solver.errors import TrussError

__all__ = ["DeckLoad", "Joint", "Load", "Member", "MemberLoad", "Support", "Truss"]

Scalar = TypeVar("Scalar", bound=np.generic)


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


@dataclass(frozen=True)
class Truss:
    """A planar truss, checked when it is made.

    Raises
    ------
    TrussError
        When the model has faults, with all of them. A truss that only lacks supports or loads is made, since
        its stability can be asked before it is loaded; `solve` refuses it.
    """

    joints: tuple[Joint, ...]
    members: tuple[Member, ...]
    supports: tuple[Support, ...]
    loads: tuple[Load, ...]
    length_unit: str = "m"
    """`mm`, `cm`, `m`, `in` or `ft`."""
    force_unit: str = "kN"
    """`N`, `kN`, `lbf`, `kip` or `kgf`."""
    deck_loads: tuple[DeckLoad, ...] = ()
    member_loads: tuple[MemberLoad, ...] = ()

    def __post_init__(self) -> None:
        for name in ("joints", "members", "supports", "loads", "deck_loads", "member_loads"):
            object.__setattr__(self, name, tuple(getattr(self, name)))
        faults, lacking = faults_of(self)
        if faults:
            raise TrussError((*faults, *lacking))

    @cached_property
    def row(self) -> dict[str, int]:
        """Row of each joint by its name."""
        return dict(zip(map(attrgetter("name"), self.joints), range(len(self.joints)), strict=True))

    @cached_property
    def at(self) -> NDArray[np.float64]:
        """(N, 2) joint positions in length units, x right, y up."""
        places = [np.fromiter(map(attrgetter(axis), self.joints), float, len(self.joints)) for axis in "xy"]
        return _frozen(np.stack(places, axis=1))

    @cached_property
    def ends(self) -> NDArray[np.intp]:
        """(M, 2) rows of each member's joints, start first."""
        starts = [member.start for member in self.members]
        ends = [member.end for member in self.members]
        return _frozen(np.stack([_rows_of(starts, self.row), _rows_of(ends, self.row)], axis=1))

    @cached_property
    def weights(self) -> NDArray[np.float64]:
        """(M,) self-weights in force units per length unit."""
        return _frozen(np.fromiter(map(attrgetter("weight"), self.members), float, len(self.members)))

    @cached_property
    def load_rows(self) -> NDArray[np.intp]:
        """(L,) row of the joint that each load stands on."""
        return _frozen(_rows_of([load.joint for load in self.loads], self.row))

    @cached_property
    def load_vectors(self) -> NDArray[np.float64]:
        """(L, 2) loads on joints in force units, x right, y up."""
        parts = [
            np.fromiter(map(attrgetter(part), self.loads), float, len(self.loads)) for part in ("fx", "fy")
        ]
        return _frozen(np.stack(parts, axis=1))

    @cached_property
    def spans(self) -> NDArray[np.float64]:
        """(M, 2) run and rise of each member from start to end, in length units."""
        return _frozen(self.at[self.ends[:, 1]] - self.at[self.ends[:, 0]])

    @cached_property
    def lengths(self) -> NDArray[np.float64]:
        """(M,) member lengths."""
        return _frozen(np.hypot(self.spans[:, 0], self.spans[:, 1]))

    @cached_property
    def directions(self) -> NDArray[np.float64]:
        """(M, 2) unit vectors from start to end."""
        return _frozen(self.spans / self.lengths[:, None])


def _rows_of(names: list[str], row: dict[str, int]) -> NDArray[np.intp]:
    """Look names up all at once, which takes half the time of one by one."""
    if len(names) < 2:  # for one name `itemgetter` gives no tuple
        return np.array([row[name] for name in names], dtype=np.intp)
    return np.array(itemgetter(*names)(row), dtype=np.intp)


def _frozen(array: NDArray[Scalar]) -> NDArray[Scalar]:
    array.setflags(write=False)
    return array
