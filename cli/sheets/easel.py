"""Where figures are put together: marks, what labels must not cover, and the labels themselves."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cli.sheets.candidates import standing
from cli.sheets.labels import Places, place_labels
from cli.sheets.layout import QUICK, THOROUGH
from cli.sheets.marks import Drawing, Mark, Text, moved, text_box
from cli.sheets.sizes import Sizes
from cli.sheets.svg import to_svg
from cli.sheets.symbols import leader_line

__all__ = ["ANYWHERE", "Easel", "Figure", "compose"]

Array = NDArray[np.float64]

ANYWHERE = (-1e6, -1e6, 1e6, 1e6)
"""A frame that keeps nothing out: a figure is as large as what is in it."""
_SHRINKS = (1.0, 0.9, 0.8, 0.7)
"""Shares of the full text size tried in turn until no label covers anything."""
_MARGIN = 0.6
"""Paper round a figure, in ems."""


@dataclass(frozen=True, eq=False)
class Figure:
    """A drawing on its own, with what can be measured on it."""

    drawing: Drawing
    labels: tuple[Text, ...]
    """All its text."""
    obstacles: Array
    """(K, 4, 2) what text must not cover."""
    overlap: float
    """Overlap depth that is left, in the unit of the drawing; 0 when text covers nothing."""

    @property
    def svg(self) -> str:
        """The figure as an SVG document that stands alone."""
        return to_svg(self.drawing)

    def _repr_svg_(self) -> str:
        return self.svg


@dataclass(eq=False)
class Easel:
    """A figure in the making."""

    sizes: Sizes
    marks: list[Mark] = field(default_factory=list)
    obstacles: list[Array] = field(default_factory=list)
    labels: list[tuple[Text, Places]] = field(default_factory=list)
    after: Callable[[Easel, Array, Array], None] | None = None
    """Draws what lies outside everything else, given its least and most x and y: dimensions."""

    def draw(self, marks: Iterable[Mark], obstacles: Iterable[Array] = ()) -> None:
        """Add marks and the quadrilaterals (4, 2) that they fill."""
        self.marks.extend(marks)
        self.obstacles.extend(obstacles)

    def write(self, text: Text, places: Places) -> None:
        """Add a label that may stand at any of its places."""
        self.labels.append((text, places))

    def extent(self) -> tuple[Array, Array]:
        """Return the least and most x and y of all marks."""
        points = [text_box(mark) if isinstance(mark, Text) else mark.points for mark in self.marks]
        joined = np.concatenate(points)
        return joined.min(axis=0), joined.max(axis=0)


def compose(build: Callable[[Sizes], Easel], em: float, *, title: str) -> Figure:
    """Finish a figure at the largest text size at which no label covers anything.

    Parameters
    ----------
    build
        Puts everything but the labels' places in order, at given sizes.
    em
        Full text size, in the unit of the drawing.
    title
        For readers that cannot see.
    """
    best: Figure | None = None
    for shrink, settings in (*((shrink, QUICK) for shrink in _SHRINKS), (_SHRINKS[-1], THOROUGH)):
        sizes = Sizes(page=em, unit=em, text=shrink * em)
        easel = build(sizes)
        drawn = np.array(easel.obstacles).reshape(-1, 4, 2)
        placing = place_labels([places for _, places in easel.labels], drawn, sizes.text, settings=settings)
        if best is None or placing.depth < best.overlap:
            best = _finish(easel, [label.place for label in placing.labels], placing.depth, title)
        if placing.depth == 0:
            break
    assert best is not None
    return best


def _finish(easel: Easel, chosen: list[int], overlap: float, title: str) -> Figure:
    for (text, places), row in zip(easel.labels, chosen, strict=True):
        leader = places.leaders[row]
        if np.isfinite(leader).all():
            easel.draw(leader_line(leader, easel.sizes.line, easel.sizes.casing))
        easel.draw([standing(text, places, row)])
    if easel.after is not None:
        easel.after(easel, *easel.extent())
    low, high = easel.extent()
    room = _MARGIN * easel.sizes.page
    right, down = -float(low[0]) + room, -float(low[1]) + room
    marks = moved(tuple(easel.marks), right, down)
    return Figure(
        drawing=Drawing(
            float(high[0] - low[0]) + 2 * room, float(high[1] - low[1]) + 2 * room, marks, title=title
        ),
        labels=tuple(mark for mark in marks if isinstance(mark, Text)),
        obstacles=np.array(easel.obstacles).reshape(-1, 4, 2) + np.array([right, down]),
        overlap=overlap,
    )
