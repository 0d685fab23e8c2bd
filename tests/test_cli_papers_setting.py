"""Setting documents: one source of mathematics in three forms, whole PDFs, pages that load nothing."""

from __future__ import annotations

import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from pathlib import Path

import cv2
import numpy as np
import pytest

from cli.cautions import CAUTIONS
from cli.papers import as_pdf
from cli.papers.as_html import page_html
from cli.papers.as_markdown import page_markdown
from cli.papers.as_pdf import paper_pdf, paper_pictures
from cli.papers.breaking import set_lines
from cli.papers.content import (
    Beside,
    Blank,
    Blanks,
    Block,
    Bullets,
    Caution,
    Document,
    Equations,
    Figure,
    Heading,
    KeepTogether,
    Line,
    PageBreak,
    Paragraph,
    Strong,
    Table,
    Title,
    fill,
    headed_in_order,
    text_of,
)
from cli.papers.maths import (
    Expression,
    Fraction,
    Function,
    Grouped,
    Number,
    Power,
    Product,
    Relation,
    Root,
    Row,
    Signed,
    Symbol,
    Total,
    Unit,
    Words,
    extent,
    plain,
)
from cli.papers.order import Order
from cli.papers.worked import worked_solution
from cli.wording import LANGUAGES
from tests.hand_typed import hand_typed
from tests.page_browser import AXE, CHROMIUM, axe_faults, bring_axe, chromium
from tests.trusses import three_bar

needs_pdftotext = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext (poppler-utils) is not installed here"
)

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="120" height="60" viewBox="0 0 120 60" role="img">'
    '<text x="60" y="30" font-size="10">Drawn</text></svg>'
)
FIGURE = Figure("drawn", SVG, "A drawing with one word", "What it shows")
SAMPLES: tuple[tuple[Expression, str], ...] = (
    (Number("−16.7"), "−16.7"),
    (Symbol("F", "AB"), "F_AB"),
    (Row((Number("36.9"), Unit("°"))), "36.9°"),
    (Row((Number("16.7"), Unit("kN"), Words(" (T)", "T"))), "16.7 kN (T)"),
    (Total(()), "0"),
    (Total((Signed(True, Number("3")), Signed(False, Symbol("A", "x")))), "−3 + A_x"),
    (Product((Number("0.6"), Number("−2.5"))), "0.6·(−2.5)"),
    (Product((Number("2"), Total((Signed(False, Number("1")), Signed(True, Number("4")))))), "2·(1 − 4)"),
    (Fraction(Total((Signed(False, Number("1")), Signed(False, Number("2")))), Number("3")), "(1 + 2)/3"),
    (Function("arctan", Fraction(Number("3"), Number("4"))), "arctan(3/4)"),
    (Root(Total((Signed(False, Power(Number("3"), 2)), Signed(False, Power(Number("4"), 2))))), "√(3² + 4²)"),
    (Relation((Symbol("m"), Number("3")), ("<",)), "m < 3"),
    (Grouped(Number("1")), "(1)"),
)
"""Mathematics of every kind, and how it reads as plain text."""


def whole() -> Document:
    """Return a document with a block of every kind and a person's words that look like markup."""
    maths: tuple[Block, ...] = tuple(
        Equations((Line(Symbol("q", str(row)), (expression,), after="note" if row % 2 else ""),))
        for row, (expression, _) in enumerate(SAMPLES)
    )
    return Document(
        title="Whole",
        blocks=(
            Title('A "#title" with $signs$ \\ and [brackets] <b>', ("below ", Strong("bold"))),
            Heading("First"),
            Paragraph(("Angle ", Function("arctan", Number("1")), " and *stars* _low_ `ticks` @at //")),
            *maths,
            FIGURE,
            Beside(FIGURE, (Heading("Beside", 2), Paragraph("Right of it."))),
            KeepTogether((Paragraph("Kept."), Table(("a", ""), (("1", Strong("T", "T")),), "rl", "Cap"))),
            Bullets(("one", "two"), numbered=True),
            PageBreak(),
            Blanks(((Symbol("F", "AB"), " = ", Blank(), " kN"), "T / C")),
            Caution("Please note", CAUTIONS),
        ),
        foot="Version 7",
    )


def pdf_text(data: bytes, folder: Path) -> str:
    """Return what a reader of the PDF finds, line by line as it stands on the page."""
    path = folder / "some.pdf"
    path.write_bytes(data)
    return subprocess.run(
        ["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True
    ).stdout


@pytest.mark.parametrize(("expression", "words"), SAMPLES)
def test_maths_as_plain_text(expression: Expression, words: str) -> None:
    """Each kind of mathematics reads as a person types it."""
    assert plain(expression) == words


@needs_pdftotext
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_pdf_holds_every_word(paper: str, tmp_path: Path) -> None:
    """Whatever a person typed stands in the PDF as typed, on both papers, with its foot on each page."""
    text = pdf_text(paper_pdf(whole(), paper=paper), tmp_path)  # type: ignore[arg-type]
    for words in ('A "#title" with $signs$ \\ and [brackets] <b>', "*stars* _low_ `ticks` @at //", "Drawn"):
        assert words in text
    assert text.count("Version 7") == 2
    assert "Page 2 of 2" in text
    for caution in CAUTIONS:
        assert caution.split(";")[0] in " ".join(text.split())


def test_headings_skip_no_level() -> None:
    """A lower heading with none above it rises: screen readers, and PDF/UA, take no gap."""
    blocks = headed_in_order(
        (KeepTogether((Heading("a", 2),)), Heading("b", 2), Heading("c"), Beside(FIGURE, (Heading("d", 2),)))
    )
    levels = [
        block.level
        for outer in blocks
        for block in (outer.blocks if isinstance(outer, KeepTogether | Beside) else (outer,))
    ]
    assert levels == [1, 2, 1, 2]
    assert paper_pdf(Document("Some", (Heading("Only", 2), Paragraph("Text.")))).startswith(b"%PDF")


def test_pages_as_pictures() -> None:
    """Each page is a PNG of the size asked for."""
    pages = paper_pictures(whole(), ppi=36)
    sizes = [cv2.imdecode(np.frombuffer(page, np.uint8), cv2.IMREAD_COLOR).shape[:2] for page in pages]
    assert sizes == [(421, 298)] * 2


def test_pdf_is_the_same_each_time() -> None:
    """Nothing of the hour or the machine goes into the file."""
    assert paper_pdf(whole()) == paper_pdf(whole())


def test_page_stands_alone() -> None:
    """The page is well formed, loads nothing, names its figures, and its mathematics is MathML."""
    page = page_html(whole())
    assert not re.search(r'(?:src|href)="?(?!data:)https?:', page)
    assert "<script" not in page
    body = re.search(r"<body>.*</body>", page, re.DOTALL)
    assert body is not None
    tree = ET.fromstring(body[0])  # noqa: S314 (our own page)
    assert [drawn.get("aria-label") for drawn in tree.iter("{http://www.w3.org/2000/svg}svg")] == [
        FIGURE.alt
    ] * 2
    assert len(list(tree.iter("math"))) >= len(SAMPLES)
    assert "Page" not in page_html(Document("x", ()))


def test_markdown_holds_tables_and_equations() -> None:
    """Tables are tables, markup in a person's words is escaped, equations are plain text."""
    text = page_markdown(whole(), link=lambda figure: f"{figure.name}.svg")
    assert "| a |  |\n| ---: | :--- |\n| 1 | **T** |" in text
    assert "![A drawing with one word](drawn.svg)" in text
    assert "\\$signs\\$" in text
    assert "q_8 = (1 + 2)/3" in text


def test_long_sums_go_on_before_a_sign() -> None:
    """A sum of many terms is broken between terms; put together again it is the same sum."""
    terms = tuple(Signed(row % 2 == 1, Product((Number("0.8"), Symbol("F", f"A{row}")))) for row in range(20))
    (rows,) = set_lines((Line(Symbol("ΣM", "A"), (Number("0"), Total(terms))),), 60, width_of=extent)
    parts = [piece.body for row in rows for piece in row.pieces if isinstance(piece.body, Total)]
    assert tuple(term for part in parts for term in part.terms) == terms
    assert len(rows) > 3
    assert [row.last for row in rows] == [False] * (len(rows) - 1) + [True]
    assert rows[0].left == Symbol("ΣM", "A")


def test_sentences_are_filled() -> None:
    """Holes take words, numbers and mathematics; neighbouring words become one piece."""
    assert fill("{a} and {b}", a="one", b=2) == "one and 2"
    filled = fill("Then {force} holds.", force=Symbol("F", "AB"))
    assert filled == ("Then ", Symbol("F", "AB"), " holds.")
    assert text_of(filled) == "Then F_AB holds."


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_cautions_in_every_language(language: str) -> None:
    """Each language has all cautions, and English has them word for word."""
    cautions = LANGUAGES[language].common.cautions
    assert len(cautions) == len(CAUTIONS)
    assert (cautions == CAUTIONS) == (language == "en")


def spilling(last: str, lines: int) -> Document:
    """Return a document of so many lines, or rows of a table, with cautions."""
    rows = tuple((f"row {row}", "1") for row in range(lines if last == "table" else 3))
    blocks: list[Block] = [Title("Long"), Table(("a", "b"), rows, "lr", "Table")]
    if last == "line":
        blocks += [Paragraph(f"Line {row} of some words.") for row in range(lines - 8)]
    return Document("Long", (*blocks, Caution("Please note", CAUTIONS)))


@needs_pdftotext
@pytest.mark.parametrize("last", ["line", "table"])
def test_no_page_holds_nothing_but_cautions(tmp_path: Path, last: str) -> None:
    """A sheet that is a little too long is set closer, all of it on one page."""
    pages = []
    for lines in range(30, 60, 2):
        said = pdf_text(paper_pdf(spilling(last, lines)), tmp_path).split("\f")[:-1]
        pages.append(len(said))
        before, _, after = said[-1].partition("Please note")
        assert after, "the cautions are on the last page"
        assert before.strip(), f"nothing but cautions on the last page, with {lines} lines"
    assert pages == sorted(pages)
    assert set(pages) == {1, 2}


@needs_pdftotext
@pytest.mark.parametrize("last", ["line", "table"])
def test_cautions_that_need_a_page_take_something_along(tmp_path: Path, last: str) -> None:
    """Where closer lines save no page, a paragraph or rows go with them; nothing is lost."""
    plain, kept = (
        pdf_text(as_pdf._source(spilling(last, 44), "a4", kept=kept).compiler().compile(), tmp_path)
        for kept in (False, True)
    )
    assert not plain.split("\f")[1].partition("Please note")[0].strip()
    assert kept.split("\f")[1].partition("Please note")[0].strip()
    found = re.findall(r"row \d+|Line \d+", kept)
    assert found == re.findall(r"row \d+|Line \d+", plain)
    assert len(found) == len(set(found)) >= 39


@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this computer")
@pytest.mark.skipif(AXE is None, reason="axe-playwright-python is not installed")
def test_axe_finds_nothing_in_a_page(tmp_path: Path) -> None:
    """axe-core over a worked solution and over blocks of every kind; nothing is fetched."""
    order = Order(hand_typed(three_bar(), "Three bars"), Path("some.truss.json"))
    sheets = {"worked": worked_solution(order).document, "whole": whole()}
    with chromium() as browser:
        for name, document in sheets.items():
            path = tmp_path / f"{name}.html"
            path.write_text(page_html(document), encoding="utf-8")
            page = browser.new_context(bypass_csp=True).new_page()
            asked: list[str] = []
            page.on("request", lambda request, asked=asked: asked.append(request.url))
            page.goto(path.as_uri())
            bring_axe(page)
            assert axe_faults(page) == []
            assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
