"""Where a long equation goes on in the next line: before an equals sign, or before the sign of a term."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from cli.papers.content import Line
from cli.papers.maths import Expression, Total, plain

__all__ = ["Piece", "SetLine", "set_lines"]


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
    last: bool
    """Whether the words after the equation stand here."""


def set_lines(line: Line, limit: int) -> tuple[SetLine, ...]:
    """Break one equation into lines of about `limit` characters; a single term is never broken."""
    room = max(limit - len(plain(line.left)), limit // 3)
    rows: list[list[Piece]] = []
    used = room
    for piece in _pieces(line, room):
        width = len(plain(piece.body)) + 3
        if not rows or not piece.sign or used + width > room:
            rows.append([])
            used = 0
        rows[-1].append(piece)
        used += width
    return tuple(
        SetLine(line.left if number == 0 else None, tuple(row), last=number == len(rows) - 1)
        for number, row in enumerate(rows)
    )


def _pieces(line: Line, room: int) -> Iterator[Piece]:
    for number, side in enumerate(line.right):
        sign = "=" if number else line.sign
        if not isinstance(side, Total) or len(plain(side)) <= room:
            yield Piece(sign, side)
            continue
        start, used = 0, 0
        for end, term in enumerate(side.terms):
            width = len(plain(term)) + 3
            if end > start and used + width > room:
                yield Piece("" if start else sign, Total(side.terms[start:end]))
                start, used = end, 0
            used += width
        yield Piece("" if start else sign, Total(side.terms[start:]))
