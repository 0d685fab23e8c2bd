"""A truss to scale on plain paper, before anything is said on it: what all figures of a truss begin with.

Its places, loads, reactions and supports are worked out here once; the figures of `cli.sheets.figures` choose
what of them to draw. Lengths on paper are in points.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from cli.sheets.arrows import place_arrows
from cli.sheets.candidates import around_arrow, around_joint
from cli.sheets.easel import ANYWHERE, Easel
from cli.sheets.marks import Stroke, Text, quad
from cli.sheets.numerals import Numerals
from cli.sheets.palette import INK
from cli.sheets.scene import (
    Scene,
    SceneArrow,
    SceneJoint,
    SceneMember,
    SceneSupport,
    acting_loads,
    far_ends,
    ground_normal,
)
from cli.sheets.sizes import Sizes
from cli.sheets.symbols import member_stroke, ring, ring_boxes, support, support_hulls
from solver import Solution, Truss

__all__ = [
    "DrawnReaction",
    "FigureSettings",
    "PaperTruss",
    "bare_truss",
    "draw_arrows",
    "on_paper",
    "points_per_length",
    "write_names",
]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class FigureSettings:
    """Size on paper and how numbers are written."""

    width: float = 380.0
    """Points that the truss itself takes at most: what a page of A4 leaves beside dimensions and loads."""
    height: float = 230.0
    """Points that the truss itself takes at most."""
    em: float = 10.5
    """Points of text at full size."""
    numerals: Numerals = field(default_factory=Numerals)


@dataclass(frozen=True, eq=False)
class PaperTruss:
    """A truss on paper."""

    truss: Truss
    at: Array
    """(N, 2) joints in points, y DOWN."""
    scene: Scene
    """Loads and reactions with their labels."""
    indices: tuple[str, ...]
    """Small letters after the labels of `scene.loads`, then `scene.reactions`."""


class DrawnReaction(NamedTuple):
    """A reaction as an arrow."""

    joint: str
    way: tuple[float, float]
    """Where it points, x right, y UP; its length does not matter."""
    label: str
    small: str
    """Small letters after the label."""


def on_paper(
    truss: Truss, settings: FigureSettings, *, reactions: Sequence[DrawnReaction], supports: bool
) -> PaperTruss:
    """Put a truss on paper.

    Parameters
    ----------
    truss
        A checked truss.
    settings
        Size and numbers.
    reactions
        Those to draw.
    supports
        Draw the supports.
    """
    low, extent, scale = truss.at.min(axis=0), np.ptp(truss.at, axis=0), points_per_length(truss, settings)
    at = np.column_stack([(truss.at[:, 0] - low[0]) * scale, (low[1] + extent[1] - truss.at[:, 1]) * scale])

    def arrow(joint: str, force: tuple[float, float], label: str) -> SceneArrow:
        size = math.hypot(*force)
        return SceneArrow(truss.row[joint], (force[0] / size, -force[1] / size), label)

    loads = []
    for joint, fx, fy in acting_loads(truss):
        if math.hypot(fx, fy) > 0:
            text = f"{settings.numerals.given(math.hypot(fx, fy))} {truss.force_unit}"
            loads.append(arrow(joint, (fx, fy), text))
    scene = Scene(
        # Arrows may leave the truss's own extent on every side alike.
        width=10**6,
        height=10**6,
        joints=tuple(
            SceneJoint(joint.name, float(x), float(y)) for joint, (x, y) in zip(truss.joints, at, strict=True)
        ),
        members=tuple(SceneMember(int(start), int(end), 0.0, "T", "") for start, end in truss.ends),
        supports=tuple(
            SceneSupport(truss.row[item.joint], item.kind, _downwards(ground_normal(truss, item)))
            for item in truss.supports
            if supports
        ),
        loads=tuple(loads),
        reactions=tuple(arrow(item.joint, item.way, item.label) for item in reactions),
        force_unit=truss.force_unit,
        numerals=settings.numerals,
    )
    return PaperTruss(truss, at, scene, ("",) * len(loads) + tuple(item.small for item in reactions))


def points_per_length(truss: Truss, settings: FigureSettings) -> float:
    """Return points for a length unit, so that the truss fits both ways."""
    return min(
        limit / float(size)
        for limit, size in zip((settings.width, settings.height), np.ptp(truss.at, axis=0), strict=True)
        if size > 0
    )


def _downwards(way: tuple[float, float]) -> tuple[float, float]:
    """Turn a direction with y up into one with y down."""
    return way[0], -way[1]


def bare_truss(paper: PaperTruss, sizes: Sizes, *, solution: Solution | None = None) -> Easel:
    """Draw members, supports and joints: in ink, or as a solution's senses and sizes ask."""
    easel = Easel(sizes)
    scene = paper.scene
    largest = float(np.abs(solution.forces).max()) if solution is not None else 0.0
    for row, member in enumerate(scene.members):
        ends = paper.at[[member.start, member.end]]
        stroke = Stroke(ends, 1.25 * sizes.line, INK)
        if solution is not None:
            stroke = member_stroke(
                ends, float(solution.forces[row]), solution.senses[row], largest=largest, sizes=sizes
            )
        easel.draw([stroke], [quad(ends[0], ends[1], stroke.width)])
    for item in scene.supports:
        joint = (float(paper.at[item.joint, 0]), float(paper.at[item.joint, 1]))
        easel.draw(
            support(item.kind, joint, item.normal, sizes.symbol, sizes.line),
            support_hulls(item.kind, joint, item.normal, sizes.symbol),
        )
    for x, y in paper.at:
        easel.draw(ring(float(x), float(y), sizes.joint, sizes.line))
    easel.draw((), ring_boxes(paper.at, sizes.joint + sizes.line / 2))
    return easel


def write_names(easel: Easel, paper: PaperTruss) -> None:
    """Write the name of every joint beside it."""
    sizes, scene = easel.sizes, paper.scene
    neighbours = far_ends(scene, paper.at)
    for row, joint in enumerate(scene.joints):
        text = Text(joint.name, 0, 0, sizes.text, INK, "semibold")
        places = around_joint(
            text,
            paper.at[row],
            radius=sizes.name_reach,
            neighbours=neighbours[row],
            middle_of_truss=paper.at.mean(axis=0),
            frame=ANYWHERE,
        )
        easel.write(text, places)


def draw_arrows(easel: Easel, paper: PaperTruss) -> None:
    """Draw loads and reactions, each with its label at the end away from the truss."""
    sizes, scene = easel.sizes, paper.scene
    members = np.array([quad(paper.at[item.start], paper.at[item.end], sizes.line) for item in scene.members])
    placed = place_arrows(scene, sizes, paper.at, members.reshape(-1, 4, 2), frame=ANYWHERE)
    for item, index in zip(placed, paper.indices, strict=True):
        easel.draw(item.marks(sizes), [item.hull(sizes)])
        text = Text(item.shown.label, 0, 0, sizes.text, INK, "regular", index=index)
        near = item.tip if item.outer is item.tail else item.tail
        places = around_arrow(
            text,
            near,
            item.outer,
            outward=item.outward,
            half_width=sizes.arrow.head_width * 0.55,
            gap=sizes.gap,
            frame=ANYWHERE,
        )
        easel.write(text, places)
