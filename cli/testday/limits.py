"""The limits of a contest against one bridge: kept, broken or not known, said plainly."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from cli.model.file import Model
from cli.sheets.numerals import Numerals
from cli.testday.contest_file import Contest, LimitEntry
from cli.testday.record_file import Record
from solver import Truss, convert_length

__all__ = ["Finding", "findings_of"]

NUMERALS = Numerals(figures=3)
SLACK = 1e-9
"""Of a limit: what conversion of units may leave of an exact one."""


@dataclass(frozen=True)
class Finding:
    """One limit and how the bridge stands to it."""

    what: str
    """`span`, `height`, `width`, `mass`, `pieces` or `glue`."""
    verdict: str
    """`kept`, `broken` or `not known`."""
    number: str
    """What it is, with its unit; empty where it is not known."""
    sentence: str


def findings_of(
    contest: Contest, model: Model, truss: Truss, record: Record | None, *, grams: float
) -> tuple[Finding, ...]:
    """Hold a bridge against the limits of the contest.

    Parameters
    ----------
    contest
        With its limits.
    model
        Of one truss of the bridge.
    truss
        The same with its joints placed.
    record
        What was weighed, measured and counted, where anything was.
    grams
        What the members of the bridge weigh by the model.
    """
    return tuple(_findings(contest, model, truss, record, grams))


def _findings(
    contest: Contest, model: Model, truss: Truss, record: Record | None, grams: float
) -> Iterator[Finding]:
    limits, unit = contest.limits, contest.units.length
    scale = convert_length(1.0, truss.length_unit, unit)
    held = [truss.row[support.joint] for support in truss.supports]
    if limits.span is not None:
        span = float(np.ptp(truss.at[held, 0])) * scale if held else 0.0
        yield _found("span", span, limits.span, unit, "between the outermost supports, joint to joint")
    if limits.height is not None:
        height = float(np.ptp(truss.at[:, 1])) * scale
        yield _found("height", height, limits.height, unit, "lowest joint to highest")
    if limits.width is not None:
        width = (
            None
            if record is None or record.width is None
            else convert_length(record.width, record.units.length, unit)
        )
        yield _found("width", width, limits.width, unit, "as measured", ask='--width "60 mm"')
    if limits.mass is not None:
        weighed = None if record is None else record.mass
        way = "by the model, without glue and deck" if weighed is None else "as weighed"
        yield _found("mass", grams if weighed is None else weighed, limits.mass, "g", way)
    if limits.pieces is not None:
        counted = None if record is None else record.pieces
        way = "by the model, its members only" if counted is None else "as counted"
        trusses = 1 if record is None else record.trusses
        yield _found("pieces", counted or trusses * _sticks(model), limits.pieces, "", way)
    if limits.glue is not None:
        glue = None if record is None else record.glue
        yield _found("glue", glue, limits.glue, "g", "as weighed", ask='--glue "2 g"')


def _sticks(model: Model) -> int:
    """Count the pieces of stock in one truss."""
    count = 0
    for member in model.members:
        entry = model.stocks.get(member.stock or "")
        count += 1 if entry is None else 2 if entry.gap is not None else entry.sticks or 1
    return count


def _found(
    what: str, value: float | None, limit: LimitEntry, unit: str, way: str, *, ask: str = ""
) -> Finding:
    allowed = limit.words(unit)
    if value is None:
        return Finding(
            what, "not known", "", f"{what} not known ({allowed}): give {ask} to `panelpoint record`"
        )
    low = limit.least is not None and value < limit.least * (1 - SLACK)
    high = limit.most is not None and value > limit.most * (1 + SLACK)
    number = f"{NUMERALS.given(value)} {unit}".strip()
    verdict = "broken" if low or high else "kept"
    word = "too little" if low else "too much" if high else "kept"
    return Finding(what, verdict, number, f"{what} {number}, {way}: {word} ({allowed})")
