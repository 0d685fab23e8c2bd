"""Files of answers: CSV with one row a student, or JSON with the same names; see `columns`."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from cli.marking.cells import Cell, Unread, read_cell, read_verdict
from cli.marking.columns import Column, Columns, template_head
from cli.marking.errors import AnswersFileError
from cli.marking.key import Key
from solver import Answer, Answers
from solver.marking import Unreadable
from solver.steps import Quantity

__all__ = ["Handed", "read_answers"]

VERDICT = Quantity("verdict", ())
_MOST_BYTES = 50_000_000
"""A class of a hundred thousand is smaller."""


@dataclass(frozen=True)
class Handed:
    """All that a file holds."""

    papers: tuple[Answers, ...]
    left_out: tuple[str, ...]
    """Heads of columns that are nothing of this truss."""


def read_answers(path: Path, key: Key) -> Handed:
    """Read a file of answers to one truss.

    Raises
    ------
    AnswersFileError
        When it is neither CSV nor JSON of this shape, or no column in it belongs to the truss.
    """
    if path.stat().st_size > _MOST_BYTES:
        raise AnswersFileError(path, "it is larger than 50 MB; split it into several files.")
    text = _text(path.read_bytes())
    if not text.strip():
        raise AnswersFileError(path, "it is empty; write a template with --template and fill it in.")
    rows = _json_rows(path, text) if path.suffix.lower() == ".json" else _csv_rows(path, text)
    return _papers(path, rows, key)


def _text(data: bytes) -> str:
    """Decode what a spreadsheet saved: UTF-8 with or without its mark, UTF-16, else the old Western one."""
    if data[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _csv_rows(path: Path, text: str) -> list[dict[str, str]]:
    first = next(line for line in text.splitlines() if line.strip())
    delimiter = max("\t;,", key=first.count)
    rows = [
        row for row in csv.reader(io.StringIO(text), delimiter=delimiter) if any(cell.strip() for cell in row)
    ]
    head = [cell.strip() for cell in rows[0]]
    repeated = sorted({name for name in head if name and head.count(name) > 1})
    if repeated:
        raise AnswersFileError(path, f"two columns are called {repeated[0]!r}; give each a name of its own.")
    found = []
    for number, row in enumerate(rows[1:], start=2):
        if len(row) > len(head) and any(cell.strip() for cell in row[len(head) :]):
            raise AnswersFileError(
                path,
                f"row {number} has {len(row)} cells under {len(head)} heads; where a comma is a decimal "
                "sign, part the cells by semicolons or put quotes around each number.",
            )
        found.append({name: cell for name, cell in zip(head, row, strict=False) if name})
    if not found:
        raise AnswersFileError(path, "it has a head and no row under it; give each student a row.")
    return found


def _json_rows(path: Path, text: str) -> list[dict[str, str]]:
    try:
        document = json.loads(text)
    except (json.JSONDecodeError, RecursionError) as error:
        raise AnswersFileError(path, f"it is not JSON ({error}).") from None
    papers = document.get("students", [document]) if isinstance(document, Mapping) else document
    if not isinstance(papers, list) or not papers:
        raise AnswersFileError(path, '"students" is a list of objects, one a student.')
    rows = []
    for number, paper in enumerate(papers, start=1):
        answers = paper.get("answers") if isinstance(paper, Mapping) else None
        if not isinstance(answers, Mapping):
            raise AnswersFileError(
                path,
                f'students[{number - 1}]: give {{"student": NAME, "answers": {{"A-B": "12.5 C", ...}}}}.',
            )
        rows.append(
            {"student": _written(paper.get("student", "")), **{k: _written(v) for k, v in answers.items()}}
        )
    return rows


def _written(value: Any) -> str:
    return "" if value is None else value if isinstance(value, str) else json.dumps(value)


def _papers(path: Path, rows: list[dict[str, str]], key: Key) -> Handed:
    columns = Columns(key.truss, key.quantities)
    heads = list(dict.fromkeys(head for row in rows for head in row))
    known = {head: column for head in heads if (column := columns.find(head)) is not None}
    _require_answers(path, known, key)
    asked = _asked(known.values())
    papers: list[Answers] = []
    names: set[str] = set()
    for number, row in enumerate(rows, start=1):
        who = next((row[h].strip() for h in row if h in known and known[h].kind == "student"), "")
        who = who or f"paper {number}"
        if who in names:
            raise AnswersFileError(path, f"two papers are called {who!r}; give each a name of its own.")
        names.add(who)
        papers.append(_paper(who, {known[h]: cell for h, cell in row.items() if h in known}, key, asked))
    return Handed(tuple(papers), tuple(head for head in heads if head not in known))


def _require_answers(path: Path, known: Mapping[str, Column], key: Key) -> None:
    if all(column.kind == "student" for column in known.values()):
        names = ", ".join(template_head(key.truss, key.quantities)[1:7])
        raise AnswersFileError(path, f"no column in it is an answer to this truss; name them {names}, ...")
    owners: dict[Column, str] = {}
    for head, column in known.items():
        if column in owners:
            raise AnswersFileError(
                path, f"the columns {owners[column]!r} and {head!r} are the same answer; keep one of them."
            )
        owners[column] = head


def _asked(columns: Iterable[Column]) -> tuple[Quantity, ...]:
    asked: list[Quantity] = []
    for column in columns:
        if column.kind == "verdict":
            asked.append(VERDICT)
        elif column.kind in {"size", "direction"} and column.quantity is not None:
            asked += [Quantity("reaction", column.quantity.joints, axis) for axis in "xy"]
        elif column.quantity is not None:
            asked.append(column.quantity)
    return tuple(dict.fromkeys(asked))


def _paper(who: str, row: Mapping[Column, str], key: Key, asked: tuple[Quantity, ...]) -> Answers:
    numbers: list[Answer] = []
    unreadable: list[Unreadable] = []
    verdict: str | None = None
    for column, text in row.items():
        if column.kind == "verdict":
            said = read_verdict(text)
            if isinstance(said, Unread):
                unreadable.append(Unreadable(VERDICT, text, said.reason))
            else:
                verdict = said
        elif column.kind == "number" and column.quantity is not None:
            cell = _fitting(column, read_cell(text))
            if isinstance(cell, Unread):
                unreadable.append(Unreadable(column.quantity, text, cell.reason))
            elif cell is not None:
                numbers.append(_answer(column, cell))
    for joint in {column.quantity.joints for column in row if column.kind == "size" and column.quantity}:
        _by_direction(joint, row, numbers, unreadable)
    return Answers(who, _senses_told(tuple(numbers), key), verdict, asked, tuple(unreadable))


def _fitting(column: Column, cell: Cell | Unread | None) -> Cell | Unread | None:
    """Refuse what does not go with a kind of answer."""
    if not isinstance(cell, Cell) or column.quantity is None:
        return cell
    reason = _misfit(column.quantity, cell)
    return Unread(reason) if reason else cell


def _misfit(quantity: Quantity, cell: Cell) -> str:
    kind = quantity.kind
    ways = {"x": ("right", "left"), "y": ("up", "down")}.get(quantity.axis, ())
    if cell.sense and kind != "member":
        return "tension and compression are of members"
    if cell.way and kind != "reaction":
        return "a direction is of reactions; write T or C"
    if cell.unit and (cell.unit == "°") != (kind == "angle"):
        return f"{cell.unit} is not a unit of it"
    if cell.way and ways and cell.way not in ways:
        return f"{cell.way} is not a direction of it"
    return "a sign and a direction may contradict each other" if cell.way and cell.signed else ""


def _answer(column: Column, cell: Cell) -> Answer:
    assert column.quantity is not None
    value = cell.value
    if column.quantity.kind == "reaction":
        value *= -1.0 if cell.way in {"down", "left"} else 1.0
        return Answer(column.quantity, value * column.sign, cell.step, cell.unit)
    if column.quantity.kind == "member":
        sense = cell.sense or (None if cell.signed or not value else "")
        return Answer(column.quantity, abs(value) if cell.sense else value, cell.step, cell.unit, sense)
    return Answer(column.quantity, value, cell.step)


def _by_direction(
    joint: tuple[str, ...], row: Mapping[Column, str], numbers: list[Answer], unreadable: list[Unreadable]
) -> None:
    """Turn size and direction of a reaction (degrees from the right, counter-clockwise) into its parts."""
    cells = {c.kind: read_cell(text) for c, text in row.items() if c.quantity and c.quantity.joints == joint}
    size, direction = cells.get("size"), cells.get("direction")
    parts = [Quantity("reaction", joint, axis) for axis in "xy"]
    if size is None and direction is None:
        return
    if isinstance(size, Cell) and isinstance(direction, Cell):
        turn = math.radians(direction.value)
        for quantity, share in zip(parts, (math.cos(turn), math.sin(turn)), strict=True):
            # Half a degree, or half the last figure of the angle, moves a part by as much across.
            step = size.step * abs(share) + size.value * math.radians(direction.step) * math.sqrt(
                1 - share**2
            )
            numbers.append(Answer(quantity, size.value * share, max(step, size.step * 0.1), size.unit))
        return
    reason = next(
        (c.reason for c in (size, direction) if isinstance(c, Unread)), "size and direction go together"
    )
    written = " ".join(text for c, text in row.items() if c.quantity and c.quantity.joints == joint)
    unreadable += [Unreadable(quantity, written, reason) for quantity in parts]


def _senses_told(numbers: tuple[Answer, ...], key: Key) -> tuple[Answer, ...]:
    """Say what a bare number means: by its sign, or nothing where this student writes letters.

    A student who writes T and C somewhere left it out where there is none. One who writes no letter and some
    minus signs tells it by signs. One with neither tells it by signs only where nothing is in compression.
    """
    members = [answer for answer in numbers if answer.quantity.kind == "member"]
    letters = any(answer.sense in {"T", "C"} for answer in members)
    minus = any(answer.sense is None and answer.value < 0 for answer in members)
    by_sign = not letters and (minus or not key.compression)
    return tuple(
        replace(answer, sense=None)
        if by_sign and answer.quantity.kind == "member" and answer.sense == ""
        else answer
        for answer in numbers
    )
