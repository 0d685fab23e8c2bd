"""The clean worksheet: the truss as a textbook draws it, and room for every answer. No answer is on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import numpy as np

from cli.model.file import dumps
from cli.papers.content import (
    Blank,
    Blanks,
    Block,
    Bullets,
    Document,
    Heading,
    KeepTogether,
    Paragraph,
    Title,
    fill,
)
from cli.papers.drawings import figure_of
from cli.papers.exercises import Exercise, as_it_is, reaction_symbols
from cli.papers.given import given_lines
from cli.papers.maths import Symbol
from cli.papers.order import Made, Order
from cli.papers.truss_blocks import caution_block
from cli.sheets.figures import truss_figure
from cli.sheets.free_bodies import force_name
from cli.sheets.marks import Drawing
from cli.sheets.paper_truss import FigureSettings
from cli.sheets.typeface import measure

__all__ = ["model_beside", "moved_remarks", "title_block", "worksheet", "worksheet_document"]

_GAP = "\N{EM SPACE}"
_SHOWS = 1e-4
"""Of the larger extent: what joints may move without a word."""
_LEFT = {"a4": 376.0, "letter": 325.0}
"""Points of height that title, headings and cautions leave for the figure and the answers."""
_ROW, _LINE = 23.0, 15.0
"""Points of a row of answers, and of a sentence under the figure."""
_SMALLEST = 0.5
"""Of its full size that a truss may be drawn at to save a page: symbols and names need their room."""
_WIDTH, _GUTTER, _TEXT = 481.0, 16.0, 10.5
"""Points: between the margins, between columns of answers, and of the text, as in the template."""
_INDEX = 0.7
"""Size of an index, of the text."""


def worksheet(order: Order) -> Made:
    """Make the worksheet of a model, with its own numbers.

    Raises
    ------
    FaultsError, SurveyError, SolverError
        As `cli.job.solve_model` does: nobody is asked for what has no answer.
    """
    exercise = as_it_is(order.solved)
    remarks = (*order.solved.placed.remarks, *moved_remarks(order, exercise))
    return Made(worksheet_document(order, exercise), remarks, beside=model_beside(exercise))


def moved_remarks(order: Order, exercise: Exercise) -> tuple[str, ...]:
    """Say how far joints were moved for round lengths, and which model file has them."""
    if not _moved(exercise):
        return ()
    far = f"{order.numerals.number(exercise.moved)} {exercise.truss.length_unit}"
    return (order.wording.worksheet.moved.format(far=far, file=exercise.model_file),)


def model_beside(exercise: Exercise) -> Mapping[str, bytes]:
    """Return the model file of a sheet whose lengths are not those of the model it was made from."""
    return {exercise.model_file: dumps(exercise.model).encode()} if _moved(exercise) else {}


def _moved(exercise: Exercise) -> bool:
    return exercise.moved > _SHOWS * float(np.ptp(exercise.truss.at, axis=0).max())


def worksheet_document(order: Order, exercise: Exercise) -> Document:
    """Return the worksheet of an exercise in the language of an order."""
    said, truss = order.wording.worksheet, exercise.truss
    given = given_lines(truss, said, order.numerals)
    reactions, members = _reactions(exercise), _members(order, exercise)
    drawn = _figure(order, exercise, _room(order, (reactions, members), len(given)))
    blocks: tuple[Block, ...] = (
        title_block(order, exercise, said.kind),
        Paragraph(
            (f"{said.name} ", Blank(18), f"{_GAP}{said.group} ", Blank(6), f"{_GAP}{said.date} ", Blank(8))
        ),
        Paragraph(fill(said.task, unit=truss.force_unit, figures=order.figures)),
        figure_of(drawn, "truss", said.figure_alt.format(names=", ".join(truss.row))),
        *((Bullets(given),) if given else ()),
        KeepTogether((Heading(said.count), *_count(order))),
        KeepTogether((Heading(said.reactions), Paragraph(_hint(order, exercise)), reactions)),
        Heading(said.members),
        Paragraph(said.members_hint),
        members,
        caution_block(order),
    )
    return Document(
        title=f"{order.title} · {said.kind} {exercise.code}",
        blocks=blocks,
        language=order.language,
        foot=f"{order.title} · {said.kind} {exercise.code}",
    )


def title_block(order: Order, exercise: Exercise, kind: str) -> Title:
    """Return the head of a worksheet or a key: what it is, of which truss, and the code that ties the two."""
    said = order.wording.worksheet
    below = fill(said.sheet, code=exercise.code)
    if exercise.letter:
        below = fill(said.version, letter=exercise.letter, code=exercise.code)
    return Title(f"{order.title} · {kind}", below)


def _room(order: Order, answers: Iterable[Blanks], lines: int) -> float:
    """Return how tall the figure may be for the sheet to stay on one page."""
    rows = sum(-(-len(each.lines) // each.columns) for each in answers)
    return _LEFT[order.paper] - _ROW * rows - _LINE * lines


def _figure(order: Order, exercise: Exercise, room: float) -> Drawing:
    """Draw the truss as large as it may be; where the page is full anyhow, as large as it likes."""
    truss, written = exercise.truss, exercise.written
    settings = FigureSettings(numerals=order.numerals)
    drawing = truss_figure(truss, settings=settings, written=written).drawing
    wide, high = np.ptp(truss.at, axis=0).tolist()
    own = min(settings.height, settings.width * high / wide) if wide else settings.height
    left = own - (drawing.height - room)
    if left >= own or left < _SMALLEST * own:
        return drawing
    smaller = replace(settings, height=left)
    return truss_figure(truss, settings=smaller, written=written).drawing


def _count(order: Order) -> Iterator[Block]:
    said = order.wording.worksheet
    m, r, j = Symbol("m"), Symbol("r"), Symbol("j")
    yield Blanks(
        (
            (m, f" ({said.members_word}) = ", Blank(3)),
            (r, f" ({said.reactions_word}) = ", Blank(3)),
            (j, f" ({said.joints_word}) = ", Blank(3)),
            (m, " + ", r, " = ", Blank(3)),
            ("2", j, " = ", Blank(3)),
            said.determinate_choice,
        ),
        columns=3,
    )


def _hint(order: Order, exercise: Exercise) -> str:
    said = order.wording.worksheet
    pushes = any(symbol.index == "n" for symbol in reaction_symbols(exercise.truss))
    return f"{said.reactions_hint} {said.reactions_push}" if pushes else said.reactions_hint


def _reactions(exercise: Exercise) -> Blanks:
    symbols = reaction_symbols(exercise.truss)
    lines = tuple(_answer(symbol, f" {exercise.truss.force_unit}") for symbol in symbols)
    return Blanks(lines, columns=_columns(lines))


def _members(order: Order, exercise: Exercise) -> Blanks:
    truss = exercise.truss
    after = f" {truss.force_unit}\N{EN SPACE}{order.wording.worksheet.senses}"
    lines = tuple(
        _answer(Symbol("F", force_name((member.start, member.end))), after.replace(" ", "\N{NO-BREAK SPACE}"))
        for member in truss.members
    )
    return Blanks(lines, columns=_columns(lines))


def _answer(symbol: Symbol, after: str) -> tuple[Symbol, str, Blank, str]:
    return symbol, " = ", Blank(4.5), after


def _columns(lines: Iterable[tuple[Symbol, str, Blank, str]]) -> int:
    """Return how many answers stand side by side without being broken."""
    widest = max(
        measure(symbol.name + equals + after, _TEXT, "regular").width
        + measure(symbol.index, _INDEX * _TEXT, "regular").width
        + blank.width * _TEXT
        for symbol, equals, blank, after in lines
    )
    return max(1, min(3, int((_WIDTH + _GUTTER) / (widest + _GUTTER))))
