"""The key of a worksheet: the same figure with forces, every answer in the sheet's order, the way there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from cli.papers import maths
from cli.papers.content import (
    Bullets,
    Document,
    Heading,
    KeepTogether,
    Paragraph,
    Running,
    Strong,
    Table,
)
from cli.papers.drawings import figure_of
from cli.papers.exercises import Exercise, as_it_is, reaction_symbols, reaction_values
from cli.papers.notation import Notation
from cli.papers.order import Made, Order
from cli.papers.step_blocks import StepWriter
from cli.papers.truss_blocks import caution_block, count_blocks
from cli.papers.worksheet import model_beside, moved_remarks, title_block
from cli.report import members_csv
from cli.sheets.figures import solution_figure
from cli.sheets.palette import SENSES
from cli.sheets.paper_truss import FigureSettings
from solver import work
from solver.practice import Surd
from solver.steps import (
    BlockStep,
    Equation,
    JointStep,
    ReactionStep,
    Result,
    SectionStep,
    Step,
    ZeroForceStep,
)

__all__ = ["key_document", "worksheet_key"]

_TWO_COLUMNS = 12
"""Members from which the table is set in two columns, as the worksheet's blanks are."""
_LARGEST_FRACTION = 9999
"""Above or below the line of an exact answer: longer ones say less than their decimals."""


def worksheet_key(order: Order) -> Made:
    """Make the key of a model's worksheet.

    Raises
    ------
    FaultsError, SurveyError, SolverError
        As `cli.job.solve_model` does.
    """
    exercise = as_it_is(order.solved)
    remarks = (*order.solved.remarks, *moved_remarks(order, exercise))
    return Made(
        key_document(order, exercise),
        remarks,
        beside=model_beside(exercise),
        members=members_csv(exercise.solution),
    )


def key_document(order: Order, exercise: Exercise) -> Document:
    """Return the key of an exercise in the language of an order."""
    said = order.wording.worksheet
    drawn = solution_figure(exercise.solution, settings=FigureSettings(numerals=order.numerals))
    notation = Notation.of(exercise.solution, order.numerals)
    writer = StepWriter(exercise.solution, notation, order.wording, order.drawn)
    return Document(
        title=f"{order.title} · {said.key} {exercise.code}",
        blocks=(
            title_block(order, exercise, said.key),
            figure_of(drawn.drawing, "forces", said.key_figure_alt),
            *count_blocks(order, exercise.solution.stability),
            KeepTogether(
                (
                    Heading(said.reactions),
                    Paragraph(said.key_text.format(unit=exercise.truss.force_unit)),
                    _reactions(order, exercise, writer.notation),
                )
            ),
            Heading(said.members),
            _members(order, exercise, writer.notation),
            *(Paragraph(line) for line in _zero_lines(order, exercise, writer)),
            Heading(said.steps),
            Bullets(tuple(_steps(order, exercise, writer)), numbered=True),
            caution_block(order),
        ),
        language=order.language,
        foot=f"{order.title} · {said.key} {exercise.code}",
    )


def _reactions(order: Order, exercise: Exercise, notation: Notation) -> Table:
    said, common = order.wording.worksheet, order.wording.common
    head: tuple[Running, ...] = ("", common.force_in.format(unit=exercise.truss.force_unit))
    values = reaction_values(exercise)
    rows: list[tuple[Running, ...]] = [
        (symbol, notation.force(value))
        for symbol, (value, _) in zip(reaction_symbols(exercise.truss), values, strict=True)
    ]
    exact = [_exactly(value, surd, notation) for value, surd in values]
    if any(exact):
        head = (*head, said.exactly)
        rows = [(*row, text) for row, text in zip(rows, exact, strict=True)]
    return Table(head, tuple(rows), "lrl"[: len(head)], name="reactions")


def _members(order: Order, exercise: Exercise, notation: Notation) -> Table:
    said, common = order.wording.worksheet, order.wording.common
    solution = exercise.solution
    surds = exercise.exact.forces if exercise.exact else (None,) * len(solution.forces)
    cells: list[list[Running]] = []
    exact: list[Running] = []
    for member, force, sense, surd in zip(
        solution.truss.members, solution.forces.tolist(), solution.senses, surds, strict=True
    ):
        mark = Strong(SENSES[sense].suffix.strip("()"), sense)
        size = "0" if sense == "0" else notation.force(abs(force))
        cells.append([maths.Symbol("F", notation.member((member.start, member.end))), size, mark])
        exact.append(_exactly(abs(force), None if surd is None else abs(surd), notation))
    head: tuple[Running, ...] = (
        common.member,
        common.force_in.format(unit=solution.truss.force_unit),
        common.sense,
    )
    if any(exact):
        head = (*head, said.exactly)
        for cell, text in zip(cells, exact, strict=True):
            cell.append(text)
    columns = 2 if len(cells) >= _TWO_COLUMNS else 1
    length = -(-len(cells) // columns)
    cells += [[""] * len(head)] * (length * columns - len(cells))
    rows = tuple(
        tuple(cell for column in range(columns) for cell in cells[column * length + row])
        for row in range(length)
    )
    return Table(head * columns, rows, "lrll"[: len(head)] * columns, name="members")


def _exactly(value: float, surd: Surd | None, notation: Notation) -> Running:
    """Write a force in fractions and roots, where that says more than its decimals."""
    if surd is None or max(surd.coefficient.numerator, surd.coefficient.denominator) > _LARGEST_FRACTION:
        return ""
    if surd.radicand == 1 and float(f"{value:.{notation.numerals.figures}g}") == float(surd):
        return ""
    whole = _fraction(abs(surd.coefficient))
    if surd.radicand != 1:
        root = maths.Root(maths.Number(str(surd.radicand)))
        whole = root if abs(surd.coefficient) == 1 else maths.Row((whole, root))
    return maths.Signed(negative=True, body=whole) if surd.coefficient < 0 else whole


def _fraction(value: Fraction) -> maths.Expression:
    if value.denominator == 1:
        return maths.Number(str(value.numerator))
    return maths.Fraction(maths.Number(str(value.numerator)), maths.Number(str(value.denominator)))


def _zero_lines(order: Order, exercise: Exercise, writer: StepWriter) -> Iterator[Running]:
    said = order.wording.worksheet
    members = exercise.truss.members

    def named(rows: Iterable[int]) -> str:
        return writer.names((members[row].start, members[row].end) for row in rows)

    zero = [row for row, sense in enumerate(exercise.solution.senses) if sense == "0"]
    yield said.zero.format(members=named(zero)) if zero else said.no_zero
    if exercise.zero_now:
        yield said.zero_now.format(members=named(exercise.zero_now))
    if exercise.zero_before:
        yield said.zero_before.format(members=named(exercise.zero_before))


def _steps(order: Order, exercise: Exercise, writer: StepWriter) -> Iterator[Running]:
    """Sum up the worked solution: what is looked at, and what it gives."""
    for step in work(exercise.truss).steps:
        lead = _lead(step, order, writer)
        if lead is None:
            continue
        if isinstance(step, ZeroForceStep):
            yield lead
        elif isinstance(step, ReactionStep | JointStep | SectionStep | BlockStep) and _results(step):
            yield (lead, *_found(step, writer, exercise.truss.force_unit))


def _results(step: ReactionStep | JointStep | SectionStep | BlockStep) -> tuple[Result, ...]:
    return (step.result,) if isinstance(step, SectionStep) else step.results


def _lead(step: Step, order: Order, writer: StepWriter) -> str | None:
    said = order.wording.worksheet
    lead = None
    match step:
        case ReactionStep(part=()):
            lead = said.step_whole
        case ReactionStep():
            lead = said.step_part.format(joints=writer.listed(step.part))
        case ZeroForceStep():
            lead = said.step_zero.format(joint=step.joint, members=writer.names(step.members))
        case JointStep():
            lead = said.step_joint.format(joint=step.joint)
        case SectionStep():
            lead = said.step_section.format(members=writer.names(step.cut))
        case BlockStep():
            lead = said.step_together.format(joints=writer.listed(step.joints))
    return lead


def _found(
    step: ReactionStep | JointStep | SectionStep | BlockStep, writer: StepWriter, unit: str
) -> Iterator[maths.Expression | str]:
    """Write each result, after the sum that gives it where it does so by itself."""
    equations = (step.equation,) if isinstance(step, SectionStep) else step.equations
    separator = ""
    for result in _results(step):
        if separator:
            yield separator
        alone = _giving(equations, result)
        symbol = writer.notation.symbol(result.quantity)
        answer = maths.Relation((symbol, writer.notation.result(result, unit)), ("=",))
        if alone is not None:
            head = maths.Relation((writer.notation.head(alone), maths.Number("0")), ("=",))
            answer = maths.Relation((*head.sides, *answer.sides), ("=", "⇒", "="))
        yield answer
        separator = ";\N{EN SPACE}"


def _giving(equations: Iterable[Equation], result: Result) -> Equation | None:
    return next((equation for equation in equations if equation.solves_for == result.quantity), None)
