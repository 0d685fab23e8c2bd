"""Results as text, JSON and CSV. Rounding is for the eye: JSON carries full precision, CSV twelve figures."""

from __future__ import annotations

import csv
import dataclasses
import io
import textwrap
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cli.cautions import CAUTIONS
from cli.model.readable_json import readable_json
from cli.sheets.numerals import Numerals
from solver import Solution, Stability

__all__ = [
    "aligned",
    "count_text",
    "members_csv",
    "no_solution_json",
    "solution_json",
    "solution_text",
    "wrapped",
]

TEXT_WIDTH = 100
"""Characters of a line of running text."""
NUMERALS = Numerals(figures=4)
DUST = 1e-9
"""Of the largest load: what rounding leaves of an exact zero, some digits above the machine's own."""
ERROR_NUMERALS = Numerals(figures=2)
"""A standard error is itself known to a figure or two."""
FIXED_BY_LENGTHS = "The given lengths fix the shape, so picking the joints from the picture moves no force."
SENSES = {"T": "T", "C": "C", "0": "0", "?": "? (sign not certain at two standard errors)"}


def count_text(stability: Stability) -> str:
    """Return the verdict and the counting rule as arithmetic."""
    left, right = stability.m + stability.r, 2 * stability.j
    sign = "=" if left == right else "<" if left < right else ">"
    return (
        f"Statically {stability.verdict}: m + r = {stability.m} + {stability.r} = {left} {sign} "
        f"2j = 2 × {stability.j} = {right}."
        if stability.verdict in {"determinate", "indeterminate"}
        else f"{stability.verdict.capitalize()}: m + r = {stability.m} + {stability.r} = {left} {sign} "
        f"2j = 2 × {stability.j} = {right}."
    )


def solution_text(solution: Solution, *, title: str | None) -> str:
    """Return verdict, reactions, member table and cautions.

    Parameters
    ----------
    solution
        The answer.
    title
        What the truss is called.
    """
    unit = solution.truss.force_unit
    reactions = [("joint", "support", "right", "up")] + [
        (reaction.joint, reaction.kind, _number(reaction.fx, solution), _number(reaction.fy, solution))
        for reaction in solution.reactions
    ]
    errors = _errors(solution)
    with_errors = errors is not None
    head = ("member", "force", *(("±",) if with_errors else ()), "T or C")
    members: list[tuple[str, ...]] = [head]
    for row, member in enumerate(solution.truss.members):
        error = () if errors is None else (_error(errors[row], solution),)
        force = "0" if solution.senses[row] == "0" else _number(solution.forces[row], solution)
        members.append((f"{member.start}-{member.end}", force, *error, SENSES[solution.senses[row]]))
    parts = [
        *([title, ""] if title else []),
        count_text(solution.stability),
        "",
        f"Reactions: force of the support on the truss, in {unit}, right and up positive",
        *aligned(reactions, left=(0, 1)),
        "",
        f"Members: force in {unit}, tension positive" + (", ± one standard error" if with_errors else ""),
        *aligned(members, left=(0, len(head) - 1)),
        *([FIXED_BY_LENGTHS] if solution.force_errors is not None and errors is None else []),
        "",
        *(line for caution in CAUTIONS for line in wrapped(caution)),
    ]
    return "\n".join(parts) + "\n"


def _errors(solution: Solution) -> NDArray[np.float64] | None:
    """Return the standard errors of the forces, none where there are none or all of them are dust."""
    errors = solution.force_errors
    dust = solution.checks.largest_load * DUST
    return None if errors is None or float(errors.max(initial=0.0)) <= dust else errors


def _number(value: float, solution: Solution) -> str:
    """Write a force; what is only the dust of arithmetic is written as 0."""
    return "0" if abs(value) <= solution.checks.largest_load * DUST else NUMERALS.number(float(value))


def _error(value: float, solution: Solution) -> str:
    """Write a standard error; what is only the dust of arithmetic is written as 0."""
    return "0" if value <= solution.checks.largest_load * DUST else ERROR_NUMERALS.number(float(value))


def wrapped(text: str) -> list[str]:
    """Return running text as lines; names of members such as A-B are never broken."""
    return textwrap.wrap(text, TEXT_WIDTH, break_on_hyphens=False)


def aligned(rows: Sequence[Sequence[str]], *, left: Iterable[int]) -> list[str]:
    """Return the rows as lines with the columns in `left` set left and the others set right."""
    to_left = set(left)
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return [
        "  "
        + "  ".join(
            cell.ljust(width) if column in to_left else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]


def _verdict(stability: Stability) -> dict[str, Any]:
    count = {
        "m": stability.m,
        "r": stability.r,
        "j": stability.j,
        "mechanisms": stability.mechanisms,
        "self_stress": stability.self_stress,
    }
    return {"verdict": stability.verdict, "count": count}


def solution_json(solution: Solution, *, remarks: Sequence[str]) -> str:
    """Return the answer as one JSON object; its keys are stable, more may be added.

    Parameters
    ----------
    solution
        The answer.
    remarks
        Sentences for the person, which become `warnings`.
    """
    errors = solution.force_errors
    document = {
        **_verdict(solution.stability),
        "reactions": [
            {"joint": reaction.joint, "force": [reaction.fx, reaction.fy]} for reaction in solution.reactions
        ],
        "members": [
            {
                "joints": [member.start, member.end],
                "force": float(solution.forces[row]),
                "sense": solution.senses[row],
                "error": None if errors is None else float(errors[row]),
                "zero_by_inspection": bool(solution.zero_by_inspection[row]),
            }
            for row, member in enumerate(solution.truss.members)
        ],
        "units": {"length": solution.truss.length_unit, "force": solution.truss.force_unit},
        "checks": {**dataclasses.asdict(solution.checks), "passed": solution.checks.passed},
        "warnings": list(remarks),
    }
    return readable_json(document)


def no_solution_json(
    stability: Stability, *, length_unit: str, force_unit: str, remarks: Sequence[str]
) -> str:
    """Return the verdict on a truss without a unique answer, in the same object, without forces.

    Parameters
    ----------
    stability
        Why there is no answer.
    length_unit, force_unit
        Of the model.
    remarks
        Sentences for the person, the reason first.
    """
    document = {
        **_verdict(stability),
        "reactions": [],
        "members": [],
        "units": {"length": length_unit, "force": force_unit},
        "checks": {},
        "warnings": list(remarks),
    }
    return readable_json(document)


def members_csv(solution: Solution) -> str:
    """Return the member table as CSV (RFC 4180), twelve significant figures, tension positive."""
    table = io.StringIO()
    writer = csv.writer(table)
    unit = solution.truss.force_unit
    writer.writerow(
        ["start", "end", f"force [{unit}]", "sense", f"standard error [{unit}]", "zero by inspection"]
    )
    for row, member in enumerate(solution.truss.members):
        error = "" if solution.force_errors is None else _in_table(solution.force_errors[row])
        zero = "yes" if solution.zero_by_inspection[row] else "no"
        writer.writerow(
            [member.start, member.end, _in_table(solution.forces[row]), solution.senses[row], error, zero]
        )
    return table.getvalue()


def _in_table(value: float) -> str:
    """Write a number without the last digits, which are only the rounding of arithmetic."""
    return f"{float(value):.12g}"
