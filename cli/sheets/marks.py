"""What a drawing is made of: strokes, filled shapes and lines of text, before any painter has touched them.

Layouts make a `Drawing`; painters (`raster`, `vector`, `svg`) turn the same `Drawing` into pixels or files.
Lengths are in the unit of the drawing (pixels of the photograph for an overlay), x right, y DOWN, the origin
at the top left corner, so that the middle of the first pixel lies at 0.5, 0.5.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cli.sheets.palette import INK, PAPER
from cli.sheets.typeface import measure

__all__ = [
    "Drawing",
    "Fill",
    "Mark",
    "Photograph",
    "Stroke",
    "Text",
    "cased",
    "dashes",
    "moved",
    "plated",
    "quad",
    "text_box",
]

Points = NDArray[np.float64]

INDEX_SIZE = 0.68
"""Size of an index, in ems of its words."""
INDEX_DROP = 0.17
"""How far the baseline of an index lies below that of its words, in ems."""
PLATE_OPACITY = 0.9
"""The photograph shows through a little; words on a plate keep their contrast."""
PLATE_CORNER = 0.16
"""Radius of a plate's corners, in ems."""
PLATE_STEPS = 6
"""Points round each corner."""


@dataclass(frozen=True, eq=False)
class Stroke:
    """A line through points, of one width."""

    points: Points
    """(N, 2) as x, y."""
    width: float
    colour: str = INK
    dash: tuple[float, ...] = ()
    """Lengths on and off in turn; empty means solid."""
    round_caps: bool = False
    opacity: float = 1.0


@dataclass(frozen=True, eq=False)
class Fill:
    """A filled polygon without holes, closed by itself."""

    points: Points
    """(N, 2) as x, y."""
    colour: str = INK
    opacity: float = 1.0


@dataclass(frozen=True)
class Text:
    """One line of text."""

    words: str
    x: float
    """Of the anchor: the middle of the line, or its left or right end."""
    y: float
    """Of the anchor: the middle of the capitals' height."""
    size: float
    """Em."""
    colour: str = INK
    weight: str = "regular"
    anchor: str = "middle"
    """`start`, `middle` or `end`."""
    angle: float = 0.0
    """Radians, positive turns the end of the line DOWN (x towards y)."""
    index: str = ""
    """Small letters set low after the words, as the AB of a force in member AB."""

    @property
    def wide(self) -> float:
        """Width of words and index."""
        return (
            measure(self.words, self.size, self.weight).width
            + measure(self.index, INDEX_SIZE * self.size, self.weight).width
        )

    @property
    def pieces(self) -> tuple[Text, ...]:
        """Words and index as plain lines that start where they stand."""
        if not self.index:
            return (self,)
        left = {"start": 0.0, "middle": -self.wide / 2, "end": -self.wide}[self.anchor]
        after = left + measure(self.words, self.size, self.weight).width
        turn = _turn(self.angle)
        first = turn @ (left, 0.0) + (self.x, self.y)
        # Middles of capitals: that of the smaller index lies lower by the drop, less what its height lacks.
        lacks = measure("", self.size, self.weight).cap_height * (1 - INDEX_SIZE) / 2
        second = turn @ (after, INDEX_DROP * self.size + lacks) + (self.x, self.y)
        words = replace(self, x=float(first[0]), y=float(first[1]), anchor="start", index="")
        small = replace(
            words, words=self.index, x=float(second[0]), y=float(second[1]), size=INDEX_SIZE * self.size
        )
        return (words, small)


Mark = Stroke | Fill | Text


@dataclass(frozen=True, eq=False)
class Photograph:
    """The picture under a drawing."""

    rgb: NDArray[np.uint8]
    """(H, W, 3)."""
    x: float
    """Of its left edge in the drawing."""
    y: float
    """Of its top edge in the drawing."""


@dataclass(frozen=True, eq=False)
class Drawing:
    """Everything a painter needs."""

    width: float
    height: float
    marks: tuple[Mark, ...]
    """Painted in this order."""
    photograph: Photograph | None = None
    title: str = ""
    """For readers that cannot see: SVG and PDF carry it."""


def quad(start: Points, end: Points, width: float) -> Points:
    """Return the rectangle (4, 2) around the line from start to end."""
    along = end - start
    length = math.hypot(along[0], along[1])
    half = np.array([-along[1], along[0]]) * (0.5 * width / length) if length > 0 else np.zeros(2)
    return np.array([start + half, end + half, end - half, start - half])


def text_box(text: Text, *, pad: float = 0.0) -> Points:
    """Return the rectangle (4, 2) that a line of text takes, turned with it and `pad` ems wider all round."""
    size = measure(text.words, text.size, text.weight)
    left = {"start": 0.0, "middle": -text.wide / 2, "end": -text.wide}[text.anchor]
    room = pad * text.size
    top, bottom = size.cap_height / 2 - size.ascent - room, size.cap_height / 2 + size.descent + room
    corners = np.array(
        [
            [left - room, top],
            [left + text.wide + room, top],
            [left + text.wide + room, bottom],
            [left - room, bottom],
        ]
    )
    return corners @ _turn(text.angle).T + (text.x, text.y)


def _turn(angle: float) -> Points:
    return np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])


def plated(text: Text, pad: float) -> tuple[Mark, ...]:
    """Put a halo behind text: a light plate with round corners, `pad` ems wider than the text on every side.

    The plate lets a tenth of the photograph through. On black it is still light enough for the contrast that
    the design asks for, whatever the text colour of the palette (tested over black, white and noise).
    """
    corners = text_box(text, pad=pad)
    radius = PLATE_CORNER * text.size
    turn = np.linspace(0, math.pi / 2, PLATE_STEPS)
    outline = []
    for row in range(4):
        to_next = corners[(row + 1) % 4] - corners[row]
        to_last = corners[row - 1] - corners[row]
        to_next = to_next / np.hypot(*to_next) * radius
        to_last = to_last / np.hypot(*to_last) * radius
        middle = corners[row] + to_next + to_last
        outline.append(middle - np.outer(np.cos(turn), to_next) - np.outer(np.sin(turn), to_last))
    return (Fill(np.vstack(outline), PAPER, PLATE_OPACITY), text)


def dashes(points: Points, pattern: tuple[float, ...]) -> list[Points]:
    """Cut a line through points into the pieces (K, 2) that a dash pattern leaves on."""
    pieces: list[Points] = []
    index, left, on = 0, pattern[0], True
    piece = [points[0]]
    for start, end in pairwise(points):
        length = float(np.hypot(*(end - start)))
        done = 0.0
        while length - done > left:
            done += left
            here = start + (end - start) * (done / length)
            if on:
                pieces.append(np.array([*piece, here]))
            piece = [here]
            on = not on
            index = (index + 1) % len(pattern)
            left = pattern[index]
        left -= length - done
        piece.append(end)
    if on and len(piece) > 1:
        pieces.append(np.array(piece))
    return pieces


def cased(marks: tuple[Mark, ...], casing: float, *, opacity: float = 0.85) -> tuple[Mark, ...]:
    """Put a light edge `casing` wide under strokes and shapes, so that they stand on any photograph."""
    under: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Stroke):
            under.append(
                replace(
                    mark,
                    width=mark.width + 2 * casing,
                    colour=PAPER,
                    dash=(),
                    round_caps=True,
                    opacity=opacity,
                )
            )
        elif isinstance(mark, Fill):
            edge = np.vstack([mark.points, mark.points[:1]])
            under.append(Stroke(edge, 2 * casing, PAPER, round_caps=True, opacity=opacity))
    return (*under, *marks)


def moved(marks: tuple[Mark, ...], right: float, down: float) -> tuple[Mark, ...]:
    """Shift marks."""
    shift = np.array([right, down])
    return tuple(
        replace(mark, x=mark.x + right, y=mark.y + down)
        if isinstance(mark, Text)
        else replace(mark, points=mark.points + shift)
        for mark in marks
    )
