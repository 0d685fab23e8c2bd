"""The worked solution: everything a person would write on the board, in a person's order."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from cli.papers.content import (
    Block,
    Document,
    Equations,
    Heading,
    KeepTogether,
    Line,
    Paragraph,
    Title,
)
from cli.papers.drawings import figure_of
from cli.papers.maths import Number, Signed, Symbol, Total
from cli.papers.notation import Notation
from cli.papers.order import Made, Order
from cli.papers.photographs import overlay_figure, reading_figure
from cli.papers.step_blocks import StepWriter
from cli.papers.tables import errors_of, member_table, reaction_table
from cli.papers.truss_blocks import caution_block, count_blocks, truss_blocks
from cli.papers.unanswered import unanswered
from cli.report import members_csv
from cli.sheets.figures import has_room_for_forces, solution_figure
from solver import NoUniqueSolutionError, Solution, joint_loads, work
from solver.steps import CheckStep, LoadStep, ReactionStep, Step, ZeroForceStep

__all__ = ["worked_solution"]


def worked_solution(order: Order) -> Made:
    """Make the worked solution of a model; of one without an answer, a sheet that says why.

    Raises
    ------
    FaultsError, SurveyError, TrussError
        As `cli.job.solve_model` does.
    """
    photo, remarks = order.photo
    words = order.wording.worked
    first: list[Block] = [Title(order.title, words.kind)]
    if photo is not None:
        first.append(
            KeepTogether((Heading(words.picture), reading_figure(photo, order.model, order.wording)))
        )
    foot = f"{order.title} · {words.kind}"

    def made(blocks: Iterator[Block]) -> Document:
        everything = (*first, *blocks, caution_block(order))
        return Document(f"{order.title}: {words.kind}", everything, order.language, foot)

    try:
        solved = order.solved
    except NoUniqueSolutionError as error:
        return Made(made(unanswered(order, error.stability)), remarks, answer=False)
    return Made(
        made(_answered(order, solved.solution)),
        (*remarks, *solved.remarks),
        members=members_csv(solved.solution),
    )


def _answered(order: Order, solution: Solution) -> Iterator[Block]:
    steps = work(solution.truss).steps
    notation = Notation.of(solution, order.numerals)
    writer = StepWriter(solution, notation, order.wording, order.drawn)
    words = order.wording.worked
    yield from truss_blocks(order, solution.truss)
    yield from count_blocks(order, solution.stability)
    yield from writer.slopes(steps)
    for step in steps:
        if isinstance(step, LoadStep):
            yield from writer.loads(step)
    yield from writer.reactions([step for step in steps if isinstance(step, ReactionStep)])
    yield from writer.zero_force([step for step in steps if isinstance(step, ZeroForceStep)])
    yield from _joints(order, writer, steps)
    yield Heading(words.members)
    caption = words.members_caption.format(unit=solution.truss.force_unit)
    yield reaction_table(solution, notation, order.wording)
    yield member_table(solution, notation, order.wording, columns=_columns(solution), caption=caption)
    yield from _pictured(order, solution)
    yield from _checks(order, solution, notation, writer, steps)
    yield from _sure(order, solution, notation, writer)


_LONG_TABLE = 14
"""Members from which the table is set in two columns."""


def _columns(solution: Solution) -> int:
    return 2 if len(solution.truss.members) >= _LONG_TABLE else 1


def _joints(order: Order, writer: StepWriter, steps: tuple[Step, ...]) -> Iterator[Block]:
    words = order.wording.worked
    head: tuple[Block, ...] = (Heading(words.joints), Paragraph(words.joints_text))
    for step in steps:
        for block in writer.step(step):
            yield KeepTogether((*head, block)) if head else block
            head = ()


def _pictured(order: Order, solution: Solution) -> Iterator[Block]:
    words = order.wording.worked
    drawn = solution_figure(solution, settings=order.drawn)
    caption = words.forces_caption
    if not has_room_for_forces(solution.truss, order.drawn):
        caption = f"{caption} {words.forces_in_table}"
    plain = figure_of(drawn.drawing, "forces", words.forces_alt, caption=caption)
    yield KeepTogether((Heading(words.forces), plain))
    photo, _ = order.photo
    if photo is not None:
        yield overlay_figure(
            photo,
            order.model,
            solution,
            wording=order.wording,
            numerals=order.numerals,
            alt=words.overlay_alt,
        )


def _checks(
    order: Order, solution: Solution, notation: Notation, writer: StepWriter, steps: tuple[Step, ...]
) -> Iterator[Block]:
    words = order.wording.worked
    yield KeepTogether(
        (Heading(words.checks), Paragraph(words.check_whole), Equations(_whole(solution, notation)))
    )
    for step in steps:
        if isinstance(step, CheckStep) and any(equation.terms for equation in step.equations):
            yield writer.check(step)
    sections = solution.section_checks
    if sections:
        agree = sum(check.agrees for check in sections)
        text = words.check_sections.format(
            count=len(sections), members=len(solution.truss.members), agree=agree
        )
        yield Paragraph(text)
    # No double tells less than its own last place from nothing.
    least = float(np.finfo(float).eps)
    share = max(solution.checks.joint_residual / solution.checks.largest_load, least)
    power = f"{share:.0e}".replace("e-0", "e-").replace("e+0", "e")
    yield Paragraph(words.residual.format(lacking=_in_powers(power)))


def _in_powers(written: str) -> str:
    """Write 2e-16 as people do: 2·10⁻¹⁶."""
    digits, _, exponent = written.partition("e")
    raised = exponent.translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
    return f"{digits}·10{raised}"


def _whole(solution: Solution, notation: Notation) -> tuple[Line, ...]:
    """Write that loads and reactions of the whole truss balance, across and up."""
    lines = []
    loads = joint_loads(solution.truss)
    for axis, index in enumerate("xy"):
        parts = [(float(load[axis]), notation.given) for load in loads]
        parts += [((item.fx, item.fy)[axis], notation.force) for item in solution.reactions]
        terms = tuple(
            Signed(value < 0, Number(write(abs(value))))
            for value, write in parts
            if abs(value) > notation.small
        )
        lines.append(Line(Symbol("ΣF", index), (Total(terms), Number("0")) if terms else (Number("0"),)))
    return tuple(lines)


def _sure(order: Order, solution: Solution, notation: Notation, writer: StepWriter) -> Iterator[Block]:
    words = order.wording.worked
    yield Heading(words.sure)
    unsure = [
        (member.start, member.end)
        for member, sense in zip(solution.truss.members, solution.senses, strict=True)
        if sense == "?"
    ]
    if solution.force_errors is None:
        yield Paragraph(words.sure_exact)
    elif errors_of(solution, notation) is None:
        yield Paragraph(words.sure_written)
    else:
        yield Paragraph(words.sure_picked)
        doubt = words.sure_not.format(members=writer.names(unsure)) if unsure else words.sure_all
        yield Paragraph(doubt)
    for notice in solution.warnings:
        if notice.kind in words.notices:
            joints = notation.member(notice.joints)
            yield Paragraph(words.notices[notice.kind].format(joints=joints))
