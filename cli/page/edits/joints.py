"""Edits of joints: add, move, delete, rename."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from cli.model.file import Model
from cli.model.parts import MemberEntry
from cli.names import letters, reading_order
from cli.page.edits.base import Edit, JointName, changed, drawn_at, joint_row, member_row, next_name
from cli.page.edits.members import halves
from cli.page.edits.placing import Placed, joint_entry
from cli.page.edits.references import with_name, without_joint
from cli.page.errors import EditError

__all__ = ["AddJoint", "DeleteJoint", "MoveJoint", "NameJoints", "RenameJoint"]


class AddJoint(Placed):
    """Put a joint on the picture; on a member when one is named, which is split there."""

    kind: Literal["add-joint"] = "add-joint"
    name: JointName | None = None
    split: Annotated[tuple[JointName, JointName], Field(description="The member it lies on.")] | None = None
    join: JointName | None = Field(default=None, description="A joint to draw a member from.")

    def apply(self, model: Model) -> Model:
        """Add the joint, and split or draw a member."""
        name = self.name or next_name(model)
        joint = joint_entry(name=name, **self.place(model, ""))
        members = list(model.members)
        if self.split is not None:
            row = member_row(model, *self.split)
            members[row : row + 1] = halves(members[row], name)
        if self.join is not None:
            joint_row(model, self.join)
            members.append(MemberEntry(joints=(self.join, name)))
        return changed(model, joints=(*model.joints, joint), members=tuple(members))

    def says(self) -> str:
        """Say which."""
        if self.split:
            return f"Split member {self.split[0]}-{self.split[1]}"
        return f"Draw a member from {self.join}" if self.join else "Add a joint"


class MoveJoint(Placed):
    """Move a joint."""

    kind: Literal["move-joint"] = "move-joint"
    joint: JointName

    def apply(self, model: Model) -> Model:
        """Move it; a person put it there, so it is no guess any more."""
        row = joint_row(model, self.joint)
        moved = joint_entry(name=self.joint, **self.place(model, self.joint))
        return changed(model, joints=(*model.joints[:row], moved, *model.joints[row + 1 :]))

    def says(self) -> str:
        """Name the joint."""
        return f"Move joint {self.joint}"


class DeleteJoint(Edit):
    """Delete a joint and everything that hangs on it."""

    kind: Literal["delete-joint"] = "delete-joint"
    joint: JointName

    def apply(self, model: Model) -> Model:
        """Delete it with its members, supports, loads and dimensions."""
        joint_row(model, self.joint)
        return without_joint(model, self.joint)

    def says(self) -> str:
        """Name the joint."""
        return f"Delete joint {self.joint}"


class RenameJoint(Edit):
    """Give a joint another name, everywhere."""

    kind: Literal["rename-joint"] = "rename-joint"
    joint: JointName
    name: JointName

    def apply(self, model: Model) -> Model:
        """Rename it."""
        row = joint_row(model, self.joint)
        if self.name != self.joint and self.name in model.names:
            raise EditError(f"There is a joint {self.name} already.", "Choose another name.")
        renamed = joint_entry(**{**dict(model.joints[row]), "name": self.name})
        fields = with_name(model, self.joint, self.name)
        return changed(
            model, **{**fields, "joints": (*model.joints[:row], renamed, *model.joints[row + 1 :])}
        )

    def says(self) -> str:
        """Name both."""
        return f"Rename joint {self.joint} to {self.name}"


class NameJoints(Edit):
    """Name all joints anew, A, B, C ... in reading order: after some were added or taken away."""

    kind: Literal["name-joints"] = "name-joints"

    def apply(self, model: Model) -> Model:
        """Name and sort them."""
        places = np.array([drawn_at(joint) for joint in model.joints], dtype=float).reshape(-1, 2)
        rows = model.rows
        members = [(rows[member.joints[0]], rows[member.joints[1]]) for member in model.members]
        order = reading_order(places, members)
        # By way of names that nobody uses, so that no two joints share one in between.
        between = {row: f"·{rank}" for rank, row in enumerate(order)}
        for names in (between, {row: letters(rank) for rank, row in enumerate(order)}):
            for row, name in names.items():
                model = RenameJoint(joint=model.names[row], name=name).apply(model)
        return changed(model, joints=tuple(model.joints[row] for row in order))

    def says(self) -> str:
        """Say what."""
        return "Name the joints anew"
