"""Edits by which a person says that something read is right: then it is no guess any more."""

from __future__ import annotations

from typing import Literal, TypeVar

from cli.model.file import Model
from cli.model.parts import JointEntry, LoadEntry, MemberEntry, SupportEntry
from cli.page.edits.base import Edit, JointName, Whole, changed, joint_row, member_row
from cli.page.errors import EditError

__all__ = ["AcceptAll", "AcceptJoint", "AcceptLoad", "AcceptMember", "AcceptSupport", "Reopen"]

Entry = TypeVar("Entry", JointEntry, MemberEntry, SupportEntry, LoadEntry)


class AcceptJoint(Edit):
    """Say that a joint is right."""

    kind: Literal["accept-joint"] = "accept-joint"
    joint: JointName

    def apply(self, model: Model) -> Model:
        """Take its doubt away; its error in pixels stays with what was read."""
        row = joint_row(model, self.joint)
        return changed(model, joints=_sure(model.joints, row))

    def says(self) -> str:
        """Name it."""
        return f"Joint {self.joint} is right"


class AcceptMember(Edit):
    """Say that a member is right."""

    kind: Literal["accept-member"] = "accept-member"
    start: JointName
    end: JointName

    def apply(self, model: Model) -> Model:
        """Take its doubt away."""
        row = member_row(model, self.start, self.end)
        return changed(model, members=_sure(model.members, row))

    def says(self) -> str:
        """Name it."""
        return f"Member {self.start}-{self.end} is right"


class AcceptSupport(Edit):
    """Say that a support seen in the picture is right."""

    kind: Literal["accept-support"] = "accept-support"
    joint: JointName

    def apply(self, model: Model) -> Model:
        """Take its doubt away."""
        for row, support in enumerate(model.supports):
            if support.joint == self.joint:
                return changed(model, supports=_sure(model.supports, row))
        raise EditError(f"There is no support at {self.joint} any more.", "Nothing was changed.")

    def says(self) -> str:
        """Name the joint."""
        return f"The support at {self.joint} is right"


class AcceptLoad(Edit):
    """Say that a load read from the picture, with its size, is right."""

    kind: Literal["accept-load"] = "accept-load"
    row: Whole

    def apply(self, model: Model) -> Model:
        """Take its doubt away."""
        if self.row >= len(model.loads):
            raise EditError("That load is not there any more.", "Nothing was changed.")
        if model.loads[self.row].force is None:
            raise EditError("This load has no size yet.", "Give it one.")
        return changed(model, loads=_sure(model.loads, self.row))

    def says(self) -> str:
        """Say what."""
        return "The load is right"


class AcceptAll(Edit):
    """Say that everything is right: the model is confirmed."""

    kind: Literal["accept-all"] = "accept-all"

    def apply(self, model: Model) -> Model:
        """Confirm; how sure the reading was stays with what was read."""
        unsized = [load.joint for load in model.loads if load.force is None]
        if unsized:
            raise EditError(
                f"The arrow at joint {unsized[0]} was seen, but not its size.", "Give its size, or remove it."
            )
        return changed(model, confirmed=True)

    def says(self) -> str:
        """Say what."""
        return "Confirm the reading"


class Reopen(Edit):
    """Say that the model is not confirmed after all."""

    kind: Literal["reopen"] = "reopen"

    def apply(self, model: Model) -> Model:
        """Take the confirmation back."""
        return changed(model, confirmed=False)

    def says(self) -> str:
        """Say what."""
        return "Take the confirmation back"


def _sure(entries: tuple[Entry, ...], row: int) -> tuple[Entry, ...]:
    sure = list(entries)
    sure[row] = entries[row].model_copy(update={"confidence": None})
    return tuple(sure)
