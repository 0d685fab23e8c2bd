"""How a paper is explained: what follows from what, and what the unexplained costs.

Every number that is off and that nothing leads to costs its precision, ln(range / width): what it takes to
write it down without a reason.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from solver.marking.changes import Hypothesis
from solver.marking.equations import Body
from solver.marking.following import Chain, Links, follow, links_of
from solver.marking.holding import Rows, Sheet, rows_of
from solver.marking.implied import with_implied
from solver.marking.key import Key
from solver.marking.settings import SETTINGS

__all__ = ["Account", "account_of", "supposing", "turned"]

Array = NDArray[np.float64]
_SLIGHT = 1e-6
"""Factor below which a number is not in an equation."""


@dataclass(frozen=True, eq=False)
class Account:
    """How a paper is explained so far."""

    key: Key
    bodies: tuple[Body, ...]
    """Joints, the whole truss, then sections, with the slips found so far in them."""
    sheet: Sheet
    """Numbers as meant, by the slips found so far."""
    whole_degrees: bool
    off: NDArray[np.bool_]
    """(V,) numbers that differ from the key by more than honest rounding."""
    rows: tuple[Rows, ...]
    links: tuple[Links | None, ...]
    suspects: NDArray[np.bool_]
    """(V,) those of them in an equation that does not hold."""
    chain: Chain
    slipped: tuple[int, ...] = ()
    """Bodies that hold a slip."""

    @property
    def cost(self) -> float:
        """Price of the sources and of reactions found backwards, nats."""
        sources = sum(SETTINGS.unknown + _precision(self, column) for column in self.chain.sources)
        scale = SETTINGS.out_of_scale if self._out_of_scale else 0.0
        return sources + SETTINGS.backwards * self._backwards + scale

    @property
    def _out_of_scale(self) -> bool:
        """Whether the middle number is many times larger or smaller than the key's."""
        sure = self.sheet.given & (np.abs(self.key.values) > SETTINGS.telling * self.key.largest)
        sizes = np.abs(self.sheet.values[sure])
        if sure.sum() < 2 or not sizes.all():
            return False
        ratio = float(np.median(sizes / np.abs(self.key.values[sure])))
        return not 1 / SETTINGS.scale < ratio < SETTINGS.scale

    @property
    def _backwards(self) -> int:
        whole = len(self.key.exact.meeting)
        if not self.key.whole_first:
            return 0
        origin = self.chain.origin.items()
        return sum(column >= self.key.members and body != whole for column, body in origin)


def _precision(account: Account, column: int) -> float:
    """Give ln(range / width) of a number."""
    value = float(account.sheet.values[column])
    width = (
        SETTINGS.sigmas
        / math.sqrt(3)
        * math.hypot(float(account.sheet.halves[column]), SETTINGS.trig * value)
    )
    spread = SETTINGS.spread * max(account.key.largest, abs(value))
    return math.log1p(spread / max(width, 1e-12 * spread))


def account_of(
    key: Key,
    sheet: Sheet,
    *,
    whole_degrees: bool,
    blanks: tuple[int, ...] = (),
    own: tuple[Body, ...] | None = None,
) -> Account:
    """Explain a paper as far as no slip is supposed.

    Parameters
    ----------
    whole_degrees
        Suppose that angles were rounded so.
    blanks
        Columns that were asked and left out.
    own
        Joints and whole truss with the student's own angles, in place of the key's.
    """
    ground = own or key.bodies[whole_degrees]
    sheet = with_implied(sheet, ground, blanks)
    bodies = (*ground, *key.sections)
    off = _off(key, sheet, whole_degrees=whole_degrees)
    rows = tuple(rows_of(body, sheet) for body in bodies)
    away = sheet.values - key.values
    links = tuple(
        links_of(number, row, off, away, first=_first(bodies[number], slipped=False))
        for number, row in enumerate(rows)
    )
    suspects = _suspects(bodies, rows, off)
    chain = follow(links, off, key.rank, suspects)
    return Account(key, bodies, sheet, whole_degrees, off, rows, links, suspects, chain)


def _suspects(bodies: Sequence[Body], rows: Sequence[Rows], off: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Find the numbers in an equation, sections apart, that does not hold or cannot be tried."""
    found = np.zeros(len(off), dtype=bool)
    for body, row in zip(bodies, rows, strict=True):
        if body.origin.kind != "section" and len(row.lacking) < len(body.axes):
            found[body.columns] = True
        elif body.origin.kind != "section":
            inside = np.abs(row.factors[~row.held]) > _SLIGHT
            found[row.columns[inside.any(axis=0)]] = True
    return found & off


def _first(body: Body, *, slipped: bool) -> int:
    return 2 if slipped else int(body.origin.kind == "whole")


def _off(key: Key, sheet: Sheet, *, whole_degrees: bool) -> NDArray[np.bool_]:
    near = np.maximum(key.drift(whole_degrees=whole_degrees), sheet.halves) + 1e-9 * key.largest
    with np.errstate(invalid="ignore"):
        return np.asarray(sheet.given & (np.abs(sheet.values - key.values) > near))


def supposing(account: Account, hypothesis: Hypothesis) -> Account | None:
    """Explain a paper with one more slip in; None where it plainly explains nothing more."""
    sheet, off = account.sheet, account.off
    values = sheet.values
    if hypothesis.values:
        values = values.copy()
        for column, value in hypothesis.values.items():
            values[column] = value
        sheet = Sheet(values, sheet.halves)
        off = _off(account.key, sheet, whole_degrees=account.whole_degrees)
    bodies, rows = list(account.bodies), list(account.rows)
    touched = set(hypothesis.bodies)
    for number, body in hypothesis.bodies.items():
        bodies[number] = body
    if hypothesis.values:
        columns = set(hypothesis.values)
        touched |= {n for n, body in enumerate(bodies) if columns.intersection(body.columns.tolist())}
    for number in touched:
        rows[number] = rows_of(bodies[number], sheet)
    if not hypothesis.values and not any(_gains(account, rows[n], n) for n in hypothesis.bodies):
        return None
    away = sheet.values - account.key.values
    again = range(len(bodies)) if hypothesis.values else touched
    links = list(account.links)
    slipped = (*account.slipped, *hypothesis.bodies)
    for number in again:
        links[number] = links_of(
            number, rows[number], off, away, first=_first(bodies[number], slipped=number in slipped)
        )
    suspects = _suspects(bodies, rows, off)
    chain = follow(links, off, account.key.rank, suspects)
    return replace(
        account,
        bodies=tuple(bodies),
        sheet=sheet,
        off=off,
        rows=tuple(rows),
        links=tuple(links),
        suspects=suspects,
        chain=chain,
        slipped=slipped,
    )


def _gains(account: Account, rows: Rows, number: int) -> bool:
    """Tell whether an equation holds now that did not, with a number in it that is off."""
    old = account.rows[number]
    if len(rows.lacking) != len(old.lacking) or not len(rows.lacking):
        return False
    return bool((rows.held & ~old.held).any() and account.off[rows.columns].any())


def turned(account: Account, after: Account, hypothesis: Hypothesis) -> tuple[int, int]:
    """Count equations that come to hold with the slip in, and those that held and do not any more."""
    gained = lost = 0
    changed = set(hypothesis.values)
    touched = [
        number
        for number, body in enumerate(account.bodies)
        if number in hypothesis.bodies or changed.intersection(body.columns.tolist())
    ]
    for number in touched:
        old, new = account.rows[number], after.rows[number]
        if account.bodies[number].origin.kind != "section" and len(old.lacking) == len(new.lacking):
            gained += int((new.held & ~old.held).sum())
            lost += int((old.held & ~new.held).sum())
    return (min(gained, SETTINGS.most_agreement) if changed else gained), lost
