"""Where members cross: whether they are joined there."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from cli.model.file import Model
from cli.page.canvas import canvas_of
from cli.page.edits.looks import AcceptJoint, AcceptMember
from cli.page.edits.meetings import CrossMembers, MeetMembers
from cli.page.look_types import Cure, Look

__all__ = ["crossing_joints", "crossings"]

STRAIGHT_WITHIN = math.radians(9)
"""Two members on either side of a joint are one straight line within this, at a place where members may only
cross."""

INSIDE = 0.04
"""Share of a member's length near its ends in which a crossing is no crossing but a joint drawn loosely."""

MOST_CROSSINGS = 24
"""Crossings listed; a drawing with more was not read as a truss."""


def crossing_joints(model: Model) -> Iterator[Look]:
    """Joints at which two straight members meet that may only cross."""
    places = canvas_of(model).joints
    rows = model.rows
    for joint in model.joints:
        if joint.confidence is None:
            continue
        far = [
            end if start == joint.name else start
            for start, end in (member.joints for member in model.members)
            if joint.name in (start, end)
        ]
        if len(far) != 4:
            continue
        angles = sorted(math.atan2(*(places[rows[name]] - places[rows[joint.name]])[::-1]) for name in far)
        bends = (abs(angles[row + 2] - angles[row] - math.pi) for row in (0, 1))
        if all(bend < STRAIGHT_WITHIN for bend in bends):
            yield Look(
                key=f"crossing joint {joint.name}",
                sentence=f"Two straight members meet at {joint.name}. Are they joined there?",
                urgent=False,
                joints=(joint.name,),
                cures=(
                    Cure(label="Yes, a joint", edit=AcceptJoint(joint=joint.name)),
                    Cure(label="No, they only cross", edit=CrossMembers(joint=joint.name)),
                ),
            )


def crossings(model: Model) -> Iterator[Look]:
    """Members that cross away from their ends: perhaps a joint was missed there."""
    if not model.members:
        return
    places = canvas_of(model).joints
    rows = model.rows
    ends = np.array([[rows[name] for name in member.joints] for member in model.members])
    start, way = places[ends[:, 0]], places[ends[:, 1]] - places[ends[:, 0]]
    found = 0
    for one in range(len(ends)):
        for other in range(one + 1, len(ends)):
            if set(ends[one]) & set(ends[other]):
                continue
            both = _meeting(start[one], way[one], start[other], way[other])
            doubted = any(model.members[row].confidence is not None for row in (one, other))
            if both is None or not doubted or found >= MOST_CROSSINGS:
                continue
            found += 1
            first, second = model.members[one].joints, model.members[other].joints
            yield Look(
                key=f"crossing {first} {second}",
                sentence=f"{'–'.join(first)} and {'–'.join(second)} cross, taken as not joined there.",
                urgent=False,
                members=(first, second),
                cures=(
                    Cure(
                        label="Right, no joint",
                        edit=AcceptMember(start=first[0], end=first[1])
                        if model.members[one].confidence is not None
                        else AcceptMember(start=second[0], end=second[1]),
                    ),
                    Cure(
                        label="Put a joint there",
                        edit=MeetMembers(first=first, second=second, px=both)
                        if model.picture is not None
                        else MeetMembers(first=first, second=second, at=_plane(model, both)),
                    ),
                ),
            )


def _plane(model: Model, page: tuple[float, float]) -> tuple[float, float]:
    scale = canvas_of(model).scale or 1.0
    return page[0] / scale, -page[1] / scale


def _meeting(p: np.ndarray, u: np.ndarray, q: np.ndarray, v: np.ndarray) -> tuple[float, float] | None:
    """Return where two members cross well inside both, None when they do not."""
    area = float(u[0] * v[1] - u[1] * v[0])
    if abs(area) <= 1e-9 * float(np.hypot(*u) * np.hypot(*v)):
        return None
    s = float((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / area
    t = float((q[0] - p[0]) * u[1] - (q[1] - p[1]) * u[0]) / area
    if not (INSIDE < s < 1 - INSIDE and INSIDE < t < 1 - INSIDE):
        return None
    return float(p[0] + s * u[0]), float(p[1] + s * u[1])
