"""Numbers that a student left blank and plainly had: what the others imply.

A blank must not make a slip of what was worked from it. It is filled with the number that makes most of its
equations hold; nobody is marked for it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.marking.equations import Body
from solver.marking.holding import Sheet, width_of

__all__ = ["with_implied"]

Array = NDArray[np.float64]

_SLIGHT = 1e-6
"""Factor below which a number is not in an equation."""
_APART = 0.5
"""Of the largest factor in an equation: a smaller one gives too vague a number."""


def with_implied(sheet: Sheet, bodies: tuple[Body, ...], blanks: tuple[int, ...]) -> Sheet:
    """Fill blanks as far as the other numbers give them.

    Parameters
    ----------
    sheet : Sheet
        A student's numbers, nan where blank.
    bodies : tuple of Body
        Joints and the whole truss.
    blanks : tuple of int
        Columns that were asked and left blank. One alone is taken from any equation; of several, only those
        that two equations agree on: else every number would follow from some blank.
    """
    values, halves = sheet.values.copy(), sheet.halves.copy()
    needed = 1 if len(blanks) == 1 else 2
    left = list(blanks)
    while left:
        before = len(left)
        for column in tuple(left):
            found = _candidates(column, values, halves, bodies)
            best = max(found, key=lambda one: _agreeing(one, found), default=None)
            if best is not None and _agreeing(best, found) >= needed:
                values[column], halves[column] = best
                left.remove(column)
        if len(left) == before:
            break
    return Sheet(values, halves)


def _candidates(
    column: int, values: Array, halves: Array, bodies: tuple[Body, ...]
) -> list[tuple[float, float]]:
    """List what each equation gives in which a number is the only blank, and what that may be off by."""
    found = []
    for body in bodies:
        if column not in body.columns:
            continue
        here = body.columns == column
        others = body.columns[~here]
        for row, rounds in zip(range(len(body.axes)), body.rounds, strict=True):
            factor = float(body.factors[row, here][0])
            rest = body.factors[row, ~here]
            inside = np.abs(rest) > _SLIGHT
            if (
                abs(factor) < _APART * np.abs(body.factors[row]).max()
                or np.isnan(values[others[inside]]).any()
            ):
                continue
            known = np.where(inside, values[others], 0.0)
            width = width_of(rest[None], known, np.where(inside, halves[others], 0.0), rounds[None, ~here])[0]
            value = -(float(rest @ known) + float(body.pushes[row].sum())) / factor
            found.append((value, float(width) / abs(factor)))
    return found


def _agreeing(one: tuple[float, float], all_: list[tuple[float, float]]) -> int:
    return sum(abs(one[0] - value) <= one[1] + width + 1e-12 for value, width in all_)
