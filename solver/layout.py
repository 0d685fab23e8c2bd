"""A truss as it was described, before anybody asked whether it makes sense: its parts, and as arrays."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from operator import attrgetter, itemgetter
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from solver.parts import DeckLoad, Joint, Load, Member, MemberLoad, Support

__all__ = ["Layout"]

Scalar = TypeVar("Scalar", bound=np.generic)


@dataclass(frozen=True)
class Layout:
    """The parts of a planar truss, unchecked; `solver.truss.Truss` is the checked one that all else takes.

    The arrays fail with `KeyError` or the like where the parts have faults: only the checks may meet that.
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
