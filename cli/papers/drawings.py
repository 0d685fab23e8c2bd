"""Figures of a sheet: drawings of `cli.sheets` with what they show in words."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace

from cli.papers.content import Figure, Running
from cli.sheets.marks import Drawing
from cli.sheets.svg import to_bare_svg

__all__ = ["PHOTOGRAPH_SIDE", "figure_of", "file_name", "photograph_figure"]

PHOTOGRAPH_SIDE = 1500
"""Pixels of the longer side of a photograph on a sheet: 200 to the inch over the width of a page."""
_PAGE_WIDTH, _TALLEST = 481.0, 420.0
"""Points that a photograph takes at most: between the margins, and what leaves room for words on its page."""


def figure_of(drawing: Drawing, name: str, alt: str, *, caption: Running = "") -> Figure:
    """Return a drawing as a figure of a sheet; its title becomes what it shows, in the sheet's language."""
    return Figure(file_name(name), to_bare_svg(replace(drawing, title=alt)), alt, caption)


def photograph_figure(
    drawing: Drawing, name: str, alt: str, *, tallest: float = _TALLEST, caption: Running = ""
) -> Figure:
    """Return a drawing on a photograph as wide as the page allows and at most `tallest` points."""
    width = min(_PAGE_WIDTH, tallest * drawing.width / drawing.height)
    return replace(figure_of(drawing, name, alt, caption=caption), width=width)


def file_name(words: str) -> str:
    """Return a name for a file: plain letters, digits and hyphens."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9]+", "-", plain).strip("-") or "figure"
