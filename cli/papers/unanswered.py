"""The sheet of a truss without a unique answer: it shows the count and says why, instead of forces."""

from __future__ import annotations

from collections.abc import Iterator

from cli.papers.content import Block, Heading, KeepTogether, Paragraph
from cli.papers.drawings import figure_of
from cli.papers.order import Order
from cli.papers.truss_blocks import count_blocks, truss_blocks
from cli.sheets.figures import motion_figure
from cli.stability_words import no_answer_words
from cli.translate.places import place
from cli.translate.to_truss import truss_of
from solver import Stability

__all__ = ["unanswered"]

_WAYS_DRAWN = 3
"""Ways of moving that are drawn, as many as are told in words."""


def unanswered(order: Order, stability: Stability) -> Iterator[Block]:
    """Write the truss, its count, what moves or is too much, and the cure."""
    words = order.wording.worked
    truss = truss_of(order.model, place(order.model).at)
    yield from truss_blocks(order, truss)
    yield from count_blocks(order, stability)
    reason = Paragraph(no_answer_words(stability, order.wording))
    moves = [
        motion_figure(truss, movement.displacements, title=words.motion_alt, settings=order.drawn)
        for movement in stability.movements[:_WAYS_DRAWN]
    ]
    figures = tuple(
        figure_of(drawn.drawing, f"motion-{number}", words.motion_alt, caption=words.motion_caption)
        for number, drawn in enumerate(moves, start=1)
    )
    yield KeepTogether((Heading(words.no_answer), reason, *figures[:1]))
    yield from figures[1:]
    yield Paragraph(words.no_answer_text)
