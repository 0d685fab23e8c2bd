"""Mathematics as a small tree: one source for the PDF, for MathML and for plain text.

Numbers are carried as they are written, so that what a test works out again is what a reader sees.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "Expression",
    "Fraction",
    "Function",
    "Grouped",
    "Number",
    "Power",
    "Product",
    "Relation",
    "Root",
    "Row",
    "Signed",
    "Symbol",
    "Total",
    "Unit",
    "Words",
    "bracketed",
    "extent",
    "plain",
]


@dataclass(frozen=True)
class Number:
    """A number as it is written, with its decimal sign and a true minus (U+2212)."""

    text: str


@dataclass(frozen=True)
class Symbol:
    """A quantity: a letter and a low index, as the F with AB of the force in member AB."""

    name: str
    index: str = ""


@dataclass(frozen=True)
class Unit:
    """A unit, upright, a little apart from its number; `kN`, `kN·m`, `°`."""

    text: str


@dataclass(frozen=True)
class Words:
    """Words within mathematics, upright."""

    text: str
    sense: str = ""
    """`T`, `C`, `0` or `?` to set them in the colour of that sense."""


@dataclass(frozen=True)
class Signed:
    """A term of a total with its sign."""

    negative: bool
    body: Expression


@dataclass(frozen=True)
class Total:
    """Terms added up; 0 without any."""

    terms: tuple[Signed, ...]


@dataclass(frozen=True)
class Product:
    """Factors with dots between them."""

    factors: tuple[Expression, ...]


@dataclass(frozen=True)
class Fraction:
    """One thing over another."""

    top: Expression
    bottom: Expression


@dataclass(frozen=True)
class Grouped:
    """Something in brackets."""

    inside: Expression


@dataclass(frozen=True)
class Function:
    """An upright function of one thing: cos, sin, arctan."""

    name: str
    of: Expression


@dataclass(frozen=True)
class Power:
    """A small whole-number power."""

    base: Expression
    exponent: int


@dataclass(frozen=True)
class Root:
    """A square root."""

    inside: Expression


@dataclass(frozen=True)
class Relation:
    """Things side by side with signs between them: a = b = c.

    `signs` has one sign fewer than there are sides: `=`, `<`, `>`, `≈`, `⇒`.
    """

    sides: tuple[Expression, ...]
    signs: tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """Things that follow each other: a number and its unit."""

    parts: tuple[Expression, ...]


Expression = (
    Number
    | Symbol
    | Unit
    | Words
    | Signed
    | Total
    | Product
    | Fraction
    | Grouped
    | Function
    | Power
    | Root
    | Relation
    | Row
)

_POWERS = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


def plain(expression: Expression) -> str:  # noqa: C901, PLR0912 (one case a kind)
    """Write mathematics as one line of plain text: F_AB = −(12.0 − 3.0·0.8)/0.6 = −16.0 kN."""
    match expression:
        case Number(text) | Words(text):
            written = text
        case Unit(text):
            written = text if text == "°" else f" {text}"
        case Symbol(name, index):
            written = f"{name}_{index}" if index else name
        case Signed(negative, body):
            written = f"−{plain(body)}" if negative else plain(body)
        case Total(terms):
            written = _total(terms)
        case Product(factors):
            written = "·".join(plain(factor) for factor in bracketed(factors))
        case Fraction(top, bottom):
            written = f"{_within_fraction(top)}/{_within_fraction(bottom)}"
        case Grouped(inside):
            written = f"({plain(inside)})"
        case Function(name, of):
            written = f"{name}({plain(of)})"
        case Power(base, exponent):
            written = f"{_within_fraction(base)}{str(exponent).translate(_POWERS)}"
        case Root(inside):
            written = f"√({plain(inside)})"
        case Relation(sides, signs):
            written = plain(sides[0])
            for sign, side in zip(signs, sides[1:], strict=True):
                written += f" {sign} {plain(side)}"
        case Row(parts):
            written = "".join(plain(part) for part in parts)
    return written


def _total(terms: tuple[Signed, ...]) -> str:
    if not terms:
        return "0"
    first, *others = terms
    return plain(first) + "".join(f" {'−' if term.negative else '+'} {plain(term.body)}" for term in others)


_INDEX = 0.7
"""Size of indices and powers, of what they stand at."""


def extent(expression: Expression) -> float:
    """Return about how many characters wide mathematics is when it is set, with fractions upright."""
    match expression:
        case Symbol(name, index):
            wide = len(name) + _INDEX * len(index)
        case Fraction(top, bottom):
            wide = max(extent(top), extent(bottom)) + 1
        case Total(terms):
            wide = sum(extent(term) + 3 for term in terms) - 2 if terms else 1
        case Signed(_, body):
            wide = extent(body)
        case Product(factors):
            wide = sum(extent(factor) + 2 for factor in bracketed(factors)) - 2
        case Grouped(inside) | Root(inside):
            wide = extent(inside) + 2
        case Power(base, _):
            wide = extent(base) + _INDEX
        case Relation(sides, _):
            wide = sum(extent(side) + 3 for side in sides) - 3
        case Row(parts):
            wide = sum(extent(part) for part in parts)
        case _:
            wide = len(plain(expression))
    return float(wide)


def bracketed(factors: tuple[Expression, ...]) -> tuple[Expression, ...]:
    """Put brackets round factors that need them: sums, and numbers below zero that do not come first."""
    return tuple(
        Grouped(factor)
        if (isinstance(factor, Total) and len(factor.terms) > 1)
        or (place > 0 and isinstance(factor, Number) and factor.text.startswith("−"))
        or isinstance(factor, Signed | Relation)
        else factor
        for place, factor in enumerate(factors)
    )


def _within_fraction(expression: Expression) -> str:
    written = plain(expression)
    compound = (isinstance(expression, Total) and len(expression.terms) > 1) or (
        isinstance(expression, Product | Fraction | Relation | Row)
    )
    return f"({written})" if compound else written
