"""Outlines of installed fonts, read once: print from Matplotlib's own, handwriting where it was fetched."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import matplotlib as mpl
import numpy as np
from fontTools.pens.basePen import BasePen
from fontTools.ttLib import TTFont
from numpy.typing import NDArray

__all__ = ["glyph_outline", "hand_faces", "print_faces"]

HAND_FOLDER = Path(__file__).parent / "fonts"
"""Where `python -m vision.training.fetch_fonts` puts handwriting fonts; may be absent."""
CURVE_STEPS = 5
"""Straight pieces that stand for one curve of an outline; letters are a few dozen pixels high."""

_PRINT = (
    "DejaVuSans",
    "DejaVuSans-Bold",
    "DejaVuSans-Oblique",
    "DejaVuSerif",
    "DejaVuSerif-Italic",
    "DejaVuSansMono",
    "STIXGeneral",
    "STIXGeneralItalic",
    "STIXGeneralBol",
)


class _Flattener(BasePen):  # type: ignore[misc]  # fontTools ships no types
    """Turns an outline into closed polygons."""

    def __init__(self, glyphs: Any) -> None:
        super().__init__(glyphs)
        self.contours: list[list[tuple[float, float]]] = []

    def _moveTo(self, p0: tuple[float, float]) -> None:  # noqa: N802  # fontTools' names
        self.contours.append([p0])

    def _lineTo(self, p1: tuple[float, float]) -> None:  # noqa: N802
        self.contours[-1].append(p1)

    def _curveToOne(  # noqa: N802
        self, p1: tuple[float, float], p2: tuple[float, float], p3: tuple[float, float]
    ) -> None:
        p0 = np.array(self.contours[-1][-1])
        a, b, c = np.array(p1), np.array(p2), np.array(p3)
        for t in np.linspace(0, 1, CURVE_STEPS + 1)[1:]:
            s = 1 - t
            x, y = p0 * s**3 + a * 3 * s * s * t + b * 3 * s * t * t + c * t**3
            self.contours[-1].append((float(x), float(y)))

    def _qCurveToOne(self, p1: tuple[float, float], p2: tuple[float, float]) -> None:  # noqa: N802
        p0 = np.array(self.contours[-1][-1])
        a, b = np.array(p1), np.array(p2)
        for t in np.linspace(0, 1, CURVE_STEPS + 1)[1:]:
            s = 1 - t
            x, y = p0 * s * s + a * 2 * s * t + b * t * t
            self.contours[-1].append((float(x), float(y)))


@cache
def print_faces() -> tuple[Path, ...]:
    """Return the fonts of print: those that Matplotlib brings."""
    folder = Path(mpl.get_data_path()) / "fonts" / "ttf"
    return tuple(p for p in (folder / f"{name}.ttf" for name in _PRINT) if p.is_file())


@cache
def hand_faces() -> tuple[Path, ...]:
    """Return the handwriting fonts that were fetched, in order of name; none is needed."""
    if not HAND_FOLDER.is_dir():
        return ()
    return tuple(sorted(p for p in HAND_FOLDER.iterdir() if p.suffix in {".ttf", ".otf", ".woff"}))


@cache
def _face(path: Path) -> tuple[Any, dict[int, str], Any, float]:
    font = TTFont(path, lazy=True)
    glyphs = font.getGlyphSet()
    letters = font.getBestCmap() or {}
    pen = _Flattener(glyphs)
    capital = letters.get(ord("H"))
    if capital is not None:
        glyphs[capital].draw(pen)
    heights = [y for contour in pen.contours for _, y in contour]
    cap = max(heights) if heights else 0.7 * float(font["head"].unitsPerEm)
    return font, letters, glyphs, float(cap)


@cache
def glyph_outline(path: Path, letter: str) -> tuple[tuple[NDArray[np.float64], ...], float] | None:
    """Return the closed contours of a letter and its advance, or None where the font lacks it.

    Contours are (K, 2), x from the left, y down from the baseline, in heights of a capital.
    """
    _, letters, glyphs, cap = _face(path)
    name = letters.get(ord(letter))
    if name is None:
        return None
    pen = _Flattener(glyphs)
    glyphs[name].draw(pen)
    contours = tuple(np.array(c) * [1 / cap, -1 / cap] for c in pen.contours if len(c) > 2)
    return contours, float(glyphs[name].width) / cap
