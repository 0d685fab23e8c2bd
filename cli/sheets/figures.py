"""Figures of a truss on plain paper: the idealised truss, free bodies, cut sections.

All are drawn to scale from the truss alone, with the symbols and colours of `symbols` and `palette`, and
their labels cover nothing. Lengths on paper are in points.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cli.sheets.arrows import place_arrows
from cli.sheets.candidates import around_arrow, around_joint, beside_member
from cli.sheets.dimensions import chain, levels
from cli.sheets.easel import ANYWHERE, Easel, Figure, compose
from cli.sheets.marks import Stroke, Text, quad
from cli.sheets.numerals import Numerals
from cli.sheets.palette import INK, SENSES, UNSURE
from cli.sheets.scene import (
    Scene,
    SceneArrow,
    SceneJoint,
    SceneMember,
    SceneSupport,
    acting_loads,
    ground_normal,
)
from cli.sheets.sizes import Sizes
from cli.sheets.symbols import member_stroke, ring, support, support_hulls
from cli.sheets.written import Written, draw_along, draw_outside, fix_shape
from solver import Solution, Support, Truss

__all__ = [
    "FigureSettings",
    "free_body_figure",
    "has_room_for_forces",
    "motion_figure",
    "pushes_up",
    "solution_figure",
    "truss_figure",
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
class _Paper:
    """A truss on paper."""

    truss: Truss
    at: Array
    """(N, 2) joints in points, y DOWN."""
    scene: Scene
    """Loads and reactions with their labels."""
    indices: tuple[str, ...]
    """Small letters after the labels of `scene.loads`, then `scene.reactions`."""


def truss_figure(
    truss: Truss, *, settings: FigureSettings | None = None, written: Sequence[Written] = ()
) -> Figure:
    """Return the idealised truss to scale: names, supports, loads and dimensions.

    Parameters
    ----------
    truss : Truss
        A checked truss; it need not be stable.
    settings : FigureSettings, optional
        Size and numbers.
    written : sequence of Written
        Lengths and angles to be drawn where they fix the shape by themselves; else, and without any, the
        distances between all levels are drawn.
    """
    settings = settings or FigureSettings()
    paper = _on_paper(truss, settings, reactions=(), supports=True)
    drawn = written if fix_shape(truss, written) else ()

    def build(sizes: Sizes) -> Easel:
        easel = _bare(paper, sizes)
        _write_names(easel, paper)
        _draw_arrows(easel, paper)
        draw_along(easel, truss, paper.at, drawn, numerals=settings.numerals)
        easel.after = _outside(paper, settings, drawn) if drawn else _dimensions(paper, settings)
        return easel

    return compose(build, settings.em, title="The idealised truss")


def free_body_figure(truss: Truss, *, settings: FigureSettings | None = None) -> Figure:
    """Return the free body of the whole truss: supports taken away, their unknown reactions in their place.

    Reactions are drawn to the right, up, and along a roller's normal, as if they were positive.
    """
    settings = settings or FigureSettings()
    paper = _on_paper(truss, settings, reactions=_unknown_reactions(truss.supports), supports=False)

    def build(sizes: Sizes) -> Easel:
        easel = _bare(paper, sizes)
        _write_names(easel, paper)
        _draw_arrows(easel, paper)
        easel.after = _dimensions(paper, settings)
        return easel

    return compose(build, settings.em, title="Free-body diagram of the whole truss")


def solution_figure(solution: Solution, *, settings: FigureSettings | None = None) -> Figure:
    """Return the truss to scale with its member forces in the colours and widths of results.

    Where members are too short on paper for their numbers, only T, C, 0 or ? stands beside each.
    """
    settings = settings or FigureSettings()
    numerals = settings.numerals
    known = [
        (item.joint, part, f"{numerals.number(math.hypot(*part))} {solution.truss.force_unit}", "")
        for item in solution.reactions
        for part in ([(item.fx, 0.0), (0.0, item.fy)] if item.kind == "pin" else [(item.fx, item.fy)])
    ]
    largest = float(np.abs(solution.forces).max()) if len(solution.forces) else 0.0
    paper = _on_paper(
        solution.truss,
        settings,
        reactions=[item for item in known if math.hypot(*item[1]) > 1e-9 * largest],
        supports=True,
    )

    sparing = not has_room_for_forces(solution.truss, settings)

    def build(sizes: Sizes) -> Easel:
        easel = _bare(paper, sizes, solution=solution)
        for row, member in enumerate(paper.scene.members):
            style = SENSES[solution.senses[row]]
            size = numerals.number(abs(float(solution.forces[row])))
            words = style.suffix if style.sense == "0" else f"{size} {style.suffix}"
            words = style.sense if sparing else words
            text = Text(words, 0, 0, sizes.text, style.text_colour, "semibold")
            line = sizes.thickest
            ends = paper.at[member.start], paper.at[member.end]
            easel.write(text, beside_member(text, *ends, line=line, gap=sizes.gap, frame=ANYWHERE))
        _write_names(easel, paper)
        _draw_arrows(easel, paper)
        return easel

    return compose(build, settings.em, title="Member forces")


def has_room_for_forces(truss: Truss, settings: FigureSettings) -> bool:
    """Tell whether the members of a truss are long enough on paper for their forces to stand beside them."""
    typical = float(np.median(truss.lengths)) * _scale(truss, settings)
    return typical >= _SHORTEST_LABELLED * settings.em


_SHORTEST_LABELLED = 3.4
"""Length of a member, in ems: about that of its label, as `93.3 (T)`."""


def motion_figure(
    truss: Truss, displacements: Array, *, title: str, settings: FigureSettings | None = None
) -> Figure:
    """Return an unstable truss in ink, and in dashes where it would move to.

    Parameters
    ----------
    truss : Truss
        A checked truss that can move.
    displacements : (N, 2) float
        A mechanism, x right and y up, in any size: it is drawn so that it can be seen.
    title : str
        What it shows, for readers that cannot see.
    settings : FigureSettings, optional
        Size and numbers.
    """
    settings = settings or FigureSettings()
    paper = _on_paper(truss, settings, reactions=(), supports=True)
    longest = float(np.hypot(*displacements.T).max())
    shift = displacements * (1.0, -1.0) * (_MOVED * settings.em / longest)

    def build(sizes: Sizes) -> Easel:
        easel = Easel(sizes)
        dash = tuple(length * sizes.line for length in _MOTION_DASH)
        moved = paper.at + shift
        for start, end in truss.ends:
            if np.abs(shift[[start, end]]).max() > _STILL:
                ends = moved[[start, end]]
                stroke = Stroke(ends, sizes.line, UNSURE, dash)
                easel.draw([stroke], [quad(ends[0], ends[1], stroke.width)])
        still = _bare(paper, sizes)
        easel.draw(still.marks, still.obstacles)
        _write_names(easel, paper)
        return easel

    return compose(build, settings.em, title=title)


_MOVED = 2.6
"""How far the joint that moves most is drawn from its place, in ems."""
_MOTION_DASH = (4.0, 3.0)
"""In widths of the line."""
_STILL = 1e-6
"""Points: a joint that moves less stays where it is."""


Unknown = tuple[str, tuple[float, float], str, str]
"""A reaction: joint, direction (x right, y UP), letter, index."""


def _unknown_reactions(supports: Sequence[Support]) -> list[Unknown]:
    found: list[Unknown] = []
    for item in supports:
        if item.kind == "pin":
            found += [(item.joint, (1.0, 0.0), item.joint, "x"), (item.joint, (0.0, 1.0), item.joint, "y")]
        else:
            found.append((item.joint, item.normal, item.joint, "y" if pushes_up(item.normal) else "n"))
    return found


def pushes_up(normal: tuple[float, float]) -> bool:
    """Tell whether a roller pushes straight up: its reaction is then called y, else n."""
    return abs(normal[0]) < 1e-9 * normal[1]


def _on_paper(
    truss: Truss, settings: FigureSettings, *, reactions: Sequence[Unknown], supports: bool
) -> _Paper:
    low, extent, scale = truss.at.min(axis=0), np.ptp(truss.at, axis=0), _scale(truss, settings)
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
        reactions=tuple(arrow(joint, force, label) for joint, force, label, _ in reactions),
        force_unit=truss.force_unit,
        numerals=settings.numerals,
    )
    return _Paper(truss, at, scene, ("",) * len(loads) + tuple(index for *_, index in reactions))


def _scale(truss: Truss, settings: FigureSettings) -> float:
    """Return points for a length unit, so that the truss fits both ways."""
    return min(
        limit / float(size)
        for limit, size in zip((settings.width, settings.height), np.ptp(truss.at, axis=0), strict=True)
        if size > 0
    )


def _downwards(way: tuple[float, float]) -> tuple[float, float]:
    """Turn a direction with y up into one with y down."""
    return way[0], -way[1]


def _bare(paper: _Paper, sizes: Sizes, *, solution: Solution | None = None) -> Easel:
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
    radius = sizes.joint + sizes.line / 2
    corners = radius * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    for x, y in paper.at:
        easel.draw(ring(float(x), float(y), sizes.joint, sizes.line), [corners + np.array([x, y])])
    return easel


def _write_names(easel: Easel, paper: _Paper) -> None:
    sizes, scene = easel.sizes, paper.scene
    neighbours: list[list[Array]] = [[] for _ in scene.joints]
    for member in scene.members:
        neighbours[member.start].append(paper.at[member.end])
        neighbours[member.end].append(paper.at[member.start])
    for row, joint in enumerate(scene.joints):
        text = Text(joint.name, 0, 0, sizes.text, INK, "semibold")
        places = around_joint(
            text,
            paper.at[row],
            radius=sizes.joint + sizes.line + 0.6 * sizes.gap,
            neighbours=neighbours[row],
            middle_of_truss=paper.at.mean(axis=0),
            frame=ANYWHERE,
        )
        easel.write(text, places)


def _draw_arrows(easel: Easel, paper: _Paper) -> None:
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


def _outside(
    paper: _Paper, settings: FigureSettings, written: Sequence[Written]
) -> Callable[[Easel, Array, Array], None]:
    """Return what draws the lengths that are written, once all else has its place."""

    def draw(easel: Easel, low: Array, high: Array) -> None:
        del low, high
        draw_outside(easel, paper.truss, paper.at, written, numerals=settings.numerals)

    return draw


def _dimensions(paper: _Paper, settings: FigureSettings) -> Callable[[Easel, Array, Array], None]:
    """Return what draws the chains of dimensions below and to the right, once all else has its place."""

    def draw(easel: Easel, low: Array, high: Array) -> None:
        del low
        unit = paper.truss.length_unit
        for axis, edge in ((0, float(high[1])), (1, float(high[0]))):
            stops = levels(paper.truss.at[:, axis])
            if len(stops) > 1:
                scale = np.ptp(paper.at[:, axis]) / np.ptp(paper.truss.at[:, axis])
                on_paper = (stops - stops[0]) * scale
                lengths = np.diff(stops)
                if axis == 1:
                    on_paper, lengths = (on_paper[-1] - on_paper)[::-1], lengths[::-1]
                words = [f"{settings.numerals.given(float(length))} {unit}" for length in lengths]
                chain(easel, on_paper, words, base=edge, upright=axis == 1)

    return draw
