"""Where a long equation goes on in the next line: before an equals sign, or before the sign of a term."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from cli.papers.content import Line, text_of
from cli.papers.maths import Expression, Total, Words

__all__ = ["Piece", "SetLine", "set_lines"]

_SIGN = 3
"""Characters of a sign with its spaces."""
_FEWEST = 16
"""Characters that right sides have at least, however long the names on the left are."""


@dataclass(frozen=True)
class Piece:
    """A side of an equation, or a part of one, with what stands before it."""

    sign: str
    """`=` and the like; empty where a sum goes on, which then starts with the sign of its first term."""
    body: Expression


@dataclass(frozen=True)
class SetLine:
    """What stands in one line on paper."""

    left: Expression | None
    """None where the line goes on from the one above."""
    pieces: tuple[Piece, ...]
    """Empty where only the words after an equation stand here."""
    last: bool = False
    """Whether the words after the equation stand here."""


def set_lines(
    lines: tuple[Line, ...], limit: float, *, width_of: Callable[[Expression], float]
) -> tuple[tuple[SetLine, ...], ...]:
    """Break each of a group of equations into lines; a single term is never broken.

    Parameters
    ----------
    lines
        Equations whose first signs will stand in one column.
    limit
        Characters that a line takes.
    width_of
        Characters that an expression takes, as it will be set.
    """
    room = max(limit - max((width_of(line.left) for line in lines), default=0.0), _FEWEST)
    return tuple(_broken(line, room, width_of) for line in lines)


def _broken(line: Line, room: float, width_of: Callable[[Expression], float]) -> tuple[SetLine, ...]:
    rows: list[list[Piece]] = []
    used = room
    for piece in _pieces(line, room, width_of):
        width = width_of(piece.body) + _SIGN
        if not rows or not piece.sign or used + width > room:
            rows.append([])
            used = 0.0
        rows[-1].append(piece)
        used += width
    note = width_of(Words(text_of(line.after))) + _SIGN if line.after != "" else 0.0
    if used + note > room:
        rows.append([])
    found = [SetLine(line.left if number == 0 else None, tuple(row)) for number, row in enumerate(rows)]
    return (*found[:-1], replace(found[-1], last=True))


def _pieces(line: Line, room: float, width_of: Callable[[Expression], float]) -> Iterator[Piece]:
    for number, side in enumerate(line.right):
        sign = "=" if number else line.sign
        if not isinstance(side, Total) or width_of(side) + _SIGN <= room:
            yield Piece(sign, side)
            continue
        start, used = 0, 0.0
        for end, term in enumerate(side.terms):
            width = width_of(term) + _SIGN
            if end > start and used + width > room:
                yield Piece("" if start else sign, Total(side.terms[start:end]))
                start, used = end, 0.0
            used += width
        yield Piece("" if start else sign, Total(side.terms[start:]))
