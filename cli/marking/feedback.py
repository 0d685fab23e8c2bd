"""A student's feedback sheet: what is right, where the first slip happened, what followed from it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from cli.marking.key import Key
from cli.marking.words import finding_words, item_words, name_of, named, outcome_words
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
from cli.wording import Wording
from cli.wording.marking_words import FeedbackWords
from solver import Solution, work
from solver.marking import Finding, Mark, Marking
from solver.steps import JointStep, Quantity

__all__ = ["credit_text", "feedback"]


@dataclass(frozen=True, eq=False)
class _Sheet:
    key: Key
    marking: Marking
    wording: Wording
    with_key: bool

    @property
    def words(self) -> FeedbackWords:
        return self.wording.feedback

    @property
    def numerals(self) -> Numerals:
        return Numerals(decimal=self.wording.decimal)

    @property
    def drawn(self) -> FigureSettings:
        return FigureSettings(numerals=self.numerals)

    @property
    def solution(self) -> Solution:
        assert self.key.solution is not None
        return self.key.solution

    def name(self, quantity: Quantity) -> str:
        return name_of(quantity, self.key.truss, self.wording)

    def credit(self, credit: float) -> str:
        return credit_text(credit).replace(".", self.wording.decimal)


def credit_text(credit: float) -> str:
    """Write credit: halves and quarters as they are, no trailing zeros."""
    return f"{credit:.2f}".rstrip("0").rstrip(".")


def feedback(
    key: Key, marking: Marking, *, student: str, wording: Wording, with_key: bool = False
) -> Document:
    """Make the sheet of one student.

    Parameters
    ----------
    key
        The truss that was set.
    marking
        The student's paper judged.
    student
        Name or pseudonym that stands on the sheet.
    wording
        Of its language.
    with_key
        Whether the key's values stand beside the answers.
    """
    sheet = _Sheet(key, marking, wording, with_key)
    title, kind = key.model.title or sheet.words.untitled, sheet.words.kind.format(student=student)
    blocks = (
        Title(title, kind),
        *_credit(sheet),
        *_first_slip(sheet),
        *_answers(sheet),
        Caution(wording.common.caution_head, wording.common.cautions),
    )
    return Document(f"{title}: {kind}", blocks, wording.language, f"{title} · {kind}")


def _credit(sheet: _Sheet) -> Iterator[Block]:
    marking, words = sheet.marking, sheet.words
    counts = {
        kind: sum(m.outcome == kind for m in marking.marks)
        for kind in ("right", "followed", "wrong", "blank")
    }
    sentences = [words.right.format(count=counts["right"], all=len(marking.marks))]
    if counts["followed"]:
        followed = words.one_followed if counts["followed"] == 1 else words.several_followed
        sentences.append(followed.format(count=counts["followed"]))
    if counts["blank"]:
        sentences.append(words.blank.format(count=counts["blank"]))
    if marking.waiting:
        sentences.append(words.waiting.format(credit=sheet.credit(marking.waiting)))
    drawn = truss_figure(sheet.key.truss, settings=sheet.drawn)
    said = words.credit_of.format(credit=sheet.credit(marking.credit), most=sheet.credit(marking.out_of))
    text = (Paragraph((words.credit, Strong(said))), Paragraph(" ".join(sentences)))
    yield Beside(figure_of(drawn.drawing, "truss", words.truss_alt), text, share=0.6)


def _first_slip(sheet: _Sheet) -> Iterator[Block]:
    marking = sheet.marking
    if sheet.key.solution is None:
        return
    if marking.findings:
        yield Heading(sheet.words.wrong_head)
        yield Paragraph(sheet.words.wrong_text)
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
    words: list[Block] = [Paragraph((Strong(finding_words(finding, sheet.key.truss, sheet.wording)),))]
    if hit and finding.hit != (slip.quantity,):
        words.append(Paragraph(sheet.words.shows_first.format(names=named(hit, sheet.wording))))
    if followed:
        follow = sheet.words.one_follows if len(followed) == 1 else sheet.words.several_follow
        words.append(Paragraph(follow.format(names=named(followed, sheet.wording))))
    if slip.kind == "unit" or (slip.scope == "written" and slip.kind == "digits"):
        yield KeepTogether(tuple(words))
        return
    place = slip.joint or _joint_of(sheet, finding.hit[0] if finding.hit else None)
    yield _with_free_body(sheet, place, words, f"slip-{number + 1}")


def _unexplained(sheet: _Sheet, wrong: list[Quantity]) -> Iterator[Block]:
    first = wrong[0]
    place = _joint_of(sheet, first)
    said = sheet.words
    equations = said.joint_equations.format(joint=place) if place else said.whole_equations
    names = named([sheet.name(quantity) for quantity in wrong], sheet.wording)
    text = said.again_text.format(names=names, first=sheet.name(first), equations=equations)
    words: list[Block] = [Paragraph(text)]
    yield Heading(said.again_head)
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
        drawn = free_body_figure(truss, settings=sheet.drawn)
        figure = figure_of(drawn.drawing, name, sheet.words.whole_alt)
        return Beside(figure, tuple(words), share=0.55)
    board = sheet.solution.board()
    row = truss.row[joint]
    across, up = (board.joint_equation(row, axis) for axis in (0, 1))
    slopes = board.slopes(row, board.meeting[row])
    drawn = joint_figure(truss, JointStep(joint, slopes, (across, up), ()), settings=sheet.drawn)
    figure = figure_of(drawn.drawing, name, sheet.words.joint_alt.format(joint=joint))
    notation = Notation.of(sheet.solution, sheet.numerals)
    lines = Equations(tuple(notation.equation(equation) for equation in (across, up) if equation.terms))
    return Beside(figure, (*words, Paragraph(sheet.words.two_sums.format(joint=joint)), lines), share=0.42)


def _answers(sheet: _Sheet) -> Iterator[Block]:
    """Write the answers in two tables, so that a page can break between them."""
    marks = sheet.marking.marks
    members = [_row(sheet, mark) for mark in marks if mark.quantity.kind in {"member", "angle"}]
    others = [_row(sheet, mark) for mark in marks if mark.quantity.kind not in {"member", "angle"}]
    empty = ("",) if sheet.with_key else ()
    last: list[tuple[Running, ...]] = []
    if sheet.marking.units is not None:
        units = sheet.marking.units
        outcome = outcome_words(units, sheet.wording)
        last.append((sheet.words.units, "", *empty, outcome, _credit_of(sheet, units)))
    total = f"{sheet.credit(sheet.marking.credit)} / {sheet.credit(sheet.marking.out_of)}"
    last.append((Strong(sheet.words.together), "", *empty, "", Strong(total)))
    yield Heading(sheet.words.answers)
    parts = [(name, rows) for name, rows in (("reactions", others), ("members", members)) if rows]
    for number, (name, rows) in enumerate(parts, start=1):
        yield _table(sheet, [*rows, *(last if number == len(parts) else [])], name)
    if any(mark.outcome == "followed" for mark in marks):
        yield Paragraph(sheet.words.followed_note)


def _table(sheet: _Sheet, rows: list[tuple[Running, ...]], name: str) -> Table:
    answer, yours, key, outcome, credit = sheet.words.heads
    yours = yours.format(unit=sheet.key.truss.force_unit)
    heads = (answer, yours, *((key,) if sheet.with_key else ()), outcome, credit)
    return Table(heads, tuple(rows), "lrrlr" if sheet.with_key else "lrlr", name=name)


def _row(sheet: _Sheet, mark: Mark) -> tuple[Running, ...]:
    yours = mark.text if mark.answer is None else _shown(sheet, mark, mark.answer)
    key = (_shown(sheet, mark, mark.key),) if sheet.with_key else ()
    name = item_words(mark.quantity, sheet.key.truss, sheet.wording)
    return (name, yours or "–", *key, outcome_words(mark, sheet.wording), _credit_of(sheet, mark))


def _credit_of(sheet: _Sheet, mark: Mark) -> str:
    return f"{sheet.credit(mark.credit)} / {sheet.credit(mark.out_of)}"


def _shown(sheet: _Sheet, mark: Mark, value: float | None) -> str:
    if value is None:
        return ""
    if mark.quantity.kind == "member" and value:
        return f"{sheet.numerals.number(abs(value))} {'T' if value > 0 else 'C'}"
    if mark.quantity.kind == "count":
        return f"{value:g}"
    return sheet.numerals.number(value)
