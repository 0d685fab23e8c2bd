"""Setting a document as one HTML page: nothing loaded from anywhere, MathML, for screen, print and ear."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from html import escape
from importlib.resources import files

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
    Running,
    Strong,
    Table,
    Title,
    figures_of,
    headed_in_order,
    inlines,
    text_of,
)
from cli.papers.mathml import equation_rows, inline_maths
from cli.papers.svg_size import svg_size
from cli.sheets.palette import GRID, INK, PALE_INK, SENSES
from cli.sheets.svg import letters_of, typeface_rules

__all__ = ["page_html"]

_HEAD = re.compile(r"<title>.*?</title>\n?|<style>.*?</style>\n?", re.DOTALL)
_OPENING = re.compile(r"<svg\b[^>]*>")
_SENSE_CLASS = {"T": "tension", "C": "compression", "0": "zero", "?": "unsure"}
_ALIGN = {"l": "", "c": ' class="c"', "r": ' class="r"'}
_OF_A_PAGE = 483.0
"""Points between the margins of A4: figures are as wide on a screen, of the page, as they are on paper."""


def page_html(document: Document) -> str:
    """Return a document as an HTML page that stands alone."""
    body = _blocks(headed_in_order(document.blocks))
    running = set(re.sub(r"<[^>]*>", "", body))
    drawn = letters_of(*(figure.svg for figure in figures_of(document.blocks)))
    letters = {weight: running | drawn.get(weight, set()) for weight in ("regular", "semibold")}
    foot = f"<footer>{escape(document.foot)}</footer>" if document.foot else ""
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(document.language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(document.title)}</title>\n"
        f"<style>{typeface_rules(letters)}\n{_colours()}\n{_style()}</style>\n</head>\n"
        f"<body>\n<main>\n{body}\n</main>\n{foot}\n</body>\n</html>\n"
    )


@cache
def _style() -> str:
    return (files("cli.papers") / "page.css").read_text(encoding="utf-8")


def _colours() -> str:
    tones = {name: SENSES[sense].text_colour for sense, name in _SENSE_CLASS.items()}
    tones |= {"ink": INK, "pale-ink": PALE_INK, "grid": GRID}
    return ":root{" + ";".join(f"--{name}:{tone}" for name, tone in tones.items()) + "}"


def _blocks(blocks: Iterable[Block]) -> str:
    return "\n".join(_block(block) for block in blocks)


def _block(block: Block) -> str:  # noqa: C901 (one case a kind of block)
    match block:
        case Title(words, below):
            line = f"<p>{_running(below)}</p>" if below != "" else ""
            written = f"<header><h1>{escape(words)}</h1>{line}</header>"
        case Heading(words, level):
            written = f"<h{level + 1}>{_running(words)}</h{level + 1}>"
        case Paragraph(text):
            written = f"<p>{_running(text)}</p>"
        case Bullets(items, numbered):
            tag = "ol" if numbered else "ul"
            written = f"<{tag}>{''.join(f'<li>{_running(item)}</li>' for item in items)}</{tag}>"
        case Equations(lines):
            written = _equations(lines)
        case Figure():
            written = _figure(block)
        case Table():
            written = _table(block)
        case Blanks(lines, columns):
            cells = "".join(f"<div>{_running(line)}</div>" for line in lines)
            written = f'<div class="blanks" style="--columns:{columns}">{cells}</div>'
        case Beside(figure, blocks, share):
            written = (
                f'<div class="beside" style="--share:{share:g}">{_figure(figure)}'
                f"<div>{_blocks(blocks)}</div></div>"
            )
        case KeepTogether(blocks):
            written = f'<div class="together">{_blocks(blocks)}</div>'
        case PageBreak():
            written = '<div class="break"></div>'
        case Caution(head, sentences):
            listed = "".join(f"<li>{escape(sentence)}</li>" for sentence in sentences)
            written = f'<aside class="caution"><h2>{escape(head)}</h2><ul>{listed}</ul></aside>'
    return written


def _running(text: Running) -> str:
    written = ""
    for part in inlines(text):
        match part:
            case str():
                written += escape(part)
            case Strong(words, sense):
                colour = f' class="{_SENSE_CLASS[sense]}"' if sense else ""
                written += f"<strong{colour}>{escape(words)}</strong>"
            case Blank(width):
                written += f'<span class="blank" style="width:{width:g}em"></span>'
            case _:
                written += inline_maths(part)
    return written


def _equations(lines: tuple[Line, ...]) -> str:
    rows: list[str] = []
    for left, right, after in equation_rows(lines):
        head = f"<math display='block'>{left}</math>" if left else ""
        note = f' <span class="after">{_running(after)}</span>' if after != "" else ""
        body = f"<math displaystyle='true'>{right}</math>" if right else ""
        rows.append(f"<tr><td>{head}</td><td>{body}{note}</td></tr>")
    return f'<table class="equations" role="presentation"><tbody>{"".join(rows)}</tbody></table>'


def _figure(figure: Figure) -> str:
    drawn = _HEAD.sub("", figure.svg)
    wide = figure.width or svg_size(figure.svg)[0]

    def named(opening: re.Match[str]) -> str:
        kept = re.sub(r' (?:role|width|height|aria-label)="[^"]*"', "", opening[0])
        return kept[:-1] + f' role="img" aria-label="{escape(figure.alt)}">'

    drawn = _OPENING.sub(named, drawn, count=1)
    caption = f"<figcaption>{_running(figure.caption)}</figcaption>" if figure.caption != "" else ""
    share = min(wide / _OF_A_PAGE, 1.0)
    return f'<figure style="--wide:{share:.3f}">{drawn}{caption}</figure>'


def _head(cell: Running) -> str:
    """Write a head; where it holds mathematics, in plain words for the ear: not every reader speaks it."""
    if all(isinstance(part, str | Strong) for part in inlines(cell)):
        return _running(cell)
    return f'<span class="ear">{escape(text_of(cell))}</span><span aria-hidden="true">{_running(cell)}</span>'


def _table(table: Table) -> str:
    align = table.align or "l" * len(table.head)
    caption = f"<caption>{_running(table.caption)}</caption>" if table.caption != "" else ""
    head = "".join(
        f'<th scope="col"{_ALIGN[letter]}>{_head(cell)}</th>'
        if text_of(cell)
        else f"<td{_ALIGN[letter]}></td>"
        for letter, cell in zip(align, table.head, strict=True)
    )
    body = "".join(
        "<tr>"
        + "".join(
            f"<td{_ALIGN[letter]}>{_running(cell)}</td>" for letter, cell in zip(align, row, strict=True)
        )
        + "</tr>"
        for row in table.rows
    )
    return f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
