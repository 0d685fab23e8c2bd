"""Files of answers in the pile, marked against the key on this computer, wherever the photographs go.

Names of students stand in them: they are never handed to a cluster. What is kept of a file that is done holds
no name; the feedback sheets are in a folder of their own.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from cli.errors import InputError
from cli.marking.answer_file import read_answers
from cli.marking.desk import Marked, Wanted, marked
from cli.marking.feedback import credit_text
from cli.marking.key import Key
from cli.marking.rubric_file import rubric_text
from cli.messages import sentence
from cli.pile.outcome import FILE, Outcome
from cli.pile.papers import sha256_of
from cli.pile.store import Store
from cli.pile.task import Done, program_sha256
from cli.pseudonyms import pseudonyms_for

__all__ = ["Marker", "enlist"]

MARKS = "marks"
"""Folder of the marks, one folder in it for each file of answers."""


@dataclass(frozen=True, eq=False)
class Marker:
    """Marks files of answers."""

    key: Key
    """What they are marked against."""
    wanted: Wanted
    """Rubric, form of the sheets, pseudonyms."""
    store: Store
    """Where results are kept."""

    def mark(self, answers: Path, shown: str) -> tuple[Outcome, bool]:
        """Mark a file, unless it is done already.

        Parameters
        ----------
        answers
            CSV or JSON, one row a student.
        shown
            Name under which the file is shown.

        Returns
        -------
        outcome, before
            What came of it, and whether an earlier run did it.
        """
        place = self.store.folder / self.folder_of(shown)
        number = _number(answers, self.key, self.wanted, shown)
        found = self.store.find(number)
        if found is not None and (found.state == "not marked" or (place / "marks.csv").is_file()):
            return found, True
        try:
            result = marked(self.key, answers, self.wanted)
        except InputError as error:
            says = sentence(error).replace(str(answers), FILE)
            outcome = Outcome(key=number, state="not marked", says=(says,))
        else:
            result.write(place, force=True)
            outcome = _told(number, result)
        self.store.keep(Done(outcome))
        return outcome, False

    @staticmethod
    def folder_of(shown: str) -> str:
        """Return the folder of a file's marks, as seen from the pile's results."""
        return f"{MARKS}/{shown}"


def enlist(files: Iterable[Path], key: Key, pseudonyms: Path) -> None:
    """Put all students into the list of pseudonyms before any marking, which depends on the list.

    A file that cannot be read has no students yet; marking it will say so.
    """
    students: list[str] = []
    for path in files:
        with suppress(InputError):
            students += [paper.student for paper in read_answers(path, key).papers]
    pseudonyms_for(pseudonyms, students, spellings=lambda name: (name,))


def _number(answers: Path, key: Key, wanted: Wanted, shown: str) -> str:
    names = wanted.pseudonyms
    parts = {
        "program": program_sha256(),
        "answers": sha256_of(answers),
        "truss": key.model.model_dump_json(),
        "rubric": rubric_text(wanted.rubric),
        "form": [wanted.form, wanted.paper, wanted.with_key],
        "pseudonyms": None if names is None or not names.exists() else sha256_of(names),
        "shown": shown,
    }
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


def _told(number: str, result: Marked) -> Outcome:
    markings = result.markings
    mean = sum(marking.credit for marking in markings) / len(markings) if markings else 0.0
    most = max((marking.out_of for marking in markings), default=0.0)
    unread = sum(len(marking.answers.unreadable) for marking in markings)
    count = "1 answer" if unread == 1 else f"{unread} answers"
    doubts = [f"{count} could not be read: told, and counted neither way."] if unread else []
    return Outcome(
        key=number,
        state="marked",
        says=(f"{_papers(len(markings))} marked: {credit_text(mean)} of {credit_text(most)} on average.",),
        doubts=(*doubts, *result.remarks),
    )


def _papers(count: int) -> str:
    return "1 paper" if count == 1 else f"{count} papers"
