"""Which slips explain a paper clearly best: a penalised comparison with a slip of no known kind.

Every number that is off and that nothing leads to costs its precision, ln(range / width): what it takes to
write it down without a reason. A hypothesis costs its price and explains some of these numbers away. The
posterior share of a hypothesis is exp(-cost) over the sum of all, the unknown slip included: a Bayesian
comparison with uniform ranges for the unexplained (minimum description length gives the same sum). Slips are
taken one at a time, each on top of those found before.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from solver.marking.equations import Body
from solver.marking.following import Chain, Links, follow, links_of
from solver.marking.holding import Rows, Sheet, rows_of
from solver.marking.hypotheses import Hypothesis, hypotheses
from solver.marking.key import Key
from solver.marking.records import Slip
from solver.marking.settings import SETTINGS
from solver.marking.written import slips_of_the_pen
from solver.steps import Quantity

__all__ = ["Account", "Found", "account_of", "find_slips"]

Array = NDArray[np.float64]
_Idea = tuple[str | bool | Quantity | None, ...]


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
    chain: Chain
    slipped: tuple[int, ...] = ()
    """Bodies that hold a slip."""

    @property
    def cost(self) -> float:
        """Price of the sources, nats."""
        return sum(SETTINGS.unknown + _precision(self, column) for column in self.chain.sources)


@dataclass(frozen=True, eq=False)
class Found:
    """A slip found, with the account before and after it."""

    choices: tuple[Hypothesis, ...]
    likelihood: float
    before: Account
    after: Account


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


def account_of(key: Key, sheet: Sheet, *, whole_degrees: bool) -> Account:
    """Explain a paper as far as no slip is supposed."""
    bodies = (*key.bodies[whole_degrees], *key.sections)
    off = _off(key, sheet, whole_degrees=whole_degrees)
    rows = tuple(rows_of(body, sheet) for body in bodies)
    away = sheet.values - key.values
    links = tuple(links_of(number, row, off, away) for number, row in enumerate(rows))
    return Account(key, bodies, sheet, whole_degrees, off, rows, links, follow(links, off, key.rank))


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
    for number in again:
        links[number] = links_of(number, rows[number], off, away)
    chain = follow(links, off, account.key.rank)
    slipped = (*account.slipped, *hypothesis.bodies)
    return replace(
        account,
        bodies=tuple(bodies),
        sheet=sheet,
        off=off,
        rows=tuple(rows),
        links=tuple(links),
        chain=chain,
        slipped=slipped,
    )


def _gains(account: Account, rows: Rows, number: int) -> bool:
    """Tell whether an equation holds now that did not, with a number in it that is off."""
    old = account.rows[number]
    if len(rows.lacking) != len(old.lacking) or not len(rows.lacking):
        return False
    return bool((rows.held & ~old.held).any() and account.off[rows.columns].any())


def _turned(account: Account, after: Account, hypothesis: Hypothesis) -> tuple[int, int]:
    """Count equations that come to hold with the slip in, and those that held and do not any more."""
    gained = lost = 0
    for number in hypothesis.bodies:
        old, new = account.rows[number], after.rows[number]
        if len(old.lacking) == len(new.lacking):
            gained += int((new.held & ~old.held).sum())
            lost += int((old.held & ~new.held).sum())
    return gained, lost


def find_slips(account: Account, wrong: NDArray[np.bool_]) -> Iterator[Found]:
    """Find likely slips one after another, until none explains clearly more.

    Parameters
    ----------
    wrong : (V,) bool
        Numbers that are wrong in the marker's eyes: a slip must explain at least one of them.
    """
    for _ in range(SETTINGS.most_slips):
        found = _best(account, wrong)
        if found is None:
            return
        yield found
        account = found.after


def _candidates(account: Account) -> Iterator[Hypothesis]:
    key = account.key
    count = len(key.solution.truss.joints) + 1
    bodies = account.bodies[:count]
    yield from hypotheses(key, bodies)
    yield from slips_of_the_pen(key, bodies, account.sheet, account.off, _decimals(account.sheet))


def _decimals(sheet: Sheet) -> NDArray[np.intp]:
    steps = 2 * np.where(sheet.halves > 0, sheet.halves, 0.5)
    return np.asarray(np.clip(np.round(-np.log10(steps)), 0, 6).astype(np.intp))


def _best(account: Account, wrong: NDArray[np.bool_]) -> Found | None:
    if not account.chain.sources:
        return None
    weights: dict[_Idea, tuple[float, Hypothesis, Account]] = {}
    total = math.exp(-0.0)
    base = account.cost
    for hypothesis in _candidates(account):
        after = supposing(account, hypothesis)
        if after is None or not _explained(account, after, wrong):
            continue
        gained, lost = _turned(account, after, hypothesis)
        price = hypothesis.price + SETTINGS.contradiction * lost - SETTINGS.agreement * gained
        gain = base - after.cost - price
        weight = math.exp(min(gain, 500.0))
        idea = _idea(hypothesis.slip)
        if idea not in weights or weight > weights[idea][0]:
            weights[idea] = (weight, hypothesis, after)
    total += sum(weight for weight, _, _ in weights.values())
    order = sorted(weights.values(), key=lambda item: -item[0])
    for count in (1, 2):
        share = sum(weight for weight, _, _ in order[:count]) / total
        if len(order) >= count and share >= SETTINGS.sure:
            chosen = order[:count]
            return Found(tuple(item[1] for item in chosen), share, account, chosen[0][2])
    return None


def _explained(account: Account, after: Account, wrong: NDArray[np.bool_]) -> bool:
    gone = set(account.chain.sources) - set(after.chain.sources)
    return any(wrong[column] for column in gone)


def _idea(slip: Slip) -> _Idea:
    """Give what makes two hypotheses one idea: the scope of a slip of the pen or of a load is not it."""
    if slip.kind in {"sense", "direction", "digits", "unit"}:
        return (slip.kind, slip.quantity, slip.scope == "throughout")
    if slip.kind.startswith("load"):
        return (slip.kind, slip.quantity, slip.other, slip.scope == "joint")
    return (slip.kind, slip.joint, slip.quantity, slip.other, slip.scope, slip.axis)
