"""The class's table as a document to print, hang up or send round: PDF, HTML or Markdown."""

from __future__ import annotations

from collections.abc import Iterator

from cli.cautions import CAUTIONS
from cli.papers.content import Block, Bullets, Caution, Document, Heading, Paragraph, Table, Title
from cli.strength.words import AVERAGES, TESTING
from cli.testday.before_after import photographs_of
from cli.testday.class_stock import left_out
from cli.testday.table import Day, limit_lines, nearest_line, notes_of, rows_of, waiting_line

__all__ = ["day_document"]


def day_document(day: Day) -> Document:
    """Return the table, what waits, guesses, limits, own stock, photographs and cautions as blocks."""
    return Document(title=day.title, blocks=tuple(_blocks(day)), foot=day.title)


def _blocks(day: Day) -> Iterator[Block]:
    head, *rows = rows_of(day)
    yield Title(day.title, "Predicted and held")
    yield Table(head, tuple(rows), align="lrrrrrll", caption=" ".join(notes_of(day)), name="bridges")
    waiting = [f"{bridge.name}: {waiting_line(bridge, day)}" for bridge in day.bridges if not bridge.tested]
    guesses = [
        f"{bridge.name}: {nearest_line(bridge, day)}" for bridge in day.bridges if bridge.nearest is not None
    ]
    limits = [] if day.contest is None else [" ".join(limit_lines(bridge)) for bridge in day.bridges]
    own = [*(stock.sentence for stock in day.stocks), *left_out(day.bridges)]
    remarks = [f"{bridge.name}: {remark}." for bridge in day.bridges for remark in bridge.remarks]
    for words, items in (
        ("Not tested yet", waiting),
        ("Nearest guess of the load", guesses),
        ("Limits", limits),
        ("Your own stock", own),
        ("To know", remarks),
    ):
        if items:
            yield Heading(words)
            yield Bullets(tuple(items))
    pictures = [figure for bridge in day.bridges if bridge.tested for figure in photographs_of(bridge)]
    if pictures:
        yield Heading("Before and after")
        yield from pictures
    yield Paragraph(AVERAGES)
    yield Caution("Caution", (TESTING, *CAUTIONS))
