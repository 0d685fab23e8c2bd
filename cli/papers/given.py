"""What labels in a figure cannot say, in words: loads and rollers that lean, loads that were moved."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from cli.papers.content import Running, fill
from cli.sheets.numerals import Numerals
from cli.wording.worksheet_words import WorksheetWords
from solver import Truss

__all__ = ["given_lines"]

_STRAIGHT = 1e-9
"""Of a force: what its smaller component may be in one that is level or upright."""
_SIMPLE_SLOPE = 40
"""Largest number in a slope that is given as run and rise; others are given with their decimals."""


def given_lines(truss: Truss, words: WorksheetWords, numerals: Numerals) -> tuple[Running, ...]:
    """Return the sentences, in the order of loads, supports, spread loads."""
    return (
        *_leaning_loads(truss, words, numerals),
        *_leaning_rollers(truss, words, numerals),
        *_moved_loads(truss, words, numerals),
    )


def _leans(x: float, y: float) -> bool:
    return min(abs(x), abs(y)) > _STRAIGHT * max(abs(x), abs(y))


def _leaning_loads(truss: Truss, words: WorksheetWords, numerals: Numerals) -> Iterator[Running]:
    for load in truss.loads:
        if _leans(load.fx, load.fy):
            yield fill(
                words.leaning_load,
                joint=load.joint,
                across=f"{numerals.given(abs(load.fx))} {truss.force_unit}",
                side=words.right if load.fx > 0 else words.left,
                up=f"{numerals.given(abs(load.fy))} {truss.force_unit}",
                way=words.up if load.fy > 0 else words.down,
            )


def _leaning_rollers(truss: Truss, words: WorksheetWords, numerals: Numerals) -> Iterator[Running]:
    for support in truss.supports:
        if support.kind == "roller" and _leans(*support.normal):
            across, up = support.normal
            run, rise = _slope(abs(across), abs(up), numerals)
            yield fill(
                words.leaning_roller,
                joint=support.joint,
                across=run,
                side=words.right if across > 0 else words.left,
                up=rise,
                way=words.up if up > 0 else words.down,
            )


def _slope(across: float, up: float, numerals: Numerals) -> tuple[str, str]:
    """Write a slope as two small whole numbers where it is one."""
    simple = Fraction(across / up).limit_denominator(_SIMPLE_SLOPE)
    if simple.numerator <= _SIMPLE_SLOPE and math.isclose(float(simple), across / up, rel_tol=_STRAIGHT):
        return str(simple.numerator), str(simple.denominator)
    return numerals.given(across / up), "1"


def _moved_loads(truss: Truss, words: WorksheetWords, numerals: Numerals) -> Iterator[Running]:
    for deck in truss.deck_loads:
        yield fill(
            words.deck,
            first=deck.joints[0],
            last=deck.joints[-1],
            load=f"{numerals.given(math.hypot(deck.fx, deck.fy))} {truss.force_unit}/{truss.length_unit}",
        )
    weight = max((member.weight for member in truss.members), default=0.0)
    if weight:
        yield fill(words.weight, load=f"{numerals.given(weight)} {truss.force_unit}/{truss.length_unit}")
