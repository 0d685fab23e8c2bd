"""The figure of a section: one side of the cut as a free body, the cut, and the centre of moments."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cli.sheets.candidates import around_arrow, around_joint
from cli.sheets.easel import ANYWHERE, Easel, Figure, compose
from cli.sheets.free_bodies import Force, at_joint, draw_forces, force_name, forces_of, joint_ring
from cli.sheets.marks import Stroke, Text, quad
from cli.sheets.palette import GRID, INK, PALE_INK, READ
from cli.sheets.paper_truss import FigureSettings
from cli.sheets.sizes import Sizes
from cli.sheets.symbols import arrow
from solver import Solution
from solver.steps import Quantity, SectionStep, Term

__all__ = ["section_figure"]

Array = NDArray[np.float64]

_CUT = 0.42
"""Where a section cuts a member: share of its length from the side that is looked at."""
_BEYOND = 1.3
"""How far the cut goes on past the outermost members, in ems."""
_ARROW = 3.0
"""Length of the arrow at a cut member, in ems."""
_CHAIN = (1.5, 0.35, 0.25, 0.35)
"""Dashes of the cut: a chain line, as drawings mark sections (common practice), in ems."""


def section_figure(
    solution: Solution, step: SectionStep, *, settings: FigureSettings | None = None
) -> Figure:
    """Return the part of a truss that a section step looks at, with the cut drawn.

    The rest of the truss is drawn pale. Cut members end at the cut in their forces: the unknown ones as
    tension, named F; those found before with their size and sense.

    Parameters
    ----------
    solution : Solution
        The truss and its reactions, which are known before any section is taken.
    step : SectionStep
        Members cut, joints of the part, the equation.
    settings : FigureSettings, optional
        Size and numbers.
    """
    settings = settings or FigureSettings()
    truss = solution.truss
    low, extent = truss.at.min(axis=0), np.ptp(truss.at, axis=0)
    scale = min(
        limit / size
        for limit, size in zip((settings.width, settings.height), extent, strict=True)
        if size > 0
    )
    at = np.column_stack([(truss.at[:, 0] - low[0]) * scale, (low[1] + extent[1] - truss.at[:, 1]) * scale])

    def build(sizes: Sizes) -> Easel:
        easel = Easel(sizes)
        _draw_truss(easel, solution, step, at)
        _draw_cut(easel, solution, step, at, settings)
        _draw_outside_forces(easel, solution, step, at, settings)
        _write_names(easel, solution, step, at)
        _draw_centre(easel, step, low, scale, float(extent[1]))
        return easel

    return compose(
        build, settings.em, title="Section through " + ", ".join(force_name(cut) for cut in step.cut)
    )


def _is_cut(step: SectionStep, start: str, end: str) -> bool:
    return any(set(cut) == {start, end} for cut in step.cut)


def _draw_truss(easel: Easel, solution: Solution, step: SectionStep, at: Array) -> None:
    """Draw the rest pale, then the part in ink, cut members up to the cut."""
    sizes, truss, part = easel.sizes, solution.truss, set(step.part)
    pale, ink = [], []
    for member in truss.members:
        start, end = at[truss.row[member.start]], at[truss.row[member.end]]
        if _is_cut(step, member.start, member.end):
            if member.end in part:
                start, end = end, start
            here = start + (end - start) * _CUT
            pale.append((here, end))
            ink.append((start, here))
        else:
            (ink if member.start in part and member.end in part else pale).append((start, end))
    for colour, width, pieces in ((GRID, 0.9 * sizes.line, pale), (INK, 1.25 * sizes.line, ink)):
        for start, end in pieces:
            easel.draw([Stroke(np.array([start, end]), width, colour)], [quad(start, end, width)])
    for joint in truss.joints:
        if joint.name in part:
            joint_ring(easel, at[truss.row[joint.name]])


def _draw_cut(
    easel: Easel, solution: Solution, step: SectionStep, at: Array, settings: FigureSettings
) -> None:
    """Draw the forces in the cut members and the cut through them."""
    sizes, truss, part = easel.sizes, solution.truss, set(step.part)
    values = {
        frozenset(term.quantity.joints): term.value
        for term in step.equation.terms
        if term.quantity.kind == "member"
    }
    found = frozenset(step.result.quantity.joints)
    crossings = []
    for cut in step.cut:
        near, far = cut if cut[0] in part else cut[::-1]
        here, there = at[truss.row[near]], at[truss.row[far]]
        along = (there - here) / np.hypot(*(there - here))
        crossing = here + (there - here) * _CUT
        crossings.append(crossing)
        value = None if frozenset(cut) == found else values.get(frozenset(cut))
        term = Term(Quantity("member", cut), 1.0, value)
        for force in forces_of(truss, term, near, sizes, settings):
            tip = crossing + along * _ARROW * sizes.unit
            tail = crossing
            if not force.pulls:
                tail, tip = tip, tail
            easel.draw(
                arrow(
                    (float(tail[0]), float(tail[1])),
                    (float(tip[0]), float(tip[1])),
                    sizes.arrow,
                    force.colour,
                ),
                [quad(tail, tip, sizes.arrow.head_width)],
            )
            outer = crossing + along * _ARROW * sizes.unit
            easel.write(
                force.text,
                around_arrow(
                    force.text,
                    crossing,
                    outer,
                    outward=along,
                    half_width=sizes.arrow.head_width * 0.55,
                    gap=sizes.gap,
                    frame=ANYWHERE,
                ),
            )
    line = _through(np.array(crossings), _BEYOND * sizes.unit)
    dash = tuple(length * sizes.unit for length in _CHAIN)
    easel.draw(
        [Stroke(line, 1.1 * sizes.line, READ, dash)],
        [quad(one, other, sizes.line) for one, other in pairwise(line)],
    )


def _through(points: Array, beyond: float) -> Array:
    """Return a line through points in the order along their main direction, drawn out at both ends."""
    if len(points) == 1:
        points = np.repeat(points, 2, axis=0)
    centred = points - points.mean(axis=0)
    main = np.linalg.svd(centred)[2][0]
    if np.allclose(centred, 0):
        main = np.array([0.0, 1.0])
    ordered = points[np.argsort(centred @ main, kind="stable")]
    return np.vstack([ordered[0] - main * beyond, ordered, ordered[-1] + main * beyond])


def _draw_outside_forces(
    easel: Easel, solution: Solution, step: SectionStep, at: Array, settings: FigureSettings
) -> None:
    """Draw loads and reactions on the part at their joints, clear of its members."""
    truss = solution.truss
    for name in step.part:
        forces: list[Force] = []
        for term in at_joint(solution, name):
            forces.extend(forces_of(truss, term, name, easel.sizes, settings))
        here = at[truss.row[name]]
        rays = []
        for member in truss.members:
            if name in {member.start, member.end}:
                away = at[truss.row[member.end if member.start == name else member.start]] - here
                rays.append(away / np.hypot(*away))
        draw_forces(easel, here, forces, rays, level=True)


def _write_names(easel: Easel, solution: Solution, step: SectionStep, at: Array) -> None:
    sizes, truss = easel.sizes, solution.truss
    for name in step.part:
        row = truss.row[name]
        ends = [at[end if start == row else start] for start, end in truss.ends if row in (start, end)]
        text = Text(name, 0, 0, sizes.text, INK, "semibold")
        places = around_joint(
            text,
            at[row],
            radius=sizes.name_reach,
            neighbours=ends,
            middle_of_truss=at.mean(axis=0),
            frame=ANYWHERE,
        )
        easel.write(text, places)


def _draw_centre(easel: Easel, step: SectionStep, low: Array, scale: float, height: float) -> None:
    """Mark the point that moments are taken about: a ring round it and its joint's name or an O."""
    equation, sizes = step.equation, easel.sizes
    if equation.kind != "moment" or equation.centre is None:
        return
    x, y = (equation.centre[0] - low[0]) * scale, (low[1] + height - equation.centre[1]) * scale
    turn = np.linspace(0, 2 * math.pi, 33)
    radius = 2.1 * sizes.joint
    circle = np.array([x, y]) + radius * np.column_stack([np.cos(turn), np.sin(turn)])
    easel.draw(
        [Stroke(circle, 0.8 * sizes.line, READ)],
        [quad(one, other, sizes.line) for one, other in zip(circle[:-1:4], circle[4::4], strict=True)],
    )
    if equation.about in step.part:
        return
    text = Text(equation.about or "O", 0, 0, sizes.text, PALE_INK, "semibold")
    places = around_joint(
        text,
        np.array([x, y]),
        radius=radius + sizes.line,
        neighbours=[],
        middle_of_truss=np.array([x - 1.0, y + 1.0]),
        frame=ANYWHERE,
    )
    easel.write(text, places)
