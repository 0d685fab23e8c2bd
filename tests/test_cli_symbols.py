"""Supports and arrows from the photograph into the model file: unconfirmed, unsized, overruled by answers."""

from __future__ import annotations

import math
from pathlib import Path

import cv2
import numpy as np
import pytest
from drawing import Sheet, draw

from cli.errors import FaultsError, MissingExtraError, OutputExistsError
from cli.model.file import Model, load, model_schema
from cli.model.parts import UnitsEntry
from cli.stage_folder import StageFolder
from cli.translate.from_reading import model_of
from cli.translate.places import place
from cli.translate.to_truss import truss_of
from tests.front_door import panelpoint
from vision import Photo, Reading, SeenArrow, SeenSupport

pytestmark = pytest.mark.usefixtures("kept_maps")
UNITS = UnitsEntry(length="mm", force="N")


def reading_of(turn: float = 0.0, *, normal: tuple[float, float] | None = (0.0, -1.0)) -> Reading:
    """Return a triangle on a pin and a roller, with an arrow on top, in a picture askew by `turn` degrees."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    rotate = np.array([[c, -s], [s, c]])
    joints = (np.array([[100.0, 300.0], [500.0, 300.0], [300.0, 120.0]]) - 300) @ rotate.T + 300
    pushed = None if normal is None else tuple((rotate @ np.array(normal)).tolist())
    return Reading(
        width=640,
        height=480,
        joints=joints,
        px_error=np.full(3, 0.5),
        joint_confidence=np.full(3, 0.99),
        members=((0, 1), (0, 2), (1, 2)),
        member_confidence=np.full(3, 0.99),
        supports=(SeenSupport(0, "pin", 0.9, (0.0, -1.0)), SeenSupport(1, "roller", 0.8, pushed)),
        arrows=(SeenArrow(2, (0.0, 1.0), 0.95, (300.0, 30.0), (300.0, 110.0)),),
    )


def model_from(reading: Reading) -> Model:
    """Return the model of a reading."""
    photo = Photo(np.zeros((480, 640, 3), np.uint8), Path("page.png"), "0" * 64)
    return model_of(reading, photo, model_folder=Path(), units=UNITS)


def test_what_was_seen_goes_into_the_model_with_its_confidence() -> None:
    """Kind, joint, direction of the arrow, how sure; no size anywhere."""
    model = model_from(reading_of())
    assert [(s.joint, s.kind, s.normal, s.confidence) for s in model.supports] == [
        ("A", "pin", None, 0.9),
        ("B", "roller", None, 0.8),
    ]
    (load,) = model.loads
    assert (load.joint, load.force, load.px_direction, load.confidence) == ("C", None, (0.0, 1.0), 0.95)
    assert not model.confirmed


@pytest.mark.parametrize("turn", [0, 12, -15])
@pytest.mark.parametrize(
    ("normal", "pushes"),
    [
        ((0.0, -1.0), None),
        ((1.0, 0.0), (1.0, 0.0)),
        ((-1.0, 0.0), (-1.0, 0.0)),
        ((0.0, 1.0), (0.0, -1.0)),
        (None, None),
    ],
)
def test_a_roller_pushes_level_or_upright_however_the_picture_is_held(
    turn: float, normal: tuple[float, float] | None, pushes: tuple[float, float] | None
) -> None:
    """The turn of the near-level members is taken out; y runs up in the file; straight up is left out."""
    assert model_from(reading_of(turn, normal=normal)).supports[1].normal == pushes


def test_an_inclined_roller_keeps_its_direction() -> None:
    """A surface at 45 degrees is neither level nor upright."""
    half = math.sqrt(0.5)
    assert model_from(reading_of(normal=(-half, -half))).supports[1].normal == pytest.approx(
        (-half, half), abs=1e-3
    )


def test_an_arrow_without_a_size_is_no_load() -> None:
    """Nothing is solved with it: the person is asked for its size or to remove it."""
    model = model_from(reading_of())
    with pytest.raises(FaultsError, match=r"arrow at joint C was seen without its size"):
        truss_of(model, place(model).at)


def test_the_schema_knows_an_arrow_without_a_size() -> None:
    """`px_direction` stands for a force that nobody has given yet."""
    assert {"force", "px_direction", "confidence"} <= set(model_schema()["$defs"]["LoadEntry"]["properties"])


@pytest.fixture(scope="module")
def worksheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Draw a triangle on two pins with a load arrow, names and a dimension line, once."""
    path = tmp_path_factory.mktemp("photo") / "sheet.png"
    cv2.imwrite(str(path), draw("triangle", seed=3, sheet=Sheet(signs=True)).rgb[..., ::-1])
    return path


def test_read_writes_names_and_keeps_the_stages(worksheet: Path, tmp_path: Path) -> None:
    """Supports and the arrow are in the file, named in the terminal; every stage has its picture."""
    out, stages = tmp_path / "sheet.truss.json", tmp_path / "stages"
    outcome = panelpoint("read", worksheet, "-o", out, "--keep", stages)
    assert outcome.code == 0, outcome.err
    model = load(out)
    assert [(support.joint, support.kind) for support in model.supports] == [("A", "pin"), ("B", "pin")]
    assert [(arrow.joint, arrow.force) for arrow in model.loads] == [("C", None)]
    assert "Seen beside the truss: a pin at A, a pin at B and an arrow at C." in outcome.err
    pictures = sorted(path.name for path in stages.iterdir())
    assert len(pictures) == 11
    assert pictures[5:8] == ["06-segments.png", "07-endpoint-clusters.png", "08-joints.png"]
    assert "11 pictures of the stages" in outcome.err
    assert cv2.imread(str(stages / "11-refined.png")).shape == (900, 1200, 3)
    again = panelpoint("read", worksheet, "-o", tmp_path / "other.truss.json", "--keep", stages)
    assert again.code == 2
    assert "--force" in again.err


def test_answers_overrule_what_was_seen(worksheet: Path, tmp_path: Path) -> None:
    """Own supports and loads replace those read: the roller is one, the arrow counts as answered."""
    folder = tmp_path / "out"
    answers = ("--pin", "A", "--roller", "B", "--load", "C 0 -40 N", "--length", "A B 700 mm", "--trust")
    outcome = panelpoint("run", worksheet, "-o", folder, *answers)
    assert outcome.code == 0, outcome.err
    model = load(folder / "sheet.truss.json")
    assert [(support.joint, support.kind, support.confidence) for support in model.supports] == [
        ("A", "pin", None),
        ("B", "roller", None),
    ]
    assert [(entry.joint, entry.force) for entry in model.loads] == [("C", (0.0, -40.0))]


def test_trust_invents_no_size(worksheet: Path, tmp_path: Path) -> None:
    """Without a load given, even `--trust` asks for the size of the arrow instead of leaving it out."""
    outcome = panelpoint("run", worksheet, "-o", tmp_path / "out", "--pin", "A", "--roller", "B", "--trust")
    assert outcome.code == 2
    assert "arrow at joint C was seen without its size" in outcome.err


def test_stages_say_what_is_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where scikit-image or shapely is not installed, the cure is one command."""
    monkeypatch.setattr("cli.stage_folder.find_spec", lambda name: None if name == "shapely" else name)
    with pytest.raises(
        MissingExtraError, match=r"need shapely: install with `pip install \"panelpoint\[stages\]\"`"
    ):
        StageFolder(tmp_path, force=False)


def test_a_stage_folder_numbers_and_never_replaces_unasked(tmp_path: Path) -> None:
    """Maps from 0 to 1 and levels of 255 are both seen; a second round needs `--force`."""
    stages = StageFolder(tmp_path / "new", force=False)
    stages.picture("maps joints", np.array([[0.0, 0.5, 1.0]], np.float32))
    stages.picture("segments", np.array([[[255, 0, 10]]], np.uint8))
    assert stages.names == ["01-maps-joints.png", "02-segments.png"]
    assert cv2.imread(str(tmp_path / "new" / "01-maps-joints.png"), 0).tolist() == [[0, 127, 255]]
    assert cv2.imread(str(tmp_path / "new" / "02-segments.png")).tolist() == [[[10, 0, 255]]]
    with pytest.raises(OutputExistsError):
        StageFolder(tmp_path / "new", force=False).picture("maps joints", np.zeros((2, 2)))
    StageFolder(tmp_path / "new", force=True).picture("maps joints", np.zeros((2, 2)))


@pytest.mark.parametrize(("turn", "again"), [(0, False), (2, False), (-2, False), (6, True), (-15, True)])
def test_where_level_came_from_is_told_until_somebody_confirms(turn: float, *, again: bool) -> None:
    """In a confirmed model it is told only where the picture was turned for it; nothing else is left out."""
    told = "Level was taken from the chord A-B. Name two other joints if that is not level."
    model = model_from(reading_of(turn))
    before = place(model)
    assert told in before.remarks
    confirmed = place(model.model_copy(update={"confirmed": True}))
    assert set(before.remarks) - set(confirmed.remarks) == (set() if again else {told})
    assert (confirmed.at == before.at).all()
