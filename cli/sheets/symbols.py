"""Supports, arrows and joints as marks: the one drawing vocabulary of overlay, page, free bodies and sheets.

The symbols are those common to textbooks of statics (common practice): a pin is a triangle on hatched
ground, a roller a triangle on small wheels, a load an arrow, a reaction an arrow with a short stroke across
its shaft. All are strokes, polygons and nothing else. Directions are unit vectors in the drawing, x right, y
DOWN.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from cli.sheets.marks import Fill, Mark, Stroke, cased
from cli.sheets.palette import INK, PALE_INK, PAPER, SENSES, member_width, use_tone

__all__ = [
    "ArrowShape",
    "arrow",
    "block_arrow",
    "disc",
    "leader_line",
    "member_stroke",
    "outlined",
    "pin",
    "ring",
    "ring_boxes",
    "roller",
    "support",
    "support_depth",
    "support_hulls",
    "used_stroke",
]

Points = NDArray[np.float64]

_CIRCLE_SIDES = 32
"""Of the polygon that stands for a circle: round to the eye at every size that a symbol has."""
_DEPTH = {"pin": 1.42, "roller": 1.68}
"""From the joint to the far side of the ground's hatching, in symbol sizes."""
_HALF_GROUND = 0.95
"""Half the ground line, in symbol sizes."""
_HATCHES = 6
"""Strokes below the ground line."""
_BLOCK_HEAD = 1.2
"""Length of a block arrow's head, in widths of its shaft; it is twice as wide."""
_WHEEL = 0.15
"""Radius of a wheel, in symbol sizes."""


class Widths(Protocol):
    """What says how wide members are drawn."""

    @property
    def thinnest(self) -> float:
        """Width of a member that carries nothing."""
        ...

    @property
    def thickest(self) -> float:
        """Width of the member that carries most."""
        ...


@dataclass(frozen=True)
class ArrowShape:
    """Proportions of an arrow, in the unit of the drawing."""

    width: float
    """Of the shaft."""
    head: float
    """Length of the head."""

    @property
    def head_width(self) -> float:
        """Across the barbs."""
        return 0.72 * self.head


def disc(x: float, y: float, radius: float, colour: str = INK) -> Fill:
    """Return a filled circle."""
    turn = np.linspace(0, 2 * math.pi, _CIRCLE_SIDES, endpoint=False)
    return Fill(np.column_stack([x + radius * np.cos(turn), y + radius * np.sin(turn)]), colour)


def ring(x: float, y: float, radius: float, width: float, colour: str = INK) -> tuple[Mark, ...]:
    """Return a circle with a paper middle."""
    return (disc(x, y, radius + width / 2, colour), disc(x, y, radius - width / 2, PAPER))


def ring_boxes(at: Points, radius: float) -> Points:
    """Return the squares round rings that labels must not cover.

    Parameters
    ----------
    at : (..., 2) float
        Middles of the rings.
    radius : float
        To the outer edge.

    Returns
    -------
    (..., 4, 2) float
        Their corners.
    """
    corners = radius * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    return np.asarray(at[..., None, :] + corners)


def member_stroke(ends: Points, force: float, sense: str, *, largest: float, sizes: Widths) -> Stroke:
    """Return a member as results draw it.

    Parameters
    ----------
    ends : (2, 2) float
        Its joints.
    force : float
        Either sign.
    sense : str
        `T`, `C`, `0` or `?`.
    largest : float
        Largest |force| of the drawing.
    sizes : Widths
        Of the thinnest and thickest members.
    """
    style = SENSES[sense]
    width = member_width(force, largest, thinnest=sizes.thinnest, thickest=sizes.thickest)
    if sense == "0":
        width = sizes.thinnest
    elif sense == "?":
        # Its force is small; dots need some body to be seen.
        width = max(width, 1.6 * sizes.thinnest)
    unit = width if style.round_caps else sizes.thinnest
    return Stroke(ends, width, style.colour, tuple(length * unit for length in style.dash), style.round_caps)


def used_stroke(ends: Points, used: float, sense: str, *, largest: float, sizes: Widths) -> Stroke:
    """Return a member by how much of its strength is used: darker and wider the more it is.

    Parameters
    ----------
    ends : (2, 2) float
        Its joints.
    used : float
        Share of its strength.
    sense : str
        A zero-force member is drawn as it is wherever forces are shown.
    largest : float
        Largest share of the drawing.
    sizes : Widths
        Of the thinnest and thickest members.
    """
    if sense == "0":
        return member_stroke(ends, 0.0, sense, largest=0.0, sizes=sizes)
    width = member_width(used, largest, thinnest=sizes.thinnest, thickest=sizes.thickest)
    return Stroke(ends, width, use_tone(used / largest if largest > 0 else 0.0))


def outlined(stroke: Stroke, line: float) -> tuple[Mark, ...]:
    """Return the mark of what gives way first: the stroke between two thin dark lines.

    Parameters
    ----------
    stroke : Stroke
        The member.
    line : float
        Width of each line, and of the light between line and member.
    """
    return (
        replace(stroke, width=stroke.width + 4 * line, colour=INK),
        replace(stroke, width=stroke.width + 2 * line, colour=PAPER),
        stroke,
    )


def leader_line(ends: Points, width: float, casing: float) -> tuple[Mark, ...]:
    """Return the thin line (2, 2) from a label to what it names, with a dot there."""
    dot = disc(float(ends[1, 0]), float(ends[1, 1]), 1.1 * width, PALE_INK)
    return cased((Stroke(ends, 0.6 * width, PALE_INK), dot), 0.6 * casing)


def arrow(
    tail: tuple[float, float],
    tip: tuple[float, float],
    shape: ArrowShape,
    colour: str = INK,
    *,
    slashed: bool = False,
) -> tuple[Mark, ...]:
    """Return an arrow from tail to tip.

    Parameters
    ----------
    tail, tip : tuple of float
        x and y.
    shape : ArrowShape
        Proportions.
    colour : str
        Of all its parts.
    slashed : bool
        Put a short stroke across the shaft, the mark of a reaction.
    """
    start, end = np.array(tail, dtype=float), np.array(tip, dtype=float)
    along = (end - start) / np.hypot(*(end - start))
    across = np.array([-along[1], along[0]])
    neck = end - along * shape.head
    half = across * shape.head_width / 2
    notch = end - along * shape.head * 0.82
    marks: list[Mark] = [
        Stroke(np.array([start, notch]), shape.width, colour),
        Fill(np.array([end, neck + half, notch, neck - half]), colour),
    ]
    if slashed:
        middle = start + (neck - start) * 0.42
        reach = (across + 0.5 * along) * shape.head * 0.42
        marks.append(Stroke(np.array([middle - reach, middle + reach]), shape.width, colour))
    return tuple(marks)


def block_arrow(tail: Points, tip: Points, width: float, line: float) -> tuple[Mark, ...]:
    """Return a broad light arrow with a dark edge, which nobody takes for a force.

    Parameters
    ----------
    tail, tip : (2,) float
        x and y.
    width : float
        Of its shaft.
    line : float
        Of its edge.
    """
    along = (tip - tail) / np.hypot(*(tip - tail))
    half = np.array([-along[1], along[0]]) * width / 2
    neck = tip - along * width * _BLOCK_HEAD
    corners = np.array(
        [tail + half, neck + half, neck + 2 * half, tip, neck - 2 * half, neck - half, tail - half]
    )
    return (Fill(corners, PAPER), Stroke(np.vstack([corners, corners[:1]]), line, round_caps=True))


def _frame(normal: tuple[float, float]) -> tuple[Points, Points]:
    """Return the unit vectors from the joint into the ground and along the ground."""
    into = -np.array(normal, dtype=float) / math.hypot(*normal)
    return into, np.array([-into[1], into[0]])


def _ground(origin: Points, into: Points, along: Points, size: float, width: float) -> list[Mark]:
    marks: list[Mark] = [
        Stroke(np.array([origin - along * _HALF_GROUND * size, origin + along * _HALF_GROUND * size]), width)
    ]
    step = 2 * _HALF_GROUND * size / _HATCHES
    for hatch in range(_HATCHES):
        top = origin + along * (_HALF_GROUND * size - (hatch + 0.15) * step)
        marks.append(Stroke(np.array([top, top + (into - along * 0.9) * 0.30 * size]), width * 0.62))
    return marks


def pin(
    joint: tuple[float, float], normal: tuple[float, float], size: float, width: float
) -> tuple[Mark, ...]:
    """Return a pin support: a triangle with its top at the joint, on hatched ground.

    Parameters
    ----------
    joint : tuple of float
        x and y of the joint.
    normal : tuple of float
        From the ground into the truss.
    size : float
        Roughly the height of the triangle.
    width : float
        Of the lines.
    """
    top = np.array(joint, dtype=float)
    into, along = _frame(normal)
    base = top + into * 1.10 * size
    corners = np.array([top, base + along * 0.62 * size, base - along * 0.62 * size])
    return (
        Fill(corners, PAPER, opacity=0.75),
        Stroke(np.vstack([corners, corners[:1]]), width, round_caps=True),
        *_ground(base, into, along, size, width),
    )


def roller(
    joint: tuple[float, float], normal: tuple[float, float], size: float, width: float
) -> tuple[Mark, ...]:
    """Return a roller support: a triangle on three wheels on hatched ground, tilted with the normal.

    Parameters are those of `pin`.
    """
    top = np.array(joint, dtype=float)
    into, along = _frame(normal)
    base = top + into * 0.98 * size
    corners = np.array([top, base + along * 0.58 * size, base - along * 0.58 * size])
    radius = _WHEEL * size
    marks: list[Mark] = [
        Fill(corners, PAPER, opacity=0.75),
        Stroke(np.vstack([corners, corners[:1]]), width, round_caps=True),
    ]
    for place in (-0.40, 0.0, 0.40):
        x, y = base + into * (radius + width / 2) + along * place * size
        marks.extend(ring(float(x), float(y), radius - width / 2, width * 0.8))
    return (*marks, *_ground(base + into * (2 * radius + width), into, along, size, width))


def support(
    kind: str, joint: tuple[float, float], normal: tuple[float, float], size: float, width: float
) -> tuple[Mark, ...]:
    """Return the symbol of a `pin` or a `roller`; see `pin`."""
    return {"pin": pin, "roller": roller}[kind](joint, normal, size, width)


def support_depth(kind: str, size: float) -> float:
    """Return how far the symbol reaches from the joint into the ground."""
    return _DEPTH[kind] * size


def support_hulls(kind: str, joint: tuple[float, float], normal: tuple[float, float], size: float) -> Points:
    """Return two quadrilaterals (2, 4, 2) that hold the symbol: triangle and ground."""
    top = np.array(joint, dtype=float)
    into, along = _frame(normal)
    depth = support_depth(kind, size)
    shoulder = depth - 0.62 * size
    narrow, wide, ground = along * 0.10 * size, along * 0.62 * size, along * (_HALF_GROUND + 0.12) * size
    return np.array(
        [
            [top - narrow, top + narrow, top + into * shoulder + wide, top + into * shoulder - wide],
            [
                top + into * shoulder - ground,
                top + into * shoulder + ground,
                top + into * depth + ground,
                top + into * depth - ground,
            ],
        ]
    )
