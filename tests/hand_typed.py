"""The model file of a truss, as a person would type it: places and no picture."""

from __future__ import annotations

from cli.model.file import Model
from cli.model.parts import JointEntry, LoadEntry, MemberEntry, SupportEntry
from solver import Truss


def hand_typed(truss: Truss, title: str) -> Model:
    """Return the model file of a truss, as typed by hand."""
    return Model(
        title=title,
        units={"length": truss.length_unit, "force": truss.force_unit},
        joints=tuple(JointEntry(name=joint.name, at=(joint.x, joint.y)) for joint in truss.joints),
        members=tuple(MemberEntry(joints=(member.start, member.end)) for member in truss.members),
        supports=tuple(
            SupportEntry(joint=held.joint, kind="pin")
            if held.kind == "pin"
            else SupportEntry(joint=held.joint, kind="roller", normal=held.normal)
            for held in truss.supports
        ),
        loads=tuple(LoadEntry(joint=load.joint, force=(load.fx, load.fy)) for load in truss.loads),
    )
