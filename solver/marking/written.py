"""Slips of the pen: sense, unit, digits. Numbers worked rightly and written, or carried on, otherwise."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from solver.marking.equations import Body
from solver.marking.holding import Sheet, rows_of
from solver.marking.hypotheses import Hypothesis
from solver.marking.key import Key
from solver.marking.records import Slip

__all__ = ["digit_edits", "slips_of_the_pen"]

UNIT_FACTORS = (1000.0, 12.0, 4.4482216152605)
"""Kilo, inches in a foot, newtons in a pound-force (NIST SP 811)."""
_NEAR_FACTOR = 0.3
"""Share by which the middle ratio of answers to key may miss a factor for it to be tried."""
_SENSE, _SENSE_CARRIED, _SENSE_ALL = 1.5, 2.0, 2.0
_UNIT_ALL, _UNIT_ONE = 2.0, (2.5, 4.5, 4.5)
_TRANSPOSED, _DIGIT, _POINT = 4.5, 8.0, 5.5


def slips_of_the_pen(
    key: Key, bodies: tuple[Body, ...], sheet: Sheet, off: NDArray[np.bool_], decimals: NDArray[np.intp]
) -> Iterator[Hypothesis]:
    """List slips of writing for the numbers that are off.

    Parameters
    ----------
    off : (V,) bool
        Numbers that differ from the key by more than rounding.
    decimals : (V,) int
        Decimals that each was written with.
    """
    yield from _senses(key, bodies, sheet, off)
    yield from _units(key, sheet)
    for column in np.flatnonzero(off).tolist():
        value = float(sheet.values[column])
        for kind, price, meant in _edits(value, int(decimals[column])):
            yield from _meant(key, bodies, sheet, column, meant=meant, kind=kind, price=price)


def _senses(key: Key, bodies: tuple[Body, ...], sheet: Sheet, off: NDArray[np.bool_]) -> Iterator[Hypothesis]:
    members = np.flatnonzero(sheet.given[: key.members]).tolist()
    if off[: key.members].sum() > 1:
        values = {column: -float(sheet.values[column]) for column in members}
        yield Hypothesis(Slip("sense", "throughout"), _SENSE_ALL, values=values)
    for column in np.flatnonzero(off).tolist():
        kind = "sense" if column < key.members else "direction"
        quantity, value = key.quantities[column], float(sheet.values[column])
        yield Hypothesis(Slip(kind, "written", quantity=quantity), _SENSE, values={column: -value})
        for number, body in enumerate(bodies):
            if column in body.columns and _made_here(key, column, body):
                slip = Slip(kind, body.origin.kind, body.origin.name, quantity)
                for changed in _carried(body, column, -1.0):
                    yield Hypothesis(slip, _SENSE_CARRIED, {number: changed})


def _made_here(key: Key, column: int, body: Body) -> bool:
    """Tell whether a student finds a number here: reactions from the whole truss where that gives all."""
    whole = body.origin.kind == "whole"
    return whole == (column >= key.members and key.whole_first)


def _carried(body: Body, column: int, factor: float) -> Iterator[Body]:
    """Give the body in which a number was found as meant, and carried on as written.

    It may be carried on at once, into another equation of the same body, so each equation may be the one that
    gave it.
    """
    here = body.columns == column
    rows = np.flatnonzero(np.abs(body.factors[:, here]).max(axis=1) > 1e-9).tolist()
    for chosen in (rows, *([row] for row in rows)) if len(rows) > 1 else (rows,):
        factors = body.factors.copy()
        for row in chosen:
            factors[row, here] *= factor
        yield body.changed(factors=factors)


def _units(key: Key, sheet: Sheet) -> Iterator[Hypothesis]:
    sizes = np.abs(key.values)
    sure = sheet.given & (sizes > 0.05 * key.largest) & (sheet.values != 0)
    groups = {"throughout": np.ones(len(sizes), dtype=bool), "members": np.arange(len(sizes)) < key.members}
    for scope, group in groups.items():
        chosen = sure & group
        if chosen.sum() < 2:
            continue
        ratio = float(np.median(np.abs(sheet.values[chosen]) / sizes[chosen]))
        for factor in UNIT_FACTORS:
            for times in (factor, 1 / factor):
                if abs(math.log(ratio / times)) < _NEAR_FACTOR:
                    values = {
                        column: float(sheet.values[column]) / times
                        for column in np.flatnonzero(group & sheet.given).tolist()
                    }
                    yield Hypothesis(Slip("unit", scope, factor=times), _UNIT_ALL, values=values)


def _edits(value: float, decimals: int) -> Iterator[tuple[str, float, float]]:
    for price, meant in digit_edits(abs(value), decimals):
        yield "digits", price, math.copysign(meant, value)
    for factor, price in zip(UNIT_FACTORS, _UNIT_ONE, strict=True):
        for times in (factor, 1 / factor):
            yield "unit", price, value / times


def digit_edits(size: float, decimals: int) -> list[tuple[float, float]]:
    """List what may have been meant by a number in which digits were copied wrongly.

    Returns
    -------
    list of (float, float)
        Price and number: two neighbour digits exchanged, the point shifted by one place, one digit changed.
    """
    unit = 10.0**-decimals
    text = str(round(size / unit))
    found: dict[str, float] = {}
    for place in range(len(text) - 1):
        found.setdefault(text[:place] + text[place + 1] + text[place] + text[place + 2 :], _TRANSPOSED)
    for place, digit in enumerate(text):
        for new in "0123456789":
            if new != digit:
                found.setdefault(text[:place] + new + text[place + 1 :], _DIGIT)
    found.pop(text, None)
    meant = [(price, int(digits) * unit) for digits, price in found.items()]
    return [*meant, (_POINT, size * 10), (_POINT, size / 10)]


def _meant(
    key: Key, bodies: tuple[Body, ...], sheet: Sheet, column: int, *, meant: float, kind: str, price: float
) -> Iterator[Hypothesis]:
    """Suppose another number was meant, where that makes an equation hold or the key come out."""
    value = float(sheet.values[column])
    small = 2 * key.degrees_drift[column]
    if min(abs(meant - value), abs(meant), abs(value)) <= small:
        return  # a change that rounding may make is no slip of the pen
    quantity = key.quantities[column]
    factor = value / meant if kind == "unit" else None
    changed = sheet.with_value(column, meant)
    fits = False
    for number, body in enumerate(bodies):
        if column not in body.columns or not _made_here(key, column, body):
            continue
        old, new = rows_of(body, sheet), rows_of(body, changed)
        if len(new.lacking) and (new.held & ~old.held).any():
            fits = True
            slip = Slip(kind, body.origin.kind, body.origin.name, quantity, factor=factor, meant=meant)
            for one in _carried(body, column, meant / value):
                yield Hypothesis(slip, price, {number: one})
    near = 2 * sheet.halves[column]
    if fits or abs(meant - key.values[column]) <= max(near, 1e-9):
        slip = Slip(kind, "written", quantity=quantity, factor=factor, meant=meant)
        yield Hypothesis(slip, price, values={column: meant})
