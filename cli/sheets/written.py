"""The lengths and angles that a person wrote on a drawing, drawn again: below, at the side, along members.

They are drawn where they fix the shape by themselves, with what the figure shows: joints on one level or
above each other, members in one straight line. Otherwise a figure has chains of all its levels.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cli.sheets.angles import Corner, draw_angle
from cli.sheets.candidates import beside_member
from cli.sheets.dimensions import chain, levels
from cli.sheets.easel import ANYWHERE, Easel
from cli.sheets.marks import Text
from cli.sheets.numerals import Numerals
from cli.sheets.palette import PALE_INK
from solver import Truss

__all__ = ["Written", "draw_along", "draw_outside", "fix_shape"]

Array = NDArray[np.float64]

_STRAIGHT = 2e-3
"""Sine of the angle between two members that are one straight line: less does not show."""
_ARC = 1.9
"""Radius of an angle's arc, in ems."""
_SHORT = 0.4
"""Of the member that it is measured to: the arc's radius at most."""


@dataclass(frozen=True)
class Written:
    """A length or an angle between two joints, as it is written."""

    kind: str
    """`across`, `up`, `along` or `angle` (from the level)."""
    start: int
    """Row of a joint."""
    end: int
    """Row of a joint."""
    value: float
    """Length units, or degrees."""


def fix_shape(truss: Truss, written: Sequence[Written]) -> bool:
    """Say whether what is written, and what the figure shows, leaves no other shape; and can be drawn.

    Unknown are the levels of the joints across and up, but the first of each. What is written gives one
    equation each, and so does each pair of members in one line; to first order, they fix the shape when they
    have as many independent ones as there are unknowns.
    """
    if not all(_drawable(truss, item) for item in written):
        return False
    level, count = _levels(truss.at)
    rows = [_gradient(truss, item) for item in written] + list(_straight(truss))
    matrix = np.zeros((len(rows), sum(count)))
    for row, gradient in zip(matrix, rows, strict=True):
        for joint, (x, y) in gradient:
            row[level[joint, 0]] += x
            row[count[0] + level[joint, 1]] += y
    return bool(len(rows) and np.linalg.matrix_rank(matrix, tol=1e-6) == sum(count) - 2)


Gradient = list[tuple[int, tuple[float, float]]]


def _levels(at: Array) -> tuple[NDArray[np.intp], tuple[int, int]]:
    """Return the level of each joint across and up, (N, 2), and how many there are."""
    stops = [levels(at[:, axis]) for axis in (0, 1)]
    nearest = [np.abs(at[:, axis, None] - stops[axis]).argmin(axis=1) for axis in (0, 1)]
    return np.stack(nearest, axis=1), (len(stops[0]), len(stops[1]))


def _gradient(truss: Truss, item: Written) -> Gradient:
    span = truss.at[item.end] - truss.at[item.start]
    x, y = (span / np.hypot(*span)).tolist()
    way = {"across": (1.0, 0.0), "up": (0.0, 1.0), "along": (x, y), "angle": (-y, x)}[item.kind]
    return [(item.end, way), (item.start, (-way[0], -way[1]))]


def _straight(truss: Truss) -> Iterator[Gradient]:
    """Give the equation that keeps a joint on the line of two members that meet there."""
    ends = truss.ends.tolist()
    for row, one in enumerate(ends):
        for other in ends[row + 1 :]:
            shared = set(one) & set(other)
            if len(shared) != 1:
                continue
            (middle,) = shared
            far, away = sum(one) - middle, sum(other) - middle
            out, on = truss.at[far] - truss.at[middle], truss.at[away] - truss.at[middle]
            sine = (out[0] * on[1] - out[1] * on[0]) / (np.hypot(*out) * np.hypot(*on))
            if abs(sine) <= _STRAIGHT and float(out @ on) < 0:
                across = np.array([-on[1], on[0]]) / np.hypot(*on)
                share = float(np.hypot(*on) / (np.hypot(*out) + np.hypot(*on)))
                weights = ((middle, 1.0), (far, -share), (away, share - 1.0))
                yield [(joint, (size * across[0], size * across[1])) for joint, size in weights]


def _direction(truss: Truss, item: Written) -> str:
    """Return the kind as it is drawn: a level length is one across, an upright one is one up."""
    if item.kind != "along":
        return item.kind
    run, rise = np.abs(truss.at[item.end] - truss.at[item.start]).tolist()
    size = math.hypot(run, rise)
    return "across" if rise <= _STRAIGHT * size else "up" if run <= _STRAIGHT * size else "along"


def _drawable(truss: Truss, item: Written) -> bool:
    """Say whether there is a place for it: a slanting length and an angle need their member."""
    return _direction(truss, item) in {"across", "up"} or sorted((item.start, item.end)) in [
        sorted(pair) for pair in truss.ends.tolist()
    ]


def draw_along(
    easel: Easel, truss: Truss, at: Array, written: Iterable[Written], *, numerals: Numerals
) -> None:
    """Write slanting lengths beside their members, and draw angles.

    Parameters
    ----------
    easel : Easel
        Where to.
    truss : Truss
        What is drawn.
    at : (N, 2) float
        Its joints in the drawing, y DOWN.
    written : iterable of Written
        All that is written; what stands outside the truss is left to `draw_outside`.
    numerals : Numerals
        How numbers are written.
    """
    sizes = easel.sizes
    for item in written:
        kind = _direction(truss, item)
        start, end = at[item.start], at[item.end]
        if kind == "along":
            words = f"{numerals.given(item.value)} {truss.length_unit}"
            text = Text(words, 0, 0, 0.92 * sizes.text, PALE_INK)
            line = 1.25 * sizes.line
            easel.write(text, beside_member(text, start, end, line=line, gap=sizes.gap, frame=ANYWHERE))
        elif kind == "angle":
            run, rise = (end - start).tolist()
            radius = min(_ARC * sizes.unit, _SHORT * math.hypot(run, rise))
            side, up = (1.0 if run >= 0 else -1.0), (1.0 if rise <= 0 else -1.0)
            corner = Corner(start, side, up, math.atan2(abs(rise), abs(run)), radius)
            there = _level_member(truss, item.start, side)
            draw_angle(easel, corner, f"{numerals.given(item.value)}°", level=not there)


def _level_member(truss: Truss, joint: int, side: float) -> bool:
    """Say whether a level member leaves a joint on one side: an angle is then seen to start from it."""
    for pair in truss.ends.tolist():
        if joint in pair:
            run, rise = (truss.at[sum(pair) - joint] - truss.at[joint]).tolist()
            if run * side > 0 and abs(rise) <= _STRAIGHT * abs(run):
                return True
    return False


def draw_outside(
    easel: Easel, truss: Truss, at: Array, written: Iterable[Written], *, numerals: Numerals
) -> None:
    """Draw lengths across below what is drawn and lengths up at its right, in as many rows as they need.

    Parameters are those of `draw_along`.
    """
    spans: dict[str, dict[tuple[float, float], str]] = {"across": {}, "up": {}}
    for item in written:
        kind = _direction(truss, item)
        if kind in spans:
            axis = ("across", "up").index(kind)
            first, last = sorted((float(at[item.start, axis]), float(at[item.end, axis])))
            spans[kind][round(first, 3), round(last, 3)] = f"{numerals.given(item.value)} {truss.length_unit}"
    for kind, words in spans.items():
        for row in _rows(sorted(words, key=lambda span: (span[1] - span[0], span))):
            edge = float(easel.extent()[1][1 if kind == "across" else 0])
            for run in _runs(sorted(row)):
                stops = np.array([run[0][0], *(last for _, last in run)])
                chain(easel, stops, [words[span] for span in run], base=edge, upright=kind == "up")


Span = tuple[float, float]


def _rows(spans: Iterable[Span]) -> list[list[Span]]:
    """Put spans into rows so that none covers another of its row, the shortest nearest to the truss."""
    rows: list[list[Span]] = []
    for first, last in spans:
        for row in rows:
            if all(last <= other + 1e-6 or first >= end - 1e-6 for other, end in row):
                row.append((first, last))
                break
        else:
            rows.append([(first, last)])
    return rows


def _runs(spans: Sequence[Span]) -> list[list[Span]]:
    """Part a row where its spans do not go on from each other."""
    runs = [[spans[0]]]
    for (_, last), span in pairwise(spans):
        if abs(span[0] - last) <= 1e-6:
            runs[-1].append(span)
        else:
            runs.append([span])
    return runs
