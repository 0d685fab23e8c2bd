"""The handout: the forces on the photograph, or on the truss to scale, and their table, on one page."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from cli.papers.content import (
    Block,
    Document,
    Figure,
    Heading,
    Inline,
    KeepTogether,
    Paragraph,
    Strong,
    Table,
    Title,
)
from cli.papers.drawings import figure_of
from cli.papers.notation import Notation
from cli.papers.order import Made, Order
from cli.papers.photographs import overlay_figure
from cli.papers.svg_size import svg_size
from cli.papers.tables import member_table
from cli.papers.truss_blocks import caution_block
from cli.report import members_csv
from cli.sheets.figures import solution_figure
from cli.sheets.free_bodies import force_name
from cli.sheets.palette import SENSES
from cli.strength.model import joint_strengths_of, pieces_of
from solver import Solution, convert_force
from solver.strength import Check, Standing, demand_of, standing_of

__all__ = ["handout"]

_TABLE_COLUMNS = 3
"""Members stand side by side, so that all of thirty joints fit under the picture."""
_LEFT_FOR_PICTURE = 545.0
"""Points of the height of a page of US letter, the lower paper: what title, legend and cautions leave."""
_ROW, _ABOVE_TABLE, _HEADING = 14.4, 30.0, 34.0
"""Points of height of a row of a table, of its caption and distances, and of a heading above it."""
_SMALLEST = 150.0
"""Points of height below which a picture shows nothing; then the sheet takes another page."""
_RANKED = 6
"""Members and joints in the ranking: what gives way first is wanted, not all."""


def handout(order: Order) -> Made:
    """Make the handout of a model.

    Raises
    ------
    FaultsError, SurveyError, SolverError
        As `cli.job.solve_model` does.
    """
    photo, remarks = order.photo
    solved, words = order.solved, order.wording.handout
    solution = solved.solution
    notation = Notation.of(solution, order.numerals)
    caption = words.table_caption.format(unit=solution.truss.force_unit)
    tables: list[Block] = [
        member_table(solution, notation, order.wording, columns=_TABLE_COLUMNS, caption=caption),
        *_ranking(order, solution),
    ]
    room = max(_SMALLEST, _LEFT_FOR_PICTURE - sum(_height(block) for block in tables))
    blocks: list[Block] = [Title(order.title, words.kind)]
    if photo is None:
        drawn = solution_figure(solution, settings=order.drawn)
        blocks.append(_fitting(figure_of(drawn.drawing, "forces", words.no_picture_alt), room))
        blocks.append(_legend(order, solution))
    else:
        figure = overlay_figure(
            photo,
            order.model,
            solution,
            wording=order.wording,
            numerals=order.numerals,
            alt=words.overlay_alt,
        )
        blocks.append(_fitting(figure, room))
    blocks += [*tables, caution_block(order)]
    foot = f"{order.title} · {words.kind}"
    return Made(
        Document(f"{order.title}: {words.kind}", tuple(blocks), order.language, foot),
        (*remarks, *solved.remarks),
        members=members_csv(solution),
    )


def _height(block: Block) -> float:
    """Return how high a table is, with its heading if it has one."""
    match block:
        case Table():
            return _ROW * (len(block.rows) + 1) + _ABOVE_TABLE
        case KeepTogether(inner):
            return sum(_height(part) for part in inner)
        case _:
            return _HEADING


def _fitting(figure: Figure, room: float) -> Figure:
    """Make a figure so narrow that it is not taller than what is left of the page."""
    width, height = svg_size(figure.svg)
    return replace(figure, width=min(figure.width or width, room * width / height))


def _legend(order: Order, solution: Solution) -> Block:
    """Say what the letters at the members mean, in their colours."""
    common = order.wording.common
    meanings = {"T": common.tension, "C": common.compression, "0": common.zero, "?": common.unsure}
    found: list[Inline] = []
    for sense, style in SENSES.items():
        if sense in solution.senses:
            found += [Strong(style.suffix, sense), f" {meanings[sense]}\N{EM SPACE}"]
    return Paragraph(tuple(found))


def _ranking(order: Order, solution: Solution) -> Iterator[Block]:
    """Write what gives way first, where the model says what its members are made of."""
    if not order.model.members or any(member.stock is None for member in order.model.members):
        return
    words = order.wording.handout
    pieces = pieces_of(order.model)
    demand = demand_of(solution.truss, pieces)
    glued = joint_strengths_of(order.model, pieces)
    standing = standing_of(demand, pieces, joint_strengths=glued, curve="least")
    unit = solution.truss.force_unit
    rows = tuple(
        (_name(check), *_numbers(order, check, unit), words.modes[check.capacity.mode])
        for check in _first(standing)
    )
    what, force, holds, used, by = words.ranking_heads
    head = (what, force.format(unit=unit), holds.format(unit=unit), used, by)
    yield KeepTogether(
        (Heading(words.ranking, 2), Table(head, rows, "lrrrl", words.ranking_caption, "ranking"))
    )


def _name(check: Check) -> str:
    """Return the name of a member as the other table has it, or of a joint."""
    return force_name(check.joints) if len(check.joints) > 1 else check.name


def _first(standing: Standing) -> tuple[Check, ...]:
    return tuple(check for check in standing.ranking if math.isfinite(check.load_factor))[:_RANKED]


def _numbers(order: Order, check: Check, unit: str) -> tuple[str, str, str]:
    """Return the force in a member or joint, what it holds, and the share of it that is used."""
    force, holds = (
        order.numerals.number(convert_force(newtons, "N", unit))
        for newtons in (check.force, check.capacity.force)
    )
    return force, holds, f"{check.utilization:.0%}".replace("%", " %")
