"""`panelpoint mark`: answers as people write them, sheets that keep the key to themselves, refusals."""

from __future__ import annotations

import csv
import dataclasses
import io
import json
import re
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from cli.marking.cells import Cell, Unread, read_cell, read_verdict
from cli.marking.columns import Columns, item_name
from cli.marking.feedback import feedback
from cli.marking.key import open_key
from cli.marking.statistics import class_figures
from cli.marking.words import slip_words
from cli.papers.as_markdown import page_markdown
from cli.wording import ENGLISH, LANGUAGES
from solver import Answer, Answers, mark, solve
from solver.marking import Slip
from solver.steps import Quantity
from tests.front_door import assert_refused, panelpoint, three_bars, write_model
from tests.trusses import three_bar

HEAD = "student,verdict,m,r,j,A x,A y,B y,A-B,A-C,B-C\n"
RIGHT = "determinate,3,3,3,0,6,6,8 T,10 C,10 C\n"


def key_file(folder: Path) -> Path:
    """Write the 3-4-5 triangle as a model file; by hand RA = RB = 6, AB = 8, AC = BC = -10 kN."""
    return write_model(folder, three_bars())


def answer_file(folder: Path, *rows: str, head: str = HEAD) -> Path:
    """Write a table of answers."""
    path = folder / "answers.csv"
    path.write_text(head + "".join(rows), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("text", "value", "sense", "unit", "step"),
    [
        ("12.5 kN C", 12.5, "C", "kN", 0.1),
        ("-12.5", -12.5, "", "", 0.1),
        ("−12.5", -12.5, "", "", 0.1),
        ("12,5", 12.5, "", "", 0.1),
        ("0", 0.0, "", "", 1.0),
        ("12.5C", 12.5, "C", "", 0.1),
        ("T 12.5", 12.5, "T", "", 0.1),
        ("12.5 kN (tension)", 12.5, "T", "kN", 0.1),
        ("-12.5 C", -12.5, "C", "", 0.1),
        ("25/3", 25 / 3, "", "", 0.0),
        ("12 1/2 T", 12.5, "T", "", 0.0),
        ("1 250 N", 1250.0, "", "N", 1.0),
        ("1.25e3", 1250.0, "", "", 10.0),
        ("≈ 8.33", 8.33, "", "", 0.01),
    ],
)
def test_spellings_that_are_read(text: str, value: float, sense: str, unit: str, step: float) -> None:
    """What people write is read as they mean it, with its last figure."""
    cell = read_cell(text)
    assert isinstance(cell, Cell)
    assert cell.value == pytest.approx(value)
    assert (cell.sense, cell.unit) == (sense, unit)
    assert cell.step == pytest.approx(step)


@pytest.mark.parametrize(
    "text",
    ["1,250", "-12.5 T", "+12.5 C", "12.5 T C", "12.5?", "-", "C", "12.5 or 13", "ca. 5", "3/0", "1" * 80],
)
def test_what_is_never_guessed(text: str) -> None:
    """Two meanings, or none, are not read; the reason is said."""
    cell = read_cell(text)
    assert isinstance(cell, Unread)
    assert cell.reason


def test_blank_is_blank() -> None:
    """Nothing written is no answer, and no slip of reading."""
    assert read_cell("  ") is None
    assert read_verdict("") is None


def test_verdicts() -> None:
    """Words for the verdict that a text book uses."""
    assert read_verdict("Statically determinate.") == "determinate"
    assert read_verdict("a mechanism") == "unstable"
    assert isinstance(read_verdict("yes"), Unread)


def test_spellings_of_columns() -> None:
    """Members by either order, reactions with or without R, units in brackets."""
    solution = solve(three_bar())
    quantities = tuple(solution.board().quantities)
    columns = Columns(solution.truss, quantities)
    for head in ("A-B", "BA", "F_AB", "F AB (kN)", "b – a"):
        found = columns.find(head)
        assert found is not None, head
        assert found.quantity == Quantity("member", ("A", "B"))
    for head in ("B y", "By", "R_B", "RBy"):
        found = columns.find(head)
        assert found is not None, head
        assert found.quantity == Quantity("reaction", ("B",), "n")
    assert columns.find("A-Q") is None
    assert [item_name(quantity, solution.truss) for quantity in quantities] == [
        "A-B", "A-C", "B-C", "A x", "A y", "B y"
    ]  # fmt: skip


def test_a_class_through_the_front_door(tmp_path: Path) -> None:
    """Marks, summary and a sheet each; what cannot be read is listed and counts neither way."""
    answers = answer_file(
        tmp_path,
        "Ada," + RIGHT,
        "Ben,determinate,3,3,3,0,3.63,8.37,11.16 T,6.05 C,13.95 C\n",
        "Cy,unstable,3,3,3,0,6,6,,10?,-10\n",
    )
    outcome = panelpoint("mark", key_file(tmp_path), answers, "-o", tmp_path / "out", "--form", "md")
    assert outcome.code == 0, outcome.err
    assert "Cy, A-C: '10?'" in outcome.text
    rows = list(csv.DictReader(io.StringIO((tmp_path / "out" / "marks.csv").read_text(encoding="utf-8"))))
    # Verdict 1, three counts of 0.5, three reactions of 1, two directions of 0.5, three members of 1.5.
    assert [(row["student"], float(row["credit"]), float(row["out of"])) for row in rows] == [
        ("Ada", 12.0, 12.0), ("Ben", 11.0, 12.0), ("Cy", 8.0, 12.0)
    ]  # fmt: skip
    assert rows[1]["A-C"] == "followed"
    assert rows[2]["A-C"] == "unread"
    assert sorted(path.name for path in (tmp_path / "out" / "feedback").glob("*.md")) == [
        "Ada.md", "Ben.md", "Cy.md"
    ]  # fmt: skip
    assert "To teach again tomorrow" in (tmp_path / "out" / "class.md").read_text(encoding="utf-8")


def test_a_class_in_german(tmp_path: Path) -> None:
    """Sheets and summary are German throughout; marks are the same, and for programs they stay English."""
    answers = answer_file(
        tmp_path,
        "Ada," + RIGHT,
        "Ben,determinate,3,3,3,0,3.63,8.37,11.16 T,6.05 C,13.95 C\n",
        "Cy,unstable,3,3,3,0,6,6,,10?,-10\n",
    )
    key = key_file(tmp_path)
    for language in ("en", "de"):
        out = tmp_path / language
        asked = panelpoint("mark", key, answers, "-o", out, "--form", "md", "--language", language)
        assert asked.code == 0, asked.err
    english, german = (
        [path.read_text("utf-8") for path in sorted((tmp_path / language).rglob("*.md"))]
        for language in ("en", "de")
    )
    assert len(german) == 4
    for name in ("marks.csv", "marks.json"):
        assert (tmp_path / "de" / name).read_bytes() == (tmp_path / "en" / name).read_bytes()
    whole = "\n".join(german)
    assert "Punkte: **11 von 12**" in whole
    assert "| A-B | 11,2 T | richtig mit deinen Zahlen | 1,5 / 1,5 |" in whole
    for words in (ENGLISH.feedback, ENGLISH.summary, ENGLISH.slips, ENGLISH.marks, ENGLISH.common):
        for piece in pieces(words):
            assert piece not in whole, piece
    assert sum(piece in "\n".join(english) for piece in pieces(ENGLISH.feedback)) > 10


def pieces(words: Any) -> Iterator[str]:
    """Yield what a wording says between its holes, where that is more than a word."""
    for value in dataclasses.astuple(words):
        flat = value.values() if isinstance(value, dict) else value if isinstance(value, tuple) else (value,)
        for sentence in flat:
            yield from (part for part in re.split(r"{\w+}", sentence) if len(part.split()) > 1)


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_every_slip_has_words(language: str) -> None:
    """Whatever its kind, scope, place and axis, a slip is half a sentence without a hole."""
    wording, truss = LANGUAGES[language], three_bar()
    kinds = set(wording.marks.ideas)
    assert kinds == set(wording.slips.kinds) | {"sense"}
    member, load = Quantity("member", ("A", "B")), Quantity("load", ("C",))
    rounded = iter([*wording.slips.rounded] * 9)
    for kind in sorted(kinds):
        for about in (member, load):
            for scope, joint, axis in (("joint", "B", "x"), ("whole", "", "@A"), ("whole", "", "y")):
                in_plane = axis if axis in wording.slips.sums else "x"
                slip = Slip(
                    kind,
                    scope,
                    quantity=about,
                    joint=joint,
                    axis=in_plane if kind.startswith(("component", "sine")) else axis,
                    other=next(rounded) if kind == "rounding" else "C",
                    factor=1000.0 if about is member else 0.001,
                )
                said = slip_words(slip, truss, wording)
                assert said
                assert not set("{}") & set(said), said
    for scope in ("throughout", "members", "written"):
        for kind in ("sine and cosine", "sense", "unit"):
            assert slip_words(Slip(kind, scope), truss, wording)


def test_sheets_keep_the_key_to_themselves(tmp_path: Path) -> None:
    """A wrong answer's key value is nowhere on the sheet, unless it is asked for; the cautions always are."""
    key = open_key(key_file(tmp_path))
    assert key.solution is not None
    answers = Answers(
        "Ben",
        tuple(
            Answer(Quantity("member", ends), value, 0.01)
            for ends, value in ((("A", "B"), 11.16), (("A", "C"), -6.05), (("B", "C"), -13.95))
        ),
    )
    marking = mark(key.solution, answers)
    closed = page_markdown(feedback(key, marking, student="Ben", wording=ENGLISH))
    opened = page_markdown(feedback(key, marking, student="Ben", wording=ENGLISH, with_key=True))
    assert "10.0 C" not in closed
    assert "8.00 T" not in closed
    assert "10.0 C" in opened
    for text in (closed, opened):
        assert "licensed engineer" in text


def test_template_is_what_mark_reads(tmp_path: Path) -> None:
    """The empty table has the columns of the key; filled in, it is marked."""
    key = key_file(tmp_path)
    table = tmp_path / "answers.csv"
    assert panelpoint("mark", key, "--template", table).code == 0
    head = table.read_text(encoding="utf-8-sig")
    assert head == HEAD
    table.write_text(head + "Ada," + RIGHT, encoding="utf-8")
    outcome = panelpoint("mark", key, table, "--json")
    (student,) = outcome.document["students"]
    assert student["credit"] == student["out_of"] == 12.0
    assert_refused(panelpoint("mark", key, "--template", table), "--force")


def test_json_answers_with_sizes_and_directions(tmp_path: Path) -> None:
    """JSON takes the same names; a reaction may be given by size and direction."""
    path = tmp_path / "answers.json"
    paper = {"student": "Ada", "answers": {"A size": 6, "A direction": "90°", "B y": "6 up", "AB": "8 kN T"}}
    path.write_text(json.dumps({"students": [paper]}), encoding="utf-8")
    (student,) = panelpoint("mark", key_file(tmp_path), path, "--json").document["students"]
    assert {mark_["item"]: mark_["outcome"] for mark_ in student["marks"]} == {
        "A x": "right", "A y": "right", "B y": "right", "A-B": "right"
    }  # fmt: skip


def test_a_decimal_comma_in_a_semicolon_file(tmp_path: Path) -> None:
    """What a spreadsheet saves where the comma is the decimal sign."""
    path = answer_file(tmp_path, "Ada;6,00;8,00 T;10,0 C\n", head="student;B y;A-B;A-C\n")
    (student,) = panelpoint("mark", key_file(tmp_path), path, "--json").document["students"]
    assert {mark_["outcome"] for mark_ in student["marks"]} == {"right"}


def test_numbers_without_letters(tmp_path: Path) -> None:
    """By signs where there are some; where there are none, sizes count and the sense is missing."""
    path = answer_file(tmp_path, "Ada,8,-10,-10\n", "Ben,8,10,10\n", head="student,A-B,A-C,B-C\n")
    ada, ben = panelpoint("mark", key_file(tmp_path), path, "--json").document["students"]
    assert [mark_["sense"] for mark_ in ada["marks"]] == ["right"] * 3
    assert [mark_["sense"] for mark_ in ben["marks"]] == ["missing"] * 3
    assert [mark_["outcome"] for mark_ in ben["marks"]] == ["right"] * 3


def test_pseudonyms_replace_every_name(tmp_path: Path) -> None:
    """No file of the folder has a name in it; the list stays beside, for its owner only, and is kept."""
    key, answers = key_file(tmp_path), answer_file(tmp_path, "Adalbert Qzyxwvutsrq," + RIGHT)
    names, out = tmp_path / "names.csv", tmp_path / "out"
    options = ("--form", "html", "--pseudonyms", names)
    assert panelpoint("mark", key, answers, "-o", out, *options).code == 0
    for path in out.rglob("*"):
        assert "Qzyxwvutsrq" not in path.name
        # A name of three letters stands in the letters of an embedded typeface now and then.
        assert path.is_dir() or b"Qzyxwvutsrq" not in path.read_bytes()
    assert stat.S_IMODE(names.stat().st_mode) == 0o600
    first = names.read_text(encoding="utf-8")
    assert panelpoint("mark", key, answers, *options).code == 0
    assert names.read_text(encoding="utf-8") == first
    names.write_text("who,what\n", encoding="utf-8")
    assert_refused(panelpoint("mark", key, answers, *options), "name,pseudonym")


def test_a_rubric_of_the_teacher(tmp_path: Path) -> None:
    """TOML or JSON; what it does not say keeps its default; a wrong key is named with those there are."""
    key, answers = key_file(tmp_path), answer_file(tmp_path, "Ada," + RIGHT)
    rubric = tmp_path / "rubric.toml"
    rubric.write_text("member = 4\nunits = 0\n", encoding="utf-8")
    (student,) = panelpoint("mark", key, answers, "--rubric", rubric, "--json").document["students"]
    assert student["out_of"] == 12.0 + 3 * 3 - 1
    shown = panelpoint("mark", key, "--rubric", rubric, "--show-rubric").document
    assert (shown["member"], shown["tolerance"]) == (4.0, 0.02)
    rubric.write_text("members = 4\n", encoding="utf-8")
    assert_refused(panelpoint("mark", key, answers, "--rubric", rubric), "members", "follow_through")
    rubric.write_text("member = -1\n", encoding="utf-8")
    assert_refused(panelpoint("mark", key, answers, "--rubric", rubric), "member")
    rubric.write_text("member = \n", encoding="utf-8")
    assert_refused(panelpoint("mark", key, answers, "--rubric", rubric), "TOML")


@pytest.mark.parametrize(
    ("head", "rows", "words"),
    [
        ("", (), ("empty",)),
        (HEAD, (), ("no row",)),
        ("student,Q-Z\n", ("Ada,1\n",), ("A x", "no column")),
        ("student,A-B,B-A\n", ("Ada,1,1\n",), ("A-B", "B-A", "same answer")),
        ("student,A-B,A-B\n", ("Ada,1,1\n",), ("two columns",)),
        ("student,A-B,A-C\n", ("Ada,8,5,10\n",), ("row 2", "semicolons")),
        ("student,A-B\n", ("Ada,8\n", "Ada,8\n"), ("Ada", "two papers")),
    ],
)
def test_tables_that_cannot_be_used(
    head: str, rows: tuple[str, ...], words: tuple[str, ...], tmp_path: Path
) -> None:
    """Each is refused in a sentence that names the cure."""
    assert_refused(panelpoint("mark", key_file(tmp_path), answer_file(tmp_path, *rows, head=head)), *words)


def test_json_that_cannot_be_used(tmp_path: Path) -> None:
    """Neither broken JSON nor another shape."""
    path = tmp_path / "answers.json"
    for text in ("{", "[]", '{"students": [{"A-B": 8}]}', "3"):
        path.write_text(text, encoding="utf-8")
        assert_refused(panelpoint("mark", key_file(tmp_path), path), str(path))


def test_columns_of_another_truss_are_said_to_be_left_out(tmp_path: Path) -> None:
    """They are noted, and the rest is marked."""
    path = answer_file(tmp_path, "Ada,8 T,5\n", head="student,A-B,Q-Z\n")
    outcome = panelpoint("mark", key_file(tmp_path), path)
    assert outcome.code == 0
    assert "'Q-Z'" in outcome.err


def test_a_truss_without_a_unique_answer_can_be_set(tmp_path: Path) -> None:
    """Then verdict and count are marked: 4 members + 3 reactions < 2 x 4."""
    square = {
        "format": "panelpoint truss", "version": 1, "units": {"length": "m", "force": "kN"},
        "joints": [{"name": n, "at": [int(x), int(y)]} for n, x, y in ("A00", "B10", "C11", "D01")],
        "members": [{"joints": list(ends)} for ends in ("AB", "BC", "CD", "DA")],
        "supports": [{"joint": "A", "kind": "pin"}, {"joint": "B", "kind": "roller"}],
        "loads": [{"joint": "C", "force": [1, 0]}],
    }  # fmt: skip
    path = answer_file(
        tmp_path, "Ada,unstable,4,3,4\n", "Ben,determinate,4,3,4\n", head="student,verdict,m,r,j\n"
    )
    outcome = panelpoint(
        "mark", write_model(tmp_path, square), path, "-o", tmp_path / "out", "--form", "html", "--json"
    )
    assert outcome.code == 0, outcome.err
    assert [student["credit"] for student in outcome.document["students"]] == [2.5, 1.5]


def test_figures_of_a_class() -> None:
    """Difficulty is the mean share; discrimination the correlation with the rest of the paper.

    By hand, for ten papers of which five have both members right and five neither: both items have
    difficulty 0.5 and go with the rest exactly.
    """
    solution = solve(three_bar())
    ends = (("A", "B"), ("A", "C"))
    papers = [
        Answers(
            f"S{number}",
            tuple(
                Answer(Quantity("member", pair), value, 0.01)
                for pair, value in zip(ends, values, strict=True)
            ),
        )
        for number in range(10)
        for values in [(8.0, -10.0) if number % 2 else (-1.23, 4.56)]
    ]
    figures = class_figures([mark(solution, paper) for paper in papers])
    for item in figures.items:
        assert item.difficulty == pytest.approx(0.5)
        assert item.discrimination == pytest.approx(1.0)
    assert figures.quartiles()[0] < figures.mean < figures.quartiles()[4]
    assert figures.items[0].wrong == 5
