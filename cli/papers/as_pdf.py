"""Setting a document as a PDF with Typst: real mathematics, fonts inside, no network, tagged for readers."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import typst

from cli.papers.content import Document, headed_in_order
from cli.papers.typst_source import TypstWriter, literal
from cli.sheets.palette import GRID, INK, PALE_INK, SENSES
from cli.sheets.typeface import font_path
from cli.wording import words_of

__all__ = ["PAPERS", "paper_pdf", "paper_pictures"]

PAPERS: dict[str, tuple[str, float]] = {"a4": ("a4", 595.28), "letter": ("us-letter", 612.0)}
"""What Typst calls each paper, and its width in points."""
_MARGINS = 2 * 20 / 25.4 * 72
"""Points: left and right margins together, as in the template."""


def paper_pdf(document: Document, *, paper: str = "a4") -> bytes:
    """Return a document as a PDF file, tagged as PDF/UA-1 asks; the same document gives the same bytes.

    Parameters
    ----------
    document : Document
        What to set.
    paper : str
        `a4` or `letter`.
    """
    made = _compiler(document, paper).compile(format="pdf", pdf_standards="ua-1", timestamp=0)
    assert isinstance(made, bytes)
    return made


def paper_pictures(document: Document, *, paper: str = "a4", ppi: float = 100.0) -> tuple[bytes, ...]:
    """Return the pages of a document as PNG files, for a screen.

    Parameters
    ----------
    document : Document
        What to set.
    paper : str
        `a4` or `letter`.
    ppi : float
        Pixels to the inch.
    """
    made = _compiler(document, paper).compile(format="png", ppi=ppi)
    return (made,) if isinstance(made, bytes) else tuple(made or ())


def _compiler(document: Document, paper: str) -> typst.Compiler:
    name, width = PAPERS[paper]
    writer = TypstWriter(width - _MARGINS)
    body = writer.blocks(headed_in_order(document.blocks))
    page = literal(words_of(document.language).page)
    parts = ", ".join(
        (literal(document.title), literal(document.language), literal(name), page, literal(document.foot))
    )
    source = f"{_template()}\n#show: body => sheet({parts}, body)\n{body}"
    return typst.Compiler(source.encode(), font_paths=_fonts(), sys_inputs=_COLOURS | writer.figures)


@cache
def _fonts() -> typst.Fonts:
    """Return the house typeface, and that for mathematics which Typst carries; none of the computer."""
    return typst.Fonts(include_system_fonts=False, font_paths=[str(font_path("regular").parent)])


_COLOURS = {
    "ink": INK,
    "pale-ink": PALE_INK,
    "grid": GRID,
    "tension": SENSES["T"].text_colour,
    "compression": SENSES["C"].text_colour,
    "zero": SENSES["0"].text_colour,
    "unsure": SENSES["?"].text_colour,
}
"""What the template knows of the palette."""


@cache
def _template() -> str:
    return (files("cli.papers") / "sheet.typ").read_text(encoding="utf-8")
