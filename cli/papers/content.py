"""What a document is made of, before anything has set it: blocks in order, words and mathematics inside them.

Every kind of sheet builds a `Document` of these blocks; `as_pdf`, `as_html` and `as_markdown` set the same
document. A block says what something is, never how it looks.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from cli.papers.maths import Expression, plain

__all__ = [
    "Beside",
    "Blank",
    "Blanks",
    "Block",
    "Bullets",
    "Caution",
    "Document",
    "Equations",
    "Figure",
    "Heading",
    "Inline",
    "KeepTogether",
    "Line",
    "PageBreak",
    "Paragraph",
    "Running",
    "Strong",
    "Table",
    "Title",
    "figures_of",
    "fill",
    "headed_in_order",
    "inlines",
    "text_of",
]


@dataclass(frozen=True)
class Strong:
    """Words that stand out within a line."""

    words: str
    sense: str = ""
    """`T`, `C`, `0` or `?` to set them in the colour of that sense."""


@dataclass(frozen=True)
class Blank:
    """A line to write an answer on."""

    width: float = 6.0
    """Ems."""


Inline = str | Strong | Blank | Expression
Running = Inline | tuple[Inline, ...]
"""Running text: plain words or one other thing, or words, strong words, mathematics and blanks in order."""


@dataclass(frozen=True)
class Title:
    """The head of a document."""

    words: str
    below: Running = ""
    """A smaller line under it."""


@dataclass(frozen=True)
class Heading:
    """The head of a section; never left alone at the foot of a page."""

    words: Running
    level: Literal[1, 2] = 1


@dataclass(frozen=True)
class Paragraph:
    """Running text."""

    text: Running


@dataclass(frozen=True)
class Bullets:
    """A list; numbered from 1 when it says so."""

    items: tuple[Running, ...]
    numbered: bool = False


@dataclass(frozen=True)
class Line:
    """One line of a group of equations: left = first = second ..., all groups aligned at the first sign."""

    left: Expression
    right: tuple[Expression, ...]
    after: Running = ""
    """Words after it, in a column of their own."""
    sign: str = "="


@dataclass(frozen=True)
class Equations:
    """Equations under each other, their first equals signs in one column."""

    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Figure:
    """A drawing."""

    name: str
    """Of its file when figures are written on their own: `joint-A`; letters, digits and hyphens."""
    svg: str
    """An SVG document, without the typeface (`cli.sheets.svg.to_bare_svg`); its width is in points."""
    alt: str
    """What it shows, for readers that cannot see it."""
    caption: Running = ""
    width: float | None = None
    """Points on paper; that of the drawing by default. Never wider than the page."""


@dataclass(frozen=True)
class Table:
    """Rows of cells under a head."""

    head: tuple[Running, ...]
    rows: tuple[tuple[Running, ...], ...]
    align: str = ""
    """One letter a column, `l`, `c` or `r`; all to the left by default."""
    caption: Running = ""
    name: str = ""
    """Of its file when tables are written on their own: `members`."""


@dataclass(frozen=True)
class Blanks:
    """Lines to fill in, side by side in columns: `F_AB = ______ kN`, `T / C`."""

    lines: tuple[Running, ...]
    columns: int = 2


@dataclass(frozen=True)
class Beside:
    """A figure with its text beside it where the page is wide enough, else under it; never torn apart."""

    figure: Figure
    blocks: tuple[Block, ...]
    share: float = 0.42
    """Of the width that the figure takes at most."""


@dataclass(frozen=True)
class KeepTogether:
    """Blocks that stand on one page."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class PageBreak:
    """What follows starts a new page."""


@dataclass(frozen=True)
class Caution:
    """What the reader must not do with this sheet; set apart from the rest."""

    head: str
    sentences: tuple[str, ...]


Block = (
    Title
    | Heading
    | Paragraph
    | Bullets
    | Equations
    | Figure
    | Table
    | Blanks
    | Beside
    | KeepTogether
    | PageBreak
    | Caution
)


@dataclass(frozen=True)
class Document:
    """A whole document."""

    title: str
    """Of the file, as a reader or a browser shows it."""
    blocks: tuple[Block, ...]
    language: str = "en"
    """As BCP 47 has it: for hyphens and for screen readers."""
    foot: str = ""
    """Stands at the foot of every page, left of the page number: the name of the truss, a version."""


def figures_of(blocks: Iterable[Block]) -> Iterable[Figure]:
    """Return the figures of blocks, those inside other blocks too."""
    for block in blocks:
        match block:
            case Figure():
                yield block
            case Beside(figure, inner):
                yield figure
                yield from figures_of(inner)
            case KeepTogether(inner):
                yield from figures_of(inner)
            case _:
                continue


def headed_in_order(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """Raise headings that would skip a level to the one that may come there, as screen readers ask."""
    return _headed(tuple(blocks), 0)[0]


def _headed(blocks: tuple[Block, ...], above: int) -> tuple[tuple[Block, ...], int]:
    found: list[Block] = []
    for block in blocks:
        match block:
            case Heading(_, level):
                above = min(level, above + 1)
                found.append(replace(block, level=1 if above == 1 else 2))
            case KeepTogether(inner) | Beside(blocks=inner):
                inside, above = _headed(inner, above)
                found.append(replace(block, blocks=inside))
            case _:
                found.append(block)
    return tuple(found), above


_HOLE = re.compile(r"\{(\w+)\}")


def fill(sentence: str, **parts: Running | float) -> Running:
    """Fill the holes of a sentence with words, numbers or mathematics.

    Examples
    --------
    >>> fill("Member {member} carries {n} loads.", member="AB", n=2)
    'Member AB carries 2 loads.'
    """
    found: list[Inline] = []
    for number, piece in enumerate(_HOLE.split(sentence)):
        part = parts[piece] if number % 2 else piece
        for item in inlines(str(part) if isinstance(part, int | float) else part):
            last = found[-1] if found else None
            if isinstance(item, str) and isinstance(last, str):
                found[-1] = last + item
            elif item != "":
                found.append(item)
    return found[0] if len(found) == 1 and isinstance(found[0], str) else tuple(found)


def inlines(text: Running) -> tuple[Inline, ...]:
    """Return running text as its parts in order."""
    return text if isinstance(text, tuple) else (text,)


def text_of(text: Running) -> str:
    """Write running text as plain words, blanks as low lines."""
    written = ""
    for part in inlines(text):
        match part:
            case str():
                written += part
            case Strong(words):
                written += words
            case Blank(width):
                written += "_" * max(3, round(width * 1.5))
            case _:
                written += plain(part)
    return written
