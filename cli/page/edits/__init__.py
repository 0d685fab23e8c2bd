"""Edits: what a person can change on the page, each a pure function from model to model."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from cli.page.edits.base import Edit, Whole
from cli.page.edits.drawings import AcceptDrawing, DeleteDrawing
from cli.page.edits.forces import (
    AddLoad,
    ChangeLoad,
    PutDeckLoad,
    PutSupport,
    RemoveDeckLoad,
    RemoveLoad,
    RemoveSupport,
    SetSelfWeight,
)
from cli.page.edits.joints import AddJoint, DeleteJoint, MoveJoint, NameJoints, RenameJoint
from cli.page.edits.looks import AcceptAll, AcceptJoint, AcceptLoad, AcceptMember, AcceptSupport, Reopen
from cli.page.edits.meetings import CrossMembers, MeetMembers, MergeJoints
from cli.page.edits.members import AddMember, DeleteMember, SplitMember
from cli.page.edits.sizes import (
    ClearView,
    PutDimension,
    RemoveDimension,
    SetLevel,
    SetTitle,
    ViewFromJoints,
    ViewFromRectangle,
)
from cli.page.edits.stocks import PutStock, RemoveStock
from cli.page.edits.units import ConvertUnits, SetUnits

__all__ = ["AnyEdit", "Edit", "Whole"]

AnyEdit = Annotated[
    AcceptAll
    | AcceptDrawing
    | AcceptJoint
    | AcceptLoad
    | AcceptMember
    | AcceptSupport
    | AddJoint
    | AddLoad
    | AddMember
    | ChangeLoad
    | ClearView
    | ConvertUnits
    | CrossMembers
    | DeleteDrawing
    | DeleteJoint
    | DeleteMember
    | MeetMembers
    | MergeJoints
    | MoveJoint
    | NameJoints
    | PutDeckLoad
    | PutDimension
    | PutStock
    | PutSupport
    | RemoveDeckLoad
    | RemoveDimension
    | RemoveLoad
    | RemoveStock
    | RemoveSupport
    | RenameJoint
    | Reopen
    | SetLevel
    | SetSelfWeight
    | SetTitle
    | SetUnits
    | SplitMember
    | ViewFromJoints
    | ViewFromRectangle,
    Field(discriminator="kind"),
]
"""Any edit, told apart by its `kind`."""
