"""Figures of a whole truss on plain paper: as idealised, as a free body, with its forces, moving.

All are drawn to scale from the truss alone, with the symbols and colours of `symbols` and `palette`, and
their labels cover nothing. Lengths on paper are in points.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from cli.sheets.candidates import beside_member
from cli.sheets.dimensions import chain, levels
from cli.sheets.easel import ANYWHERE, Easel, Figure, compose
from cli.sheets.marks import Stroke, Text, quad
from cli.sheets.palette import SENSES, UNSURE
from cli.sheets.paper_truss import (
    DrawnReaction,
    FigureSettings,
    PaperTruss,
    bare_truss,
    draw_arrows,
    on_paper,
    points_per_length,
    write_names,
)
from cli.sheets.sizes import Sizes
from cli.sheets.written import Written, draw_along, draw_outside, fix_shape
from solver import Solution, Support, Truss

__all__ = [
    "free_body_figure",
    "has_room_for_forces",
    "motion_figure",
    "pushes_up",
    "solution_figure",
    "truss_figure",
]

Array = NDArray[np.float64]


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
    paper = on_paper(truss, settings, reactions=(), supports=True)
    drawn = written if fix_shape(truss, written) else ()

    def build(sizes: Sizes) -> Easel:
        easel = bare_truss(paper, sizes)
        write_names(easel, paper)
        draw_arrows(easel, paper)
        draw_along(easel, truss, paper.at, drawn, numerals=settings.numerals)
        easel.after = _outside(paper, settings, drawn) if drawn else _dimensions(paper, settings)
        return easel

    return compose(build, settings.em, title="The idealised truss")


def free_body_figure(truss: Truss, *, settings: FigureSettings | None = None) -> Figure:
    """Return the free body of the whole truss: supports taken away, their unknown reactions in their place.

    Reactions are drawn to the right, up, and along a roller's normal, as if they were positive.
    """
    settings = settings or FigureSettings()
    paper = on_paper(truss, settings, reactions=_unknown_reactions(truss.supports), supports=False)

    def build(sizes: Sizes) -> Easel:
        easel = bare_truss(paper, sizes)
        write_names(easel, paper)
        draw_arrows(easel, paper)
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
        DrawnReaction(
            item.joint, part, f"{numerals.number(math.hypot(*part))} {solution.truss.force_unit}", ""
        )
        for item in solution.reactions
        for part in ([(item.fx, 0.0), (0.0, item.fy)] if item.kind == "pin" else [(item.fx, item.fy)])
    ]
    largest = float(np.abs(solution.forces).max()) if len(solution.forces) else 0.0
    paper = on_paper(
        solution.truss,
        settings,
        reactions=[item for item in known if math.hypot(*item.way) > _NOTHING * largest],
        supports=True,
    )

    sparing = not has_room_for_forces(solution.truss, settings)

    def build(sizes: Sizes) -> Easel:
        easel = bare_truss(paper, sizes, solution=solution)
        for row, member in enumerate(paper.scene.members):
            style = SENSES[solution.senses[row]]
            size = numerals.number(abs(float(solution.forces[row])))
            words = style.suffix if style.sense == "0" else f"{size} {style.suffix}"
            words = style.sense if sparing else words
            text = Text(words, 0, 0, sizes.text, style.text_colour, "semibold")
            line = sizes.thickest
            ends = paper.at[member.start], paper.at[member.end]
            easel.write(text, beside_member(text, *ends, line=line, gap=sizes.gap, frame=ANYWHERE))
        write_names(easel, paper)
        draw_arrows(easel, paper)
        return easel

    return compose(build, settings.em, title="Member forces")


def has_room_for_forces(truss: Truss, settings: FigureSettings) -> bool:
    """Tell whether the members of a truss are long enough on paper for their forces to stand beside them."""
    typical = float(np.median(truss.lengths)) * points_per_length(truss, settings)
    return typical >= _SHORTEST_LABELLED * settings.em


_NOTHING = 1e-9
"""Of the largest force: a smaller reaction is rounding."""
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
    paper = on_paper(truss, settings, reactions=(), supports=True)
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
        still = bare_truss(paper, sizes)
        easel.draw(still.marks, still.obstacles)
        write_names(easel, paper)
        return easel

    return compose(build, settings.em, title=title)


_MOVED = 2.6
"""How far the joint that moves most is drawn from its place, in ems."""
_MOTION_DASH = (4.0, 3.0)
"""In widths of the line."""
_STILL = 1e-6
"""Points: a joint that moves less stays where it is."""


def _unknown_reactions(supports: Sequence[Support]) -> list[DrawnReaction]:
    found: list[DrawnReaction] = []
    for item in supports:
        if item.kind == "pin":
            found.append(DrawnReaction(item.joint, (1.0, 0.0), item.joint, "x"))
            found.append(DrawnReaction(item.joint, (0.0, 1.0), item.joint, "y"))
        else:
            index = "y" if pushes_up(item.normal) else "n"
            found.append(DrawnReaction(item.joint, item.normal, item.joint, index))
    return found


def pushes_up(normal: tuple[float, float]) -> bool:
    """Tell whether a roller pushes straight up: its reaction is then called y, else n."""
    return abs(normal[0]) < 1e-9 * normal[1]


def _outside(
    paper: PaperTruss, settings: FigureSettings, written: Sequence[Written]
) -> Callable[[Easel, Array, Array], None]:
    """Return what draws the lengths that are written, once all else has its place."""

    def draw(easel: Easel, low: Array, high: Array) -> None:
        del low, high
        draw_outside(easel, paper.truss, paper.at, written, numerals=settings.numerals)

    return draw


def _dimensions(paper: PaperTruss, settings: FigureSettings) -> Callable[[Easel, Array, Array], None]:
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
