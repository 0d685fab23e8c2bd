"""The clean worksheet: the truss as a textbook draws it, and room for every answer. No answer is on it."""

from __future__ import annotations

from collections.abc import Iterator

from cli.papers.content import (
    Blank,
    Blanks,
    Block,
    Bullets,
    Document,
    Heading,
    KeepTogether,
    Paragraph,
    Running,
    Title,
    fill,
)
from cli.papers.drawings import figure_of
from cli.papers.exercises import Exercise, as_it_is, reaction_symbols
from cli.papers.given import given_lines
from cli.papers.maths import Symbol
from cli.papers.order import Made, Order
from cli.papers.truss_blocks import caution_block
from cli.sheets.figures import FigureSettings, truss_figure
from cli.sheets.free_bodies import force_name

__all__ = ["title_block", "worksheet", "worksheet_document"]

_GAP = "\N{EM SPACE}"
_PAGE = 255.0
"""Points of height on A4 that title, headings, loads, lengths and cautions leave for truss and answers."""
_ROW, _LINE = 23.0, 15.0
"""Points of a row of answers, and of a sentence under the figure."""
_TALLEST, _SMALLEST = 230.0, 110.0
"""Points: of a truss at its largest, and the least that symbols and names need."""
_LONG_NAME = 7
"""Letters of a member's name from which three answers no longer stand side by side."""


def worksheet(order: Order) -> Made:
    """Make the worksheet of a model, with its own numbers.

    Raises
    ------
    FaultsError, SurveyError, SolverError
        As `cli.job.solve_model` does: nobody is asked for what has no answer.
    """
    return Made(worksheet_document(order, as_it_is(order.solved)), order.solved.placed.remarks)


def worksheet_document(order: Order, exercise: Exercise) -> Document:
    """Return the worksheet of an exercise in the language of an order."""
    said, truss = order.wording.worksheet, exercise.truss
    given = given_lines(truss, said, order.numerals)
    members = _members(order, exercise)
    settings = FigureSettings(numerals=order.numerals, height=_figure_height(members, len(given)))
    drawn = truss_figure(truss, settings=settings)
    blocks: tuple[Block, ...] = (
        title_block(order, exercise, said.kind),
        Paragraph(
            (f"{said.name} ", Blank(18), f"{_GAP}{said.group} ", Blank(6), f"{_GAP}{said.date} ", Blank(8))
        ),
        Paragraph(fill(said.task, unit=truss.force_unit, figures=order.figures)),
        figure_of(drawn.drawing, "truss", said.figure_alt.format(names=", ".join(truss.row))),
        *((Bullets(given),) if given else ()),
        KeepTogether((Heading(said.count), *_count(order))),
        KeepTogether((Heading(said.reactions), Paragraph(said.reactions_hint), _reactions(exercise))),
        Heading(said.members),
        Paragraph(said.members_hint),
        members,
        caution_block(order),
    )
    return Document(
        title=f"{order.title}: {said.kind} {exercise.code}",
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
    return Title(f"{order.title}: {kind}", below)


def _figure_height(members: Blanks, lines: int) -> float:
    """Return how tall the truss may be for the sheet to stay on one page, if it can."""
    rows = -(-len(members.lines) // members.columns)
    room = _PAGE - _ROW * rows - _LINE * lines
    return min(room, _TALLEST) if room >= _SMALLEST else _TALLEST


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


def _reactions(exercise: Exercise) -> Blanks:
    unit = exercise.truss.force_unit
    lines: list[Running] = [
        (symbol, " = ", Blank(6), f" {unit}") for symbol in reaction_symbols(exercise.truss)
    ]
    return Blanks(tuple(lines), columns=3)


def _members(order: Order, exercise: Exercise) -> Blanks:
    truss = exercise.truss
    names = [force_name((member.start, member.end)) for member in truss.members]
    senses = f" {truss.force_unit}{_GAP}{order.wording.worksheet.senses}"
    lines: tuple[Running, ...] = tuple((Symbol("F", name), " = ", Blank(5), senses) for name in names)
    return Blanks(lines, columns=3 if max(map(len, names)) < _LONG_NAME else 2)
