"""Edits of members: draw, delete, split at a joint that lies on it."""

from __future__ import annotations

from typing import Literal

from cli.model.file import Model
from cli.model.parts import MemberEntry
from cli.page.edits.base import Edit, JointName, changed, joint_row, member_row, same_pair
from cli.page.errors import EditError

__all__ = ["AddMember", "DeleteMember", "SplitMember", "far_end", "halves"]


class AddMember(Edit):
    """Draw a member from joint to joint."""

    kind: Literal["add-member"] = "add-member"
    start: JointName
    end: JointName

    def apply(self, model: Model) -> Model:
        """Add it."""
        joint_row(model, self.start)
        joint_row(model, self.end)
        if self.start == self.end:
            raise EditError("A member needs two joints.", "End it at another joint.")
        if any(same_pair(member.joints, (self.start, self.end)) for member in model.members):
            raise EditError(f"Member {self.start}-{self.end} is there already.", "Nothing was changed.")
        return changed(model, members=(*model.members, MemberEntry(joints=(self.start, self.end))))

    def says(self) -> str:
        """Name the member."""
        return f"Draw member {self.start}-{self.end}"


class DeleteMember(Edit):
    """Delete a member; its joints stay."""

    kind: Literal["delete-member"] = "delete-member"
    start: JointName
    end: JointName

    def apply(self, model: Model) -> Model:
        """Delete it."""
        row = member_row(model, self.start, self.end)
        return changed(model, members=(*model.members[:row], *model.members[row + 1 :]))

    def says(self) -> str:
        """Name the member."""
        return f"Delete member {self.start}-{self.end}"


class SplitMember(Edit):
    """Split a member at a joint that lies on it."""

    kind: Literal["split-member"] = "split-member"
    start: JointName
    end: JointName
    joint: JointName

    def apply(self, model: Model) -> Model:
        """Put its two pieces in its place; a piece that is there already is not doubled."""
        joint_row(model, self.joint)
        row = member_row(model, self.start, self.end)
        others = [*model.members[:row], *model.members[row + 1 :]]
        pieces = [
            piece
            for piece in halves(model.members[row], self.joint)
            if not any(same_pair(piece.joints, other.joints) for other in others)
        ]
        members = (*model.members[:row], *pieces, *model.members[row + 1 :])
        return changed(model, members=members)

    def says(self) -> str:
        """Name the member and the joint."""
        return f"Split member {self.start}-{self.end} at {self.joint}"


def halves(member: MemberEntry, name: str) -> list[MemberEntry]:
    """Return the two pieces of a member that is split at a joint."""
    start, end = member.joints
    if name in member.joints:
        raise EditError(
            f"Joint {name} is an end of member {start}-{end}.", "Choose a joint between its ends."
        )
    return [
        MemberEntry(joints=(start, name), stock=member.stock),
        MemberEntry(joints=(name, end), stock=member.stock),
    ]


def far_end(member: MemberEntry, joint: str) -> str:
    """Return the other end of a member."""
    start, end = member.joints
    return end if start == joint else start
