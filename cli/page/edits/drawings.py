"""Edits of a whole drawing that was read beside the truss."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cli.model.file import Model
from cli.page.edits.base import Edit, JointName, changed, joint_row
from cli.page.edits.references import without_joint

__all__ = ["AcceptDrawing", "DeleteDrawing"]

Joints = Annotated[tuple[JointName, ...], Field(min_length=1, description="All joints of the drawing.")]


class DeleteDrawing(Edit):
    """Delete joints that belong to another drawing, and everything that hangs on them."""

    kind: Literal["delete-drawing"] = "delete-drawing"
    joints: Joints

    def apply(self, model: Model) -> Model:
        """Delete them all, or none."""
        for joint in self.joints:
            joint_row(model, joint)
        for joint in dict.fromkeys(self.joints):
            model = without_joint(model, joint)
        return model

    def says(self) -> str:
        """Say how many."""
        return f"Delete a drawing of {len(self.joints)} joints"


class AcceptDrawing(Edit):
    """Say that joints which stand apart, and the members between them, belong to the truss."""

    kind: Literal["accept-drawing"] = "accept-drawing"
    joints: Joints

    def apply(self, model: Model) -> Model:
        """Take their doubt away."""
        for joint in self.joints:
            joint_row(model, joint)
        own = set(self.joints)
        sure = {"confidence": None}
        return changed(
            model,
            joints=tuple(j.model_copy(update=sure) if j.name in own else j for j in model.joints),
            members=tuple(m.model_copy(update=sure) if own >= set(m.joints) else m for m in model.members),
        )

    def says(self) -> str:
        """Say how many."""
        return f"A drawing of {len(self.joints)} joints belongs to the truss"
