"""Taking down a test from the command line: short texts become parts of a record."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from cli.errors import AnswerError, FaultsError
from cli.model.faults import faults_of
from cli.testday.masses import parse_mass
from cli.testday.record_file import HOW, GuessEntry, LetGoEntry, Record, StepEntry
from cli.translate.from_reading import picture_name
from solver import UnitError, convert_length, parse_force, parse_length

__all__ = ["Notes", "note_down", "seen_from"]

_SECONDS = re.compile(r"(?P<load>.*?)[\s,]+(?P<number>\d+(?:[.,]\d+)?)\s*(?:s|sec|seconds)\s*", re.DOTALL)
_HUNG = re.compile(r"(?<=[\d\s])(kg|g)\b")
"""A hung mass is written in kg on any test day; its weight is what counts."""
_STANDS = {HOW["nothing"], HOW["tipped"]}
"""After these the bridge is whole, and a test may go on."""
_LOAD_AT_END = re.compile(r"(?P<before>.*?)\s*(?P<load>[\d.,]+\s*[A-Za-z]+)\s*", re.DOTALL)


@dataclass(frozen=True)
class Notes:
    """What was said on the command line, each text as given; None and empty where nothing was."""

    mass: str | None = None
    width: str | None = None
    glue: str | None = None
    pieces: int | None = None
    trusses: int | None = None
    guesses: Sequence[str] = ()
    steps: Sequence[str] = ()
    held: str | None = None
    let_go: str | None = None
    before: str | None = None
    after: str | None = None
    note: str | None = None


def seen_from(folder: Path, picture: Path, option: str) -> str:
    """Return the path of a photograph as seen from the record's folder.

    Raises
    ------
    AnswerError
        When there is no such file.
    """
    if not picture.is_file():
        raise AnswerError(option, str(picture), "there is no such file; check the name.")
    return picture_name(picture, folder)


def note_down(record: Record, notes: Notes, names: Mapping[str, str]) -> Record:
    """Return the record with what was said: guesses and steps are added, the rest is put in.

    Parameters
    ----------
    record
        So far.
    notes
        What was said.
    names
        Of `cli.member_names.names_of`.

    Raises
    ------
    AnswerError
        When a text cannot be understood.
    FaultsError
        When the record would contradict itself.
    """
    unit = record.units.force
    if notes.let_go is not None and notes.held is None and record.last_held is None:
        raise AnswerError(
            "--let-go", notes.let_go, 'give the last whole load that it held too: --held "80 N".'
        )
    if notes.steps and record.let_go is not None and record.let_go.how not in _STANDS:
        raise AnswerError(
            "--step",
            notes.steps[0],
            "the record says that this bridge has let go already; for a new bridge make a new model file, "
            'or take "let_go" out of the record if it is wrong.',
        )
    said: dict[str, object] = {
        "mass": None if notes.mass is None else parse_mass("--mass", notes.mass),
        "glue": None if notes.glue is None else parse_mass("--glue", notes.glue),
        "width": None if notes.width is None else _length(notes.width, record.units.length),
        "pieces": notes.pieces,
        "trusses": notes.trusses,
        "last_held": None if notes.held is None else _load("--held", notes.held, unit),
        "let_go": None if notes.let_go is None else _let_go(notes.let_go, names),
        "before": notes.before,
        "after": notes.after,
        "note": notes.note,
    }
    changes = {key: value for key, value in said.items() if value is not None}
    changes["guesses"] = (*record.guesses, *(_guess(text, names, unit) for text in notes.guesses))
    changes["steps"] = (*record.steps, *(_step(text, unit) for text in notes.steps))
    try:
        return Record.model_validate({**dict(record), **changes})
    except ValidationError as error:
        raise FaultsError(faults_of(error, Record)) from None


def _length(text: str, unit: str) -> float:
    try:
        width = parse_length(text, unit)
    except UnitError:
        raise AnswerError("--width", text, 'give a length with its unit, as in "60 mm".') from None
    if width <= 0:
        raise AnswerError("--width", text, "a width is above zero.")
    return convert_length(width, unit, unit)


def _load(option: str, text: str, unit: str) -> float:
    try:
        load = parse_force(_HUNG.sub(r"\1f", text), unit)
    except UnitError:
        raise AnswerError(option, text, 'give the whole load, as in "95 N" or "9.5 kg".') from None
    if load <= 0:
        raise AnswerError(option, text, "a load has no sign and is not zero.")
    return load


def _step(text: str, unit: str) -> StepEntry:
    timed = _SECONDS.fullmatch(text)
    if not timed:
        return StepEntry(load=_load("--step", text, unit))
    return StepEntry(
        load=_load("--step", timed["load"], unit), seconds=float(timed["number"].replace(",", "."))
    )


def _let_go(text: str, names: Mapping[str, str]) -> LetGoEntry:
    first, *rest = text.split()
    if first not in HOW:
        raise AnswerError(
            "--let-go", text, f'begin with one of {", ".join(HOW)}, as in "bent E-F" or "joint E".'
        )
    return LetGoEntry(how=HOW[first], what=tuple(_named("--let-go", text, name, names) for name in rest))


def _guess(text: str, names: Mapping[str, str], unit: str) -> GuessEntry:
    """Take `Ana B. E-F 90 N` apart from its end: the load, then what goes first, then whose guess it is."""
    rest, load = text.strip(), None
    ending = _LOAD_AT_END.fullmatch(rest)
    if ending and ending["before"]:
        load, rest = _load("--guess", ending["load"], unit), ending["before"].strip()
    by, _, last = rest.rpartition(" ")
    first = None
    if by and ("-" in last or last in names):
        first, rest = _named("--guess", text, last, names), by.strip()
    if not rest or (first is None and load is None):
        cure = 'give who, what goes first, and the whole load that it holds, as in "Ana E-F 90 N".'
        raise AnswerError("--guess", text, cure)
    return GuessEntry(by=rest, first=first, load=load)


def _named(option: str, text: str, name: str, names: Mapping[str, str]) -> str:
    if name not in names:
        listed = ", ".join(dict.fromkeys(names.values()))
        raise AnswerError(option, text, f"there is no member or joint {name} here; there are {listed}.")
    return names[name]
