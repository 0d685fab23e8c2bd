"""How forces, lengths and equations of a solution are written: from numbers to mathematics."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from cli.papers.content import Line
from cli.papers.maths import (
    Expression,
    Fraction,
    Number,
    Product,
    Row,
    Signed,
    Symbol,
    Total,
    Unit,
    Words,
)
from cli.sheets.free_bodies import force_name, reaction_index
from cli.sheets.numerals import Numerals
from cli.sheets.palette import SENSES
from solver import Solution, Truss, joint_loads
from solver.steps import Equation, Quantity, Result, Term

__all__ = ["Notation"]

_DUST = 1e-9
"""Of the largest load: what rounding leaves of an exact zero."""


_LONG_SUM = 6
"""Terms of a sum beyond which only its value goes over to the other side: the sum itself stands above it."""


@dataclass(frozen=True, eq=False)
class Notation:
    """Writes the numbers of one truss."""

    truss: Truss
    numerals: Numerals
    small: float
    """Force units; less than this is written as 0."""
    senses: Mapping[frozenset[str], str]
    """`T`, `C`, `0` or `?` by the ends of a member: what a step finds may still be of unsure sign."""

    @classmethod
    def of(cls, solution: Solution, numerals: Numerals) -> Notation:
        """Return the notation of a solved truss: forces far below its largest load are nothing."""
        truss = solution.truss
        senses = {
            frozenset((member.start, member.end)): sense
            for member, sense in zip(truss.members, solution.senses, strict=True)
        }
        small = _DUST * float(np.abs(joint_loads(truss)).max(initial=0.0))
        return cls(truss, numerals, small, senses)

    def force(self, value: float) -> str:
        """Write a force that was found, rounded to the set figures."""
        return "0" if abs(value) <= self.small else self.numerals.number(value)

    def given(self, value: float) -> str:
        """Write a length, a cosine or a force that was given, as short as it is."""
        return self.numerals.given(value)

    def measured(self, value: float, unit: str) -> Expression:
        """Write a force that was found, with its unit."""
        return Row((Number(self.force(value)), Unit(unit)))

    def symbol(self, quantity: Quantity) -> Symbol:
        """Write the letter of a force: F and the ends of its member; a joint's name and x, y or n."""
        if quantity.kind == "member":
            return Symbol("F", force_name(quantity.joints))
        return Symbol(quantity.joints[0], reaction_index(self.truss, quantity))

    def member(self, joints: tuple[str, ...]) -> str:
        """Write the name of a member in words: AB, or L0–L1."""
        return force_name(joints)

    def head(self, equation: Equation) -> Symbol:
        """Write what an equation sums: ΣF with its direction, or ΣM with its centre."""
        if equation.kind == "moment":
            return Symbol("ΣM", equation.about or "O")
        return Symbol("ΣF", {"x": "x", "y": "y"}.get(equation.kind, "s"))

    def equation(self, equation: Equation) -> Line:
        """Write a sum with what is known put in: ΣF_x = −8 + 0.8·F_AC = 0."""
        total = self.total(equation.terms, equation)
        return Line(self.head(equation), (total, Number("0")) if total.terms else (total,))

    def total(self, terms: tuple[Term, ...], equation: Equation) -> Total:
        """Write terms of an equation as a sum."""
        return Total(tuple(self._term(term, equation) for term in terms if not self._nothing(term)))

    def answer(self, equation: Equation, result: Result, unit: str) -> Line | None:
        """Write how an equation of one unknown is solved for it; none where it holds others too."""
        unknown = [term for term in equation.terms if term.value is None]
        if len(unknown) != 1 or unknown[0].quantity != result.quantity:
            return None
        known = [term for term in equation.terms if term.value is not None and not self._nothing(term)]
        steps: tuple[Expression, ...] = ()
        factor = unknown[0].factor
        if known:
            # The unknown stays on its side, the rest goes over with its sign turned.
            turned = Total(
                tuple(
                    Signed(term.negative != (factor > 0), term.body)
                    for term in (self._term(term, equation) for term in known)
                )
            )
            size = self.given(abs(factor))
            if len(known) > _LONG_SUM:
                total = -sum(term.factor * (term.value or 0.0) for term in known) * (1 if factor > 0 else -1)
                turned = Total((Signed(total < 0, Number(self.given(abs(total)))),))
            steps = (turned if size == "1" else Fraction(turned, Number(size)),)
            if size == "1" and (len(known) == 1 or len(known) > _LONG_SUM) and equation.kind != "moment":
                # It would be the same number twice.
                steps = ()
        return Line(self.symbol(result.quantity), (*steps, self.result(result, unit)))

    def result(self, result: Result, unit: str) -> Expression:
        """Write what was found, with its unit and, for a member, T or C."""
        value = self.measured(result.value, unit)
        sense = self.senses.get(frozenset(result.quantity.joints), "")
        if result.quantity.kind != "member" or sense == "0":
            return value
        return Row((value, Words(f" {SENSES[sense].suffix}", sense)))

    def _nothing(self, term: Term) -> bool:
        return term.value is not None and abs(term.factor * term.value) <= self.small * max(
            1.0, abs(term.factor)
        )

    def _term(self, term: Term, equation: Equation) -> Signed:
        size = self.given(abs(term.factor))
        alone = size == "1" and equation.kind != "moment"
        if term.value is None:
            symbol = self.symbol(term.quantity)
            return Signed(term.factor < 0, symbol if alone else Product((Number(size), symbol)))
        write = self.given if term.quantity.kind == "load" else self.force
        number = Number(write(abs(term.value)))
        negative = (term.factor < 0) != (term.value < 0)
        return Signed(negative, number if alone else Product((Number(size), number)))
