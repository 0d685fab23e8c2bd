"""A stock in words, as a person says it over the counter: `birch 10 x 2 mm`, `steel round 2 mm`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from cli.errors import AnswerError
from cli.model.stock import StockEntry
from solver import UnitError, convert_length, parse_length
from solver.strength import find_material

__all__ = ["sold_in", "stock_of_words"]

_NUMBER = r"(?:\d+(?:[.,]\d+)?|[.,]\d+)"
_WORDS = re.compile(
    rf"""(?P<material>[^\W\d_][^\d,]*?)\s+
    (?:(?P<shape>round|tube|square)\s+)?
    (?P<first>{_NUMBER})\s*(?:[x×*]\s*(?P<second>{_NUMBER})\s*)?(?P<unit>mm|cm|m|in|ft)
    (?:\s*,\s*(?:(?P<sticks>\d+)\s+(?P<how>glued|loose)|gap\s+(?P<gap>{_NUMBER})\s*(?P<gap_unit>mm|cm|m|in|ft)))?""",
    re.VERBOSE,
)
_CURE = (
    'give material, shape and size, as in "birch 10 x 2 mm", "balsa square 5 mm", "steel round 2 mm", '
    '"aluminium tube 6 x 0.5 mm", "birch 10 x 2 mm, 2 glued" (or 2 loose, or gap 4 mm).'
)


def stock_of_words(text: str, *, unit: str, density: float | None = None) -> StockEntry:
    """Take a stock in words apart.

    Parameters
    ----------
    text
        As said.
    unit
        Length unit of the model, in which the entry is.
    density
        kg/m³, as weighed.

    Raises
    ------
    AnswerError
        When it cannot be understood.
    StockError
        When nothing is known of such a material.
    """
    found = _WORDS.fullmatch(" ".join(text.split()))
    if not found:
        raise AnswerError("STOCK", text, _CURE)
    find_material(found["material"], density=density)
    first, second = (_length(found[part], found["unit"], unit) for part in ("first", "second"))
    sizes = _sizes(found["shape"], first, second)
    if sizes is None:
        raise AnswerError("STOCK", text, _CURE)
    several: dict[str, object] = {}
    if found["sticks"] is not None:
        several = {"sticks": int(found["sticks"])}
        if found["how"] == "loose":
            several["glued"] = False
    if found["gap"] is not None:
        several = {"gap": _length(found["gap"], found["gap_unit"], unit)}
    if several and "width" not in sizes and several.get("glued") is not False:
        raise AnswerError("STOCK", text, "only strips are glued flat on each other or spaced: say 2 loose.")
    if 0.0 in sizes.values() or several.get("sticks") == 0 or several.get("gap") == 0.0:
        raise AnswerError("STOCK", text, "a stock has sizes above zero.")
    return StockEntry.model_validate(
        {"material": found["material"], **sizes, **several}
        | ({} if density is None else {"density": density})
    )


def sold_in(entry: StockEntry, bars: Sequence[str], kerf: str | None, *, unit: str) -> StockEntry:
    """Return the stock with the lengths in which it is sold and what a cut loses.

    Raises
    ------
    AnswerError
        When one is no length.
    """
    said: dict[str, object] = {}
    if bars:
        said["bars"] = tuple(_above_zero("--bars", text, unit) for text in bars)
    if kerf is not None:
        said["kerf"] = _above_zero("--kerf", kerf, unit)
    return entry.model_copy(update=said)


def _above_zero(option: str, text: str, unit: str) -> float:
    try:
        length = parse_length(text, unit)
    except UnitError:
        raise AnswerError(option, text, 'give a length with its unit, as in "1 m".') from None
    if length <= 0:
        raise AnswerError(option, text, "a length is above zero.")
    return length


def _sizes(shape: str | None, first: float | None, second: float | None) -> dict[str, float] | None:
    """Return the sizes of a shape; none where they do not go together."""
    assert first is not None  # the pattern has it
    if shape == "tube":
        return None if second is None else {"diameter": first, "wall": second}
    if shape == "square":
        return {"width": first, "thickness": first} if second is None else None
    if second is not None:
        return {"width": first, "thickness": second} if shape is None else None
    return {"diameter": first} if shape == "round" else None


def _length(number: str | None, unit: str, to: str) -> float | None:
    return None if number is None else convert_length(float(number.replace(",", ".")), unit, to)
