"""Reactions and member forces in fractions and roots, from the numbers as they are printed.

Unknown is each member's force per length, and each roller's reaction per length of its normal: the equations
of equilibrium then hold nothing but fractions, and a root enters only when a force per length is multiplied
by the member's length.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from solver.errors import QuestionError
from solver.practice.surd import Surd, root_of
from solver.truss import Truss

__all__ = ["ExactSolution", "fraction_of", "solve_exactly"]

Pair = tuple[Fraction, Fraction]
Row = dict[int, Fraction]
_LOAD = -1
"""Column of the known side."""


@dataclass(frozen=True)
class ExactSolution:
    """Forces without any rounding."""

    forces: tuple[Surd, ...]
    """Force units, tension positive, in the order of `truss.members`."""
    reactions: tuple[Pair, ...]
    """Force units, right and up, in the order of `truss.supports`."""


def fraction_of(value: float) -> Fraction:
    """Return a number as it is written: 0.1 is one tenth, not the double next to it."""
    return Fraction(repr(float(value)))


def solve_exactly(truss: Truss) -> ExactSolution:
    """Find reactions and member forces in fractions and roots.

    Parameters
    ----------
    truss : Truss
        A determinate truss. Its numbers are taken as they are written in decimals.

    Returns
    -------
    ExactSolution

    Raises
    ------
    QuestionError
        When its loads are no fractions (a weight along a member whose length is a root), or equilibrium does
        not give one answer.
    """
    at = [(fraction_of(joint.x), fraction_of(joint.y)) for joint in truss.joints]
    spans = [_between(at[start], at[end]) for start, end in truss.ends.tolist()]
    normals = [(fraction_of(x), fraction_of(y)) for x, y in (item.normal for item in truss.supports)]
    rows: list[Row] = [{} for _ in range(2 * len(at))]
    for column, (start, end) in enumerate(truss.ends.tolist()):
        for axis in (0, 1):
            rows[2 * start + axis][column] = spans[column][axis]
            rows[2 * end + axis][column] = -spans[column][axis]
    column = len(spans)
    for support, normal in zip(truss.supports, normals, strict=True):
        row = 2 * truss.row[support.joint]
        if support.kind == "pin":
            rows[row][column], rows[row + 1][column + 1] = Fraction(1), Fraction(1)
            column += 2
        else:
            rows[row][column], rows[row + 1][column] = normal
            column += 1
    for joint, force in _loads(truss, at):
        for axis in (0, 1):
            equation = rows[2 * joint + axis]
            equation[_LOAD] = equation.get(_LOAD, Fraction(0)) - force[axis]
    unknowns = _eliminate([{key: value for key, value in row.items() if value} for row in rows], column)
    forces = tuple(
        root_of(run * run + rise * rise) * unknown
        for (run, rise), unknown in zip(spans, unknowns[: len(spans)], strict=True)
    )
    reactions: list[Pair] = []
    place = len(spans)
    for support, normal in zip(truss.supports, normals, strict=True):
        if support.kind == "pin":
            reactions.append((unknowns[place], unknowns[place + 1]))
            place += 2
        else:
            reactions.append((unknowns[place] * normal[0], unknowns[place] * normal[1]))
            place += 1
    return ExactSolution(forces, tuple(reactions))


def _between(start: Pair, end: Pair) -> Pair:
    return end[0] - start[0], end[1] - start[1]


def _length(span: Pair) -> Fraction:
    length = root_of(span[0] ** 2 + span[1] ** 2)
    if length.radicand != 1:
        raise QuestionError(
            "A load spread along a sloping length that is a root is no fraction: its forces are not exact."
        )
    return length.coefficient


def _loads(truss: Truss, at: list[Pair]) -> Iterator[tuple[int, Pair]]:
    """Give what acts on each joint, as `solver.loads` does, in fractions."""
    for load in truss.loads:
        yield truss.row[load.joint], (fraction_of(load.fx), fraction_of(load.fy))
    for member, (start, end) in zip(truss.members, truss.ends.tolist(), strict=True):
        if member.weight:
            half = fraction_of(member.weight) * _length(_between(at[start], at[end])) / 2
            yield start, (Fraction(0), -half)
            yield end, (Fraction(0), -half)
    for deck in truss.deck_loads:
        force = fraction_of(deck.fx), fraction_of(deck.fy)
        rows = [truss.row[name] for name in deck.joints]
        for first, second in pairwise(rows):
            half = _length(_between(at[first], at[second])) / 2
            yield first, (half * force[0], half * force[1])
            yield second, (half * force[0], half * force[1])
    for between in truss.member_loads:
        start, end = truss.row[between.start], truss.row[between.end]
        share = fraction_of(between.distance) / _length(_between(at[start], at[end]))
        force = fraction_of(between.fx), fraction_of(between.fy)
        yield start, (force[0] * (1 - share), force[1] * (1 - share))
        yield end, (force[0] * share, force[1] * share)


def _eliminate(rows: list[Row], unknowns: int) -> list[Fraction]:
    """Solve by Gauss-Jordan on sparse rows, shortest row first so that few new terms arise."""
    waiting = list(rows)
    solved: list[tuple[int, Row]] = []
    while waiting:
        waiting.sort(key=len)
        row = waiting.pop(0)
        columns = [column for column in row if column != _LOAD]
        if not columns:
            if row:
                raise QuestionError("Equilibrium does not hold: the truss moves under its loads.")
            continue
        pivot = min(columns, key=lambda column: (sum(column in other for other in waiting), column))
        size = row[pivot]
        row = {column: value / size for column, value in row.items()}
        waiting = [_without(other, pivot, row) for other in waiting]
        solved.append((pivot, row))
    if len(solved) < unknowns:
        raise QuestionError("Equilibrium alone does not give one answer for this truss.")
    values: dict[int, Fraction] = {}
    for pivot, row in reversed(solved):
        known = row.get(_LOAD, Fraction(0))
        others = (value * values[column] for column, value in row.items() if column not in (pivot, _LOAD))
        values[pivot] = known - sum(others, Fraction(0))
    return [values[column] for column in range(unknowns)]


def _without(row: Row, pivot: int, by: Row) -> Row:
    """Take a multiple of one equation from another so that an unknown drops out."""
    if pivot not in row:
        return row
    factor = row[pivot]
    result = dict(row)
    for column, value in by.items():
        rest = result.get(column, Fraction(0)) - factor * value
        if rest:
            result[column] = rest
        else:
            result.pop(column, None)
    return result
