"""Worksheets hold no answer, keys hold every one, and a code that a slip shows ties the two."""

from __future__ import annotations

import json
import math
import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from cli.model.file import Model, load
from cli.model.parts import DimensionEntry
from cli.papers import maths
from cli.papers.as_pdf import paper_pdf
from cli.papers.content import Document, Table, figures_of
from cli.papers.exercises import Exercise, as_it_is, reaction_values, with_other_numbers
from cli.papers.order import Order
from cli.papers.sheet_code import ALPHABET, code_of, is_sheet_code, letter_of
from cli.papers.worksheet import worksheet_document
from cli.papers.worksheet_key import key_document
from cli.sheets.figures import truss_figure
from cli.sheets.numerals import Numerals
from cli.sheets.written import Written, fix_shape
from cli.truss_model import model_of_truss
from solver import DeckLoad, Load, Support, Truss
from tests.front_door import assert_refused, panelpoint, write_model
from tests.test_cli_sheets_figures import covered, fits, words
from tests.trusses import published, three_bar, through_truss

needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext (poppler-utils) is not installed here"
)


def leaning() -> Truss:
    """Give a truss with a leaning load, a leaning roller and a deck."""
    truss = through_truss("warren", 3)
    return replace(
        truss,
        supports=(Support("L0", "pin"), Support("L3", "roller", (-3.0, 4.0))),
        loads=(*truss.loads, Load("T1", 6.0, -8.0)),
        deck_loads=(DeckLoad(("L0", "L1", "L2", "L3"), 0.0, -1.5),),
    )


TRUSSES = {
    "three bars": three_bar(),
    "roof": published("holtz-J1").truss,
    "cantilever": published("holtz-T3").truss,
    "bridge": replace(through_truss("pratt", 6, panel=20, height=25), length_unit="ft", force_unit="kip"),
    "leaning": leaning(),
}


SPOKEN = [*((name, "en") for name in TRUSSES), ("roof", "de"), ("leaning", "de")]


def order(name: str, language: str = "en") -> Order:
    """Order a sheet of one of the trusses."""
    return Order(model_of_truss(TRUSSES[name], title="Some truss"), Path("some.truss.json"), language)


@cache
def versions(name: str) -> tuple[Exercise, ...]:
    """Make two versions of one of the trusses."""
    return with_other_numbers(order(name).solved, 2, seed=7)


def text_of_pdf(data: bytes, folder: Path) -> str:
    """Return what a reader of a PDF finds."""
    path = folder / "some.pdf"
    path.write_bytes(data)
    return subprocess.run(
        ["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True
    ).stdout


def numbers_in(text: str) -> set[str]:
    """Return every number of a text that is not part of a name or a code."""
    return set(re.findall(r"(?<![\w.,–-])\d+(?:[.,]\d+)?(?![\w-])", text))


def given_numbers(exercise: Exercise, language: str) -> set[str]:
    """Return the numbers that a worksheet gives: loads and their parts, lengths, and those of its form."""
    numerals = Numerals(decimal="," if language == "de" else ".")
    truss = exercise.truss
    given = [abs(part) for load in truss.loads for part in (load.fx, load.fy, math.hypot(load.fx, load.fy))]
    given += [abs(part) for support in truss.supports for part in support.normal]
    given += [deck.fy * size for deck in truss.deck_loads for size in (1.0, *_tributaries(truss, deck))]
    for axis in (0, 1):
        levels = sorted(set(truss.at[:, axis].tolist()))
        given += [high - low for low, high in pairwise(levels)]
    # Zero to circle, three figures, twice the joints, one page of one.
    return {numerals.given(abs(value)) for value in given} | {"0", "1", "2", "3"}


def _tributaries(truss: Truss, deck: DeckLoad) -> list[float]:
    places = [truss.at[truss.row[joint], 0] for joint in deck.joints]
    gaps = [high - low for low, high in pairwise(places)]
    return [0.5 * (before + after) for before, after in zip([0.0, *gaps], [*gaps, 0.0], strict=True)]


@needs_poppler
@pytest.mark.parametrize(("name", "language"), SPOKEN)
def test_a_worksheet_holds_no_number_that_is_not_given(name: str, language: str, tmp_path: Path) -> None:
    """Every number in the text of the PDF and of the page is a load, a length, or of the form itself."""
    for exercise in (as_it_is(order(name).solved), versions(name)[1]):
        document = worksheet_document(order(name, language), exercise)
        given = given_numbers(exercise, language)
        assert numbers_in(text_of_pdf(paper_pdf(document), tmp_path)) <= given
        (figure,) = figures_of(document.blocks)
        assert numbers_in(" ".join(re.findall(r">([^<]+)<", figure.svg))) <= given
        assert numbers_in(figure.alt) <= given


@pytest.mark.parametrize("name", TRUSSES)
def test_a_worksheet_does_not_depend_on_its_answers(name: str) -> None:
    """With other forces and reactions behind it, the sheet is the same: nothing is hidden."""
    exercise = versions(name)[0]
    solution = exercise.solution
    wrong = replace(
        exercise,
        solution=replace(
            solution,
            forces=solution.forces[::-1] + 1,
            senses=tuple("T" for _ in solution.senses),
            reactions=tuple(replace(each, fx=3.21, fy=4.32) for each in solution.reactions),
        ),
        exact=None,
    )
    right_sheet, wrong_sheet = (worksheet_document(order(name), each) for each in (exercise, wrong))
    assert right_sheet == wrong_sheet


@needs_poppler
def test_what_a_pdf_says_of_itself_gives_nothing_away(tmp_path: Path) -> None:
    """Title and maker, no path, no name of a person, no attachment."""
    path = tmp_path / "sheet.pdf"
    exercise = versions("roof")[0]
    path.write_bytes(paper_pdf(worksheet_document(order("roof"), exercise)))
    said = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    title = next(line for line in said.splitlines() if line.startswith("Title:"))
    assert title.split(":", 1)[1].strip() == f"Some truss · Worksheet {exercise.code}"
    assert re.search(r"^(Author|Subject|Keywords):\s*\S", said, re.MULTILINE) is None
    assert re.search(r"^Pages:\s+1$", said, re.MULTILINE)
    files = subprocess.run(["pdfdetach", "-list", path], capture_output=True, text=True, check=True).stdout
    assert files.startswith("0 ")


@needs_poppler
@pytest.mark.parametrize(("name", "language"), SPOKEN)
def test_a_key_holds_every_answer(name: str, language: str, tmp_path: Path) -> None:
    """The text of the PDF holds every reaction and every force, rounded as set, and the code of the sheet."""
    exercise = versions(name)[1]
    text = text_of_pdf(paper_pdf(key_document(order(name, language), exercise)), tmp_path)
    numerals = Numerals(decimal="," if language == "de" else ".")
    found = numbers_in(text)
    scale = float(abs(exercise.solution.forces).max())
    for force in exercise.solution.forces.tolist():
        assert numerals.number(abs(force)) in found or abs(force) <= 1e-9 * scale
    for value, _ in reaction_values(exercise):
        assert numerals.number(abs(value)) in found or abs(value) <= 1e-9 * scale
    assert exercise.code in text


@pytest.mark.parametrize("name", TRUSSES)
def test_exact_answers_are_what_the_decimals_round(name: str) -> None:
    """Each exact answer of a key, worked out, is its force; and it stands only where it says more."""
    exercise = as_it_is(order(name).solved)
    table = member_table(key_document(order(name), exercise))
    columns = len(set(table.head)) if "Exactly" in table.head else 3
    sizes = iter(abs(exercise.solution.forces))
    cells = [
        row[start : start + columns] for start in range(0, len(table.head), columns) for row in table.rows
    ]
    for cell in (cell for cell in cells if cell[0] != ""):
        size = float(next(sizes))
        if columns == 4 and cell[3] != "":
            assert worked_out(cell[3]) == pytest.approx(size, rel=1e-12)
        else:
            assert float(str(cell[1])) == pytest.approx(size, rel=1e-12)


def member_table(document: Document) -> Table:
    """Return the table of members."""
    return next(block for block in document.blocks if isinstance(block, Table) and block.name == "members")


def worked_out(expression: object) -> float:
    """Evaluate an exact answer."""
    match expression:
        case maths.Number(text):
            return float(text)
        case maths.Fraction(top, bottom):
            return worked_out(top) / worked_out(bottom)
        case maths.Root(inside):
            return math.sqrt(worked_out(inside))
        case maths.Row(parts):
            return math.prod(worked_out(part) for part in parts)
    raise AssertionError(expression)


def test_the_fractions_of_a_known_truss() -> None:
    """The published truss of one rise in one and a half: roots of thirteen, as its source's figures round."""
    table = member_table(key_document(order("roof"), as_it_is(order("roof").solved)))
    first = {str(maths.plain(row[0])): row[3] for row in table.rows}
    assert maths.plain(first["F_ab"]) == "65√(13)"


DRAWN = sorted(
    path.name
    for path in (Path(__file__).parents[1] / "sample_images").glob("*.truss.json")
    if not path.name.startswith("contest-")  # built, not drawn: its lengths are what they are
)


@pytest.mark.parametrize("name", DRAWN)
def test_a_drawing_becomes_what_was_meant(name: str) -> None:
    """From the pixels of a sample drawing and what is written on it: the very places it was drawn from."""
    path = Path(__file__).parents[1] / "sample_images" / name
    model = load(path)
    exercise = as_it_is(Order(model, path).solved)
    meant = np.array([joint.at for joint in model.joints])
    np.testing.assert_allclose(exercise.truss.at - exercise.truss.at[0], meant - meant[0], atol=1e-9)
    assert exercise.exact is not None


def test_a_sheet_with_other_lengths_than_its_model_brings_its_own(tmp_path: Path) -> None:
    """Sheet and key of a drawing write the model they are about, once, and say so; a typed one has none."""
    drawn = Path(__file__).parents[1] / "sample_images" / "hall-fink-blackboard.truss.json"
    for kind in ("worksheet", "key"):
        outcome = panelpoint("sheet", drawn, "--kind", kind, "-o", tmp_path / f"{kind}.md")
        assert outcome.code == 0, outcome.err
        (own,) = tmp_path.glob("*.truss.json")
        assert f"{own.name} has them" in " ".join(outcome.err.split())
        assert load(own).sheet == own.name.removesuffix(".truss.json")
        assert own.name.removesuffix(".truss.json") in (tmp_path / f"{kind}.md").read_text(encoding="utf-8")
    (tmp_path / "typed").mkdir()
    model = write_model(tmp_path, json.loads(plain_model().model_dump_json(by_alias=True, exclude_none=True)))
    assert panelpoint("sheet", model, "--kind", "worksheet", "-o", tmp_path / "typed" / "sheet.md").code == 0
    assert not list((tmp_path / "typed").glob("*.json"))


def test_places_that_a_person_gave_stay() -> None:
    """A joint typed a little off a round length is not moved: only measured places are."""
    model = plain_model()
    joints = (model.joints[0].model_copy(update={"at": (0.013, 0.0)}), *model.joints[1:])
    exercise = as_it_is(Order(model.model_copy(update={"joints": joints}), Path("some.truss.json")).solved)
    assert exercise.truss.at[0].tolist() == [0.013, 0.0]
    assert exercise.moved == 0.0


def noted(truss: Truss, *lengths: tuple[str, str, str, float]) -> tuple[Written, ...]:
    """Write lengths and angles on a truss."""
    return tuple(
        Written(kind, truss.row[start], truss.row[end], value) for kind, start, end, value in lengths
    )


ROOF = TRUSSES["roof"]
PANELS = (
    ("across", "a", "e", 18.0),
    ("across", "a", "h", 4.5),
    ("across", "h", "g", 4.5),
    ("across", "g", "f", 4.5),
)


@pytest.mark.parametrize(
    ("truss", "lengths", "fixed"),
    [
        (three_bar(), [("along", "A", "B", 8.0), ("along", "A", "C", 5.0), ("along", "B", "C", 5.0)], True),
        (
            three_bar(),
            [("across", "A", "B", 8.0), ("angle", "A", "C", 36.87), ("angle", "B", "C", 36.87)],
            True,
        ),
        (three_bar(), [("across", "A", "B", 8.0), ("angle", "A", "C", 36.87)], False),
        (three_bar(), [("along", "A", "B", 8.0), ("across", "A", "B", 8.0), ("up", "A", "C", 3.0)], False),
        (ROOF, [*PANELS, ("up", "g", "c", 6.0)], True),  # straight rafters give the height of b and d
        (ROOF, [*PANELS, ("up", "h", "b", 3.0)], True),
        (ROOF, PANELS, False),
        (ROOF, [*PANELS, ("along", "h", "c", 7.5)], False),  # there is no member h-c to write it along
        (ROOF, [], False),
    ],
)
def test_what_is_written_is_drawn_where_it_fixes_the_shape(
    truss: Truss, lengths: list[tuple[str, str, str, float]], *, fixed: bool
) -> None:
    """All of what is written and nothing else, or all distances between levels; text covers nothing."""
    written = noted(truss, *lengths)
    assert fix_shape(truss, written) == fixed
    figure = truss_figure(truss, written=written)
    said = sorted(word for word in words(figure) if word.endswith((" m", "°")))
    plain = sorted(word for word in words(truss_figure(truss)) if word.endswith(" m"))
    values = {f"{value:g}{'°' if kind == 'angle' else ' m'}" for kind, _, _, value in lengths}
    assert (set(said) == values) if fixed else (said == plain)
    assert covered(figure) == 0
    assert fits(figure)


def test_a_sheet_has_the_lengths_of_its_drawing() -> None:
    """Dimensions of the model stand on its worksheet, while they hold; a moved joint has them left out."""
    entries = [
        DimensionEntry(kind=k, start=a, end=b, value=v) for k, a, b, v in (*PANELS, ("up", "g", "c", 6.0))
    ]
    model = plain_model().model_copy(update={"dimensions": tuple(entries)})
    (figure,) = figures_of(worksheet_document(order("roof"), as_it_is(Order(model, Path("m")).solved)).blocks)
    assert {"18 m", "6 m"} <= set(re.findall(r">([^<]+)<", figure.svg))
    joints = (model.joints[0].model_copy(update={"at": (-1.0, 0.0)}), *model.joints[1:])
    moved = as_it_is(Order(model.model_copy(update={"joints": joints}), Path("m")).solved)
    assert moved.written == ()


@needs_poppler
def test_leaning_loads_and_rollers_are_given_in_words(tmp_path: Path) -> None:
    """What an arrow's label cannot say stands under the figure."""
    exercise = as_it_is(order("leaning").solved)
    for language, sentences in (
        (
            "en",
            ("The load at T1 is 6 kN to the right and 8 kN down.", "pushes 3 to the left for every 4 up."),
        ),
        (
            "de",
            (
                "wirkt mit 6 kN nach rechts und mit 8 kN nach unten.",
                "drückt 3 nach links auf je 4 nach oben.",
            ),
        ),
    ):
        text = text_of_pdf(paper_pdf(worksheet_document(order("leaning", language), exercise)), tmp_path)
        for sentence in sentences:
            assert sentence in text


def test_codes_show_a_slip() -> None:
    """One wrong character, or two that changed places, never make another whole code."""
    for code in (versions("roof")[0].code, "AB-" + versions("roof")[1].code[2:], code_of(plain_model())):
        if not is_sheet_code(code):
            assert code.startswith("AB-")  # its check is that of version B
            continue
        for place, character in enumerate(code):
            if character == "-":
                continue
            for other in ALPHABET:
                changed = code[:place] + other + code[place + 1 :]
                assert is_sheet_code(changed) == (other == character)
        bare = code.replace("-", "")
        for place in range(len(bare) - 1):
            swapped = bare[:place] + bare[place + 1] + bare[place] + bare[place + 2 :]
            swapped = f"{swapped[:-4]}-{swapped[-4:]}" if "-" in code else swapped
            assert is_sheet_code(swapped) == (swapped == code)
    assert not is_sheet_code("B-7K2")
    assert not is_sheet_code("b-7k2q")


def plain_model() -> Model:
    """Return the model of the roof."""
    return model_of_truss(TRUSSES["roof"])


def test_codes_belong_to_a_truss() -> None:
    """Another load is another code; another title is the same one; letters skip what is misread."""
    model = plain_model()
    loads = (model.loads[0].model_copy(update={"force": (0.0, -121.0)}), *model.loads[1:])
    assert code_of(model.model_copy(update={"title": "Other"})) == code_of(model)
    assert code_of(model.model_copy(update={"loads": loads})) != code_of(model)
    assert [letter_of(number) for number in (0, 1, 7, 8, 22, 23, 24)] == ["A", "B", "H", "J", "Z", "AA", "AB"]


def test_a_set_of_versions(tmp_path: Path) -> None:
    """Three worksheets, three keys, three models and a cover; each model solves to its own key's answers."""
    model = write_model(tmp_path, json.loads(plain_model().model_dump_json(by_alias=True, exclude_none=True)))
    folder = tmp_path / "test"
    asked = ("sheet", model, "--kind", "worksheet", "--versions", "3", "--seed", "7", "-o", folder)
    outcome = panelpoint(*asked)
    assert outcome.code == 0, outcome.err
    names = {path.name for path in folder.iterdir()}
    codes = sorted(name.removesuffix("-key.pdf") for name in names if name.endswith("-key.pdf"))
    assert [code[0] for code in codes] == ["A", "B", "C"]
    assert names == {"cover.pdf"} | {
        f"{code}{end}" for code in codes for end in ("-key.pdf", "-worksheet.pdf", ".truss.json")
    }
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert panelpoint(*asked).code == 0  # the same bytes again are nobody's loss
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    for code in codes:
        saved = load(folder / f"{code}.truss.json")
        assert saved.sheet == code
        assert saved.confirmed
        assert is_sheet_code(code)
        assert as_it_is(Order(saved, folder / f"{code}.truss.json").solved).code == code
        assert panelpoint("solve", folder / f"{code}.truss.json").code == 0


def test_a_changed_key_gets_a_new_code(tmp_path: Path) -> None:
    """Whoever moves a load in a key's model file prints sheets with another code, without the letter."""
    exercise = versions("roof")[0]
    loads = (exercise.model.loads[0].model_copy(update={"force": (0.0, -1.0)}), *exercise.model.loads[1:])
    changed = as_it_is(Order(exercise.model.model_copy(update={"loads": loads}), tmp_path).solved)
    assert changed.code != exercise.code
    assert "-" not in changed.code
    assert changed.model.sheet == changed.code


def test_slips_are_told(tmp_path: Path) -> None:
    """Versions of another kind, into a file, of a truss without an answer."""
    document = json.loads(plain_model().model_dump_json(by_alias=True, exclude_none=True))
    model = write_model(tmp_path, document)
    for asked in (
        ("--kind", "worked", "-o", tmp_path / "out"),
        ("--kind", "worksheet", "-o", tmp_path / "out.pdf"),
    ):
        assert_refused(panelpoint("sheet", model, "--versions", "2", *asked), "--kind worksheet", "suffix")
    loose = document | {"supports": [{"joint": "a", "kind": "roller"}, {"joint": "e", "kind": "roller"}]}
    refused = panelpoint(
        "sheet",
        write_model(tmp_path, loose),
        "--kind",
        "worksheet",
        "--versions",
        "2",
        "-o",
        tmp_path / "out",
    )
    assert_refused(refused, "slides sideways", code=1)


@pytest.mark.parametrize("kind", ["worksheet", "key"])
@pytest.mark.parametrize("form", ["pdf", "html", "md", "json"])
def test_every_form(tmp_path: Path, kind: str, form: str) -> None:
    """Worksheet and key are written in each form; a worksheet has no table of forces."""
    model = write_model(tmp_path, json.loads(plain_model().model_dump_json(by_alias=True, exclude_none=True)))
    output = tmp_path / f"sheet.{form}"
    outcome = panelpoint("sheet", model, "--kind", kind, "-o", output)
    assert outcome.code == 0, outcome.err
    code = code_of(plain_model())
    assert form == "pdf" or code in output.read_text(encoding="utf-8")
    table = panelpoint("sheet", model, "--kind", kind, "-o", tmp_path / "forces.csv")
    assert table.code == (1 if kind == "worksheet" else 0)
