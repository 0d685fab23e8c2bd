"""Marks that nothing follows from: verdict, count, angles."""

from __future__ import annotations

import math

from solver.marking.answers import Answer, Answers
from solver.marking.records import Mark
from solver.marking.rubric import Rubric
from solver.stability import Stability
from solver.steps import Quantity
from solver.truss import Truss

__all__ = ["angle_of", "mark_angle", "mark_count", "mark_verdict", "unanswered"]


def unanswered(answers: Answers, quantity: Quantity, key: float | None, out_of: float) -> Mark:
    """Give the mark of what is blank or could not be read."""
    for item in answers.unreadable:
        if item.quantity == quantity:
            return Mark(quantity, key, None, "unreadable", 0.0, out_of, text=item.text)
    return Mark(quantity, key, None, "blank", 0.0, out_of)


def mark_verdict(stability: Stability, answers: Answers, rubric: Rubric) -> Mark:
    """Mark the verdict."""
    quantity = Quantity("verdict", ())
    if answers.verdict is None:
        return unanswered(answers, quantity, None, rubric.verdict)
    right = answers.verdict == stability.verdict
    credit = rubric.verdict if right else 0.0
    outcome = "right" if right else "wrong"
    return Mark(quantity, None, None, outcome, credit, rubric.verdict, text=answers.verdict)


def mark_count(stability: Stability, answers: Answers, quantity: Quantity, rubric: Rubric) -> Mark:
    """Mark the number of members m, reactions r or joints j."""
    key = float({"m": stability.m, "r": stability.r, "j": stability.j}[quantity.axis])
    answer = _find(answers, quantity)
    if answer is None:
        return unanswered(answers, quantity, key, rubric.count)
    right = answer.value == key
    credit = rubric.count if right else 0.0
    return Mark(quantity, key, answer.value, "right" if right else "wrong", credit, rubric.count)


def mark_angle(truss: Truss, answers: Answers, quantity: Quantity, rubric: Rubric) -> Mark:
    """Mark the angle of a member with the horizontal."""
    key = angle_of(truss, quantity)
    answer = _find(answers, quantity)
    if answer is None:
        return unanswered(answers, quantity, key, rubric.angle)
    tolerance = max(rubric.angle_tolerance, answer.step / 2)
    right = abs(answer.value - key) <= tolerance * (1 + 1e-9)
    credit = rubric.angle if right else 0.0
    outcome = "right" if right else "wrong"
    return Mark(quantity, key, answer.value, outcome, credit, rubric.angle, tolerance)


def angle_of(truss: Truss, quantity: Quantity) -> float:
    """Give the angle between a member and the horizontal, degrees, 0 to 90."""
    start, end = (truss.at[truss.row[name]] for name in quantity.joints)
    run, rise = end - start
    return math.degrees(math.atan2(abs(rise), abs(run)))


def _find(answers: Answers, quantity: Quantity) -> Answer | None:
    return next((answer for answer in answers.numbers if answer.quantity == quantity), None)
