"""Figures of a sheet: drawings of `cli.sheets` with what they show in words, and photographs made small."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from cli.papers.content import Figure, Running
from cli.sheets.marks import Drawing
from cli.sheets.svg import to_bare_svg

__all__ = ["figure_of", "file_name", "photograph_figure", "shrunk"]

_LONG_SIDE = 1500
"""Pixels of a photograph on a sheet: 200 to the inch over the width of a page."""
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


def shrunk(rgb: NDArray[np.uint8]) -> tuple[NDArray[np.uint8], float]:
    """Make a photograph small enough for a sheet.

    Parameters
    ----------
    rgb : (H, W, 3) uint8

    Returns
    -------
    rgb, scale
        The photograph, and pixels of it for one pixel of the old one.
    """
    scale = min(1.0, _LONG_SIDE / max(rgb.shape[:2]))
    if scale == 1.0:
        return rgb, 1.0
    size = (max(1, round(rgb.shape[1] * scale)), max(1, round(rgb.shape[0] * scale)))
    return np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), dtype=np.uint8), scale
