"""Marking one paper: each answer against the key, then against the student's own numbers, then for slips."""

from __future__ import annotations

from solver.marking.account import Account, account_of
from solver.marking.answers import Answers
from solver.marking.comparison import Found, find_slips
from solver.marking.equations import Body, bodies_of, with_angles
from solver.marking.forces import ForceMarks, hits_of
from solver.marking.key import Key, key_of
from solver.marking.paper import FORCES, Paper, asked_of, paper_of
from solver.marking.records import Mark, Marking
from solver.marking.rubric import Rubric
from solver.marking.settings import SETTINGS
from solver.marking.simple import mark_angle, mark_count, mark_verdict
from solver.solution import Solution
from solver.stability import Stability
from solver.steps import Quantity

__all__ = ["mark", "mark_stability"]


def mark(solution: Solution, answers: Answers, rubric: Rubric | None = None) -> Marking:
    """Mark one student's paper.

    Parameters
    ----------
    solution : Solution
        The key. Pass the same object for all papers: it is made ready once.
    answers : Answers
        What the student wrote. Members and reactions that the truss does not have are left out of account.
    rubric : Rubric, optional
        Credits and tolerance.

    Returns
    -------
    Marking
        One mark for each quantity asked, and the likely slips.
    """
    rubric = rubric or Rubric()
    key = key_of(solution)
    paper = paper_of(key, answers, rubric)
    account, found = _explain(key, paper, answers, rubric)
    forces = ForceMarks(key, paper, account, found, hits_of(key, paper, account, found), rubric)
    marks = []
    for quantity in paper.asked:
        if quantity.kind in FORCES:
            marks.append(forces.mark(answers, quantity))
        elif quantity.kind == "angle":
            marks.append(mark_angle(solution.truss, answers, quantity, rubric))
        elif quantity.kind == "count":
            marks.append(mark_count(solution.stability, answers, quantity, rubric))
        else:
            marks.append(mark_verdict(solution.stability, answers, rubric))
    return Marking(
        answers,
        tuple(marks),
        _units(marks, rubric),
        forces.findings(),
        tuple(key.quantities[column] for column in account.chain.sources if paper.wrong[column]),
        account.whole_degrees,
    )


def mark_stability(stability: Stability, answers: Answers, rubric: Rubric | None = None) -> Marking:
    """Mark verdict and count where equilibrium has no unique answer; forces are left out of account."""
    rubric = rubric or Rubric()
    marks = [
        mark_verdict(stability, answers, rubric)
        if quantity.kind == "verdict"
        else mark_count(stability, answers, quantity, rubric)
        for quantity in asked_of(answers)
        if quantity.kind in {"verdict", "count"}
    ]
    return Marking(answers, tuple(marks), None, (), (), whole_degrees=False)


def _units(marks: list[Mark], rubric: Rubric) -> Mark | None:
    """Judge units once for the paper."""
    forces = [mark for mark in marks if mark.quantity.kind in FORCES]
    if not forces or not rubric.units:
        return None
    quantity = Quantity("units", ())
    if all(mark.answer is None for mark in forces):
        return Mark(quantity, None, None, "blank", 0.0, rubric.units)
    wrong = any(mark.unit == "wrong" for mark in forces)
    return Mark(
        quantity, None, None, "wrong" if wrong else "right", 0.0 if wrong else rubric.units, rubric.units
    )


def _explain(key: Key, paper: Paper, answers: Answers, rubric: Rubric) -> tuple[Account, tuple[Found, ...]]:
    """Explain the paper with exact, rounded or the student's own angles, whichever does it best."""
    accounts = [
        account_of(key, paper.sheet, whole_degrees=rounded, blanks=paper.blanks) for rounded in (False, True)
    ]
    own = _own_angles(key, answers, rubric)
    if own is not None:
        accounts.append(account_of(key, paper.sheet, whole_degrees=False, blanks=paper.blanks, own=own))
    if not paper.wrong.any():
        return min(accounts, key=lambda account: account.cost), ()
    tried: list[tuple[float, Account, tuple[Found, ...]]] = []
    for account in accounts:
        found = find_slips(account, paper.tolerance)
        last = found[-1].after if found else account
        tried.append((last.cost + sum(item.choices[0].price for item in found), last, found))
    exact, *others = tried
    other = min(others, key=lambda item: item[0])
    _, last, found = other if other[0] < exact[0] - SETTINGS.unknown else exact
    return last, found


def _own_angles(key: Key, answers: Answers, rubric: Rubric) -> tuple[Body, ...] | None:
    """Give the equations with the angles that a student answered wrongly; None where none is wrong."""
    truss = key.solution.truss
    degrees: dict[int, float] = {}
    for answer in answers.numbers:
        member = key.column.get(Quantity("member", answer.quantity.joints))
        if answer.quantity.kind == "angle" and member is not None:
            mark_ = mark_angle(truss, answers, answer.quantity, rubric)
            if mark_.outcome == "wrong":
                degrees[member] = answer.value
    return bodies_of(with_angles(key.exact, degrees)) if degrees else None
