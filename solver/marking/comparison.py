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
from solver.marking.changes import Hypothesis
from solver.marking.hypotheses import hypotheses
from solver.marking.records import Slip
from solver.marking.settings import SETTINGS
from solver.marking.written import slips_of_the_pen
from solver.steps import Quantity

__all__ = ["Found", "find_slips"]

_Label = tuple[str | int | Quantity | None, ...]
_FAMILIES = {
    "sense": "sign",
    "direction": "sign",
    "component sign": "sign",
    "load sign": "sign",
    "component left out": "left out",
    "load left out": "left out",
    "lever arm": "place",
    "load misplaced": "place",
    "sine and cosine": "angle",
}
"""Kinds of slip that come from one idea."""


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
    label: _Label
    idea: _Label
    hypothesis: Hypothesis
    before: Account
    after: Account
    gone: frozenset[int]
    """Numbers that are unexplained without it and explained with it, or written otherwise."""
    also: tuple[Hypothesis, ...] = ()
    """Another place or wording of the same idea that fits about equally well."""


def find_slips(account: Account, tolerance: NDArray[np.float64]) -> tuple[Found, ...]:
    """Find likely slips, until none explains clearly more.

    Parameters
    ----------
    tolerance : (V,) float
        What a number may differ from the key by before it is wrong: a slip must explain one that is.
    """
    found: list[Found] = []
    while len(found) < SETTINGS.most_slips and account.chain.sources:
        options = _options(account, tolerance)
        more = _clearly_best(options) or _best_pair(options, tolerance)
        if not more:
            break
        found += more
        account = more[-1].after
    return tuple(_settled(item, found[number + 1 :]) for number, item in enumerate(found))


def _settled(item: Found, later: list[Found]) -> Found:
    """Leave out an alternative that was found besides, later on."""
    taken = {_label(other.choices[0].slip) for other in later}
    rest = [choice for choice in item.choices[1:] if _label(choice.slip) not in taken]
    return replace(item, choices=(item.choices[0], *rest))


def _clearly_best(options: list[_Option]) -> list[Found]:
    """Take an idea, or two, that stand out among all that explain the same numbers."""
    for best in options:
        rivals = [option for option in options if option.gone & best.gone]
        if rivals[0] is not best:
            continue
        for count in (1, 2):
            share = _share([option.gain for option in rivals], count)
            if len(rivals) >= count and share >= SETTINGS.sure:
                others = best.also if count == 1 else (rivals[1].hypothesis,)
                return [Found((best.hypothesis, *others), share, best.before, best.after)]
    return []


def _best_pair(options: list[_Option], tolerance: NDArray[np.float64]) -> list[Found]:
    """Take two slips at once: where both hit the same numbers, neither stands out alone."""
    pairs: dict[frozenset[_Label], tuple[float, _Option, _Option]] = {}
    for first in options[: SETTINGS.beam]:
        for second in _options(first.after, tolerance):
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
    return [
        Found((option.hypothesis, *option.also), share, option.before, option.after)
        for option in (first, second)
    ]


def _share(gains: list[float], count: int) -> float:
    """Give the posterior share of the first so many among all, the unknown slip included."""
    top = max([SETTINGS.doubt, *gains])
    weights = [math.exp(gain - top) for gain in gains]
    return sum(weights[:count]) / (sum(weights) + math.exp(SETTINGS.doubt - top))


def _options(account: Account, tolerance: NDArray[np.float64]) -> list[_Option]:
    """List ideas that explain a wrong number, best first."""
    wrong = account.off & (np.abs(account.sheet.values - account.key.values) > tolerance)
    best: dict[_Label, _Option] = {}
    for hypothesis in _candidates(account):
        after = supposing(account, hypothesis)
        if after is None:
            continue
        gone = frozenset(account.chain.sources).difference(after.chain.sources).union(hypothesis.values)
        if not any(wrong[column] for column in gone):
            continue
        gained, lost = turned(account, after, hypothesis)
        price = hypothesis.price + SETTINGS.contradiction * lost - SETTINGS.agreement * gained
        gain = account.cost - after.cost - price
        label = _label(hypothesis.slip)
        if gain > 0 and (label not in best or gain > best[label].gain):
            idea = _idea(hypothesis.slip, after)
            best[label] = _Option(gain, label, idea, hypothesis, account, after, gone)
    ideas: dict[_Label, _Option] = {}
    for option in sorted(best.values(), key=lambda option: -option.gain):
        first = ideas.setdefault(option.idea, option)
        if first is not option and not first.also and first.gain - option.gain < SETTINGS.equal:
            ideas[option.idea] = replace(first, also=(option.hypothesis,))
    return sorted(ideas.values(), key=lambda option: -option.gain)


def _candidates(account: Account) -> Iterator[Hypothesis]:
    key = account.key
    count = len(key.solution.truss.joints) + 1
    bodies = account.bodies[:count]
    failing = frozenset(number for number, row in enumerate(account.rows) if not row.held.all())
    yield from hypotheses(key, bodies, failing)
    yield from slips_of_the_pen(account)


def _label(slip: Slip) -> _Label:
    """Give what a slip is called: the scope of a slip of the pen or of a load is left open."""
    if slip.kind in {"sense", "direction", "digits", "unit"}:
        return (slip.kind, slip.quantity, slip.scope == "throughout")
    if slip.kind.startswith("load") or slip.kind in {"lever arm", "reactions halved"}:
        return (slip.kind, slip.quantity if slip.kind != "reactions halved" else None, slip.other)
    return (slip.kind, slip.joint, slip.quantity, slip.other, slip.scope, slip.axis)


def _idea(slip: Slip, after: Account) -> _Label:
    """Give what there is to learn from a slip.

    Slips of one family that explain the same numbers are one idea, wherever they may have been made: a wrong
    sign at a joint is that, whether of a reaction or a member there.
    """
    family = _FAMILIES.get(slip.kind)
    if family is None or (slip.kind == "sense" and slip.quantity is None):
        return _label(slip)
    return (family, *sorted(after.chain.sources))
