"""The class's table: as text, as CSV and as JSON."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from cli.cautions import CAUTIONS
from cli.model.readable_json import readable_json
from cli.report import aligned, wrapped
from cli.sheets.numerals import Numerals
from cli.spreadsheets import harmless
from cli.strength.words import AVERAGES, TESTING, rough
from cli.testday.class_stock import OwnStock, expected, left_out, own_stocks
from cli.testday.contest_file import Contest
from cli.testday.outcome import Bridge
from solver import convert_force

__all__ = [
    "Day",
    "day_csv",
    "day_json",
    "day_text",
    "limit_lines",
    "nearest_line",
    "notes_of",
    "rows_of",
    "waiting_line",
]

NUMERALS = Numerals(figures=3)
BY_MODEL = "≈"
"""Before a mass that was not weighed."""
CSV_FIGURES = 12


@dataclass(frozen=True, eq=False)
class Day:
    """Everything that the table tells."""

    title: str
    unit: str
    """Of every load in the table."""
    bridges: tuple[Bridge, ...]
    """Tested ones first, the one that held most for its weight at the top."""
    contest: Contest | None
    stocks: tuple[OwnStock, ...]

    @classmethod
    def of(cls, bridges: Sequence[Bridge], contest: Contest | None, *, title: str) -> Day:
        """Put the bridges in order and learn from them."""
        ordered = sorted(bridges, key=lambda bridge: (-(bridge.efficiency or 0.0), bridge.name))
        unit = bridges[0].units.force if contest is None else contest.units.force
        return cls(
            contest.title if contest is not None else title,
            unit,
            tuple(ordered),
            contest,
            own_stocks(ordered),
        )

    def load(self, newtons: float, number: Callable[[float], str] = NUMERALS.number) -> str:
        """Write a load in the unit of the table, without it."""
        return number(convert_force(newtons, "N", self.unit))


def day_text(day: Day) -> str:
    """Return table, limits, own stock and cautions."""
    lines = [day.title, ""]
    lines += aligned(list(rows_of(day)), left=(0, 6, 7))
    lines += ["", *(line for note in notes_of(day) for line in wrapped(note))]
    waiting = [bridge for bridge in day.bridges if not bridge.tested]
    if waiting:
        lines += ["", "Not tested yet"]
        lines += [f"  {bridge.name}: {waiting_line(bridge, day)}" for bridge in waiting]
    guessed = [bridge for bridge in day.bridges if bridge.nearest is not None]
    if guessed:
        lines += ["", "Nearest guess of the load"]
        lines += [f"  {bridge.name}: {nearest_line(bridge, day)}" for bridge in guessed]
    if day.contest is not None:
        lines += ["", "Limits", *_limits(day)]
    lines += _stock_lines(day)
    remarks = [f"{bridge.name}: {remark}." for bridge in day.bridges for remark in bridge.remarks]
    if remarks:
        lines += ["", "To know", *(line for remark in remarks for line in _indented(remark))]
    lines += ["", *wrapped(AVERAGES), *wrapped(TESTING)]
    for caution in CAUTIONS:
        lines += wrapped(caution)
    return "\n".join(lines) + "\n"


def notes_of(day: Day) -> list[str]:
    """Return what the columns mean, and the signs in them."""
    columns = (
        f"Loads in {day.unit}, the whole load on the bridge. Predicted: half of such bridges hold more, nine "
        "of ten lie in the range. Held over weight: the last load held over the bridge's own weight."
    )
    notes = [columns]
    if any(not bridge.weighed for bridge in day.bridges):
        notes.append(f"{BY_MODEL} mass by the model, not weighed.")
    if any(bridge.in_range is False for bridge in day.bridges):
        notes.append("* held more or less than the range that was predicted.")
    return notes


def rows_of(day: Day) -> Iterator[tuple[str, ...]]:
    """Return the head of the table, then one row for each bridge."""
    yield ("bridge", "mass g", "predicted", "held", "held/predicted", "held/weight", "let go", "who said so")
    for bridge in day.bridges:
        middle, low, high = bridge.predicted
        right = bridge.right
        yield (
            bridge.name,
            f"{'' if bridge.weighed else BY_MODEL}{NUMERALS.number(bridge.grams)}",
            f"{day.load(middle, rough)} ({day.load(low, rough)} to {day.load(high, rough)})",
            "" if bridge.held is None else f"{_or_more(bridge)}{day.load(bridge.held)}",
            ""
            if bridge.ratio is None
            else f"{NUMERALS.number(bridge.ratio)}{'' if bridge.in_range else ' *'}",
            "" if bridge.efficiency is None else NUMERALS.number(bridge.efficiency),
            bridge.let_go_short,
            "" if right is None else ", ".join(right) or "nobody",
        )


def _or_more(bridge: Bridge) -> str:
    """Return the sign before the load of a bridge that nothing broke."""
    ended = bridge.record.let_go if bridge.record is not None else None
    return "≥ " if ended is not None and ended.how == "nothing" else ""


def waiting_line(bridge: Bridge, day: Day) -> str:
    """Return what is predicted of a bridge, and what to expect after the tests so far."""
    load = expected(bridge, day.stocks)
    now = "" if load is None else f" After the tests so far: about {day.load(load, rough)} {day.unit}."
    return f"{bridge.prediction.sentence}{now}"


def nearest_line(bridge: Bridge, day: Day) -> str:
    """Return whose guess of the load was nearest."""
    assert bridge.nearest is not None
    assert bridge.held is not None
    by, load = bridge.nearest
    return f"{by}, {day.load(load)} {day.unit} against {day.load(bridge.held)} {day.unit} held"


def limit_lines(bridge: Bridge) -> list[str]:
    """Return how a bridge stands to the rules: the verdict, what is broken, not known, and kept."""
    broken = [finding for finding in bridge.findings if finding.verdict == "broken"]
    unknown = [finding for finding in bridge.findings if finding.verdict == "not known"]
    kept = [f"{finding.what} {finding.number}" for finding in bridge.findings if finding.verdict == "kept"]
    verdict = "breaks the rules" if broken else "not all known" if unknown else "keeps the rules"
    return [
        f"{bridge.name}: {verdict}.",
        *(f"{finding.sentence[0].upper()}{finding.sentence[1:]}." for finding in (*broken, *unknown)),
        *([f"Kept: {', '.join(kept)}."] if kept else []),
    ]


def _limits(day: Day) -> Iterator[str]:
    for bridge in day.bridges:
        first, *rest = limit_lines(bridge)
        yield f"  {first}"
        for line in rest:
            yield from _indented(line, deeper="    ")


def _indented(text: str, *, deeper: str = "  ") -> list[str]:
    return [deeper + line for line in wrapped(text)]


def _stock_lines(day: Day) -> list[str]:
    said = [*(stock.sentence for stock in day.stocks), *left_out(day.bridges)]
    if not said:
        return []
    return ["", "Your own stock", *(line for one in said for line in _indented(one))]


def day_csv(day: Day) -> str:
    """Return the table as CSV (RFC 4180), one bridge a row, twelve significant figures."""
    table = io.StringIO()
    writer = csv.writer(table)
    unit = day.unit
    writer.writerow(
        [
            "bridge",
            "mass [g]",
            "weighed",
            f"predicted [{unit}]",
            f"low [{unit}]",
            f"high [{unit}]",
            "predicted first",
            f"held [{unit}]",
            "held over predicted",
            "held over weight",
            "let go",
            "who said so",
            "limits broken",
        ]
    )
    for bridge in day.bridges:
        writer.writerow(
            [
                harmless(bridge.name),
                _figure(bridge.grams),
                "yes" if bridge.weighed else "no",
                *(_figure(convert_force(load, "N", unit)) for load in bridge.predicted),
                " ".join(bridge.prediction.first),
                "" if bridge.held is None else _figure(convert_force(bridge.held, "N", unit)),
                "" if bridge.ratio is None else _figure(bridge.ratio),
                "" if bridge.efficiency is None else _figure(bridge.efficiency),
                bridge.let_go,
                harmless(", ".join(bridge.right or ())),
                " ".join(finding.what for finding in bridge.findings if finding.verdict == "broken"),
            ]
        )
    return table.getvalue()


def _figure(value: float) -> str:
    return f"{value:.{CSV_FIGURES}g}"


def day_json(day: Day) -> str:
    """Return the table as one JSON object; keys are stable, more may be added."""
    document: dict[str, Any] = {
        "title": day.title,
        "units": {"force": day.unit, "mass": "g"},
        "bridges": [_bridge(bridge, day) for bridge in day.bridges],
        "own_stock": [
            {
                "material": stock.material,
                "bridges": list(stock.bridges),
                "factor": stock.update.factor,
                "low": stock.update.low,
                "high": stock.update.high,
                "weight": stock.update.weight,
                "sentence": stock.sentence,
            }
            for stock in day.stocks
        ],
        "left_out": list(left_out(day.bridges)),
        "cautions": [AVERAGES, TESTING, *CAUTIONS],
    }
    return readable_json(document)


def _bridge(bridge: Bridge, day: Day) -> dict[str, Any]:
    def load(newtons: float | None) -> float | None:
        return None if newtons is None else convert_force(newtons, "N", day.unit)

    middle, low, high = bridge.predicted
    return {
        "bridge": bridge.name,
        "model": bridge.model_path.name,
        "mass": bridge.grams,
        "weighed": bridge.weighed,
        "predicted": {
            "load": load(middle),
            "low": load(low),
            "high": load(high),
            "first": list(bridge.prediction.first),
            "stated": bridge.record is not None and bridge.record.stated is not None,
        },
        "held": load(bridge.held),
        "ratio": bridge.ratio,
        "in_range": bridge.in_range,
        "efficiency": bridge.efficiency,
        "let_go": bridge.let_go or None,
        "right": None if bridge.right is None else list(bridge.right),
        "expected": load(None if bridge.tested else expected(bridge, day.stocks)),
        "limits": [
            {"what": finding.what, "verdict": finding.verdict, "sentence": finding.sentence}
            for finding in bridge.findings
        ],
        "remarks": list(bridge.remarks),
    }
