"""Edits of what meets where: merge two joints, let members cross without a joint, or meet in one."""

from __future__ import annotations

import math
from typing import Literal

from cli.model.file import Model
from cli.model.parts import MemberEntry
from cli.page.edits.base import (
    Edit,
    JointName,
    changed,
    drawn_at,
    joint_row,
    member_row,
    next_name,
    same_pair,
)
from cli.page.edits.members import far_end, halves
from cli.page.edits.placing import Placed, joint_entry
from cli.page.edits.references import view_without, with_name, without_joint
from cli.page.errors import EditError

__all__ = ["CrossMembers", "MeetMembers", "MergeJoints"]

STRAIGHT_WITHIN = math.radians(30)
"""Two pieces of one member, crossed by another, lie this straight at least, however shaky the hand."""


class MergeJoints(Edit):
    """Make one joint of two: the first disappears into the second."""

    kind: Literal["merge-joints"] = "merge-joints"
    joint: JointName
    into: JointName

    def apply(self, model: Model) -> Model:
        """Move members, supports, loads and dimensions of the first to the second."""
        joint_row(model, self.joint)
        joint_row(model, self.into)
        if self.joint == self.into:
            raise EditError("A joint cannot be merged with itself.", "Choose two joints.")
        fields = with_name(model, self.joint, self.into)
        members: list[MemberEntry] = []
        for member in fields["members"]:
            start, end = member.joints
            if start != end and not any(same_pair(member.joints, other.joints) for other in members):
                members.append(member)
        supports = {support.joint: support for support in fields["supports"]}
        kept = {entry.joint: entry for entry in model.supports if entry.joint == self.into}
        return changed(
            model,
            **{
                **fields,
                "joints": tuple(joint for joint in model.joints if joint.name != self.joint),
                "members": tuple(members),
                "supports": tuple({**supports, **kept}.values()),
                "dimensions": tuple(entry for entry in fields["dimensions"] if entry.start != entry.end),
                "level": None if fields["level"] and len(set(fields["level"])) == 1 else fields["level"],
                "view": model.view if view_without(model, self.joint) else None,
            },
        )

    def says(self) -> str:
        """Name both."""
        return f"Merge joint {self.joint} into {self.into}"


class CrossMembers(Edit):
    """Say that the members through a joint only cross there: no joint."""

    kind: Literal["cross-members"] = "cross-members"
    joint: JointName

    def apply(self, model: Model) -> Model:
        """Join the pieces that lie straight on, and take the joint away."""
        row = joint_row(model, self.joint)
        carried = [entry.joint for entry in model.supports] + [entry.joint for entry in model.loads]
        if self.joint in carried:
            raise EditError(
                f"Joint {self.joint} carries a support or a load.",
                "Take it off first, then let the members cross.",
            )
        pieces = [member for member in model.members if self.joint in member.joints]
        names = {joint.name: drawn_at(joint) for joint in model.joints}
        pairs = _straight_pairs(
            drawn_at(model.joints[row]), {far: names[far] for far in (far_end(m, self.joint) for m in pieces)}
        )
        if pairs is None:
            raise EditError(
                f"The members at {self.joint} do not go straight through in pairs.",
                "Only members that run straight on can cross without a joint. Delete the joint instead.",
            )
        left = without_joint(model, self.joint)
        new = [
            MemberEntry(joints=pair)
            for pair in pairs
            if not any(same_pair(pair, member.joints) for member in left.members)
        ]
        return changed(left, members=(*left.members, *new))

    def says(self) -> str:
        """Name the joint."""
        return f"No joint at {self.joint}: members cross"


class MeetMembers(Placed):
    """Say that two members that cross do meet: put a joint there."""

    kind: Literal["meet-members"] = "meet-members"
    first: tuple[JointName, JointName]
    second: tuple[JointName, JointName]

    def apply(self, model: Model) -> Model:
        """Split both members at a new joint."""
        rows = {member_row(model, *self.first), member_row(model, *self.second)}
        if len(rows) == 1:
            raise EditError("That is one member.", "Choose two members that cross.")
        name = next_name(model)
        members: list[MemberEntry] = []
        for row, member in enumerate(model.members):
            members += halves(member, name) if row in rows else [member]
        joint = joint_entry(name=name, **self.place(model, ""))
        return changed(model, joints=(*model.joints, joint), members=tuple(members))

    def says(self) -> str:
        """Name the members."""
        return f"Joint where {'-'.join(self.first)} and {'-'.join(self.second)} cross"


def _straight_pairs(
    middle: tuple[float, float], far: dict[str, tuple[float, float]]
) -> list[tuple[str, str]] | None:
    """Pair the far ends that lie straight on through the middle; None if one is left."""
    angle = {name: math.atan2(y - middle[1], x - middle[0]) for name, (x, y) in far.items()}
    bends = sorted(
        (abs(math.remainder(angle[one] - angle[other] - math.pi, 2 * math.pi)), one, other)
        for one in far
        for other in far
        if one < other
    )
    pairs: list[tuple[str, str]] = []
    left = set(far)
    for bend, one, other in bends:
        if bend <= STRAIGHT_WITHIN and {one, other} <= left:
            pairs.append((one, other))
            left -= {one, other}
    return pairs if pairs and not left else None
