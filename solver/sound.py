"""Is a model sound? The quick answer, by whole arrays, that 100,000 joints can wait for.

It says yes only when no fault exists; what exactly is wrong, `solver.checks` then finds out one by one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from solver.geometry import coincident_pairs, extent, joints_on_members
from solver.layout import Layout
from solver.settings import TOLERANCES

__all__ = ["FORCE_UNITS", "LENGTH_UNITS", "SUPPORT_KINDS", "is_sound"]

LENGTH_UNITS = ("mm", "cm", "m", "in", "ft")
FORCE_UNITS = ("N", "kN", "lbf", "kip", "kgf")
SUPPORT_KINDS = ("pin", "roller")


def is_sound(layout: Layout) -> bool:
    """Tell whether a model surely has no fault; false may also mean that it needs a closer look."""
    return (
        layout.length_unit in LENGTH_UNITS
        and layout.force_unit in FORCE_UNITS
        and not layout.member_loads
        and _joints_are_sound(layout)
        and _members_are_sound(layout)
        and _supports_are_sound(layout)
        and _loads_are_sound(layout)
        and extent(layout.at) >= TOLERANCES.smallest_number
        and not coincident_pairs(layout.at)
        and not joints_on_members(layout.at, layout.ends)
    )


def _joints_are_sound(layout: Layout) -> bool:
    names = list(map(attrgetter("name"), layout.joints))
    return (
        len(names) >= 2
        and set(map(type, names)) == {str}
        and len(layout.row) == len(names)
        and "" not in layout.row
        and _are_plain(map(attrgetter("x"), layout.joints))
        and _are_plain(map(attrgetter("y"), layout.joints))
        and _are_moderate(lambda: layout.at)
    )


def _members_are_sound(layout: Layout) -> bool:
    try:
        ends = layout.ends
    except (KeyError, TypeError):  # no such joint, or a name that no joint can have
        return False
    joints = len(layout.row)
    low, high = np.minimum(ends[:, 0], ends[:, 1]), np.maximum(ends[:, 0], ends[:, 1])
    if not layout.members or (low == high).any():
        return False
    keys = np.sort(low * joints + high)
    return (
        not (keys[1:] == keys[:-1]).any()
        and bool(np.bincount(ends.ravel(), minlength=joints).all())
        and set(map(type, map(attrgetter("stiffness"), layout.members))) == {type(None)}
        and _are_plain(map(attrgetter("weight"), layout.members))
        and _are_moderate(lambda: layout.weights)
        and bool(layout.weights.min() >= 0)
    )


def _supports_are_sound(layout: Layout) -> bool:
    names = [support.joint for support in layout.supports]
    return (
        all(type(name) is str and name in layout.row for name in names)
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
            for support in layout.supports
        )
    )


def _loads_are_sound(layout: Layout) -> bool:
    if not set(map(type, map(attrgetter("joint"), layout.loads))) <= {str}:
        return False
    try:
        layout.load_rows  # noqa: B018  # kept there for the loads
    except KeyError:  # no such joint
        return False
    return (
        _are_plain(map(attrgetter("fx"), layout.loads))
        and _are_plain(map(attrgetter("fy"), layout.loads))
        and _are_moderate(lambda: layout.load_vectors)
        and not layout.deck_loads
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
