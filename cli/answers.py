"""What a person answers on the command line: supports, loads, dimensions, level.

Texts are taken apart before the picture is read, so that a slip is told at once; the names of joints are
checked afterwards, when they are known.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from cli.errors import AnswerError
from cli.model.file import Model
from cli.model.parts import NAME_PATTERN, DimensionEntry, LoadEntry, SupportEntry, UnitsEntry
from solver import (
    FORCE_UNITS,
    LENGTH_UNITS,
    UnitError,
    convert_force,
    convert_length,
    parse_force,
    parse_length,
)

__all__ = ["Answers", "apply_answers", "parse_answers"]

DimensionKind = Literal["along", "across", "up", "angle"]

_OPTION = {"along": "--length", "across": "--across", "up": "--up", "angle": "--angle"}
_ONE_FORCE = r"[+-]?[0-9.,]+ ?[A-Za-z]+"
"""A single number with a unit, where a load wants two."""
_USUAL = UnitsEntry(length="mm", force="N")
"""Units of a file in which the person has used none: those of a model on a table."""


@dataclass(frozen=True)
class Answers:
    """Answers taken apart; joints by name."""

    units: UnitsEntry
    """Those that the person wrote first."""
    supports: tuple[SupportEntry, ...] = ()
    loads: tuple[LoadEntry, ...] = ()
    dimensions: tuple[DimensionEntry, ...] = ()
    level: tuple[str, str] | None = None

    @property
    def joints(self) -> Iterator[tuple[str, str]]:
        """Every joint named, with the option that names it."""
        for support in self.supports:
            yield f"--{support.kind}", support.joint
        for load in self.loads:
            yield "--load", load.joint
        for dimension in self.dimensions:
            yield _OPTION[dimension.kind], dimension.start
            yield _OPTION[dimension.kind], dimension.end
        for joint in self.level or ():
            yield "--level", joint


def parse_answers(
    *,
    pins: Sequence[str] = (),
    rollers: Sequence[str] = (),
    loads: Sequence[str] = (),
    dimensions: Sequence[tuple[DimensionKind, str]] = (),
    level: str | None = None,
) -> Answers:
    """Take answers apart.

    Parameters
    ----------
    pins
        Names of joints.
    rollers
        A name, or a name and the direction in which its surface pushes: `C`, `C -1 1`.
    loads
        A name, the force to the right and up, and its unit: `D 0 -40 N`.
    dimensions
        Kind and text: two names and a length with its unit, or degrees: `A C 600 mm`, `A B 60`.
    level
        Two names: `A C`.

    Raises
    ------
    AnswerError
        When one cannot be understood; it names the option, quotes it, and says what to write.
    """
    lengths = [text for kind, text in dimensions if kind != "angle"]
    units = UnitsEntry.model_validate(
        {
            "length": _first_unit(lengths, 2, LENGTH_UNITS, convert_length) or _USUAL.length,
            "force": _first_unit(loads, 1, FORCE_UNITS, convert_force) or _USUAL.force,
        }
    )
    return Answers(
        units=units,
        supports=(*(_pin(text) for text in pins), *(_roller(text) for text in rollers)),
        loads=tuple(_load(text, units.force) for text in loads),
        dimensions=tuple(_dimension(kind, text, units.length) for kind, text in dimensions),
        level=None if level is None else _level(level),
    )


def _first_unit(
    texts: Sequence[str], names: int, known: tuple[str, ...], convert: Callable[[float, str, str], float]
) -> str | None:
    """Return the unit that the person wrote first, in the spelling of the model file.

    `3 ft 6 in` is in ft. A unit that the file cannot have, such as MN, falls back to the usual one.
    """
    for text in texts:
        for word in text.split()[names:]:
            unit = word.lstrip("+-0123456789.,/")
            if not unit:
                continue
            try:
                return next((name for name in known if convert(1.0, unit, name) == 1.0), None)
            except UnitError:
                return None  # told with its option when the whole text is read
    return None


def _check_unit(
    words: Sequence[str], known: tuple[str, ...], kind: str, convert: Callable[[float, str, str], float]
) -> None:
    """Refuse a unit that is none of this kind, and list those of this kind only."""
    for word in words:
        unit = word.lstrip("+-0123456789.,/")
        if not unit.isalpha() or unit == "kg":
            continue  # the reader of quantities knows marks for feet and inches, and why kg is no force
        try:
            convert(1.0, unit, known[0])
        except UnitError:
            raise UnitError(
                unit, f"is not a unit of {kind} known here; use one of {', '.join(known)}."
            ) from None


def _words(option: str, text: str, names: int) -> list[str]:
    """Return the words of an answer, the first `names` of which can be names of joints."""
    words = text.split()
    for word in words[:names]:
        if not re.fullmatch(NAME_PATTERN, word):
            raise AnswerError(
                option, text, "this is no name of a joint; they have 1 to 40 characters, no quotes."
            )
    return words


def _pin(text: str) -> SupportEntry:
    words = _words("--pin", text, 1)
    if len(words) != 1:
        raise AnswerError(
            "--pin", text, "give the name of one joint, as in --pin A; repeat --pin for another."
        )
    return SupportEntry(joint=words[0], kind="pin")


def _roller(text: str) -> SupportEntry:
    cure = 'give a joint, as in --roller C, or a joint and where its surface pushes, as in --roller "C -1 1".'
    words = _words("--roller", text, 1)
    if len(words) not in {1, 3}:
        raise AnswerError("--roller", text, cure)
    if len(words) == 1:
        return SupportEntry(joint=words[0], kind="roller", normal=(0.0, 1.0))
    normal = (_number("--roller", text, words[1], cure), _number("--roller", text, words[2], cure))
    if normal == (0.0, 0.0):
        raise AnswerError("--roller", text, "the direction 0 0 points nowhere; 0 1 is straight up.")
    return SupportEntry(joint=words[0], kind="roller", normal=normal)


def _number(option: str, text: str, word: str, cure: str) -> float:
    try:
        number = float(word)
    except ValueError:
        raise AnswerError(option, text, cure) from None
    if abs(number) == float("inf") or number != number:  # noqa: PLR0124  only not-a-number differs from itself
        raise AnswerError(option, text, cure)
    return number


def _load(text: str, unit: str) -> LoadEntry:
    cure = 'give a joint, the force to the right, the force up, and the unit, as in --load "D 0 -40 N".'
    words = _words("--load", text, 1)
    if len(words) in {2, 3} and re.fullmatch(_ONE_FORCE, " ".join(words[1:])):
        raise AnswerError("--load", text, f"one number is missing, as a load needs right and up: {cure}")
    if len(words) == 3 and words[2].lstrip("+-0123456789.,"):
        # "D 0 -40N": the unit is stuck to the last number and holds for both.
        last = words[2]
        start = len(last) - len(last.lstrip("+-0123456789.,"))
        words = [*words[:2], last[:start], last[start:]]
    if len(words) != 4:
        raise AnswerError("--load", text, cure)
    try:
        _check_unit(words[3:], FORCE_UNITS, "force", convert_force)
        force = (parse_force(f"{words[1]} {words[3]}", unit), parse_force(f"{words[2]} {words[3]}", unit))
    except UnitError as error:
        raise AnswerError("--load", text, f"{error} {_capital(cure)}") from None
    return LoadEntry(joint=words[0], force=force)


def _dimension(kind: DimensionKind, text: str, unit: str) -> DimensionEntry:
    option = _OPTION[kind]
    example = '"A B 60"' if kind == "angle" else '"A C 600 mm"'
    what = "the degrees from the horizontal" if kind == "angle" else "the length with its unit"
    cure = f"give two joints and {what}, as in {option} {example}."
    words = _words(option, text, 2)
    if len(words) < 3:
        raise AnswerError(option, text, cure)
    start, end, rest = words[0], words[1], " ".join(words[2:])
    if kind == "angle":
        value = _number(option, text, rest.removesuffix("°").removesuffix("deg").strip(), cure)
    else:
        if not rest.strip("+-0123456789., "):
            raise AnswerError(option, text, cure)
        try:
            _check_unit(words[2:], LENGTH_UNITS, "length", convert_length)
            value = parse_length(rest, unit)
        except UnitError as error:
            raise AnswerError(option, text, f"{error} {_capital(cure)}") from None
    if value < 0 or (value == 0 and kind == "along"):
        raise AnswerError(option, text, "a dimension has no sign and is not zero; give it as it is written.")
    return DimensionEntry(kind=kind, start=start, end=end, value=value)


def _level(text: str) -> tuple[str, str]:
    words = _words("--level", text, 2)
    if len(words) != 2:
        raise AnswerError("--level", text, 'give the two joints that are at one height, as in --level "A C".')
    return words[0], words[1]


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]


def apply_answers(model: Model, answers: Answers) -> Model:
    """Return the model with the answers in it.

    Supports replace those that were read, and so do loads and dimensions: what a person says overrules what
    was seen. What was not answered stays as it was read.

    Raises
    ------
    AnswerError
        When a joint is named that the model does not have.
    """
    for option, joint in answers.joints:
        if joint not in model.rows:
            listed = ", ".join(model.names)
            raise AnswerError(option, joint, f"there is no joint of this name; the joints are {listed}.")
    update: dict[str, object] = {"units": answers.units}
    for part in ("supports", "loads", "dimensions", "level"):
        given = getattr(answers, part)
        if given:
            update[part] = given
    return model.model_copy(update=update)
