"""What was read, drawn on the photograph with a name at every joint, so that a person can refer to them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from cli.sheets.candidates import around_joint
from cli.sheets.marks import Drawing, Mark, Photograph, Stroke, Text, cased, quad
from cli.sheets.palette import INK, READ
from cli.sheets.plates import plated_labels
from cli.sheets.scene import Scene, SceneJoint, SceneMember, far_ends
from cli.sheets.sizes import sizes_for
from cli.sheets.symbols import ring, ring_boxes

__all__ = ["lay_out_names"]


def lay_out_names(
    picture: NDArray[np.uint8],
    joints: Sequence[tuple[float, float]],
    names: Sequence[str],
    members: Sequence[tuple[int, int]],
) -> Drawing:
    """Lay out the names; parameters are those of `cli.sheets.overlay.names_picture`."""
    height, width = picture.shape[:2]
    scene = Scene(
        width,
        height,
        tuple(SceneJoint(name, float(x), float(y)) for name, (x, y) in zip(names, joints, strict=True)),
        tuple(SceneMember(int(start), int(end), 0.0, "0", "") for start, end in members),
    )
    sizes = sizes_for(scene)
    at = np.array([(joint.x, joint.y) for joint in scene.joints], dtype=float).reshape(-1, 2) + 0.5
    line = 1.2 * sizes.thinnest
    lines = tuple(Stroke(at[[member.start, member.end]], line, READ) for member in scene.members)
    marks: list[Mark] = list(cased(lines, sizes.casing))
    for x, y in at:
        marks.extend(ring(float(x), float(y), sizes.joint, sizes.line))
    if len(at):
        bars = [quad(at[member.start], at[member.end], line + sizes.casing) for member in scene.members]
        drawn = np.array([*bars, *ring_boxes(at, sizes.joint + sizes.line / 2)])
        edge = sizes.edge
        frame = (edge, edge, width - edge, height - edge)
        neighbours = far_ends(scene, at)
        texts = [Text(joint.name, 0, 0, 1.1 * sizes.text, INK, "semibold") for joint in scene.joints]
        options = [
            around_joint(
                text,
                at[row],
                radius=sizes.name_reach,
                neighbours=neighbours[row],
                middle_of_truss=at.mean(axis=0),
                frame=frame,
            )
            for row, text in enumerate(texts)
        ]
        marks.extend(plated_labels(list(zip(texts, options, strict=True)), drawn, sizes))
    return Drawing(float(width), float(height), tuple(marks), Photograph(picture, 0.0, 0.0))
