"""Which slips explain a paper clearly best: a penalised comparison with a slip of no known kind.

A hypothesis costs its price and explains away numbers that cost their precision without it (`account`). The
posterior share of a hypothesis is exp(-cost) over the sum of all, the unknown slip included: a Bayesian
comparison with uniform ranges for the unexplained (minimum description length gives the same sum). Slips are
taken one at a time, each on top of those found before; where none stands out, two at a time.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from solver.marking.account import Account, supposing, turned
from solver.marking.holding import Sheet
from solver.marking.hypotheses import Hypothesis, hypotheses
from solver.marking.records import Slip
from solver.marking.settings import SETTINGS
from solver.marking.written import slips_of_the_pen
from solver.steps import Quantity

__all__ = ["Found", "find_slips"]

_Idea = tuple[str | int | Quantity | None, ...]


@dataclass(frozen=True, eq=False)
class Found:
    """A slip found, with the account before and after it."""

    choices: tuple[Hypothesis, ...]
    likelihood: float
    before: Account
    after: Account


@dataclass(frozen=True, eq=False)
class _Option:
    """One idea of what went wrong, at its best."""

    gain: float
    """Nats by which it explains the paper better than an unknown slip."""
    idea: _Idea
    hypothesis: Hypothesis
    before: Account
    after: Account


def find_slips(account: Account, wrong: NDArray[np.bool_]) -> tuple[Found, ...]:
    """Find likely slips, until none explains clearly more.

    Parameters
    ----------
    wrong : (V,) bool
        Numbers that are wrong in the marker's eyes: a slip must explain at least one of them.
    """
    found: list[Found] = []
    while len(found) < SETTINGS.most_slips and account.chain.sources:
        options = _options(account, wrong)
        more = _clearly_best(options) or _best_pair(options, wrong)
        if not more:
            break
        found += more
        account = more[-1].after
    return tuple(_settled(item, found[number + 1 :]) for number, item in enumerate(found))


def _settled(item: Found, later: list[Found]) -> Found:
    """Leave out an alternative that was found besides, later on."""
    taken = [_idea(other.choices[0].slip, item.after) for other in later]
    rest = [choice for choice in item.choices[1:] if _idea(choice.slip, item.after) not in taken]
    return replace(item, choices=(item.choices[0], *rest))


def _clearly_best(options: list[_Option]) -> list[Found]:
    """Take the best idea, or the best two, when they stand out."""
    for count in (1, 2):
        share = _share([option.gain for option in options], count)
        if len(options) >= count and share >= SETTINGS.sure:
            best = options[0]
            chosen = tuple(option.hypothesis for option in options[:count])
            return [Found(chosen, share, best.before, best.after)]
    return []


def _best_pair(options: list[_Option], wrong: NDArray[np.bool_]) -> list[Found]:
    """Take two slips at once: where both hit the same numbers, neither stands out alone."""
    pairs: dict[frozenset[_Idea], tuple[float, _Option, _Option]] = {}
    for first in options[: SETTINGS.beam]:
        for second in _options(first.after, wrong):
            gain = first.gain + second.gain - SETTINGS.pair
            ideas = frozenset((first.idea, second.idea))
            if second.gain > 0 and (ideas not in pairs or gain > pairs[ideas][0]):
                pairs[ideas] = (gain, first, second)
    order = sorted(pairs.values(), key=lambda pair: -pair[0])
    if not order:
        return []
    gain, first, second = order[0]
    share = _share([gain, *(other for other, _, _ in order[1:]), *(option.gain for option in options)], 1)
    if share < SETTINGS.sure:
        return []
    return [Found((option.hypothesis,), share, option.before, option.after) for option in (first, second)]


def _share(gains: list[float], count: int) -> float:
    """Give the posterior share of the first so many among all, the unknown slip (no gain) included."""
    top = max([0.0, *gains])
    weights = [math.exp(gain - top) for gain in gains]
    return sum(weights[:count]) / (sum(weights) + math.exp(-top))


def _options(account: Account, wrong: NDArray[np.bool_]) -> list[_Option]:
    """List ideas that explain a wrong number, best first."""
    best: dict[_Idea, _Option] = {}
    for hypothesis in _candidates(account):
        after = supposing(account, hypothesis)
        if after is None or not _explains(account, after, hypothesis, wrong):
            continue
        gained, lost = turned(account, after, hypothesis)
        price = hypothesis.price + SETTINGS.contradiction * lost - SETTINGS.agreement * gained
        idea = _idea(hypothesis.slip, after)
        option = _Option(account.cost - after.cost - price, idea, hypothesis, account, after)
        if idea not in best or option.gain > best[idea].gain:
            best[idea] = option
    return sorted(best.values(), key=lambda option: -option.gain)


def _explains(account: Account, after: Account, hypothesis: Hypothesis, wrong: NDArray[np.bool_]) -> bool:
    gone = set(account.chain.sources) - set(after.chain.sources)
    return any(wrong[column] for column in gone.union(hypothesis.values))


def _candidates(account: Account) -> Iterator[Hypothesis]:
    key = account.key
    count = len(key.solution.truss.joints) + 1
    bodies = account.bodies[:count]
    failing = frozenset(number for number, row in enumerate(account.rows) if not row.held.all())
    yield from hypotheses(key, bodies, failing)
    yield from slips_of_the_pen(key, bodies, account.sheet, account.off, _decimals(account.sheet))


def _decimals(sheet: Sheet) -> NDArray[np.intp]:
    steps = 2 * np.where(sheet.halves > 0, sheet.halves, 0.5)
    return np.asarray(np.clip(np.round(-np.log10(steps)), 0, 6).astype(np.intp))


def _idea(slip: Slip, after: Account) -> _Idea:
    """Give what makes two hypotheses one idea.

    The scope of a slip of the pen or of a load is not it; nor is that of sine and cosine where it makes no
    difference to the numbers.
    """
    if slip.kind == "sine and cosine":
        return (slip.kind, *sorted(after.chain.sources))
    if slip.kind in {"sense", "direction", "digits", "unit"}:
        return (slip.kind, slip.quantity, slip.scope == "throughout")
    if slip.kind.startswith("load") or slip.kind == "lever arm":
        return (slip.kind, slip.quantity, slip.other)
    return (slip.kind, slip.joint, slip.quantity, slip.other, slip.scope, slip.axis)
