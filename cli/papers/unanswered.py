"""The sheet of a truss without a unique answer: it shows the count and says why, instead of forces."""

from __future__ import annotations

from collections.abc import Iterator

from cli.papers.content import Block, Heading, Paragraph
from cli.papers.order import Order
from cli.papers.truss_blocks import count_blocks, truss_blocks
from cli.stability_words import no_answer_words
from cli.translate import place, truss_of
from solver import Stability

__all__ = ["unanswered"]


def unanswered(order: Order, stability: Stability) -> Iterator[Block]:
    """Write the truss, its count, what moves or is too much, and the cure."""
    words = order.wording.worked
    truss = truss_of(order.model, place(order.model).at)
    yield from truss_blocks(order, truss)
    yield from count_blocks(order, stability)
    yield Heading(words.no_answer)
    yield Paragraph(no_answer_words(stability, order.wording))
    yield Paragraph(words.no_answer_text)
