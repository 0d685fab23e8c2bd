"""Setting a document as a PDF with Typst: real mathematics, fonts inside, no network, tagged for readers."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import typst

from cli.papers.content import Document
from cli.papers.typst_source import TypstWriter, literal
from cli.sheets.palette import GRID, INK, PALE_INK, SENSES
from cli.sheets.typeface import font_path
from cli.wording import words_of

__all__ = ["PAPERS", "paper_pdf"]

PAPERS: dict[str, tuple[str, float]] = {"a4": ("a4", 595.28), "letter": ("us-letter", 612.0)}
"""What Typst calls each paper, and its width in points."""
_MARGINS = 2 * 20 / 25.4 * 72
"""Points: left and right margins together, as in the template."""


def paper_pdf(document: Document, *, paper: str = "a4") -> bytes:
    """Return a document as a PDF file; the same document gives the same bytes.

    Parameters
    ----------
    document : Document
        What to set.
    paper : str
        `a4` or `letter`.
    """
    name, width = PAPERS[paper]
    writer = TypstWriter(width - _MARGINS)
    body = writer.blocks(document.blocks)
    page = literal(words_of(document.language).page)
    parts = ", ".join(
        (literal(document.title), literal(document.language), literal(name), page, literal(document.foot))
    )
    source = f"{_template()}\n#show: body => sheet({parts}, body)\n{body}"
    compiler = typst.Compiler(font_paths=[str(font_path("regular").parent)], ignore_system_fonts=True)
    made = compiler.compile(
        source.encode(), format="pdf", sys_inputs=_COLOURS | writer.figures, pdf_standards="ua-1", timestamp=0
    )
    assert isinstance(made, bytes)
    return made


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
