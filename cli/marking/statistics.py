"""What a class did: marks, items, ideas. Item difficulty and discrimination as in classical test theory.

References
----------
Difficulty is the mean share of the credit; discrimination is the correlation of an item with the rest of the
paper (corrected item-total correlation). F. M. Lord and M. R. Novick, Statistical Theories of Mental Test
Scores, 1968 (from memory).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.marking import Finding, Marking
from solver.steps import Quantity

__all__ = ["ClassFigures", "Idea", "Item", "class_figures"]

FEWEST = 10
"""Papers below which discrimination is not given: it would be chance."""


@dataclass(frozen=True)
class Item:
    """One answer over the class."""

    quantity: Quantity
    papers: int
    right: int
    followed: int
    wrong: int
    blank: int
    sense_wrong: int
    difficulty: float
    """Mean share of its credit, 0 to 1: small is hard."""
    discrimination: float | None
    """Correlation with the rest of the paper, -1 to 1; None where it cannot be told."""


@dataclass(frozen=True)
class Idea:
    """One kind of slip over the class."""

    kind: str
    papers: int
    places: tuple[tuple[str, int], ...]
    """Joints where it happened and how often, most often first."""


@dataclass(frozen=True)
class ClassFigures:
    """The class in numbers."""

    shares: tuple[float, ...]
    """Credit over credit to be had, by paper."""
    items: tuple[Item, ...]
    ideas: tuple[Idea, ...]
    """Most papers first."""
    joints: tuple[tuple[str, int], ...]
    """Joints where answers went wrong first and in how many papers, most first."""
    unexplained: int
    """Papers with a wrong answer that no slip explains."""
    waiting: int
    """Papers with an answer that waits for a person."""

    @property
    def mean(self) -> float:
        """Mean share."""
        return float(np.mean(self.shares))

    @property
    def spread(self) -> float:
        """Standard deviation of the shares; 0 for one paper."""
        return float(np.std(self.shares, ddof=1)) if len(self.shares) > 1 else 0.0

    def quartiles(self) -> tuple[float, float, float, float, float]:
        """Lowest, lower quartile, middle, upper quartile and highest share."""
        low, lower, middle, upper, high = np.percentile(self.shares, [0, 25, 50, 75, 100]).tolist()
        return low, lower, middle, upper, high


def class_figures(markings: Sequence[Marking]) -> ClassFigures:
    """Count what a class did.

    Parameters
    ----------
    markings : sequence of Marking
        One a paper, at least one.
    """
    shares = tuple(marking.credit / marking.out_of if marking.out_of else 0.0 for marking in markings)
    return ClassFigures(
        shares,
        _items(markings),
        _ideas(markings),
        _joints(markings),
        sum(bool(marking.sources) for marking in markings),
        sum(marking.waiting > 0 for marking in markings),
    )


def _items(markings: Sequence[Marking]) -> tuple[Item, ...]:
    order = list(dict.fromkeys(mark.quantity for marking in markings for mark in marking.marks))
    found = []
    for quantity in order:
        pairs = [(m, marking) for marking in markings for m in marking.marks if m.quantity == quantity]
        marks = [mark for mark, _ in pairs]
        judged = [(m, marking) for m, marking in pairs if m.out_of and m.outcome != "unreadable"]
        credit = np.array([mark.credit / mark.out_of for mark, _ in judged])
        rest = np.array([marking.credit - mark.credit for mark, marking in judged])
        outcomes = Counter(mark.outcome for mark in marks)
        found.append(
            Item(
                quantity,
                len(marks),
                outcomes["right"],
                outcomes["followed"],
                outcomes["wrong"],
                outcomes["blank"],
                sum(mark.sense in {"wrong", "missing"} for mark in marks),
                float(credit.mean()) if len(credit) else 0.0,
                _correlation(credit, rest),
            )
        )
    return tuple(found)


def _correlation(one: NDArray[np.float64], other: NDArray[np.float64]) -> float | None:
    if len(one) < FEWEST or np.ptp(one) < 1e-9 or np.ptp(other) < 1e-9:
        return None
    return float(np.corrcoef(one, other)[0, 1])


def _ideas(markings: Sequence[Marking]) -> tuple[Idea, ...]:
    papers: Counter[str] = Counter()
    places: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for marking in markings:
        kinds = {finding.slips[0].kind for finding in marking.findings}
        papers.update(kinds)
        for finding in marking.findings:
            places[finding.slips[0].kind].update([_place(finding)] if _place(finding) else [])
    return tuple(
        Idea(kind, count, tuple(places[kind].most_common(3))) for kind, count in papers.most_common()
    )


def _place(finding: Finding) -> str:
    slip = finding.slips[0]
    if slip.joint:
        return slip.joint
    return slip.quantity.joints[0] if slip.quantity is not None and slip.quantity.kind == "load" else ""


def _joints(markings: Sequence[Marking]) -> tuple[tuple[str, int], ...]:
    """Count, a paper once each, the joints at which an answer was hit by a slip or stays unexplained."""
    found: Counter[str] = Counter()
    for marking in markings:
        here = {_place(finding) for finding in marking.findings}
        here |= {quantity.joints[0] for quantity in marking.sources if quantity.kind == "reaction"}
        found.update(here - {""})
    return tuple(found.most_common())
