"""Which member to cut from which bar of stock, as text and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cli.errors import FaultsError
from cli.model.file import Model
from cli.model.stock import StockEntry
from cli.report import TEXT_WIDTH
from cli.sheets.numerals import Numerals
from solver import StockError
from solver.strength import CuttingList, cutting_list

__all__ = ["StockCuts", "cuts_json", "cuts_of", "cuts_text"]

NUMERALS = Numerals(figures=4)


@dataclass(frozen=True, eq=False)
class StockCuts:
    """The cutting list of one stock."""

    stock: str
    names: tuple[str, ...]
    """Member of each piece."""
    lengths: tuple[float, ...]
    """Of each piece, length units."""
    plan: CuttingList


def cuts_of(model: Model, lengths: NDArray[np.float64]) -> tuple[StockCuts, ...]:
    """Return a cutting list for each stock whose bars are given.

    Parameters
    ----------
    model
        With stocks.
    lengths : (M,) float
        Of the members between their joints, length units of the model.

    Raises
    ------
    FaultsError
        When a member is longer than every bar.
    """
    found = []
    for name, entry in model.stocks.items():
        pieces = [
            ("-".join(member.joints), float(length))
            for member, length in zip(model.members, lengths, strict=True)
            if member.stock == name
            for _ in range(_sticks(entry))
        ]
        if entry.bars is None or not pieces:
            continue
        try:
            plan = cutting_list([length for _, length in pieces], entry.bars, kerf=entry.kerf or 0.0)
        except StockError as error:
            raise FaultsError((f"stocks.{name}.bars: {error}",)) from None
        found.append(StockCuts(name, tuple(one for one, _ in pieces), tuple(one for _, one in pieces), plan))
    return tuple(found)


def _sticks(entry: StockEntry) -> int:
    return 2 if entry.gap is not None else entry.sticks or 1


def cuts_text(cuts: Sequence[StockCuts], unit: str) -> list[str]:
    """Return the lines of the report; none without a list."""
    lines: list[str] = []
    for one in cuts:
        count = len(one.plan.bars)
        sure = "nothing takes less" if one.plan.proven else "the best that was found"
        lines += ["", f"Cutting list of {one.stock}: {count} {'bar' if count == 1 else 'bars'}, {sure}"]
        for bar in one.plan.bars:
            cut = ", ".join(f"{one.names[row]} {NUMERALS.number(one.lengths[row])}" for row in bar.pieces)
            text = f"{NUMERALS.given(bar.length)} {unit}: {cut}; rest {NUMERALS.number(bar.rest)}"
            lines += textwrap.wrap(
                text, TEXT_WIDTH, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False
            )
    if lines:
        lines.append("Lengths are from joint to joint: add what your joints lap, take off what they cover.")
    return lines


def cuts_json(cuts: Sequence[StockCuts]) -> list[dict[str, Any]]:
    """Return the JSON list under the key `cutting`."""
    return [
        {
            "stock": one.stock,
            "proven": one.plan.proven,
            "bars": [
                {
                    "length": bar.length,
                    "pieces": [{"member": one.names[row], "length": one.lengths[row]} for row in bar.pieces],
                    "rest": bar.rest,
                }
                for bar in one.plan.bars
            ],
        }
        for one in cuts
    ]
