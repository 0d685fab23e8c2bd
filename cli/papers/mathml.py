"""Writing mathematics as MathML, for browsers and for readers that speak it."""

from __future__ import annotations

from xml.sax.saxutils import escape

from cli.papers.breaking import Piece, set_lines
from cli.papers.content import Line, Running
from cli.papers.maths import (
    Expression,
    Fraction,
    Function,
    Grouped,
    Number,
    Power,
    Product,
    Relation,
    Root,
    Row,
    Signed,
    Symbol,
    Total,
    Unit,
    Words,
    bracketed,
    extent,
)

__all__ = ["equation_rows", "inline_maths"]

_SPACE = '<mspace width="0.2em"/>'
_WIDEST = 92
"""Characters of a line of mathematics on a page as wide as this house sets it."""


def inline_maths(expression: Expression) -> str:
    """Return mathematics within a line of text."""
    return f"<math>{_maths(expression)}</math>"


def equation_rows(lines: tuple[Line, ...]) -> tuple[tuple[str, str, Running], ...]:
    """Return the rows of a group of equations: left side, sign and right side, and the words after it."""
    rows: list[tuple[str, str, Running]] = []
    for line, group in zip(lines, set_lines(lines, _WIDEST, width_of=extent), strict=True):
        for row in group:
            left = "" if row.left is None else _maths(row.left)
            rows.append(
                (left, "".join(_piece(piece) for piece in row.pieces), line.after if row.last else "")
            )
    return tuple(rows)


def _piece(piece: Piece) -> str:
    if piece.sign:
        return _operator(piece.sign) + _maths(piece.body)
    assert isinstance(piece.body, Total)
    return '<mspace width="1.6em"/>' + _terms(piece.body.terms, first_sign=True)


def _operator(sign: str) -> str:
    return f"<mo>{escape(sign)}</mo>"


def _maths(expression: Expression) -> str:  # noqa: C901, PLR0912 (one case a kind)
    match expression:
        case Number(text):
            minus = "<mo form='prefix'>−</mo>" if text.startswith("−") else ""
            digits = f"<mn>{escape(text.removeprefix('−'))}</mn>"
            written = f"<mrow>{minus}{digits}</mrow>" if minus else digits
        case Symbol(name, index):
            letter = f"<mi>{escape(name.removeprefix('Σ'))}</mi>"
            if name.startswith("Σ"):
                letter = f'<mrow><mi mathvariant="normal">Σ</mi>{letter}</mrow>'
            written = f"<msub>{letter}<mtext>{escape(index)}</mtext></msub>" if index else letter
        case Unit(text):
            written = ("" if text == "°" else _SPACE) + f"<mtext>{escape(text)}</mtext>"
        case Words(text, sense):
            colour = f' class="{_SENSE_CLASS[sense]}"' if sense else ""
            written = f"<mtext{colour}>{escape(_hard_spaces(text))}</mtext>"
        case Signed():
            written = f"<mrow>{_terms((expression,), first_sign=False)}</mrow>"
        case Total(terms):
            written = f"<mrow>{_terms(terms, first_sign=False) if terms else '<mn>0</mn>'}</mrow>"
        case Product(factors):
            written = f"<mrow>{'<mo>·</mo>'.join(_maths(factor) for factor in bracketed(factors))}</mrow>"
        case Fraction(top, bottom):
            written = f"<mfrac><mrow>{_maths(top)}</mrow><mrow>{_maths(bottom)}</mrow></mfrac>"
        case Grouped(inside):
            written = f"<mrow><mo>(</mo>{_maths(inside)}<mo>)</mo></mrow>"
        case Function(name, of):
            written = f"<mrow><mi>{escape(name)}</mi><mo>(</mo>{_maths(of)}<mo>)</mo></mrow>"
        case Power(base, exponent):
            written = f"<msup>{_maths(bracketed((base,))[0])}<mn>{exponent}</mn></msup>"
        case Root(inside):
            written = f"<msqrt>{_maths(inside)}</msqrt>"
        case Relation(sides, signs):
            written = _maths(sides[0])
            for sign, side in zip(signs, sides[1:], strict=True):
                written += _operator(sign) + _maths(side)
            written = f"<mrow>{written}</mrow>"
        case Row(parts):
            written = f"<mrow>{''.join(_maths(part) for part in parts)}</mrow>"
    return written


_SENSE_CLASS = {"T": "tension", "C": "compression", "0": "zero", "?": "unsure"}


def _hard_spaces(text: str) -> str:
    """Keep the spaces at the ends of words within mathematics, which MathML would drop."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def _terms(terms: tuple[Signed, ...], *, first_sign: bool) -> str:
    written = ""
    for place, term in enumerate(terms):
        if place > 0 or first_sign:
            written += f"<mo>{'−' if term.negative else '+'}</mo>"
        elif term.negative:
            written += "<mo form='prefix'>−</mo>"
        written += _maths(term.body)
    return written
