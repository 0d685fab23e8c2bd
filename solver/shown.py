"""What a notebook shows of a truss and of its forces: a picture, and a table."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from solver.layout import Layout
from solver.sketch import Arrow, Bar, Foot, place_arrow, sketch_truss, table

__all__ = ["solution_html", "solution_svg", "truss_html", "truss_svg"]

Reactions = Sequence[tuple[str, float, float]]
"""Joint, force to the right, force up."""
_FIGURES = 4
"""Significant figures, as hand calculations carry."""


def _number(value: float) -> str:
    return f"{value:.{_FIGURES}g}"


def _feet(truss: Layout) -> list[Foot]:
    return [
        Foot(
            truss.row[held.joint], held.kind == "roller", held.normal if held.kind == "roller" else (0.0, 1.0)
        )
        for held in truss.supports
    ]


def _arrows(truss: Layout, forces: Iterable[tuple[str, float, float]]) -> list[Arrow]:
    taken: dict[int, list[tuple[float, float]]] = {}
    for (start, end), (x, y) in zip(truss.ends, truss.directions, strict=True):
        taken.setdefault(int(start), []).append((float(x), float(y)))
        taken.setdefault(int(end), []).append((-float(x), -float(y)))
    arrows = []
    for joint, fx, fy in forces:
        if fx or fy:
            row, size = truss.row[joint], math.hypot(fx, fy)
            arrow = Arrow(row, (fx, fy), f"{_number(size)} {truss.force_unit}")
            arrows.append(place_arrow(arrow, taken.setdefault(row, [])))
    return arrows


def _loads(truss: Layout) -> list[tuple[str, float, float]]:
    return [(load.joint, load.fx, load.fy) for load in truss.loads]


def truss_svg(truss: Layout) -> str:
    """Return a truss to scale with its supports and loads as SVG."""
    return sketch_truss(
        truss.at,
        [joint.name for joint in truss.joints],
        [Bar(int(start), int(end)) for start, end in truss.ends],
        feet=_feet(truss),
        arrows=_arrows(truss, _loads(truss)),
        title=f"Truss of {len(truss.joints)} joints and {len(truss.members)} members",
    )


def truss_html(truss: Layout) -> str:
    """Return the picture of a truss and a table of its members."""
    rows = [
        (f"{member.start}–{member.end}", _number(float(length)))
        for member, length in zip(truss.members, truss.lengths, strict=True)
    ]
    return truss_svg(truss) + table(("member", f"length in {truss.length_unit}"), rows, caption="Members")


def solution_svg(
    truss: Layout, forces: NDArray[np.float64], senses: Sequence[str], reactions: Reactions
) -> str:
    """Return a truss with its forces as SVG: colour and dashes say the sense, width the size."""
    largest = float(np.abs(forces).max(initial=0.0)) or 1.0
    bars = [
        Bar(
            int(start),
            int(end),
            sense,
            abs(float(force)) / largest,
            "0" if sense == "0" else f"{_number(abs(float(force)))} ({sense})",
        )
        for (start, end), force, sense in zip(truss.ends, forces, senses, strict=True)
    ]
    least = 1e-9 * largest
    pushes = [push for push in reactions if math.hypot(push[1], push[2]) > least]
    return sketch_truss(
        truss.at,
        [joint.name for joint in truss.joints],
        bars,
        arrows=_arrows(truss, [*_loads(truss), *pushes]),
        title="Member forces and reactions",
    )


def solution_html(
    truss: Layout,
    forces: NDArray[np.float64],
    senses: Sequence[str],
    reactions: Reactions,
    errors: NDArray[np.float64] | None,
) -> str:
    """Return the picture of the forces, and tables of reactions and members."""
    unit = truss.force_unit
    pushes = [(joint, _number(fx), _number(fy)) for joint, fx, fy in reactions]
    head = ("member", f"force in {unit}", *(() if errors is None else ("±",)), "T or C")
    rows = [
        (
            f"{member.start}–{member.end}",
            "0" if senses[row] == "0" else _number(float(forces[row])),
            *(() if errors is None else (_number(float(errors[row])),)),
            senses[row],
        )
        for row, member in enumerate(truss.members)
    ]
    return (
        solution_svg(truss, forces, senses, reactions)
        + table(("joint", f"right in {unit}", f"up in {unit}"), pushes, caption="Reactions")
        + table(head, rows, caption="Members, tension positive")
    )
