"""Tables of what was found: forces in members, reactions."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cli.papers.content import Running, Strong, Table
from cli.papers.notation import Notation
from cli.sheets.numerals import Numerals
from cli.sheets.palette import SENSES
from cli.wording import Wording
from solver import Solution

__all__ = ["errors_of", "member_table", "reaction_table"]

_ERROR_FIGURES = 2
"""A standard error is itself known to a figure or two."""


def errors_of(solution: Solution, notation: Notation) -> NDArray[np.float64] | None:
    """Return the standard errors of the forces, none where there are none or all of them are nothing."""
    errors = solution.force_errors
    return None if errors is None or float(errors.max(initial=0.0)) <= notation.small else errors


def member_table(
    solution: Solution, notation: Notation, wording: Wording, *, columns: int = 1, caption: str
) -> Table:
    """Return the force of every member, with its error where there is one, in one or several columns.

    The caption says the unit: heads of many columns have no room for it.
    """
    common = wording.common
    errors = errors_of(solution, notation)
    head: tuple[Running, ...] = (common.member, common.force)
    if errors is not None:
        head = (*head, common.error)
    head = (*head, common.sense)
    align = "lr" + ("r" if errors is not None else "") + "l"
    rough = Numerals(_ERROR_FIGURES, notation.numerals.decimal)
    cells: list[tuple[Running, ...]] = []
    for row, member in enumerate(solution.truss.members):
        sense = solution.senses[row]
        force = "0" if sense == "0" else notation.force(float(solution.forces[row]))
        spread: tuple[Running, ...] = ()
        if errors is not None:
            spread = ("0" if errors[row] <= notation.small else rough.number(float(errors[row])),)
        mark = Strong(SENSES[sense].suffix.strip("()"), sense)
        cells.append((notation.member((member.start, member.end)), force, *spread, mark))
    length = -(-len(cells) // columns)
    blank: tuple[Running, ...] = ("",) * len(head)
    parts = [cells[start : start + length] for start in range(0, len(cells), length)]
    rows = tuple(
        tuple(cell for part in parts for cell in (part[row] if row < len(part) else blank))
        for row in range(length)
    )
    return Table(head * len(parts), rows, align * len(parts), caption, name="members")


def reaction_table(solution: Solution, notation: Notation, wording: Wording) -> Table:
    """Return the force of every support on the truss."""
    common = wording.common
    unit = solution.truss.force_unit
    kinds = {"pin": common.pin, "roller": common.roller}
    rows = tuple(
        (item.joint, kinds[item.kind], notation.force(item.fx), notation.force(item.fy))
        for item in solution.reactions
    )
    head = (common.joint, common.support, common.right_in.format(unit=unit), common.up_in.format(unit=unit))
    return Table(head, rows, "llrr", wording.worked.reactions_caption, name="reactions")
