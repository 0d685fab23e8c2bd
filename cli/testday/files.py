"""What the class's table is written as, by the suffix of the output."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from cli.errors import UnknownSuffixError
from cli.testday.table import Day, day_csv, day_text

__all__ = ["written_as"]


def written_as(output: Path) -> Callable[[Day], bytes]:
    """Return what writes a table by the suffix of its file.

    Raises
    ------
    UnknownSuffixError
        When the suffix names no kind of table.
    """
    ways = {".csv": _csv, ".txt": _text, ".md": _markdown, ".html": _html, ".pdf": _pdf}
    if output.suffix.lower() not in ways:
        raise UnknownSuffixError(output, tuple(ways), "table")
    return ways[output.suffix.lower()]


def _csv(day: Day) -> bytes:
    return day_csv(day).encode()


def _text(day: Day) -> bytes:
    return day_text(day).encode()


# What sets pages is slow to import and seldom wanted.
def _markdown(day: Day) -> bytes:
    from cli.papers.as_markdown import page_markdown  # noqa: PLC0415
    from cli.testday.sheet import day_document  # noqa: PLC0415

    return page_markdown(day_document(day)).encode()


def _html(day: Day) -> bytes:
    from cli.papers.as_html import page_html  # noqa: PLC0415
    from cli.testday.sheet import day_document  # noqa: PLC0415

    return page_html(day_document(day)).encode()


def _pdf(day: Day) -> bytes:
    from cli.papers.as_pdf import paper_pdf  # noqa: PLC0415
    from cli.testday.sheet import day_document  # noqa: PLC0415

    return paper_pdf(day_document(day), paper="a4")
