"""The photographs of a bridge before and after its test, for the printed table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cli.papers.content import Figure
from cli.papers.drawings import PHOTOGRAPH_SIDE, photograph_figure
from cli.sheets.marks import Drawing, Photograph
from cli.sheets.shrink import shrunk
from cli.testday.outcome import Bridge
from vision import PhotoError, load_photo

__all__ = ["photographs_of"]

WIDTH, TALLEST = 300.0, 260.0
"""Points: two fit on a page with room for words, and what broke can still be seen."""


def photographs_of(bridge: Bridge) -> Iterator[Figure]:
    """Return what can be opened of the two photographs; the table's remarks name what is not there."""
    if bridge.record is None:
        return
    for when, name in (("before", bridge.record.before), ("after", bridge.record.after)):
        path = None if name is None else bridge.model_path.parent / name
        if path is None or not path.is_file():
            continue
        try:
            rgb, _ = shrunk(load_photo(path).rgb, PHOTOGRAPH_SIDE)
        except PhotoError:
            continue
        drawing = Drawing(float(rgb.shape[1]), float(rgb.shape[0]), (), Photograph(rgb, 0.0, 0.0))
        words = f"{bridge.name} {when} the test"
        title = f"{bridge.name}-{when}"
        figure = photograph_figure(drawing, title, words, tallest=TALLEST, caption=words)
        yield replace(figure, width=min(WIDTH, figure.width or WIDTH))
