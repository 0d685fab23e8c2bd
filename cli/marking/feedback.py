"""A student's feedback sheet: what is right, where the first slip happened, what followed from it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from cli.cautions import CAUTIONS
from cli.lists import listed
from cli.marking.columns import item_name
from cli.marking.key import Key
from cli.marking.words import MOST_NAMED, finding_words, name_of, outcome_words
from cli.papers.content import (
    Beside,
    Block,
    Caution,
    Document,
    Equations,
    Heading,
    KeepTogether,
    Paragraph,
    Running,
    Strong,
    Table,
    Title,
)
from cli.papers.drawings import figure_of
from cli.papers.notation import Notation
from cli.sheets.figures import free_body_figure, truss_figure
from cli.sheets.free_bodies import joint_figure
from cli.sheets.numerals import Numerals
from cli.sheets.paper_truss import FigureSettings
from solver import Solution, work
from solver.marking import Finding, Mark, Marking
from solver.steps import JointStep, Quantity

__all__ = ["credit_text", "feedback"]

_NUMERALS = Numerals()
CAUTION_HEAD = "Please note"


@dataclass(frozen=True, eq=False)
class _Sheet:
    key: Key
    marking: Marking
    with_key: bool

    @property
    def solution(self) -> Solution:
        assert self.key.solution is not None
        return self.key.solution

    def name(self, quantity: Quantity) -> str:
        return name_of(quantity, self.key.truss)


def credit_text(credit: float) -> str:
    """Write credit: halves and quarters as they are, no trailing zeros."""
    return f"{credit:.2f}".rstrip("0").rstrip(".")


def feedback(key: Key, marking: Marking, *, student: str, with_key: bool = False) -> Document:
    """Make the sheet of one student.

    Parameters
    ----------
    key
        The truss that was set.
    marking
        The student's paper judged.
    student
        Name or pseudonym that stands on the sheet.
    with_key
        Whether the key's values stand beside the answers.
    """
    sheet = _Sheet(key, marking, with_key)
    blocks = (
        Title(key.title, f"Feedback for {student}"),
        *_credit(sheet),
        *_first_slip(sheet),
        *_answers(sheet),
        Caution(CAUTION_HEAD, CAUTIONS),
    )
    return Document(
        f"{key.title}: feedback for {student}", blocks, foot=f"{key.title} · feedback for {student}"
    )


def _credit(sheet: _Sheet) -> Iterator[Block]:
    marking = sheet.marking
    counts = {
        kind: sum(m.outcome == kind for m in marking.marks)
        for kind in ("right", "followed", "wrong", "blank")
    }
    said = f"{credit_text(marking.credit)} of {credit_text(marking.out_of)}"
    sentences = [f"{counts['right']} of {len(marking.marks)} answers are right."]
    if counts["followed"]:
        verb = "answer is" if counts["followed"] == 1 else "answers are"
        sentences.append(
            f"{counts['followed']} more {verb} right on your own numbers: worked well from an earlier slip."
        )
    if counts["blank"]:
        sentences.append(f"Blank: {counts['blank']}.")
    if marking.waiting:
        sentences.append(
            f"{credit_text(marking.waiting)} of the credit waits until your teacher has read your sheet."
        )
    drawn = truss_figure(sheet.key.truss, settings=FigureSettings())
    figure = figure_of(drawn.drawing, "truss", "The truss that was set, with its supports and loads.")
    text = (Paragraph(("Credit: ", Strong(said))), Paragraph(" ".join(sentences)))
    yield Beside(figure, text, share=0.6)


def _first_slip(sheet: _Sheet) -> Iterator[Block]:
    marking = sheet.marking
    if sheet.key.solution is None:
        return
    if marking.findings:
        yield Heading("Where it may have gone wrong")
        yield Paragraph(
            "This is what fits your numbers best. It is a guess from the numbers alone: look at your working."
        )
        told: set[Quantity] = set()
        for number, finding in enumerate(marking.findings):
            yield from _finding(sheet, finding, number, told)
            told.update(finding.explains)
    wrong = [quantity for quantity in marking.sources if quantity not in _hit(marking)]
    if wrong:
        yield from _unexplained(sheet, wrong)


def _hit(marking: Marking) -> set[Quantity]:
    return {quantity for finding in marking.findings for quantity in finding.hit}


def _finding(sheet: _Sheet, finding: Finding, number: int, told: set[Quantity]) -> Iterator[Block]:
    slip = finding.slips[0]
    hit = [sheet.name(quantity) for quantity in finding.hit]
    after = set(finding.explains) - set(finding.hit) - told - _hit(sheet.marking)
    followed = [sheet.name(quantity) for quantity in finding.explains if quantity in after]
    words: list[Block] = [Paragraph((Strong(finding_words(finding, sheet.key.truss)),))]
    if hit and finding.hit != (slip.quantity,):
        words.append(Paragraph(f"It shows first in {listed(hit, most=MOST_NAMED)}."))
    if followed:
        verb = "follows" if len(followed) == 1 else "follow"
        words.append(Paragraph(f"From there {verb} {listed(followed, most=MOST_NAMED)}."))
    if slip.kind == "unit" or (slip.scope == "written" and slip.kind == "digits"):
        yield KeepTogether(tuple(words))
        return
    place = slip.joint or _joint_of(sheet, finding.hit[0] if finding.hit else None)
    yield _with_free_body(sheet, place, words, f"slip-{number + 1}")


def _unexplained(sheet: _Sheet, wrong: list[Quantity]) -> Iterator[Block]:
    first = wrong[0]
    place = _joint_of(sheet, first)
    where = f"the equations of joint {place}" if place else "the equations of the whole truss"
    names = listed([sheet.name(quantity) for quantity in wrong], most=MOST_NAMED)
    words: list[Block] = [
        Paragraph(f"No usual slip explains {names}. Begin with {sheet.name(first)}: write {where} again."),
    ]
    yield Heading("Where to look again")
    yield _with_free_body(sheet, place, words, "again")


def _joint_of(sheet: _Sheet, quantity: Quantity | None) -> str:
    """Give the joint whose sums give a member in the worked solution; empty for the whole truss."""
    if quantity is None or quantity.kind != "member":
        return ""
    for step in work(sheet.key.truss).steps:
        if isinstance(step, JointStep) and any(result.quantity == quantity for result in step.results):
            return step.joint
    return quantity.joints[0]


def _with_free_body(sheet: _Sheet, joint: str, words: list[Block], name: str) -> Block:
    truss = sheet.key.truss
    if not joint:
        drawn = free_body_figure(truss, settings=FigureSettings())
        figure = figure_of(drawn.drawing, name, "Free-body diagram of the whole truss.")
        return Beside(figure, tuple(words), share=0.55)
    board = sheet.solution.board()
    row = truss.row[joint]
    across, up = (board.joint_equation(row, axis) for axis in (0, 1))
    slopes = board.slopes(row, board.meeting[row])
    drawn = joint_figure(truss, JointStep(joint, slopes, (across, up), ()))
    figure = figure_of(
        drawn.drawing, name, f"Free-body diagram of joint {joint}, all member forces as tension."
    )
    notation = Notation.of(sheet.solution, _NUMERALS)
    lines = Equations(tuple(notation.equation(equation) for equation in (across, up) if equation.terms))
    return Beside(figure, (*words, Paragraph(f"The two sums at joint {joint}:"), lines), share=0.42)


def _answers(sheet: _Sheet) -> Iterator[Block]:
    """Write the answers in two tables, so that a page can break between them."""
    marks = sheet.marking.marks
    members = [_row(sheet, mark) for mark in marks if mark.quantity.kind in {"member", "angle"}]
    others = [_row(sheet, mark) for mark in marks if mark.quantity.kind not in {"member", "angle"}]
    empty = ("",) if sheet.with_key else ()
    last: list[tuple[Running, ...]] = []
    if sheet.marking.units is not None:
        units = sheet.marking.units
        last.append(("units", "", *empty, outcome_words(units), _credit_of(units)))
    total = f"{credit_text(sheet.marking.credit)} / {credit_text(sheet.marking.out_of)}"
    last.append((Strong("together"), "", *empty, "", Strong(total)))
    yield Heading("Your answers")
    parts = [(name, rows) for name, rows in (("reactions", others), ("members", members)) if rows]
    for number, (name, rows) in enumerate(parts, start=1):
        yield _table(sheet, [*rows, *(last if number == len(parts) else [])], name)
    if any(mark.outcome == "followed" for mark in marks):
        yield Paragraph(
            "“Right on your own numbers” means: from the numbers you had, this is what comes out."
        )


def _table(sheet: _Sheet, rows: list[tuple[Running, ...]], name: str) -> Table:
    unit = sheet.key.truss.force_unit
    heads = ("Answer", f"Yours ({unit})", *(("Key",) if sheet.with_key else ()), "Outcome", "Credit")
    return Table(heads, tuple(rows), "lrrlr" if sheet.with_key else "lrlr", name=name)


def _row(sheet: _Sheet, mark: Mark) -> tuple[Running, ...]:
    yours = mark.text if mark.answer is None else _shown(mark, mark.answer)
    key = (_shown(mark, mark.key),) if sheet.with_key else ()
    name = item_name(mark.quantity, sheet.key.truss)
    return (name, yours or "–", *key, outcome_words(mark), _credit_of(mark))


def _credit_of(mark: Mark) -> str:
    return f"{credit_text(mark.credit)} / {credit_text(mark.out_of)}"


def _shown(mark: Mark, value: float | None) -> str:
    if value is None:
        return ""
    if mark.quantity.kind == "member" and value:
        return f"{_NUMERALS.number(abs(value))} {'T' if value > 0 else 'C'}"
    if mark.quantity.kind == "count":
        return f"{value:g}"
    return _NUMERALS.number(value)
