"""Setting a document as a PDF with Typst: real mathematics, fonts inside, no network, tagged for readers."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
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
_TOP = 75.0
"""Points above cautions that stand alone on their page: the margin and the air in their frame are 60."""
_THIN = 170.0
"""Points above the cautions, margin included, that make no page: some lines, or a small table."""
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
    made = _set(document, paper).compiler().compile(format="pdf", pdf_standards="ua-1", timestamp=0)
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
    made = _set(document, paper).compiler().compile(format="png", ppi=ppi)
    return (made,) if isinstance(made, bytes) else tuple(made or ())


@dataclass(frozen=True)
class _Source:
    """What goes to Typst."""

    text: bytes
    inputs: dict[str, str]

    def compiler(self) -> typst.Compiler:
        return typst.Compiler(self.text, font_paths=_fonts(), sys_inputs=self.inputs)

    def end(self) -> tuple[int, float]:
        """Return the number of pages, and how many points of the last stand above the cautions, margin too.

        Without cautions at the end there is nothing to save, and the page counts as full.
        """
        said = typst.query(
            self.text, "<cautions>", field="value", font_paths=_fonts(), sys_inputs=self.inputs
        )
        found = json.loads(said)
        return (found[-1]["pages"], found[-1]["above"]) if found else (1, math.inf)


def _set(document: Document, paper: str) -> _Source:
    """Set a document; closer, if that saves a last page with hardly more than the cautions on it.

    Where it does not, what stands before the cautions goes to the last page with them.
    """
    plain = _source(document, paper)
    pages, above = plain.end()
    if pages < 2 or above > _THIN:
        return plain
    closer = _source(document, paper, close=True)
    if closer.end()[0] < pages:
        return closer
    return plain if above > _TOP else _source(document, paper, kept=True)


def _source(document: Document, paper: str, *, close: bool = False, kept: bool = False) -> _Source:
    name, width = PAPERS[paper]
    writer = TypstWriter(width - _MARGINS)
    blocks = headed_in_order(document.blocks)
    if kept:
        *most, before, cautions = blocks
        body = f"{writer.blocks(most)}\n{writer.kept(before)}\n{writer.blocks([cautions])}"
    else:
        body = writer.blocks(blocks)
    page = literal(words_of(document.language).page)
    parts = ", ".join(
        (literal(document.title), literal(document.language), literal(name), page, literal(document.foot))
    )
    source = f"{_template()}\n#show: body => sheet({parts}, body)\n{body}"
    return _Source(source.encode(), _COLOURS | writer.figures | {"close": "yes" if close else "no"})


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
