"""Units of length and force, and reading of quantities such as `2.5 kN`, `40 lb` or `3 ft 6 in`.

A small register of the pint library holds the exact definitions (1 in = 25.4 mm, 1 lb = 0.45359237 kg,
standard gravity 9.80665 m/s²; BIPM and NIST SP 811) as fractions, so that a conversion is rounded once.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from solver.errors import UnitError
from solver.sound import FORCE_UNITS, LENGTH_UNITS

if TYPE_CHECKING:
    import pint

__all__ = [
    "FORCE_UNITS",
    "LENGTH_UNITS",
    "convert_force",
    "convert_length",
    "parse_force",
    "parse_force_per_length",
    "parse_length",
]

_DEFINITIONS = """
metre = [length] = m
newton = [force] = N
decimetre = 1/10 * metre = dm
centimetre = 1/100 * metre = cm
millimetre = 1/1000 * metre = mm
inch = 254/10000 * metre = in
foot = 12 * inch = ft
kilonewton = 1000 * newton = kN
meganewton = 1000000 * newton = MN
pound_force = 45359237/100000000 * 980665/100000 * newton = lbf
kip = 1000 * pound_force = kip
kilogram_force = 980665/100000 * newton = kgf
gram_force = 980665/100000000 * newton = gf
"""

_SPELLINGS = {
    "″": "in", '"': "in", "inch": "in", "inches": "in", "′": "ft", "'": "ft", "foot": "ft", "feet": "ft",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m", "millimetre": "mm", "millimetres": "mm",
    "centimetre": "cm", "centimetres": "cm", "lb": "lbf", "lbs": "lbf", "pound": "lbf", "pounds": "lbf",
    "kips": "kip", "newton": "N", "newtons": "N", "kilonewton": "kN", "kilonewtons": "kN", "kp": "kgf",
    "kn": "kN", "n": "N", "plf": "lbf/ft", "klf": "kip/ft",
}  # fmt: skip
"""Ways of writing a unit. A pound here is always a force, as on a statics worksheet; kg is a mass and
refused."""

_NUMBER = r"(?:\d+\s*/\s*\d+|(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?(?:[\s-]+\d+\s*/\s*\d+)?)"
"""1/2, 2.5, 1e3, 3 1/2 or 3-1/2; a comma may stand for the decimal point."""
_UNIT = re.compile(r"[A-Za-z]+(?:/[A-Za-z]+)?")
_THOUSANDS = re.compile(r"\d,\d{3}(?!\d)")
_LONGEST_TEXT = 60
"""Characters; nobody writes a longer quantity, and arithmetic with very long numbers would take for ever."""
_PIECE = re.compile(rf"\s*(?P<sign>[+−-]?)\s*(?P<number>{_NUMBER})\s*(?P<unit>[^\d\s.,+−-][^\s\d]*)?\s*")


@cache
def _register() -> pint.UnitRegistry[Fraction]:
    import pint  # noqa: PLC0415  a second of start-up that most uses of the solver never need

    return pint.UnitRegistry(_DEFINITIONS.strip().splitlines(), non_int_type=Fraction)


@cache
def _factor(unit: str, to: str) -> Fraction:
    """Give how many `to` are in one `unit`, exactly."""
    import pint  # noqa: PLC0415  as above

    register = _register()
    if not _UNIT.fullmatch(unit):
        raise UnitError(unit, "is not a unit; write units in letters, such as mm, kN or kN/m.")
    try:
        return Fraction(register.Quantity(Fraction(1), unit).to(to).magnitude)
    except pint.UndefinedUnitError:
        known = ", ".join((*LENGTH_UNITS, *FORCE_UNITS))
        reason = "a mass is not a force; give a weight in kgf or N" if unit == "kg" else f"use one of {known}"
        raise UnitError(unit, f"is not a unit known here; {reason}.") from None
    except pint.DimensionalityError:
        raise UnitError(unit, f"cannot be turned into {to}: one is not of the other's kind.") from None


def convert_length(value: float, unit: str, to: str) -> float:
    """Turn a length into another unit, rounded once.

    Raises
    ------
    UnitError
        When a unit is unknown or of another kind.
    """
    return _scaled(value, _factor(_spelt(unit), _known(to, LENGTH_UNITS)))


def convert_force(value: float, unit: str, to: str) -> float:
    """Turn a force into another unit, rounded once.

    Raises
    ------
    UnitError
        When a unit is unknown or of another kind.
    """
    return _scaled(value, _factor(_spelt(unit), _known(to, FORCE_UNITS)))


def parse_length(text: str, unit: str) -> float:
    """Read a length such as `600`, `2.5 m` or `3 ft 6 in` and give it in a unit.

    Parameters
    ----------
    text : str
        A number without a unit is taken to be in `unit` already. Several pieces add up, with the sign of the
        first.
    unit : str
        The unit wanted: `mm`, `cm`, `m`, `in` or `ft`.

    Raises
    ------
    UnitError
        When the text is no length.

    Examples
    --------
    >>> parse_length("3 ft 6 in", "in")
    42.0
    """
    return _parse(text, _known(unit, LENGTH_UNITS))


def parse_force(text: str, unit: str) -> float:
    """Read a force such as `40`, `2.5 kN` or `-40 lb` and give it in a unit.

    Raises
    ------
    UnitError
        When the text is no force.

    Examples
    --------
    >>> parse_force("1 kip", "lbf")
    1000.0
    """
    return _parse(text, _known(unit, FORCE_UNITS))


def parse_force_per_length(text: str, force_unit: str, length_unit: str) -> float:
    """Read a load along a deck or a member's weight, such as `2 kN/m`, and give it in a truss's own units.

    Examples
    --------
    >>> parse_force_per_length("1.2 kN/m", "N", "mm")
    1.2
    """
    wanted = f"{_known(force_unit, FORCE_UNITS)}/{_known(length_unit, LENGTH_UNITS)}"
    return _parse(text, wanted)


def _parse(text: str, unit: str) -> float:
    pieces = _pieces(text, unit)
    if len(pieces) > 1 and not all(piece_unit for _, _, piece_unit in pieces):
        raise UnitError(text, _hint(unit))
    if any(sign for sign, _, _ in pieces[1:]):
        raise UnitError(text, "has a sign in the middle; give one sign, in front.")
    total = sum((number * _factor(piece_unit or unit, unit) for _, number, piece_unit in pieces), Fraction(0))
    return _scaled(-1.0 if pieces[0][0] in {"-", "−"} else 1.0, total)


def _pieces(text: str, unit: str) -> list[tuple[str, Fraction, str]]:
    """Split a quantity into sign, number and unit, one for each unit named."""
    if not isinstance(text, str) or not text.strip() or len(text) > _LONGEST_TEXT:
        raise UnitError(str(text)[:_LONGEST_TEXT], _hint(unit))
    pieces: list[tuple[str, Fraction, str]] = []
    place = 0
    while place < len(text):
        match = _PIECE.match(text, place)
        if match is None:
            raise UnitError(text, _hint(unit))
        pieces.append((match["sign"], _number(match["number"], text), _spelt(match["unit"] or "")))
        place = match.end()
    return pieces


def _number(written: str, text: str) -> Fraction:
    """Read 1/2, 2.5, 1e3, 3 1/2 or 3-1/2."""
    if _THOUSANDS.search(written):
        raise UnitError(
            text, "has a comma that may mark thousands or decimals; write a decimal point or no comma."
        )
    try:
        parts = [part.replace(",", ".") for part in re.split(r"(?<=\d)[\s-]+(?=\d+\s*/)", written)]
        return sum((Fraction(re.sub(r"\s", "", part)) for part in parts), Fraction(0))
    except ZeroDivisionError:
        raise UnitError(text, "divides by zero.") from None


def _hint(unit: str) -> str:
    return f"cannot be read as a quantity; write a number and a unit, such as 2.5 {unit}."


def _spelt(unit: str) -> str:
    parts = [_SPELLINGS.get(part, _SPELLINGS.get(part.lower(), part)) for part in unit.split("/")]
    return "/".join(parts)


def _known(unit: str, units: tuple[str, ...]) -> str:
    spelt = _spelt(unit)
    if spelt not in units:
        raise UnitError(unit, f"is not a unit that can be used here; use one of {', '.join(units)}.")
    return spelt


def _scaled(value: float, factor: Fraction) -> float:
    try:
        return float(Fraction(value) * factor)
    except (OverflowError, ValueError):
        raise UnitError(str(value), "is not a number that can be calculated with.") from None
