"""The colours, dashes and widths of results, in one place for every overlay, page, figure and sheet.

The four result colours are those of the design. Colour never speaks alone: dash, width and the suffix of a
label say the same again, so that a grey printer and a colour-blind reader lose nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "COMPRESSION",
    "FAULT",
    "GRID",
    "INK",
    "PALE_INK",
    "PAPER",
    "READ",
    "SENSES",
    "TENSION",
    "TEXT_CONTRAST",
    "UNSURE",
    "USE",
    "ZERO",
    "SenseStyle",
    "contrast",
    "member_width",
    "rgb",
    "sense_style",
    "text_tone",
    "use_tone",
]

TENSION = "#00797a"
COMPRESSION = "#c25e00"
ZERO = "#7a7a7a"
UNSURE = "#7b4fa3"
READ = "#2a62c9"
"""What was read from a photograph, before anything is known of forces."""
FAULT = "#a3260a"
"""What is not as it was set: missing, too much, elsewhere; always with a word or a cross."""
INK = "#1d2429"
"""Text, joints, supports and arrows."""
PALE_INK = "#515a60"
"""Second voice: caution, dimension lines."""
GRID = "#c9ced1"
"""Construction lines that should hardly be seen."""
PAPER = "#ffffff"
"""Ground of a sheet, halo behind text, casing beside a line."""

USE = ("#8f7f86", "#a3607f", "#a83468", "#8a0f4b", "#57042c")
"""How much of its strength is used, from the least to the most: one hue, each tone darker than the last, so
that their order is seen on a grey print and by a colour-blind reader; none is a colour of tension or
compression."""

TEXT_CONTRAST = 7.0
"""Contrast of coloured text with paper. The design asks for 4.5 at least; 7 leaves room for what shines
through a halo."""


@dataclass(frozen=True)
class SenseStyle:
    """How a member of one sense is drawn.

    `dash` counts in line widths of the thinnest line, on and off in turn; empty means solid.
    """

    sense: str
    colour: str
    dash: tuple[float, ...]
    round_caps: bool
    suffix: str
    """What a label ends in."""

    @property
    def text_colour(self) -> str:
        """The colour darkened until text on its halo has `TEXT_CONTRAST`."""
        return text_tone(self.colour)


SENSES = {
    "T": SenseStyle("T", TENSION, (), round_caps=False, suffix="(T)"),
    "C": SenseStyle("C", COMPRESSION, (), round_caps=False, suffix="(C)"),
    "0": SenseStyle("0", ZERO, (4.5, 3.0), round_caps=False, suffix="0"),
    "?": SenseStyle("?", UNSURE, (0.0, 2.2), round_caps=True, suffix="(?)"),
}
"""T tension, C compression, 0 zero-force, ? sign not certain."""


def sense_style(sense: str) -> SenseStyle:
    """Return the style of `T`, `C`, `0` or `?`."""
    return SENSES[sense]


def member_width(force: float, largest: float, *, thinnest: float, thickest: float) -> float:
    """Return the line width of a member: thinnest at no force, growing in proportion to |force|.

    Parameters
    ----------
    force : float
        Axial force, either sign.
    largest : float
        Largest |force| in the picture, same unit; 0 when nothing carries anything.
    thinnest, thickest : float
        Widths at 0 and at `largest`, in the unit of the drawing.
    """
    share = abs(force) / largest if largest > 0 else 0.0
    return thinnest + (thickest - thinnest) * min(share, 1.0)


def use_tone(share: float) -> str:
    """Return the tone of `USE` for a share, 0 to 1, of what the member that is used most uses."""
    return USE[min(int(max(share, 0.0) * len(USE)), len(USE) - 1)]


def rgb(colour: str) -> tuple[int, int, int]:
    """Return red, green and blue, 0 to 255, of a colour written `#rrggbb`."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def luminance(colour: tuple[float, float, float]) -> float:
    """Return relative luminance, 0 to 1, of an sRGB colour given as 0 to 255 (as WCAG 2.2 defines it)."""
    parts = []
    for value in colour:
        part = value / 255.0
        parts.append(part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4)
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of the term)."""
    light, dark = sorted((luminance(rgb(one)), luminance(rgb(other))), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def text_tone(colour: str, *, ground: str = PAPER) -> str:
    """Darken a colour, keeping its hue, until text in it has `TEXT_CONTRAST` with a light ground."""
    for percent in range(100, 0, -1):
        tone = "#" + "".join(f"{round(part * percent / 100):02x}" for part in rgb(colour))
        if contrast(tone, ground) >= TEXT_CONTRAST:
            return tone
    return INK
