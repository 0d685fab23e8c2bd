"""Whatever names a joint: members, supports, loads, dimensions, decks, level and view follow it."""

from __future__ import annotations

from typing import Any

from cli.model.file import Model
from cli.page.edits.base import changed

__all__ = ["view_without", "with_name", "without_joint"]


def without_joint(model: Model, name: str) -> Model:
    """Return the model without a joint and whatever hangs on it."""
    return changed(
        model,
        joints=tuple(joint for joint in model.joints if joint.name != name),
        members=tuple(member for member in model.members if name not in member.joints),
        supports=tuple(entry for entry in model.supports if entry.joint != name),
        loads=tuple(entry for entry in model.loads if entry.joint != name),
        dimensions=tuple(entry for entry in model.dimensions if name not in (entry.start, entry.end)),
        level=None if model.level and name in model.level else model.level,
        view=model.view if view_without(model, name) else None,
        **_deck_without(model, name),
    )


def _deck_without(model: Model, name: str) -> dict[str, Any]:
    decks = []
    for deck in model.deck_loads:
        joints = tuple(joint for joint in deck.joints if joint != name)
        if len(joints) >= 2:
            decks.append(deck.model_copy(update={"joints": joints}))
    return {"deck_loads": tuple(decks)}


def view_without(model: Model, name: str) -> bool:
    """Return whether the view does not rest on a joint."""
    known = (model.view.known if model.view else None) or ()
    return all(point.joint != name for point in known)


def with_name(model: Model, old: str, new: str) -> dict[str, Any]:
    """Return the parts of a model with one joint's name exchanged."""

    def name(joint: str) -> str:
        return new if joint == old else joint

    def names(pair: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name(joint) for joint in pair)

    view = model.view
    if view is not None and view.known is not None:
        known = tuple(point.model_copy(update={"joint": name(point.joint)}) for point in view.known)
        view = view.model_copy(update={"known": known})
    return {
        "members": tuple(m.model_copy(update={"joints": names(m.joints)}) for m in model.members),
        "supports": tuple(s.model_copy(update={"joint": name(s.joint)}) for s in model.supports),
        "loads": tuple(entry.model_copy(update={"joint": name(entry.joint)}) for entry in model.loads),
        "dimensions": tuple(
            entry.model_copy(update={"start": name(entry.start), "end": name(entry.end)})
            for entry in model.dimensions
        ),
        "deck_loads": tuple(
            deck.model_copy(update={"joints": tuple(dict.fromkeys(names(deck.joints)))})
            for deck in model.deck_loads
        ),
        "level": None if model.level is None else names(model.level),
        "view": view,
    }
