"""The rules of a contest from the command line: `300 mm to 320 mm`, `at most 25 g`."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from pydantic import ValidationError

from cli.errors import AnswerError
from cli.model.file import load
from cli.model.parts import UnitsEntry
from cli.report import aligned
from cli.sheets.numerals import Numerals
from cli.testday.contest_file import CONTEST_SUFFIX, Contest, LimitEntry, contest_path
from cli.testday.masses import parse_mass
from cli.testday.record_file import models_in
from solver import UnitError, parse_length

__all__ = ["new_contest", "rules_text", "where_rules_lie", "with_limits"]

NUMERALS = Numerals(figures=4)
USUAL = UnitsEntry(length="mm", force="N")
"""Units of rules where no model lies yet: those of a model on a table."""
_RANGE = re.compile(
    r"\s*(?:(?:at most|up to)\s+(?P<up>.+?)|(?P<least>(?!at least|from).+?)\s+to\s+(?P<most>.+?)"
    r"|(?:at least|from)\s+(?P<from>.+?))\s*"
)


def where_rules_lie(folder: Path) -> Path:
    """Return the file with the rules of a folder: that which is there, else `class.contest.json`."""
    return contest_path(folder) or folder / f"class{CONTEST_SUFFIX}"


def new_contest(folder: Path) -> Contest:
    """Return rules without any limit, in the units of the folder's first model."""
    models = models_in(folder)
    units = load(models[0]).units if models else USUAL
    return Contest(title=f"Contest, {folder.resolve().name}", units=units)


def with_limits(contest: Contest, said: Mapping[str, str | None]) -> Contest:
    """Return the rules with limits put in; those that are not said stay.

    Parameters
    ----------
    contest
        So far.
    said
        What each of `span`, `height`, `width`, `mass`, `pieces` and `glue` may be, in words; `none` lifts it.

    Raises
    ------
    AnswerError
        When a text cannot be understood.
    """
    length = contest.units.length
    ways: dict[str, Callable[[str, str], float]] = {
        "mass": parse_mass,
        "glue": parse_mass,
        "pieces": _count,
    }
    limits = contest.limits
    for what, text in said.items():
        if text is None:
            continue
        way = ways.get(what, lambda option, words: _length(option, words, length))
        limits = limits.model_copy(update={what: _limit(f"--{what}", text, way)})
    return contest.model_copy(update={"limits": limits})


def _limit(option: str, text: str, way: Callable[[str, str], float]) -> LimitEntry | None:
    if text.strip() == "none":
        return None
    found = _RANGE.fullmatch(text)
    if not found:
        raise AnswerError(option, text, 'write "at most ...", "at least ...", "... to ..." or "none".')
    least, most = found["least"] or found["from"], found["most"] or found["up"]
    try:
        return LimitEntry(
            least=None if least is None else way(option, least),
            most=None if most is None else way(option, most),
        )
    except ValidationError:
        raise AnswerError(option, text, "the first is above the second: swap them.") from None


def _length(option: str, text: str, unit: str) -> float:
    try:
        length = parse_length(text, unit)
    except UnitError:
        raise AnswerError(option, text, 'give lengths with their units, as in "at most 90 mm".') from None
    if length < 0:
        raise AnswerError(option, text, "a length has no sign.")
    return length


def _count(option: str, text: str) -> float:
    if not text.isdecimal():
        raise AnswerError(option, text, 'give a whole number, as in "at most 30".')
    return float(text)


def rules_text(contest: Contest) -> str:
    """Return the rules to be read out."""
    rows = list(_rules(contest))
    lines = [contest.title, *(aligned(rows, left=(0, 1)) if rows else ["  no limits yet"])]
    return "\n".join(lines) + "\n"


def _rules(contest: Contest) -> Iterator[tuple[str, str]]:
    units = {"mass": "g", "glue": "g", "pieces": ""}
    for what in type(contest.limits).model_fields:
        limit: LimitEntry | None = getattr(contest.limits, what)
        if limit is not None:
            yield what, limit.words(units.get(what, contest.units.length))
    if contest.hold is not None:
        yield "hold", f"each load {NUMERALS.given(contest.hold)} s"
