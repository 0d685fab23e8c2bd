"""Words that several checks of a model share."""

from __future__ import annotations

from collections.abc import Container

from solver.errors import Fault
from solver.layout import Layout

__all__ = ["dash", "is_named", "names_of", "unknown_joint"]


def names_of(layout: Layout) -> dict[str, None]:
    """Give the joint names that can be used, in the order of the model."""
    return dict.fromkeys(joint.name for joint in layout.joints if type(joint.name) is str)


def is_named(name: object, names: Container[str]) -> bool:
    """Tell whether a name is text and among the names, whatever else a model may hold in its place."""
    return type(name) is str and name in names


def unknown_joint(name: object, where: str, *, members: tuple[tuple[str, str], ...] = ()) -> Fault:
    """Word the fault of a name that no joint has."""
    return Fault(
        "unknown joint",
        f"There is no joint {name}, which {where} names; correct the name or add the joint.",
        joints=(str(name),),
        members=members,
    )


def dash(*names: object) -> str:
    """Name a member or a deck by its joints, as sentences do."""
    return "–".join(str(name) for name in names)
