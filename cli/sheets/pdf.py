"""Painting a drawing into a one-page PDF by matplotlib: text as text, the typeface and the photograph inside.

matplotlib is slow to import; nothing but this module may import it.
"""

from __future__ import annotations

import io
import math

import cv2
import matplotlib as mpl
import numpy as np
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from matplotlib.text import Text as PageText
from numpy.typing import NDArray

from cli.sheets.marks import Drawing, Fill, Photograph, Stroke, Text
from cli.sheets.typeface import font_path, measure

__all__ = ["to_pdf"]

Picture = NDArray[np.uint8]

_PAGE_WIDTH = 540.0
"""Points: 190 mm, what A4 and US letter both print."""
_LARGEST_PHOTO = 3000
"""Pixels along the long side: 400 to the inch at the page's width, more than paper shows."""


def to_pdf(drawing: Drawing) -> bytes:
    """Return the drawing as a PDF of one page, 190 mm wide; the same drawing gives the same bytes."""
    scale = _PAGE_WIDTH / drawing.width
    with mpl.rc_context({"pdf.fonttype": 42, "pdf.compression": 6, "lines.scale_dashes": False}):
        figure = Figure(figsize=(_PAGE_WIDTH / 72, drawing.height * scale / 72), dpi=72)
        FigureCanvasPdf(figure)
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set_axis_off()
        axes.set_xlim(0, drawing.width)
        axes.set_ylim(drawing.height, 0)
        if drawing.photograph is not None:
            photo = _smaller(drawing.photograph)
            left, top = drawing.photograph.x, drawing.photograph.y
            height, width = drawing.photograph.rgb.shape[:2]
            axes.imshow(
                photo,
                extent=(left, left + width, top + height, top),
                interpolation="none",
                aspect="auto",
                zorder=0,
            )
            axes.set_xlim(0, drawing.width)
            axes.set_ylim(drawing.height, 0)
        for order, mark in enumerate(drawing.marks, start=1):
            if isinstance(mark, Stroke):
                line = Line2D(
                    mark.points[:, 0], mark.points[:, 1], linewidth=mark.width * scale, zorder=order
                )
                line.set(color=mark.colour, alpha=mark.opacity, solid_joinstyle="round")
                line.set(solid_capstyle="round" if mark.round_caps else "butt")
                line.set(dash_capstyle="round" if mark.round_caps else "butt")
                if mark.dash:
                    line.set_dashes([length * scale for length in mark.dash])
                axes.add_line(line)
            elif isinstance(mark, Fill):
                axes.add_patch(
                    Polygon(
                        mark.points, facecolor=mark.colour, edgecolor="none", alpha=mark.opacity, zorder=order
                    )
                )
            else:
                for piece in mark.pieces:
                    axes.add_artist(_text(piece, scale, order))
        data = io.BytesIO()
        figure.savefig(data, format="pdf", metadata={"Title": drawing.title or None, "CreationDate": None})
    return data.getvalue()


def _text(text: Text, scale: float, order: int) -> PageText:
    """Return the words with the baseline where the layout put it."""
    font = FontProperties(fname=str(font_path(text.weight)))
    room = measure(text.words, text.size, text.weight)
    shift = {"start": 0.0, "middle": -room.width / 2, "end": -room.width}[text.anchor]
    cosine, sine = math.cos(text.angle), math.sin(text.angle)
    down = room.cap_height / 2
    x = text.x + shift * cosine - down * sine
    y = text.y + shift * sine + down * cosine
    return PageText(
        x,
        y,
        text.words,
        fontproperties=font,
        fontsize=text.size * scale,
        color=text.colour,
        rotation=-math.degrees(text.angle),
        rotation_mode="anchor",
        horizontalalignment="left",
        verticalalignment="baseline",
        parse_math=False,
        zorder=order,
    )


def _smaller(photo: Photograph) -> Picture:
    largest = max(photo.rgb.shape[:2])
    if largest <= _LARGEST_PHOTO:
        return photo.rgb
    share = _LARGEST_PHOTO / largest
    return np.asarray(
        cv2.resize(photo.rgb, None, fx=share, fy=share, interpolation=cv2.INTER_AREA), dtype=np.uint8
    )
