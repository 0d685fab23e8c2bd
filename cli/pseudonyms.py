"""Pseudonyms from a list that stays on this computer: who is who is in that list and nowhere else.

The list is a CSV file (RFC 4180, UTF-8) with the columns `name` and `pseudonym`. Names that are not in it yet
get a pseudonym by chance and are added, so that the next run gives the same.
"""

from __future__ import annotations

import csv
import io
import secrets
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from cli.errors import PseudonymsError
from cli.outputs import write_atomically

__all__ = ["Pseudonyms", "pseudonyms_for"]

COLUMNS = ["name", "pseudonym"]
_LETTERS = "BCDFGHJKMNPQRSTVWXYZ23456789"
"""Letters and digits that are not taken for each other; without vowels they make no words."""
_OWNER_ONLY = 0o600
"""Permissions of a list that is made here: it is nobody else's business."""
_LENGTH = 6
"""480 million pseudonyms: none is met twice by chance in a large course, and this is checked anyway."""


@dataclass(frozen=True)
class Pseudonyms:
    """Who is called what."""

    by_name: dict[str, str]

    def shown(self, name: str) -> str:
        """Return the pseudonym of a sheet; its name in the list is with or without folder and suffix."""
        return next(self.by_name[one] for one in _spellings(name) if one in self.by_name)


def _spellings(name: str) -> tuple[str, ...]:
    path = PurePosixPath(name)
    return name, path.name, path.stem


def pseudonyms_for(
    path: Path, names: Iterable[str], *, spellings: Callable[[str], tuple[str, ...]] = _spellings
) -> Pseudonyms:
    """Read the list, add who is not in it yet, and keep it.

    Parameters
    ----------
    path
        The list; made when it is not there.
    names
        Of all sheets.
    spellings
        Ways in which a name may stand in the list; of a file with or without folder and suffix.

    Raises
    ------
    PseudonymsError
        When the file is no such list, or gives two names one pseudonym.
    OSError
        When it cannot be read or written.
    """
    known = _read(path) if path.exists() else {}
    taken = set(known.values())
    added: dict[str, str] = {}
    for name in names:
        if not any(one in known for one in spellings(name)):
            added[name] = _fresh(taken)
            taken.add(added[name])
    everybody = known | added
    if added:
        fresh = not path.exists()
        text = io.StringIO()
        writer = csv.writer(text)
        writer.writerows([COLUMNS, *sorted(everybody.items())])
        write_atomically(path, text.getvalue().encode())
        if fresh:
            path.chmod(_OWNER_ONLY)
    return Pseudonyms(everybody)


def _fresh(taken: set[str]) -> str:
    while True:
        pseudonym = "".join(secrets.choice(_LETTERS) for _ in range(_LENGTH))
        if pseudonym not in taken:
            return pseudonym


def _read(path: Path) -> dict[str, str]:
    try:
        rows = list(csv.reader(io.StringIO(path.read_text("utf-8-sig"), newline="")))
    except UnicodeDecodeError:
        raise PseudonymsError(path, "is not a text in UTF-8") from None
    if not rows or [cell.strip().lower() for cell in rows[0]] != COLUMNS:
        raise PseudonymsError(path, 'does not begin with the line "name,pseudonym"')
    known: dict[str, str] = {}
    whose: dict[str, str] = {}
    for number, row in enumerate(rows[1:], start=2):
        cells = [cell.strip() for cell in row]
        if not any(cells):
            continue
        if len(cells) != 2 or not all(cells):
            raise PseudonymsError(path, f"has no name and pseudonym in line {number}")
        name, pseudonym = cells
        if name in known:
            raise PseudonymsError(path, f'has "{name}" twice')
        if pseudonym in whose:
            raise PseudonymsError(
                path, f'gives "{whose[pseudonym]}" and "{name}" the pseudonym "{pseudonym}"'
            )
        known[name], whose[pseudonym] = pseudonym, name
    return known
