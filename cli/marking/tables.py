"""Marks as text, CSV and JSON, for programs and tables: in English whatever the sheets speak."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from typing import Any

from cli.cautions import CAUTIONS
from cli.marking.class_sheet import teach_again
from cli.marking.columns import item_name
from cli.marking.feedback import credit_text
from cli.marking.key import Key
from cli.marking.statistics import ClassFigures
from cli.marking.words import finding_words
from cli.report import aligned
from cli.spreadsheets import harmless
from cli.wording import ENGLISH
from solver.marking import Mark, Marking

__all__ = ["marks_csv", "marks_json", "marks_text"]

_SHORT = {
    "right": "right",
    "followed": "followed",
    "wrong": "wrong",
    "blank": "blank",
    "unreadable": "unread",
}


def marks_text(key: Key, markings: Sequence[Marking]) -> str:
    """Return a line a student for the terminal, and what could not be read."""
    rows: list[tuple[str, ...]] = [
        ("student", "credit", "right", "followed", "wrong", "blank", "likely slip")
    ]
    for marking in markings:
        counts = [
            sum(m.outcome == kind for m in marking.marks) for kind in ("right", "followed", "wrong", "blank")
        ]
        slips = " ".join(finding_words(finding, key.truss, ENGLISH) for finding in marking.findings)
        credit = f"{credit_text(marking.credit)} / {credit_text(marking.out_of)}"
        rows.append((marking.student, credit, *map(str, counts), slips))
    lines = [line.rstrip() for line in aligned(rows, left=(0, 6))]
    unread = [line for marking in markings for line in _unread(key, marking)]
    if unread:
        lines += ["", "Not read, and counted neither way:", *unread]
    return "\n".join(lines) + "\n"


def _unread(key: Key, marking: Marking) -> list[str]:
    return [
        f"  {marking.student}, {item_name(item.quantity, key.truss)}: {item.text!r} ({item.reason})"
        for item in marking.answers.unreadable
    ]


def marks_csv(key: Key, markings: Sequence[Marking], names: Mapping[str, str]) -> str:
    """Return one row a student: credit, then outcome and credit of each answer, then likely slips."""
    order = list(dict.fromkeys(mark.quantity for marking in markings for mark in marking.marks))
    items = [item_name(quantity, key.truss) for quantity in order]
    written = io.StringIO()
    table = csv.writer(written, lineterminator="\n")
    table.writerow(
        [
            "student",
            "credit",
            "out of",
            "waiting",
            *items,
            *(f"{item} credit" for item in items),
            "units",
            "slips",
        ]
    )
    for marking in markings:
        marks = {mark.quantity: mark for mark in marking.marks}
        found = [marks.get(quantity) for quantity in order]
        table.writerow(
            [
                harmless(names[marking.student]),
                *(credit_text(value) for value in (marking.credit, marking.out_of, marking.waiting)),
                *("" if mark is None else _outcome(mark) for mark in found),
                *("" if mark is None else credit_text(mark.credit) for mark in found),
                "" if marking.units is None else marking.units.outcome,
                " ".join(finding_words(finding, key.truss, ENGLISH) for finding in marking.findings),
            ]
        )
    return written.getvalue()


def _outcome(mark: Mark) -> str:
    parts = [_SHORT[mark.outcome]]
    parts += [f"sense {_SHORT.get(mark.sense, mark.sense)}"] if mark.sense in {"wrong", "missing"} else []
    parts += ["unit wrong"] if mark.unit == "wrong" else []
    return ", ".join(parts)


def marks_json(
    key: Key, markings: Sequence[Marking], names: Mapping[str, str], figures: ClassFigures
) -> dict[str, Any]:
    """Return all marks as one JSON object."""
    return {
        "truss": key.title,
        "units": {"length": key.truss.length_unit, "force": key.truss.force_unit},
        "students": [_student(key, marking, names[marking.student]) for marking in markings],
        "class": {
            "papers": len(markings),
            "mean": figures.mean,
            "standard_deviation": figures.spread,
            "quartiles": list(figures.quartiles()),
            "slips": [{"kind": idea.kind, "papers": idea.papers} for idea in figures.ideas],
            "items": [
                {
                    "item": item_name(item.quantity, key.truss),
                    "difficulty": item.difficulty,
                    "discrimination": item.discrimination,
                }
                for item in figures.items
            ],
            "teach_again": list(teach_again(key, figures, ENGLISH)),
        },
        "cautions": list(CAUTIONS),
    }


def _student(key: Key, marking: Marking, name: str) -> dict[str, Any]:
    return {
        "student": name,
        "credit": marking.credit,
        "out_of": marking.out_of,
        "waiting": marking.waiting,
        "units": None if marking.units is None else marking.units.outcome,
        "marks": [
            {
                "item": item_name(mark.quantity, key.truss),
                "answer": mark.answer,
                "outcome": mark.outcome,
                "sense": mark.sense or None,
                "unit": mark.unit or None,
                "credit": mark.credit,
                "out_of": mark.out_of,
            }
            for mark in marking.marks
        ],
        "slips": [
            {
                "words": finding_words(finding, key.truss, ENGLISH),
                "kinds": [slip.kind for slip in finding.slips],
                "likelihood": round(finding.likelihood, 3),
                "explains": [item_name(quantity, key.truss) for quantity in finding.explains],
                "hit": [item_name(quantity, key.truss) for quantity in finding.hit],
            }
            for finding in marking.findings
        ],
        "unreadable": [
            {"item": item_name(item.quantity, key.truss), "text": item.text, "reason": item.reason}
            for item in marking.answers.unreadable
        ],
    }
