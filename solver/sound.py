"""Is a model sound? The quick answer, by whole arrays, that 100,000 joints can wait for.

It says yes only when no fault exists; what exactly is wrong, `solver.checks` then finds out one by one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from operator import attrgetter
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from solver.geometry import coincident_pairs, extent, joints_on_members
from solver.settings import TOLERANCES

if TYPE_CHECKING:
    from solver.truss import Truss

__all__ = ["FORCE_UNITS", "LENGTH_UNITS", "SUPPORT_KINDS", "is_sound"]

LENGTH_UNITS = ("mm", "cm", "m", "in", "ft")
FORCE_UNITS = ("N", "kN", "lbf", "kip", "kgf")
SUPPORT_KINDS = ("pin", "roller")


def is_sound(truss: Truss) -> bool:
    """Tell whether a model surely has no fault; false may also mean that it needs a closer look."""
    return (
        truss.length_unit in LENGTH_UNITS
        and truss.force_unit in FORCE_UNITS
        and not truss.member_loads
        and _joints_are_sound(truss)
        and _members_are_sound(truss)
        and _supports_are_sound(truss)
        and _loads_are_sound(truss)
        and extent(truss.at) >= TOLERANCES.smallest_number
        and not coincident_pairs(truss.at)
        and not joints_on_members(truss.at, truss.ends)
    )


def _joints_are_sound(truss: Truss) -> bool:
    names = list(map(attrgetter("name"), truss.joints))
    return (
        len(names) >= 2
        and set(map(type, names)) == {str}
        and len(truss.row) == len(names)
        and "" not in truss.row
        and _are_plain(map(attrgetter("x"), truss.joints))
        and _are_plain(map(attrgetter("y"), truss.joints))
        and _are_moderate(lambda: truss.at)
    )


def _members_are_sound(truss: Truss) -> bool:
    try:
        ends = truss.ends
    except (KeyError, TypeError):  # no such joint, or a name that no joint can have
        return False
    joints = len(truss.row)
    low, high = np.minimum(ends[:, 0], ends[:, 1]), np.maximum(ends[:, 0], ends[:, 1])
    if not truss.members or (low == high).any():
        return False
    keys = np.sort(low * joints + high)
    return (
        not (keys[1:] == keys[:-1]).any()
        and bool(np.bincount(ends.ravel(), minlength=joints).all())
        and set(map(type, map(attrgetter("stiffness"), truss.members))) == {type(None)}
        and _are_plain(map(attrgetter("weight"), truss.members))
        and _are_moderate(lambda: truss.weights)
        and bool(truss.weights.min() >= 0)
    )


def _supports_are_sound(truss: Truss) -> bool:
    names = [support.joint for support in truss.supports]
    return (
        all(type(name) is str and name in truss.row for name in names)
        and len(set(names)) == len(names)
        and all(
            support.kind == "pin"
            or (
                support.kind == "roller"
                and type(support.normal) is tuple
                and len(support.normal) == 2
                and _are_plain(support.normal)
                and _are_moderate(partial(np.array, support.normal, dtype=float))
                and any(support.normal)
            )
            for support in truss.supports
        )
    )


def _loads_are_sound(truss: Truss) -> bool:
    if not set(map(type, map(attrgetter("joint"), truss.loads))) <= {str}:
        return False
    try:
        truss.load_rows  # noqa: B018  # kept there for the loads
    except KeyError:  # no such joint
        return False
    return (
        _are_plain(map(attrgetter("fx"), truss.loads))
        and _are_plain(map(attrgetter("fy"), truss.loads))
        and _are_moderate(lambda: truss.load_vectors)
        and not truss.deck_loads
    )


def _are_plain(values: Iterable[object]) -> bool:
    """Tell whether all are plain numbers."""
    return set(map(type, values)) <= {float, int, np.float64}


def _are_moderate(make: Callable[[], NDArray[np.float64]]) -> bool:
    """Tell whether all numbers of an array have a size that arithmetic can carry."""
    try:
        sizes = np.abs(make())
    except OverflowError:
        return False
    return bool((sizes <= TOLERANCES.largest_number).all())
