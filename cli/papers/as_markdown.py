"""Setting a document as Markdown: tables as tables, equations as plain text, their signs in one column."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from cli.papers.breaking import Piece, set_lines
from cli.papers.content import (
    Beside,
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
    Running,
    Strong,
    Table,
    Title,
    inlines,
    text_of,
)
from cli.papers.maths import Expression, Total, plain

__all__ = ["equation_lines", "page_markdown"]

_WIDEST = 96
"""Characters of a line of plain equations."""
_RULES = {"l": ":---", "c": ":---:", "r": "---:"}
_SIGNS = str.maketrans({sign: f"\\{sign}" for sign in "\\`*_{}[]<>#|~$"})


def page_markdown(document: Document, *, link: Callable[[Figure], str] | None = None) -> str:
    """Return a document as Markdown, with the tables that most readers of it know.

    Parameters
    ----------
    document
        What to set.
    link
        Where a figure is; without it a figure is told by its description alone.
    """
    parts = [part for block in document.blocks for part in _block(block, link)]
    return "\n\n".join(part for part in parts if part) + "\n"


def _block(block: Block, link: Callable[[Figure], str] | None) -> Iterable[str]:  # noqa: C901, PLR0912 (one case a kind)
    match block:
        case Title(words, below):
            yield f"# {_escaped(words)}"
            yield _running(below)
        case Heading(words, level):
            yield f"{'#' * (level + 1)} {_running(words)}"
        case Paragraph(text):
            yield _running(text)
        case Bullets(items, numbered):
            yield "\n".join(
                f"{f'{number}.' if numbered else '-'} {_running(item)}"
                for number, item in enumerate(items, start=1)
            )
        case Equations(lines):
            yield "```text\n" + "\n".join(equation_lines(lines)) + "\n```"
        case Figure():
            yield f"![{_escaped(block.alt)}]({link(block)})" if link else f"*{_escaped(block.alt)}*"
            yield _running(block.caption)
        case Table():
            yield _running(block.caption)
            yield _table(block)
        case Blanks(lines):
            yield "\n".join(f"- {_running(line)}" for line in lines)
        case Beside(figure, blocks):
            for inner in (figure, *blocks):
                yield from _block(inner, link)
        case KeepTogether(blocks):
            for inner in blocks:
                yield from _block(inner, link)
        case PageBreak():
            yield "---"
        case Caution(head, sentences):
            yield "\n>\n".join(f"> {_escaped(line)}" for line in (f"{head}:", *sentences))


def equation_lines(lines: tuple[Line, ...]) -> list[str]:
    """Write equations as plain text under each other, their first signs in one column."""
    width = max(len(plain(line.left)) for line in lines)
    written = []
    for line, group in zip(lines, set_lines(lines, _WIDEST, width_of=_letters), strict=True):
        for row in group:
            text = (plain(row.left) if row.left is not None else "").rjust(width)
            text += "".join(_piece(piece) for piece in row.pieces)
            written.append(f"{text}   {text_of(line.after)}" if row.last and line.after != "" else text)
    return written


def _piece(piece: Piece) -> str:
    if piece.sign:
        return f" {piece.sign} {plain(piece.body)}"
    assert isinstance(piece.body, Total)
    return "   " + " ".join(
        f"{'−' if term.negative else '+'} {plain(term.body)}" for term in piece.body.terms
    )


def _letters(expression: Expression) -> float:
    return len(plain(expression))


def _escaped(text: str) -> str:
    return text.translate(_SIGNS)


def _running(text: Running) -> str:
    written = ""
    for part in inlines(text):
        if isinstance(part, Strong):
            written += f"**{_escaped(part.words)}**"
        else:
            written += _escaped(text_of(part))
    return written


def _table(table: Table) -> str:
    align = table.align or "l" * len(table.head)
    rows = [tuple(_running(cell) for cell in row) for row in (table.head, *table.rows)]
    rows.insert(1, tuple(_RULES[letter] for letter in align))
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)
