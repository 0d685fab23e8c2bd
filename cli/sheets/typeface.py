"""The two cuts of the house typeface and exact text sizes from their own metrics.

Source Sans Pro by Paul D. Hunt (SIL Open Font Licence, `fonts/OFL.txt`) ships unchanged with the program, so
that the same words take the same room on every computer.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from PIL import ImageFont

__all__ = ["FAMILY", "TextSize", "font_path", "measure", "pillow_font", "wrap"]

FAMILY = "Source Sans Pro"
_FILES = {"regular": "SourceSansPro-Regular.ttf", "semibold": "SourceSansPro-Semibold.ttf"}
_METRIC_SIZE = 1000
"""Pixels per em at which advances are read: large enough that hinting and rounding stay below 0.1 %."""
_CAP_HEIGHT = 0.660
"""Cap height in ems, from the font's OS/2 table (a test reads it again)."""
_DESCENT = 0.225
"""Depth of g, p, q and of brackets below the baseline in ems (a test reads it again from the glyphs)."""
_ASCENT = 0.740
"""Height of b, d and of brackets above the baseline in ems (a test reads it again from the glyphs)."""


@dataclass(frozen=True)
class TextSize:
    """Room that one line of text takes, in the unit of its size."""

    width: float
    """Sum of the advances."""
    ascent: float
    """From the baseline up to the tallest letter of the typeface."""
    descent: float
    """From the baseline down to the deepest letter of the typeface."""
    cap_height: float
    """Height of capitals and figures above the baseline."""


def font_path(weight: str) -> Path:
    """Return the file of a weight, `regular` or `semibold`."""
    return Path(__file__).parent / "fonts" / _FILES[weight]


@cache
def pillow_font(weight: str, size: int) -> ImageFont.FreeTypeFont:
    """Return the typeface for Pillow at a whole number of pixels per em, laid out the same way everywhere."""
    return ImageFont.truetype(font_path(weight), size, layout_engine=ImageFont.Layout.BASIC)


@cache
def _advance(text: str, weight: str) -> float:
    return pillow_font(weight, _METRIC_SIZE).getlength(text) / _METRIC_SIZE


def measure(text: str, size: float, weight: str = "regular") -> TextSize:
    """Return the room that one line of text takes.

    Parameters
    ----------
    text : str
        One line.
    size : float
        Ems, in any unit; the answer has the same unit.
    weight : str
        `regular` or `semibold`.
    """
    return TextSize(
        width=_advance(text, weight) * size,
        ascent=_ASCENT * size,
        descent=_DESCENT * size,
        cap_height=_CAP_HEIGHT * size,
    )


def wrap(text: str, width: float, size: float, weight: str = "regular") -> tuple[str, ...]:
    """Break text at spaces into lines no wider than `width`; a longer word stands alone on its line."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and measure(longer, size, weight).width > width:
            lines.append(line)
            line = word
        else:
            line = longer
    if line:
        lines.append(line)
    return tuple(lines)
