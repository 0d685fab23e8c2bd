"""Names that leave this computer: pseudonyms from a list that stays on it."""

from __future__ import annotations

import csv
import io
import secrets
from collections.abc import Iterable, Mapping
from pathlib import Path

from cli.marking.errors import PseudonymsError
from cli.outputs import write_atomically

__all__ = ["pseudonyms"]

_LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
"""No letter or figure that is taken for another."""
_LENGTH = 4


def pseudonyms(path: Path, students: Iterable[str]) -> Mapping[str, str]:
    """Give each student's pseudonym; who has none yet gets one, and the list is written back.

    The list is a CSV file with the columns `student` and `pseudonym`. It is made when it is not there, and
    only its owner may read it then.

    Raises
    ------
    PseudonymsError
        When it is not such a list, or gives one pseudonym twice.
    """
    known = _read(path) if path.exists() else {}
    missing = [student for student in students if student not in known]
    for student in missing:
        known[student] = _new(set(known.values()))
    if missing:
        fresh = not path.exists()
        written = io.StringIO()
        csv.writer(written, lineterminator="\n").writerows([("student", "pseudonym"), *known.items()])
        write_atomically(path, written.getvalue().encode())
        if fresh:
            path.chmod(0o600)
    return known


def _read(path: Path) -> dict[str, str]:
    rows = [row for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"))) if any(row)]
    if not rows or [cell.strip().lower() for cell in rows[0]] != ["student", "pseudonym"]:
        raise PseudonymsError(path, 'its first line must be "student,pseudonym".')
    known: dict[str, str] = {}
    for number, row in enumerate(rows[1:], start=2):
        if len(row) != 2 or not row[0].strip() or not row[1].strip():
            raise PseudonymsError(path, f"line {number} is not a name and a pseudonym.")
        name, other = (cell.strip() for cell in row)
        if name in known or other in known.values():
            raise PseudonymsError(path, f"line {number} repeats a name or a pseudonym; each stands once.")
        known[name] = other
    return known


def _new(taken: set[str]) -> str:
    while True:
        found = "".join(secrets.choice(_LETTERS) for _ in range(_LENGTH))
        if found not in taken:
            return found
