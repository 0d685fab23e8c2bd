"""A record as text, so that what was taken down can be read back aloud."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from cli.report import aligned, wrapped
from cli.sheets.numerals import Numerals
from cli.strength.words import TESTING
from cli.testday.record_file import Record

__all__ = ["record_text"]

NUMERALS = Numerals(figures=4)


def record_text(record: Record, path: Path) -> str:
    """Return everything that a record holds, and where it lies."""
    lines = [record.bridge, ""]
    if record.stated is not None:
        lines += [f"Stated before the test: {record.stated.sentence}"]
    rows = list(_rows(record))
    lines += aligned(rows, left=(0, 1)) if rows else []
    if record.last_held is None:
        lines += ["", *wrapped(TESTING)]
    lines += ["", f"Kept in {path}; a slip is mended there with a text editor."]
    return "\n".join(lines) + "\n"


def _rows(record: Record) -> Iterator[tuple[str, str]]:
    force, length = record.units.force, record.units.length
    for what, value, unit in (
        ("mass", record.mass, "g"),
        ("width", record.width, length),
        ("glue", record.glue, "g"),
        ("pieces", record.pieces, ""),
    ):
        if value is not None:
            yield what, f"{NUMERALS.given(value)} {unit}".strip()
    if record.trusses > 1:
        yield "trusses", f"{record.trusses} share the load"
    for guess in record.guesses:
        load = "" if guess.load is None else f"{NUMERALS.given(guess.load)} {force}"
        yield "guess", " ".join(part for part in (guess.by, guess.first, load) if part)
    for step in record.steps:
        held = "" if step.seconds is None else f", {NUMERALS.given(step.seconds)} s"
        yield "step", f"{NUMERALS.given(step.load)} {force}{held}"
    if record.last_held is not None:
        yield "held", f"{NUMERALS.given(record.last_held)} {force}"
    if record.let_go is not None:
        yield "let go", " ".join((record.let_go.how, *record.let_go.what))
    for what, text in (("before", record.before), ("after", record.after), ("note", record.note)):
        if text is not None:
            yield what, text
