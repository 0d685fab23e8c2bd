"""`panelpoint read` and `run`: from a drawing to forces worked by hand, and no guess used unasked."""

from __future__ import annotations

import csv
import io
import json
import math
from pathlib import Path

import cv2
import numpy as np
import pytest

from cli.model.file import Model, load, save
from cli.page.journal import journal_path
from tests.front_door import assert_refused, panelpoint

pytestmark = pytest.mark.usefixtures("kept_maps")
JOINTS = {"A": (150.0, 520.0), "B": (500.0, 520.0), "C": (850.0, 520.0), "D": (500.0, 270.0)}
"""A king-post truss in pixels; its names are those of reading order."""
MEMBERS = [("A", "B"), ("B", "C"), ("A", "D"), ("C", "D"), ("B", "D")]
ANSWERS = ["--pin", "A", "--roller", "C", "--load", "D 0 -40 N", "--length", "A C 700 mm"]


def kingpost(path: Path) -> Path:
    """Draw the truss with a dark pen on a light sheet, anti-aliased."""
    page = np.full((720, 1000, 3), 244, dtype=np.uint8)
    for start, end in MEMBERS:
        ends = [tuple(round(value * 16) for value in JOINTS[name]) for name in (start, end)]
        cv2.line(page, ends[0], ends[1], (60, 40, 30), 6, cv2.LINE_AA, 4)
    cv2.imwrite(str(path), page)
    return path


@pytest.fixture(scope="module")
def photo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Draw the picture once."""
    return kingpost(tmp_path_factory.mktemp("photo") / "kingpost.png")


def assert_read_right(model: Model) -> None:
    """Check joints, names and members of the king-post truss."""
    assert model.names == ("A", "B", "C", "D")
    for joint in model.joints:
        assert joint.px is not None
        assert math.dist(joint.px, JOINTS[joint.name]) < 3
        assert joint.px_error is not None
        assert 0 < joint.px_error < 10
    assert {frozenset(member.joints) for member in model.members} == {frozenset(ends) for ends in MEMBERS}


def test_read_writes_an_unconfirmed_model(photo: Path, tmp_path: Path) -> None:
    """Joints where they were drawn, named in reading order; the picture named as seen from the model file."""
    out = tmp_path / "new.truss.json"
    outcome = panelpoint("read", photo, "-o", out, "--names")
    assert outcome.code == 0, outcome.err
    assert outcome.out == b""
    model = load(out)
    assert_read_right(model)
    assert not model.confirmed
    assert model.picture is not None
    assert (tmp_path / model.picture.file).resolve() == photo.resolve()
    assert (tmp_path / "new-names.png").read_bytes().startswith(b"\x89PNG")
    assert_refused(panelpoint("solve", out), "not confirmed")


def test_read_to_standard_output_prints_the_model_only(photo: Path) -> None:
    """Results on standard output, messages on standard error."""
    outcome = panelpoint("read", photo, "-o", "-")
    assert outcome.document["format"] == "panelpoint truss"
    assert "4 joints and 5 members read" in outcome.err


def test_run_with_trust_does_the_whole_job(photo: Path, tmp_path: Path) -> None:
    """By hand: 20 N at each support, so 20/sin in the rafters, and nothing in the post."""
    folder = tmp_path / "results"
    outcome = panelpoint("run", photo, *ANSWERS, "-o", folder, "--trust", "--title", "King post")
    assert outcome.code == 0, outcome.err
    assert {entry.name for entry in folder.iterdir()} == {
        "kingpost.truss.json",
        "kingpost-names.png",
        "overlay.png",
        "solution.txt",
        "members.csv",
    }
    rows = list(csv.DictReader(io.StringIO((folder / "members.csv").read_text())))
    found = {frozenset((row["start"], row["end"])): float(row["force [N]"]) for row in rows}
    rafter = -20 * math.hypot(350, 250) / 250
    assert found[frozenset("AD")] == pytest.approx(rafter, rel=0.02)
    assert found[frozenset("CD")] == pytest.approx(rafter, rel=0.02)
    assert found[frozenset("AB")] == pytest.approx(20 * 350 / 250, rel=0.02)
    assert found[frozenset("BD")] == pytest.approx(0, abs=1e-9)
    model = load(folder / "kingpost.truss.json")
    assert model.title == "King post"
    assert not model.confirmed, "--trust is no confirmation"
    places = {joint.name: joint.at for joint in model.joints}
    assert places["A"] == (0, 0)
    assert places["C"] == pytest.approx((700, 0))
    assert outcome.text.startswith("King post\n")
    assert (folder / "solution.txt").read_text(encoding="utf-8").startswith(outcome.text)


def test_the_folder_of_a_run_can_be_worked_on(photo: Path, tmp_path: Path) -> None:
    """The model file in it gives the same forces again, and a new overlay."""
    folder = tmp_path / "results"
    assert panelpoint("run", photo, *ANSWERS, "-o", folder, stdin="y\n").code == 0
    model = folder / "kingpost.truss.json"
    assert load(model).confirmed
    answer = panelpoint("solve", model, "--json").document
    rows = list(csv.DictReader(io.StringIO((folder / "members.csv").read_text())))
    assert [member["force"] for member in answer["members"]] == pytest.approx(
        [float(row["force [N]"]) for row in rows], rel=1e-9, abs=1e-9
    )
    assert all(member["error"] is not None for member in answer["members"])
    assert panelpoint("overlay", model, "-o", tmp_path / "forces.svg").code == 0


@pytest.mark.parametrize("said", ["n\n", ""])
def test_run_uses_no_guess_unasked(photo: Path, tmp_path: Path, said: str) -> None:
    """A no, or nobody there to answer: model file and names are left to look at, nothing is solved."""
    folder = tmp_path / "results"
    outcome = panelpoint("run", photo, *ANSWERS, "-o", folder, stdin=said)
    assert_refused(outcome, "not confirmed", "--trust", "are all joints and members right?")
    assert {entry.name for entry in folder.iterdir()} == {"kingpost.truss.json", "kingpost-names.png"}
    model = load(folder / "kingpost.truss.json")
    assert not model.confirmed
    assert model.loads[0].force == (0.0, -40.0)
    assert panelpoint("solve", folder / "kingpost.truss.json", "--trust").code == 0


def test_an_unconfirmed_leftover_does_not_block_the_next_run(photo: Path, tmp_path: Path) -> None:
    """After a no the same command can be given again, with a yes."""
    folder = tmp_path / "results"
    assert panelpoint("run", photo, *ANSWERS, "-o", folder, stdin="n\n").code == 2
    outcome = panelpoint("run", photo, *ANSWERS, "-o", folder, stdin="y\n")
    assert outcome.code == 0, outcome.err
    assert load(folder / "kingpost.truss.json").confirmed
    assert (folder / "overlay.png").exists()


@pytest.mark.parametrize("work", ["confirmed", "typed", "moved", "page"])
def test_a_model_that_a_person_worked_on_is_refused_before_the_question(
    photo: Path, tmp_path: Path, work: str
) -> None:
    """Whatever was done to it, it is kept, and nobody is asked a question in vain."""
    folder = tmp_path / "results"
    assert panelpoint("run", photo, *ANSWERS, "-o", folder).code == 2
    path = folder / "kingpost.truss.json"
    model = load(path)
    if work == "confirmed":
        save(path, model.model_copy(update={"confirmed": True}))
    elif work == "typed":
        path.write_text(path.read_text() + "\n")
    elif work == "moved":
        joints = (model.joints[0].model_copy(update={"px": (1.0, 2.0)}), *model.joints[1:])
        save(path, model.model_copy(update={"joints": joints}))
    else:
        journal_path(path).write_text("")
    before = path.read_bytes()
    outcome = panelpoint("run", photo, *ANSWERS, "-o", folder, stdin="y\n")
    assert_refused(outcome, "kingpost.truss.json is there already", "--force")
    assert "are all joints" not in outcome.err
    assert path.read_bytes() == before


def test_names_first_answers_after(photo: Path, tmp_path: Path) -> None:
    """`run --names` only draws the names; the second call into the same folder goes through."""
    folder = tmp_path / "results"
    outcome = panelpoint("run", photo, "--names", "-o", folder)
    assert outcome.code == 0
    assert [entry.name for entry in folder.iterdir()] == ["kingpost-names.png"]
    assert panelpoint("run", photo, *ANSWERS, "-o", folder, "--trust").code == 0


def test_run_replaces_only_with_force(photo: Path, tmp_path: Path) -> None:
    """A second run into the same folder is refused before any work, and done with `--force`."""
    folder = tmp_path / "results"
    folder.mkdir()
    (folder / "members.csv").write_text("mine")
    assert_refused(panelpoint("run", photo, *ANSWERS, "-o", folder, "--trust"), "members.csv", "--force")
    assert [entry.name for entry in folder.iterdir()] == ["members.csv"]
    assert panelpoint("run", photo, *ANSWERS, "-o", folder, "--trust", "--force").code == 0
    assert (folder / "members.csv").read_text() != "mine"


@pytest.mark.parametrize(
    ("answers", "words", "code"),
    [
        (["--pin", "Q", "--load", "D 0 -40 N"], ['--pin "Q"', "A, B, C, D"], 2),
        (["--load", "D 0 -40 N"], ["no supports"], 2),
        (["--pin", "A", "--roller", "C"], ["load"], 2),
        (["--pin", "A", "--load", "D 0 -40 N"], ["can still move"], 1),
        (["--pin", "A", "--pin", "C", "--load", "D 0 -40 N"], ["indeterminate"], 1),
        ([*ANSWERS, "--length", "A C 800 mm"], ["along A C 700", "along A C 800"], 2),
    ],
)
def test_answers_that_do_not_work_are_explained(
    photo: Path, tmp_path: Path, answers: list[str], words: list[str], code: int
) -> None:
    """The honest no and the wrong answer: explained, what was given is left, the next try goes through."""
    folder = tmp_path / "results"
    outcome = panelpoint("run", photo, *answers, "-o", folder, "--trust")
    assert_refused(outcome, *words, code=code)
    left = {entry.name for entry in folder.iterdir()} - {"kingpost-names.png"}
    if "Q" in answers:
        assert not left, "an answer that names no joint cannot be kept"
    else:
        assert left == {"kingpost.truss.json"}
        assert "Everything that was read and given is in" in outcome.err
        model = load(folder / "kingpost.truss.json")
        given = len(model.supports) + len(model.loads) + len(model.dimensions)
        assert given == sum(option.startswith("--") for option in answers)
        assert not model.confirmed
    assert panelpoint("run", photo, *ANSWERS, "-o", folder, "--trust").code == 0


def test_the_same_picture_gives_the_same_file(photo: Path, kept_maps: dict[bytes, object]) -> None:
    """Reading is deterministic to the last byte, the network's part included."""
    kept_maps.clear()
    first = panelpoint("read", photo, "-o", "-").out
    kept_maps.clear()
    assert panelpoint("read", photo, "-o", "-").out == first


def test_a_chalk_drawing_is_read_alike(photo: Path, tmp_path: Path) -> None:
    """Light strokes on a dark board are the same truss."""
    board = tmp_path / "board.png"
    picture = cv2.imread(str(photo))
    assert picture is not None
    cv2.imwrite(str(board), 255 - picture)
    outcome = panelpoint("read", board, "-o", tmp_path / "board.truss.json")
    assert outcome.code == 0, outcome.err
    assert_read_right(load(tmp_path / "board.truss.json"))


def test_the_json_of_read_is_what_the_schema_says(photo: Path) -> None:
    """What `read` writes fits the kept schema."""
    import jsonschema  # noqa: PLC0415

    schema = json.loads(
        (Path(__file__).parent.parent / "cli" / "model" / "schema.json").read_text(encoding="utf-8")
    )
    jsonschema.Draft202012Validator(schema).validate(panelpoint("read", photo, "-o", "-").document)
