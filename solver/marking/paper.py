"""A student's forces in columns, in the key's unit and signs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.errors import UnitError
from solver.marking.answers import Answer, Answers
from solver.marking.holding import Sheet
from solver.marking.key import Key
from solver.marking.rubric import Rubric
from solver.steps import Quantity
from solver.units import convert_force

__all__ = ["FORCES", "Paper", "asked_of", "paper_of"]

FORCES = ("member", "reaction")
"""Kinds of quantity that are forces."""


@dataclass(frozen=True, eq=False)
class Paper:
    """What was asked and what was written."""

    asked: tuple[Quantity, ...]
    sheet: Sheet
    written: dict[int, Answer]
    wrong_unit: frozenset[int]
    """Columns whose number is right in another unit than the one written."""
    tolerance: NDArray[np.float64]
    """(V,) what a size may differ by, force units."""
    wrong: NDArray[np.bool_]
    """(V,) whether size or sense differs from the key."""
    blanks: tuple[int, ...] = ()
    """Columns asked and not answered."""


def asked_of(answers: Answers) -> tuple[Quantity, ...]:
    """Give what was asked, or where nothing says so, what was answered."""
    if answers.asked:
        return answers.asked
    found = [] if answers.verdict is None else [Quantity("verdict", ())]
    found += [answer.quantity for answer in answers.numbers]
    found += [item.quantity for item in answers.unreadable]
    return tuple(dict.fromkeys(found))


def paper_of(key: Key, answers: Answers, rubric: Rubric) -> Paper:
    """Put a student's forces into columns."""
    values, halves = np.full(len(key.values), np.nan), np.zeros(len(key.values))
    written: dict[int, Answer] = {}
    wrong_unit: set[int] = set()
    tolerance = np.maximum(rubric.tolerance * np.abs(key.values), key.degrees_drift)
    for answer in answers.numbers:
        column = key.column.get(answer.quantity)
        if column is None or not math.isfinite(answer.value):
            continue
        written[column] = answer
        value, half, misread = _in_key_unit(key, column, answer, float(tolerance[column]))
        if misread:
            wrong_unit.add(column)
        values[column], halves[column] = value, half
    tolerance = np.maximum(tolerance, halves) + 1e-9 * key.largest
    with np.errstate(invalid="ignore"):
        wrong = np.abs(values - key.values) > tolerance
    asked = tuple(
        key.quantities[key.column[quantity]] if quantity in key.column else quantity
        for quantity in asked_of(answers)
        if quantity in key.column or quantity.kind not in FORCES
    )
    blanks = tuple(
        column
        for column in dict.fromkeys(key.column[quantity] for quantity in asked if quantity in key.column)
        if column not in written
    )
    sheet = Sheet(values, halves)
    return Paper(tuple(dict.fromkeys(asked)), sheet, written, frozenset(wrong_unit), tolerance, wrong, blanks)


def _in_key_unit(key: Key, column: int, answer: Answer, tolerance: float) -> tuple[float, float, bool]:
    """Give value, half a unit of the last figure, and whether the unit written is wrong."""
    value, step, misread = answer.value, answer.step, False
    if answer.quantity.kind == "member" and answer.sense is not None:
        sign = {"T": 1.0, "C": -1.0}.get(answer.sense, math.copysign(1.0, key.values[column]))
        value = math.copysign(value, sign) if value else 0.0
    unit = key.solution.truss.force_unit
    if answer.unit and answer.unit != unit:
        try:
            factor = convert_force(1.0, answer.unit, unit)
        except UnitError:
            factor, misread = 1.0, True
        size = abs(key.values[column])
        if abs(abs(value * factor) - size) > tolerance and abs(abs(value) - size) <= tolerance:
            factor, misread = 1.0, True  # right in the key's unit: the unit is what is wrong
        value, step = value * factor, step * factor
    return value, max(step / 2, 1e-12 * key.largest), misread
