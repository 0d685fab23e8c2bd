"""A model file from a truss alone: joints in the plane, no picture."""

from __future__ import annotations

from typing import Literal, cast

from cli.model.file import Model
from cli.model.parts import DeckLoadEntry, JointEntry, LoadEntry, MemberEntry, SupportEntry, UnitsEntry
from solver import Support, Truss

__all__ = ["model_of_truss"]

LengthUnit = Literal["mm", "cm", "m", "in", "ft"]
ForceUnit = Literal["N", "kN", "lbf", "kip", "kgf"]


def model_of_truss(truss: Truss, *, title: str | None = None, sheet: str | None = None) -> Model:
    """Return the model of a truss.

    Parameters
    ----------
    truss : Truss
        With the same weight in all its members, and no loads between joints: the model file knows no others.
    title : str, optional
        What it is called.
    sheet : str, optional
        Code of the worksheet that it is printed on.
    """
    weights = {member.weight for member in truss.members}
    assert len(weights) == 1
    assert not truss.member_loads
    return Model(
        title=title,
        sheet=sheet,
        units=UnitsEntry(
            # A truss has no other units: it was checked when it was made.
            length=cast("LengthUnit", truss.length_unit),
            force=cast("ForceUnit", truss.force_unit),
        ),
        joints=tuple(JointEntry(name=joint.name, at=(joint.x, joint.y)) for joint in truss.joints),
        members=tuple(MemberEntry(joints=(member.start, member.end)) for member in truss.members),
        supports=tuple(_support(support) for support in truss.supports),
        loads=tuple(LoadEntry(joint=load.joint, force=(load.fx, load.fy)) for load in truss.loads),
        deck_loads=tuple(
            DeckLoadEntry(joints=deck.joints, force=(deck.fx, deck.fy)) for deck in truss.deck_loads
        ),
        self_weight=weights.pop() or None,
    )


def _support(support: Support) -> SupportEntry:
    if support.kind == "pin":
        return SupportEntry(joint=support.joint, kind="pin")
    upright = support.normal == (0.0, 1.0)
    return SupportEntry(joint=support.joint, kind="roller", normal=None if upright else support.normal)
