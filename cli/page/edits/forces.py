"""Edits of supports and loads."""

from __future__ import annotations

from typing import Annotated, Literal, TypeVar

from pydantic import Field

from cli.model.file import Model
from cli.model.parts import DeckLoadEntry, LoadEntry, SupportEntry
from cli.page.edits.base import Edit, JointName, NotNegative, Pair, Whole, changed, joint_row
from cli.page.errors import EditError

__all__ = [
    "AddLoad",
    "ChangeLoad",
    "PutDeckLoad",
    "PutSupport",
    "RemoveDeckLoad",
    "RemoveLoad",
    "RemoveSupport",
    "SetSelfWeight",
]

Entry = TypeVar("Entry")


class PutSupport(Edit):
    """Put a pin or a roller under a joint, in place of what held it before."""

    kind: Literal["put-support"] = "put-support"
    joint: JointName
    support: Literal["pin", "roller"]
    normal: Pair | None = Field(
        default=None, description="Direction in which a roller's surface pushes, x right, y up."
    )

    def apply(self, model: Model) -> Model:
        """Put it on."""
        joint_row(model, self.joint)
        if self.normal is not None and (self.support == "pin" or self.normal == (0, 0)):
            raise EditError("A pin holds both ways; a roller pushes one way.", "Give a roller a direction.")
        entry = SupportEntry(joint=self.joint, kind=self.support, normal=self.normal)
        supports = list(model.supports)
        rows = [row for row, support in enumerate(supports) if support.joint == self.joint]
        if rows:
            supports[rows[0]] = entry
            supports = [support for row, support in enumerate(supports) if row not in rows[1:]]
        else:
            supports.append(entry)
        return changed(model, supports=tuple(supports))

    def says(self) -> str:
        """Name kind and joint."""
        return f"Put a {self.support} at {self.joint}"


class RemoveSupport(Edit):
    """Take the support off a joint."""

    kind: Literal["remove-support"] = "remove-support"
    joint: JointName

    def apply(self, model: Model) -> Model:
        """Take it off."""
        kept = tuple(support for support in model.supports if support.joint != self.joint)
        if len(kept) == len(model.supports):
            raise EditError(f"There is no support at {self.joint}.", "Nothing was changed.")
        return changed(model, supports=kept)

    def says(self) -> str:
        """Name the joint."""
        return f"Remove the support at {self.joint}"


class AddLoad(Edit):
    """Put a load on a joint."""

    kind: Literal["add-load"] = "add-load"
    joint: JointName
    force: Pair = Field(description="Force units, x right, y up.")

    def apply(self, model: Model) -> Model:
        """Put it on."""
        joint_row(model, self.joint)
        _refuse_zero(self.force)
        return changed(model, loads=(*model.loads, LoadEntry(joint=self.joint, force=self.force)))

    def says(self) -> str:
        """Name the joint."""
        return f"Put a load on {self.joint}"


class ChangeLoad(Edit):
    """Give a load another force."""

    kind: Literal["change-load"] = "change-load"
    row: Whole
    force: Pair = Field(description="Force units, x right, y up.")

    def apply(self, model: Model) -> Model:
        """Change it; a person gave it, so it is no guess any more."""
        joint = _row_of(model.loads, self.row, "load").joint
        _refuse_zero(self.force)
        entry = LoadEntry(joint=joint, force=self.force)
        return changed(model, loads=(*model.loads[: self.row], entry, *model.loads[self.row + 1 :]))

    def says(self) -> str:
        """Say what."""
        return "Change a load"


class RemoveLoad(Edit):
    """Take a load off."""

    kind: Literal["remove-load"] = "remove-load"
    row: Whole

    def apply(self, model: Model) -> Model:
        """Take it off."""
        _row_of(model.loads, self.row, "load")
        return changed(model, loads=(*model.loads[: self.row], *model.loads[self.row + 1 :]))

    def says(self) -> str:
        """Say what."""
        return "Remove a load"


class PutDeckLoad(Edit):
    """Spread a load along a deck; its joints carry it by tributary length."""

    kind: Literal["put-deck-load"] = "put-deck-load"
    joints: Annotated[tuple[JointName, ...], Field(min_length=2, description="Deck joints in order.")]
    force: Pair = Field(description="Force units per length unit of deck, x right, y up.")

    def apply(self, model: Model) -> Model:
        """Put it on, in place of one on the same joints."""
        for joint in self.joints:
            joint_row(model, joint)
        if len(set(self.joints)) < len(self.joints):
            raise EditError("A joint stands twice in the deck.", "Name each deck joint once, in order.")
        _refuse_zero(self.force)
        entry = DeckLoadEntry(joints=self.joints, force=self.force)
        kept = tuple(deck for deck in model.deck_loads if set(deck.joints) != set(self.joints))
        return changed(model, deck_loads=(*kept, entry))

    def says(self) -> str:
        """Name its ends."""
        return f"Load the deck {self.joints[0]} to {self.joints[-1]}"


class RemoveDeckLoad(Edit):
    """Take a deck load off."""

    kind: Literal["remove-deck-load"] = "remove-deck-load"
    row: Whole

    def apply(self, model: Model) -> Model:
        """Take it off."""
        _row_of(model.deck_loads, self.row, "deck load")
        decks = model.deck_loads
        return changed(model, deck_loads=(*decks[: self.row], *decks[self.row + 1 :]))

    def says(self) -> str:
        """Say what."""
        return "Remove the deck load"


class SetSelfWeight(Edit):
    """Let the members weigh something: half of each goes to either end. Nothing turns it off."""

    kind: Literal["set-self-weight"] = "set-self-weight"
    per_length: NotNegative = Field(description="Force units per length unit of member; 0 is off.")

    def apply(self, model: Model) -> Model:
        """Set it."""
        return changed(model, self_weight=self.per_length or None)

    def says(self) -> str:
        """Say whether it is on."""
        return "Set self-weight" if self.per_length else "Turn self-weight off"


def _refuse_zero(force: tuple[float, float]) -> None:
    if force == (0, 0):
        raise EditError("A load of nothing is no load.", "Give its size, or remove it.")


def _row_of(entries: tuple[Entry, ...], row: int, what: str) -> Entry:
    if row >= len(entries):
        raise EditError(f"That {what} is not there any more.", "Choose another one.")
    return entries[row]
