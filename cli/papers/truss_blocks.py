"""What sheets of every kind say of a truss: the figure to scale, what is assumed, the count, the cautions."""

from __future__ import annotations

from collections.abc import Iterator

from cli.papers.content import Block, Bullets, Caution, Equations, Heading, KeepTogether, Line, Paragraph
from cli.papers.drawings import figure_of
from cli.papers.maths import Expression, Number, Product, Relation, Row, Signed, Symbol, Total
from cli.papers.order import Order
from cli.sheets.figures import truss_figure
from solver import Stability, Truss

__all__ = ["caution_block", "count_blocks", "truss_blocks"]


def caution_block(order: Order) -> Caution:
    """Return the cautions that every sheet carries."""
    common = order.wording.common
    return Caution(common.caution_head, common.cautions)


def truss_blocks(order: Order, truss: Truss) -> Iterator[Block]:
    """Write the idealised truss to scale, and what is assumed of it."""
    words = order.wording.worked
    drawn = truss_figure(truss, settings=order.drawn)
    alt = words.truss_alt.format(joints=len(truss.joints), members=len(truss.members))
    caption = words.truss_caption.format(length=truss.length_unit, force=truss.force_unit)
    yield KeepTogether((Heading(words.truss), figure_of(drawn.drawing, "truss", alt, caption=caption)))
    weight = words.with_weight if truss.weights.any() else words.weightless
    rounding = words.rounding.format(
        force=truss.force_unit, length=truss.length_unit, figures=order.numerals.figures
    )
    items = (*words.assumed, weight, words.signs, rounding)
    yield KeepTogether((Heading(words.assumptions), Bullets(items)))


def count_blocks(order: Order, stability: Stability) -> Iterator[Block]:
    """Write the count of unknowns against equations."""
    words = order.wording.worked
    m, r, j = stability.m, stability.r, stability.j
    unknowns, equations = m + r, 2 * j
    sign = "=" if unknowns == equations else "<" if unknowns < equations else ">"
    numbers = Total((_plus(Number(str(m))), _plus(Number(str(r)))))
    left = Total((_plus(Symbol("m")), _plus(Symbol("r"))))
    sides: tuple[Expression, ...] = (
        numbers,
        Number(str(unknowns)),
        Row((Number("2"), Symbol("j"))),
        Product((Number("2"), Number(str(j)))),
        Number(str(equations)),
    )
    line = Line(left, (Relation(sides, ("=", sign, "=", "=")),))
    text = Paragraph(words.count_text.format(m=m, r=r, j=j))
    verdict = (Paragraph(words.determinate),) if stability.verdict == "determinate" else ()
    yield KeepTogether((Heading(words.count), text, Equations((line,)), *verdict))


def _plus(body: Number | Symbol) -> Signed:
    return Signed(negative=False, body=body)
