"""Dimension lines under and beside a truss: chains of distances between its joints."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import isotonic_regression

from cli.sheets.easel import Easel
from cli.sheets.marks import Fill, Mark, Stroke, Text
from cli.sheets.palette import GRID, PALE_INK

__all__ = ["chain", "levels", "spread"]

Array = NDArray[np.float64]

_SAME = 2e-3
"""Share of the truss's size within which two joints are on one level: less does not show in three figures."""
_SIZE = 0.92
"""Size of figures, in ems of labels."""
_HEAD = 0.42
"""Length of a dimension arrow's head, in ems."""
_OFF = 0.9
"""From what is drawn to the dimension line, in ems."""
_APART = 1.12
"""From figure to figure where they stand in a column, in their own ems: letters never touch."""
_LED = 1.0
"""Room for the thin lines to figures that had to step aside, in ems."""


def levels(values: Array) -> Array:
    """Return the distinct levels among coordinates, in rising order."""
    ordered = np.sort(values)
    size = float(ordered[-1] - ordered[0])
    kept = [float(ordered[0])]
    for value in ordered[1:]:
        if value - kept[-1] > _SAME * size:
            kept.append(float(value))
    return np.array(kept)


def spread(wanted: Array, apart: float) -> Array:
    """Return places in the same order, at least `apart` from each other, nearest to those wanted.

    Least squares under that constraint: an isotonic regression of the places less their share of the room.
    """
    room = apart * np.arange(len(wanted))
    spaced: Array = np.asarray(isotonic_regression(wanted - room).x) + room
    return spaced


def chain(easel: Easel, stops: Array, words: list[str], *, base: float, upright: bool) -> None:
    """Draw a chain of dimensions.

    Figures stand in the middle of their span. In a level chain they are turned when one is wider than its
    span; where spans are too short even for that, figures step aside and thin lines lead to them.

    Parameters
    ----------
    easel : Easel
        Where to.
    stops : (K,) float
        Where the joints' levels are in the drawing, rising.
    words : list of str
        The K - 1 lengths with their unit.
    base : float
        Edge of what is drawn: y for a level chain below it, x for an upright chain to the right of it.
    upright : bool
        Whether the chain stands.
    """
    em, size = easel.sizes.text, _SIZE * easel.sizes.text
    line = base + _OFF * easel.sizes.page
    marks: list[Mark] = []

    def points(*pairs: tuple[float, float]) -> Array:
        """Turn pairs of a place along the chain and one across it into x and y."""
        return np.array([pair[::-1] if upright else pair for pair in pairs], dtype=float)

    for stop in stops:
        tick = points((stop, base + 0.25 * em), (stop, line + 0.35 * em))
        marks.append(Stroke(tick, 0.05 * em, GRID))
    for first, last in pairwise(stops.tolist()):
        marks.append(Stroke(points((first, line), (last, line)), 0.055 * em, PALE_INK))
        head = min(_HEAD * em, 0.3 * (last - first))
        for stop, way in ((first, head), (last, -head)):
            wing = 0.32 * head
            barbs = points((stop, line), (stop + way, line + wing), (stop + way, line - wing))
            marks.append(Fill(barbs, PALE_INK))

    texts = [Text(word, 0.0, 0.0, size, PALE_INK) for word in words]
    spans, middles = np.diff(stops), (stops[1:] + stops[:-1]) / 2
    turned = not upright and any(text.wide > span for text, span in zip(texts, spans, strict=True))
    column = upright or turned
    places = spread(middles, _APART * size) if column else middles
    led = bool(np.abs(places - middles).max() > 0.05 * size)
    off = line + 0.45 * em + (_LED * em if led else 0.0)
    for text, middle, place in zip(texts, middles, places, strict=True):
        ((x, y),) = points((place, off + (text.wide / 2 if column else size / 2)))
        if led:
            thin = points((middle, line), (place, off - 0.12 * em))
            marks.append(Stroke(thin, 0.045 * em, PALE_INK, opacity=0.6))
        angle = -math.pi / 2 if turned else 0.0
        marks.append(Text(text.words, float(x), float(y), size, PALE_INK, angle=angle))
    easel.draw(marks)
