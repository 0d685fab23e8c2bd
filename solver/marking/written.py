"""Slips of the pen: sense, unit, digits. Numbers worked rightly and written, or carried on, otherwise."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from solver.marking.account import Account
from solver.marking.changes import Hypothesis
from solver.marking.equations import Body
from solver.marking.holding import Sheet
from solver.marking.records import Slip
from solver.marking.settings import SETTINGS

__all__ = ["digit_edits", "slips_of_the_pen"]

UNIT_FACTORS = (1000.0, 12.0, 4.4482216152605)
"""Kilo, inches in a foot, newtons in a pound-force (NIST SP 811)."""
_NEAR_FACTOR = 0.8
"""ln of how far the middle ratio of answers to key may be from a factor for it to be tried."""
_NOTHING = 0.002
"""Of the largest value: a number below this is written for zero."""
_SENSE, _SENSE_CARRIED, _SENSE_ALL = 1.5, 2.0, 2.0
_UNIT_ALL, _UNIT_ONE = 2.0, (2.5, 7.0, 7.0)
_TRANSPOSED, _DIGIT, _POINT = 6.0, 10.0, 7.0


def slips_of_the_pen(account: Account) -> Iterator[Hypothesis]:
    """List slips of writing for the numbers that are off and stand in an equation that does not hold."""
    yield from _all_senses(account)
    yield from _units(account)
    decimals = _decimals(account.sheet)
    for column in np.flatnonzero(account.suspects).tolist():
        yield from _sense(account, column)
        yield from _meant(account, column, int(decimals[column]))


def _decimals(sheet: Sheet) -> NDArray[np.intp]:
    steps = 2 * np.where(sheet.halves > 0, sheet.halves, 0.5)
    return np.asarray(np.clip(np.round(-np.log10(steps)), 0, 6).astype(np.intp))


def _all_senses(account: Account) -> Iterator[Hypothesis]:
    members = account.key.members
    if account.off[:members].sum() > 1:
        columns = np.flatnonzero(account.sheet.given[:members]).tolist()
        values = {column: -float(account.sheet.values[column]) for column in columns}
        yield Hypothesis(Slip("sense", "throughout"), _SENSE_ALL, values=values)


def _sense(account: Account, column: int) -> Iterator[Hypothesis]:
    key = account.key
    kind = "sense" if column < key.members else "direction"
    quantity, value = key.quantities[column], float(account.sheet.values[column])
    yield Hypothesis(Slip(kind, "written", quantity=quantity), _SENSE, values={column: -value})
    for number in _makers(account, column):
        body = account.bodies[number]
        slip = Slip(kind, body.origin.kind, body.origin.name, quantity)
        for changed in _carried(body, column, -1.0):
            yield Hypothesis(slip, _SENSE_CARRIED, {number: changed})


def _makers(account: Account, column: int) -> Iterator[int]:
    """List the bodies from which a student finds a number.

    Reactions come from the whole truss where that gives all of them.
    """
    key = account.key
    if column >= key.members:
        joint = int(key.exact.at_joint[column - key.members])
        yield len(key.exact.meeting) if key.whole_first else joint
    else:
        yield from key.solution.truss.ends[column].tolist()


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


def _units(account: Account) -> Iterator[Hypothesis]:
    key, sheet = account.key, account.sheet
    sizes = np.abs(key.values)
    sure = sheet.given & (sizes > SETTINGS.telling * key.largest) & (sheet.values != 0)
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


def _edits(value: float, decimals: int) -> list[tuple[str, float, float]]:
    """List kind, price and number that may have been meant."""
    found = [
        ("digits", price, math.copysign(meant, value)) for price, meant in digit_edits(abs(value), decimals)
    ]
    for factor, price in zip(UNIT_FACTORS, _UNIT_ONE, strict=True):
        found += [("unit", price, value / times) for times in (factor, 1 / factor)]
    return found


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


def _meant(account: Account, column: int, decimals: int) -> Iterator[Hypothesis]:
    """Suppose other numbers were meant, where one makes an equation hold or the key come out."""
    key, value = account.key, float(account.sheet.values[column])
    # A change that rounding may make is no slip of the pen, nor any of a number near zero but a unit.
    small = max(2 * key.degrees_drift[column], _NOTHING * key.largest)
    middle = float(np.median(np.abs(account.sheet.values[account.sheet.given])))
    most = SETTINGS.spread * max(key.largest, middle)
    edits = [
        (kind, price, other)
        for kind, price, other in _edits(value, decimals)
        if small < abs(other) < most and abs(other - value) > small and (kind == "unit" or abs(value) > small)
    ]
    if not edits:
        return
    meant = np.array([edit[2] for edit in edits])
    fits = {number: _fitting(account, number, column, meant) for number in _makers(account, column)}
    near = 2 * account.sheet.halves[column] + 1e-9 * key.largest
    right = np.abs(meant - key.values[column]) <= near
    quantity = key.quantities[column]
    for place in np.flatnonzero(np.logical_or.reduce([right, *fits.values()])).tolist():
        kind, price, number_meant = edits[place]
        factor = value / number_meant if kind == "unit" else None
        slip = Slip(kind, "written", quantity=quantity, factor=factor, meant=number_meant)
        yield Hypothesis(slip, price, values={column: number_meant})
        for number in (number for number, fit in fits.items() if fit[place]):
            origin = account.bodies[number].origin
            carried = replace(slip, scope=origin.kind, joint=origin.name)
            for one in _carried(account.bodies[number], column, number_meant / value):
                yield Hypothesis(carried, price, {number: one})


def _fitting(account: Account, number: int, column: int, meant: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Tell which numbers in place of a student's make an equation of a body hold that did not."""
    rows = account.rows[number]
    if not len(rows.lacking):
        return np.zeros(len(meant), dtype=bool)
    factors = rows.factors[:, rows.columns == column]
    value = float(account.sheet.values[column])
    lacking = rows.lacking[:, None] + factors * (meant - value)
    width = rows.width[:, None] * np.maximum(1.0, np.abs(meant / value))
    return np.asarray((~rows.held[:, None] & (np.abs(lacking) <= width)).any(axis=0))
