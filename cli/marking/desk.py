"""The marker's desk: from the files that came back to everything that goes out."""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cli.marking.answer_file import read_answers
from cli.marking.class_sheet import class_sheet
from cli.marking.columns import template_head
from cli.marking.feedback import feedback
from cli.marking.key import Key
from cli.marking.rubric_file import read_rubric, rubric_text
from cli.marking.statistics import ClassFigures, class_figures
from cli.marking.tables import marks_csv, marks_json
from cli.model.readable_json import readable_json
from cli.outputs import put_into, write_output
from cli.papers.content import Document
from cli.papers.drawings import file_name
from cli.papers.files import files_of
from cli.papers.order import Made
from cli.pseudonyms import pseudonyms_for
from cli.wording import words_of
from solver import Marking, Rubric

__all__ = ["Marked", "Wanted", "marked", "print_rubric", "rubric_of", "write_template"]

SHEETS = "feedback"
"""Folder of the feedback sheets."""


@dataclass(frozen=True)
class Wanted:
    """What was asked for."""

    rubric: Rubric
    form: str = "pdf"
    """`pdf`, `html` or `md`."""
    paper: str = "a4"
    language: str = "en"
    """Of the sheets, as `cli.wording.LANGUAGES` has it."""
    with_key: bool = False
    pseudonyms: Path | None = None


@dataclass(frozen=True, eq=False)
class Marked:
    """A class marked."""

    key: Key
    markings: Sequence[Marking]
    names: Mapping[str, str]
    """What each student is called in everything that is written."""
    figures: ClassFigures
    wanted: Wanted
    remarks: tuple[str, ...] = ()

    @property
    def document(self) -> dict[str, Any]:
        """All marks as one JSON object."""
        return marks_json(self.key, self.markings, self.names, self.figures)

    def write(self, folder: Path, *, force: bool) -> None:
        """Write tables, summary and sheets; nothing before all is known to be free.

        Raises
        ------
        OutputExistsError
            When another file is there and `force` is not given.
        """
        top: dict[Path, bytes] = {
            folder / "marks.csv": marks_csv(self.key, self.markings, self.names).encode(),
            folder / "marks.json": readable_json(self.document).encode(),
        }
        wording = words_of(self.wanted.language)
        summary = class_sheet(
            self.key, self.figures, wording=wording, pseudonymous=self.wanted.pseudonyms is not None
        )
        top |= self._set(summary, folder / "class")
        stems = _file_names([self.names[marking.student] for marking in self.markings])
        for marking, stem in zip(self.markings, stems, strict=True):
            name = self.names[marking.student]
            sheet = feedback(self.key, marking, student=name, wording=wording, with_key=self.wanted.with_key)
            top |= self._set(sheet, folder / SHEETS / stem)
        folders: dict[Path, dict[str, bytes]] = {}
        for path, data in top.items():
            folders.setdefault(path.parent, {})[path.name] = data
        for place, files in sorted(folders.items()):
            put_into(place, files, force=force)

    def _set(self, document: Document, stem: Path) -> Mapping[Path, bytes]:
        path = stem.with_name(f"{stem.name}.{self.wanted.form}")
        return files_of(Made(document), path, form=self.wanted.form, kind="feedback", paper=self.wanted.paper)


def _file_names(names: Sequence[str]) -> list[str]:
    """Give each name a file name of its own."""
    found: list[str] = []
    for name in names:
        stem = file_name(name)
        number = 2
        while stem.lower() in {other.lower() for other in found}:
            stem = f"{file_name(name)}-{number}"
            number += 1
        found.append(stem)
    return found


def rubric_of(path: Path | None) -> Rubric:
    """Return the rubric of a file, or the default one."""
    return Rubric() if path is None else read_rubric(path)


def print_rubric(rubric: Rubric) -> None:
    """Print a rubric as JSON, to be changed and given back with --rubric."""
    sys.stdout.write(rubric_text(rubric))


def write_template(key: Key, path: Path) -> None:
    """Write an empty table of answers."""
    written = io.StringIO()
    csv.writer(written, lineterminator="\n").writerow(template_head(key.truss, key.quantities))
    write_output(path, written.getvalue().encode("utf-8-sig"))


def marked(key: Key, answers: Path, wanted: Wanted) -> Marked:
    """Mark a file of answers.

    Raises
    ------
    AnswersFileError, PseudonymsError
        When a file cannot be used.
    """
    handed = read_answers(answers, key)
    markings = [key.mark(paper, wanted.rubric) for paper in handed.papers]
    students = [paper.student for paper in handed.papers]
    names = (
        dict(zip(students, students, strict=True))
        if wanted.pseudonyms is None
        else pseudonyms_for(wanted.pseudonyms, students, spellings=lambda name: (name,)).by_name
    )
    remarks = []
    if handed.left_out:
        heads = ", ".join(repr(head) for head in handed.left_out)
        remarks.append(f"Left out, since nothing of this truss is called so: {heads}.")
    return Marked(key, markings, names, class_figures(markings), wanted, tuple(remarks))
