"""Painting a drawing into an SVG that stands alone: typeface and photograph inside, text as text.

Only the letters that occur are carried of the typeface. A figure of a larger document leaves the typeface to
it: see `to_bare_svg` and `typeface_rules`. Numbers are rounded to a hundredth of the drawing's
unit, so that the same drawing gives the same bytes.
"""

from __future__ import annotations

import base64
import html
import io
import re
from collections.abc import Iterable, Mapping
from xml.sax.saxutils import escape

import cv2
import numpy as np
from numpy.typing import NDArray

from cli.sheets.marks import Drawing, Fill, Mark, Photograph, Stroke, Text
from cli.sheets.palette import PAPER
from cli.sheets.typeface import FAMILY, font_path, measure

__all__ = ["JPEG_QUALITY", "letters_of", "to_bare_svg", "to_svg", "typeface_rules", "with_typeface"]

JPEG_QUALITY = 92
"""Of a photograph inside a vector file: no mark of it is seen, at a third of the bytes of lossless."""
_WEIGHTS = {"regular": 400, "semibold": 600}


_RULES = f"text{{font-family:{FAMILY!r},sans-serif;font-kerning:none}}"
"""What every drawing says of its text; the typeface itself goes in front of it."""
_LAYOUT = ("GDEF", "GPOS", "GSUB")
"""Tables of kerning and ligatures, which are off here: reading them would take most of the time."""
_LETTERS = re.compile(r"<text [^>]*>(?P<words>[^<]*)</text>")


def to_svg(drawing: Drawing) -> str:
    """Return the drawing as an SVG document that carries its typeface."""
    bare = to_bare_svg(drawing)
    return with_typeface(bare, typeface_rules(letters_of(bare)))


def to_bare_svg(drawing: Drawing) -> str:
    """Return the drawing as an SVG document that names the house typeface and does not carry it."""
    width, height = _number(drawing.width), _number(drawing.height)
    box = f'viewBox="0 0 {width} {height}"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" {box} role="img">',
        f"<title>{escape(drawing.title)}</title>" if drawing.title else "",
        f"<style>{_RULES}</style>",
        f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
        _photograph(drawing.photograph) if drawing.photograph else "",
        *(_mark(mark) for mark in drawing.marks),
        "</svg>\n",
    ]
    return "\n".join(part for part in parts if part)


def with_typeface(svg: str, rules: str) -> str:
    """Return an SVG of `to_bare_svg` with the typeface inside, as `typeface_rules` wrote it."""
    return svg.replace(_RULES, rules + _RULES, 1)


def letters_of(*svgs: str) -> dict[str, set[str]]:
    """Return the letters of each weight that SVGs of `to_bare_svg` use."""
    letters: dict[str, set[str]] = {}
    for svg in svgs:
        for found in _LETTERS.finditer(svg):
            weight = "semibold" if 'font-weight="600"' in found[0] else "regular"
            letters.setdefault(weight, set()).update(html.unescape(found["words"]))
    return letters


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _points(points: NDArray[np.float64]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _photograph(photo: Photograph) -> str:
    height, width = photo.rgb.shape[:2]
    bgr = cv2.cvtColor(photo.rgb, cv2.COLOR_RGB2BGR)
    _, data = cv2.imencode(".jpg", bgr, [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY])
    link = "data:image/jpeg;base64," + base64.b64encode(data.tobytes()).decode("ascii")
    place = f'x="{_number(photo.x)}" y="{_number(photo.y)}" width="{width}" height="{height}"'
    return f'<image {place} href="{link}"/>'


def _mark(mark: Mark) -> str:
    if isinstance(mark, Text):
        return "".join(_text(piece) for piece in mark.pieces)
    opacity = f' opacity="{_number(mark.opacity)}"' if mark.opacity < 1 else ""
    if isinstance(mark, Fill):
        return f'<polygon points="{_points(mark.points)}" fill="{mark.colour}"{opacity}/>'
    assert isinstance(mark, Stroke)
    dash = f' stroke-dasharray="{" ".join(_number(length) for length in mark.dash)}"' if mark.dash else ""
    caps = ' stroke-linecap="round"' if mark.round_caps else ""
    return (
        f'<polyline points="{_points(mark.points)}" fill="none" stroke="{mark.colour}"'
        f' stroke-width="{_number(mark.width)}" stroke-linejoin="round"{caps}{dash}{opacity}/>'
    )


def _text(text: Text) -> str:
    down = _number(measure(text.words, text.size, text.weight).cap_height / 2)
    place = f"translate({_number(text.x)} {_number(text.y)})"
    turn = f" rotate({_number(np.degrees(text.angle))})" if text.angle else ""
    weight = f' font-weight="{_WEIGHTS[text.weight]}"' if text.weight != "regular" else ""
    return (
        f'<text transform="{place}{turn}" y="{down}" font-size="{_number(text.size)}"'
        f' text-anchor="{text.anchor}"{weight} fill="{text.colour}">{escape(text.words)}</text>'
    )


def typeface_rules(letters: Mapping[str, Iterable[str]]) -> str:
    """Return the style rules that carry letters of the house typeface.

    Parameters
    ----------
    letters
        For each weight, `regular` or `semibold`, the letters in use.
    """
    # Slow to import, and only a file that stands alone needs it.
    from fontTools import subset  # noqa: PLC0415
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    rules = []
    for weight, used in sorted(letters.items()):
        options = subset.Options(flavor="woff", layout_features=[], notdef_outline=True, hinting=False)
        font = TTFont(font_path(weight), recalcTimestamp=False)
        for table in _LAYOUT:
            del font[table]
        cutter = subset.Subsetter(options)
        cutter.populate(text="".join(sorted(used)))
        cutter.subset(font)
        font.flavor = "woff"
        data = io.BytesIO()
        font.save(data)
        link = "data:font/woff;base64," + base64.b64encode(data.getvalue()).decode("ascii")
        face = f"font-family:{FAMILY!r};font-weight:{_WEIGHTS[weight]}"
        rules.append(f"@font-face{{{face};src:url({link}) format('woff')}}")
    return "".join(rules)
