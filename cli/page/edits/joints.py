"""Edits of joints: add, move, delete, rename, merge, let two members cross or meet."""

from __future__ import annotations

import math
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from cli.model_file import JointEntry, MemberEntry, Model
from cli.names import letters, reading_order
from cli.page.edits.base import (
    Edit,
    JointName,
    Pair,
    changed,
    drawn_at,
    joint_row,
    member_row,
    next_name,
    same_pair,
)
from cli.page.errors import EditError

__all__ = [
    "AddJoint",
    "CrossMembers",
    "DeleteJoint",
    "MeetMembers",
    "MergeJoints",
    "MoveJoint",
    "NameJoints",
    "RenameJoint",
]

HAND_ERROR = 1.0
"""Pixels. Standard error of a joint that a person put on the ink with the magnifier's help."""

STRAIGHT_WITHIN = math.radians(30)
"""Two pieces of one member, crossed by another, lie this straight at least, however shaky the hand."""

COINCIDENT_PX = 0.5
"""Pixels. Joints nearer than this would be one joint."""


class _Placed(Edit):
    """An edit that puts a joint somewhere: in the picture, or in the plane where there is no picture."""

    px: Pair | None = Field(default=None, description="In the picture, pixels, x right, y down.")
    at: Pair | None = Field(default=None, description="In the plane, length units, x right, y up.")

    def place(self, model: Model, name: str) -> dict[str, Any]:
        """Return the new place of a joint as fields of its entry.

        In a picture whose joints all have places typed by hand and no dimensions, the places are what counts,
        so the moved joint gets its own by the affine map that fits them best.
        """
        if (self.px is None) == (self.at is None):
            raise EditError("A joint has one place.", 'Give either "px" or "at".')
        if self.px is None:
            if any(joint.px is not None for joint in model.joints):
                raise EditError("This model has a picture.", "Give the place in the picture.")
            _refuse_coincident(model, name, self.at, lambda joint: joint.at)
            return {"at": self.at, "px": None, "px_error": None}
        if model.joints and all(joint.px is None for joint in model.joints):
            raise EditError("This model has no picture.", "Give the place in the plane.")
        _refuse_coincident(model, name, self.px, lambda joint: joint.px)
        return {"px": self.px, "at": _plane_place(model, self.px), "px_error": HAND_ERROR}


def _refuse_coincident(model: Model, name: str, place: Any, where: Any) -> None:
    for joint in model.joints:
        other = where(joint)
        if (
            joint.name != name
            and other is not None
            and math.dist(other, place) < COINCIDENT_PX * _grain(model)
        ):
            raise EditError(
                f"Joint {joint.name} is there already.",
                f"To make one joint of both, merge {name} into {joint.name}."
                if name
                else "Choose another place.",
            )


def _grain(model: Model) -> float:
    """Return one pixel, or without a picture a thousandth of the truss's size."""
    if any(joint.px is not None for joint in model.joints):
        return 1.0
    drawn = np.array([drawn_at(joint) for joint in model.joints])
    return float(np.ptp(drawn, axis=0).max()) / 1000


def _plane_place(model: Model, px: tuple[float, float]) -> tuple[float, float] | None:
    """Return where a point is by hand-typed places of the joints as they were, if those are in use."""
    if model.dimensions or model.view is not None or any(joint.at is None for joint in model.joints):
        return None
    known = [(joint.px, joint.at) for joint in model.joints if joint.px is not None]
    picture = np.array([[*place, 1.0] for place, _ in known]).reshape(-1, 3)
    if np.linalg.matrix_rank(picture) < 3:
        return None
    plane = np.array([at for _, at in known])
    fitted = np.array([*px, 1.0]) @ np.linalg.lstsq(picture, plane, rcond=None)[0]
    return float(fitted[0]), float(fitted[1])


class AddJoint(_Placed):
    """Put a joint on the picture; on a member when one is named, which is split there."""

    kind: Literal["add-joint"] = "add-joint"
    name: JointName | None = None
    split: Annotated[tuple[JointName, JointName], Field(description="The member it lies on.")] | None = None
    join: JointName | None = Field(default=None, description="A joint to draw a member from.")

    def apply(self, model: Model) -> Model:
        """Add the joint, and split or draw a member."""
        name = self.name or next_name(model)
        joint = _entry(name=name, **self.place(model, ""))
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


class MoveJoint(_Placed):
    """Move a joint."""

    kind: Literal["move-joint"] = "move-joint"
    joint: JointName

    def apply(self, model: Model) -> Model:
        """Move it; a person put it there, so it is no guess any more."""
        row = joint_row(model, self.joint)
        moved = _entry(name=self.joint, **self.place(model, self.joint))
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
        renamed = _entry(**{**dict(model.joints[row]), "name": self.name})
        fields = _with_name(model, self.joint, self.name)
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
        fields = _with_name(model, self.joint, self.into)
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
                "view": model.view if _view_without(model, self.joint) else None,
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


class MeetMembers(_Placed):
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
        joint = _entry(name=name, **self.place(model, ""))
        return changed(model, joints=(*model.joints, joint), members=tuple(members))

    def says(self) -> str:
        """Name the members."""
        return f"Joint where {'-'.join(self.first)} and {'-'.join(self.second)} cross"


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
        view=model.view if _view_without(model, name) else None,
        **_deck_without(model, name),
    )


def _deck_without(model: Model, name: str) -> dict[str, Any]:
    decks = []
    for deck in model.deck_loads:
        joints = tuple(joint for joint in deck.joints if joint != name)
        if len(joints) >= 2:
            decks.append(deck.model_copy(update={"joints": joints}))
    return {"deck_loads": tuple(decks)}


def _view_without(model: Model, name: str) -> bool:
    """Return whether the view does not rest on a joint."""
    known = (model.view.known if model.view else None) or ()
    return all(point.joint != name for point in known)


def _entry(**fields: Any) -> JointEntry:
    try:
        return JointEntry(**fields)
    except ValueError:
        raise EditError(
            f'"{fields["name"]}" cannot be the name of a joint.', "Use letters and digits, without blanks."
        ) from None


def _with_name(model: Model, old: str, new: str) -> dict[str, Any]:
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
