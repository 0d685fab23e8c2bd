"""Reading one answer as people write it: `12.5 kN C`, `-12.5`, `12,5`, `T 12.5`, `8 up`, `25/3`, `0`.

What cannot be read with certainty is said to be so, with the reason; nothing is guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

__all__ = ["Cell", "Unread", "read_cell", "read_verdict"]

_SIGNS = str.maketrans({"−": "-", "–": "-", "—": "-", "\u00a0": " ", "\u202f": " ", "＋": "+", "’": "'"})
_SENSES = {
    "t": "T", "tension": "T", "tensile": "T", "ten": "T", "tens": "T", "z": "?",
    "c": "C", "compression": "C", "compressive": "C", "comp": "C",
}  # fmt: skip
_WAYS = {
    "up": "up", "upward": "up", "upwards": "up", "u": "up", "↑": "up",
    "down": "down", "downward": "down", "downwards": "down", "d": "down", "↓": "down",
    "right": "right", "r": "right", "→": "right", "left": "left", "l": "left", "←": "left",
}  # fmt: skip
_UNITS = {
    "kn": "kN", "n": "N", "lb": "lbf", "lbs": "lbf", "lbf": "lbf", "kip": "kip", "kips": "kip", "k": "kip",
    "kgf": "kgf", "mn": "MN", "°": "°", "deg": "°", "degrees": "°", "º": "°",
}  # fmt: skip
_NUMBER = re.compile(
    r"""(?P<whole>\d+)(?:\s+|\s*-\s*)(?P<top>\d+)\s*/\s*(?P<bottom>\d+)   # 12 1/2
    | (?P<over>\d+)\s*/\s*(?P<under>\d+)                            # 25/3
    | (?P<plain>\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE](?P<power>[+-]?\d{1,2}))?
    """,
    re.VERBOSE,
)
_WORD = re.compile(r"[A-Za-z]+|[↑↓→←°º]")
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}$")
_GROUPED = re.compile(r"(?<=\d)[ '](?=\d{3}(?!\d))")
_LONGEST = 60
"""Characters: nobody writes a longer answer."""
_ABOUT = "~≈="


@dataclass(frozen=True)
class Cell:
    """A number as written."""

    value: float
    """Its size with the sign that stands before it."""
    signed: bool
    """Whether a sign stands before it."""
    step: float
    """One unit of the last figure; 0 for a fraction."""
    unit: str = ""
    sense: str = ""
    """`T` or `C` where one is written."""
    way: str = ""
    """`up`, `down`, `right` or `left` where one is written."""


@dataclass(frozen=True)
class Unread:
    """Why something cannot be read."""

    reason: str


def read_cell(text: str) -> Cell | Unread | None:
    """Read a number with what stands around it; None where nothing is written.

    Examples
    --------
    >>> read_cell("12,5 kN (C)")
    Cell(value=12.5, signed=False, step=0.1, unit='kN', sense='C', way='')
    >>> read_cell("1,250")
    Unread(reason='the comma may mark thousands or decimals')
    """
    plain = text.translate(_SIGNS).strip()
    if not plain:
        return None
    if plain.lower() in {"zero", "nil"}:
        return Cell(0.0, signed=False, step=1.0)
    plain = _GROUPED.sub("", plain.lstrip(_ABOUT).strip())
    found = list(_NUMBER.finditer(plain[:_LONGEST]))
    if len(plain) > _LONGEST or len(found) != 1 or not plain.strip("-. "):
        return Unread(_no_number(plain, len(found)))
    size = _size(found[0])
    if isinstance(size, Unread):
        return size
    return _with_words(size, plain[: found[0].start()].rstrip(), plain[found[0].end() :])


def _no_number(plain: str, count: int) -> str:
    if len(plain) > _LONGEST:
        return "it is too long for one number"
    if not plain.strip("-. "):
        return "a dash may mean zero or nothing"
    return "there is more than one number in it" if count else "there is no number in it"


def _with_words(size: tuple[float, float], before: str, after: str) -> Cell | Unread:
    value, step = size
    sign = before[-1:] if before[-1:] in {"+", "-"} else ""
    words = _words(before.removesuffix(sign) if sign else before, after)
    if isinstance(words, Unread):
        return words
    unit, sense, way = words
    if sense and sign and (sign == "-") != (sense == "C") and value:
        return Unread(f"the sign {sign} and {sense} contradict each other")
    return Cell(-value if sign == "-" else value, bool(sign), step, unit, sense, way)


def _size(number: re.Match[str]) -> tuple[float, float] | Unread:
    """Give a number's size, and one unit of its last figure."""
    if number["plain"] is None:
        parts = (number["top"], number["bottom"]) if number["top"] else (number["over"], number["under"])
        if not int(parts[1]):
            return Unread("it divides by zero")
        return float(Fraction(int(number["whole"] or 0)) + Fraction(int(parts[0]), int(parts[1]))), 0.0
    written = number["plain"]
    if _THOUSANDS.match(written):
        return Unread("the comma may mark thousands or decimals")
    written = written.replace(",", ".")
    decimals = len(written.partition(".")[2])
    power = int(number["power"] or 0)
    return float(written) * 10.0**power, 10.0 ** (power - decimals)


def _words(before: str, after: str) -> tuple[str, str, str] | Unread:
    """Sort what stands before and after a number into unit, sense and way."""
    found = {"unit": "", "sense": "", "way": ""}
    for part in (before, after):
        rest = _WORD.sub(" ", part).strip(" ()[]:;,=.")
        if rest:
            return Unread(f"what is {rest!r}?")
        for word in _WORD.findall(part):
            small = word.lower()
            for kind, known in (("unit", _UNITS), ("sense", _SENSES), ("way", _WAYS)):
                if known.get(small, "?") != "?":
                    if found[kind] not in {"", known[small]}:
                        return Unread(f"{found[kind]} and {known[small]} contradict each other")
                    found[kind] = known[small]
                    break
            else:
                return Unread(f"what is {word!r}?")
    if found["sense"] and found["way"]:
        return Unread("tension or compression, and a direction besides")
    return found["unit"], found["sense"], found["way"]


_VERDICTS = {
    "determinate": "determinate", "statically determinate": "determinate", "stable": "determinate",
    "stable and determinate": "determinate", "stable determinate": "determinate",
    "indeterminate": "indeterminate", "statically indeterminate": "indeterminate",
    "stable and indeterminate": "indeterminate", "redundant": "indeterminate",
    "unstable": "unstable", "mechanism": "unstable", "a mechanism": "unstable",
    "unstable and indeterminate": "unstable and indeterminate",
}  # fmt: skip


def read_verdict(text: str) -> str | Unread | None:
    """Read a verdict; None where nothing is written."""
    plain = " ".join(text.lower().replace(",", " and ").replace("&", " and ").split()).strip(" .")
    if not plain:
        return None
    return _VERDICTS.get(plain) or Unread("it is none of determinate, indeterminate, unstable")
