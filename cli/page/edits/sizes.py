"""Edits of what turns the picture into lengths: dimensions, level, view; and the title."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cli.model.file import Model
from cli.model.parts import DimensionEntry, KnownJoint, KnownRectangleEntry, ViewEntry
from cli.page.edits.base import (
    Edit,
    JointName,
    NotNegative,
    Pair,
    Positive,
    Whole,
    changed,
    joint_row,
    same_pair,
)
from cli.page.errors import EditError

__all__ = [
    "ClearView",
    "PutDimension",
    "RemoveDimension",
    "SetLevel",
    "SetTitle",
    "ViewFromJoints",
    "ViewFromRectangle",
]


class PutDimension(Edit):
    """Write a dimension between two joints; it overrules what is drawn, and one of its kind there before."""

    kind: Literal["put-dimension"] = "put-dimension"
    dimension: Literal["across", "up", "along", "angle"]
    start: JointName
    end: JointName
    value: NotNegative = Field(description="Length units, or degrees for `angle`.")

    def apply(self, model: Model) -> Model:
        """Write it."""
        joint_row(model, self.start)
        joint_row(model, self.end)
        if self.start == self.end:
            raise EditError("A dimension needs two joints.", "Choose another joint.")
        if self.dimension == "angle" and self.value > 90:
            raise EditError("An angle from the horizontal is at most 90°.", f"Write {180 - self.value:g}.")
        if self.dimension == "along" and self.value == 0:
            raise EditError("A length of nothing is no length.", "Give the length that is written.")
        entry = DimensionEntry(kind=self.dimension, start=self.start, end=self.end, value=self.value)
        kept = list(model.dimensions)
        for row, old in enumerate(kept):
            if old.kind == self.dimension and same_pair((old.start, old.end), (self.start, self.end)):
                kept[row] = entry
                return changed(model, dimensions=tuple(kept))
        return changed(model, dimensions=(*kept, entry))

    def says(self) -> str:
        """Name it."""
        return f"Dimension {self.dimension} {self.start} {self.end}"


class RemoveDimension(Edit):
    """Take a dimension away."""

    kind: Literal["remove-dimension"] = "remove-dimension"
    row: Whole

    def apply(self, model: Model) -> Model:
        """Take it away."""
        if self.row >= len(model.dimensions):
            raise EditError("That dimension is not there any more.", "Choose another one.")
        kept = (*model.dimensions[: self.row], *model.dimensions[self.row + 1 :])
        return changed(model, dimensions=kept)

    def says(self) -> str:
        """Say what."""
        return "Remove a dimension"


class SetLevel(Edit):
    """Say which two joints lie level; nothing leaves it to the longest near-level chord."""

    kind: Literal["set-level"] = "set-level"
    level: tuple[JointName, JointName] | None

    def apply(self, model: Model) -> Model:
        """Set it."""
        if self.level is not None:
            for joint in self.level:
                joint_row(model, joint)
            if self.level[0] == self.level[1]:
                raise EditError("Level needs two joints.", "Choose another joint.")
        return changed(model, level=self.level)

    def says(self) -> str:
        """Name the joints."""
        return f"Level from {self.level[0]} to {self.level[1]}" if self.level else "Level from the chord"


class ViewFromRectangle(Edit):
    """Take the perspective out by a rectangle of known size: the page, a board, a cutting mat."""

    kind: Literal["view-from-rectangle"] = "view-from-rectangle"
    corners: tuple[Pair, Pair, Pair, Pair] = Field(description="Pixels, clockwise from top left.")
    width: Positive = Field(description="Length units.")
    height: Positive = Field(description="Length units.")

    def apply(self, model: Model) -> Model:
        """Set the view."""
        rectangle = KnownRectangleEntry(corners=self.corners, width=self.width, height=self.height)
        return changed(model, view=ViewEntry(rectangle=rectangle))

    def says(self) -> str:
        """Say what."""
        return "Set the view from a rectangle"


class ViewFromJoints(Edit):
    """Take the perspective out by four or more joints whose places are known."""

    kind: Literal["view-from-joints"] = "view-from-joints"
    joints: Annotated[tuple[JointName, ...], Field(min_length=4)]
    at: Annotated[tuple[Pair, ...], Field(min_length=4, description="Length units, x right, y up.")]

    def apply(self, model: Model) -> Model:
        """Set the view."""
        for joint in self.joints:
            joint_row(model, joint)
        if len(set(self.joints)) != len(self.joints) or len(self.joints) != len(self.at):
            raise EditError("Each joint needs one place.", "Name four different joints, each with x and y.")
        known = tuple(KnownJoint(joint=name, at=at) for name, at in zip(self.joints, self.at, strict=True))
        return changed(model, view=ViewEntry(known=known))

    def says(self) -> str:
        """Name the joints."""
        return f"Set the view from {', '.join(self.joints)}"


class ClearView(Edit):
    """Take the picture as seen straight from the front."""

    kind: Literal["clear-view"] = "clear-view"

    def apply(self, model: Model) -> Model:
        """Clear the view."""
        return changed(model, view=None)

    def says(self) -> str:
        """Say what."""
        return "Clear the view"


class SetTitle(Edit):
    """Say what the truss is called."""

    kind: Literal["set-title"] = "set-title"
    title: Annotated[str, Field(strict=True, max_length=200)]

    def apply(self, model: Model) -> Model:
        """Set it."""
        return changed(model, title=" ".join(self.title.split()) or None)

    def says(self) -> str:
        """Say what."""
        return "Change the title"
