"""The model file: what is written is what was meant, and what is wrong is named with its place."""

from __future__ import annotations

import json
import os
from pathlib import Path

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import cli.outputs
from cli.errors import (
    FaultsError,
    ModelFileError,
    NewerVersionError,
    OutputExistsError,
    OutputIsInputError,
    UnwritableError,
)
from cli.model.file import Model, dumps, load, model_schema, save
from cli.outputs import ensure_free, write_atomically
from cli.translate.places import place
from cli.translate.to_truss import truss_of
from solver import joint_loads

ROOT = Path(__file__).parent.parent

SAMPLE = """\
{
  "format": "panelpoint truss",
  "version": 1,
  "title": "Creek footbridge, side A",
  "confirmed": true,
  "units": {"length": "mm", "force": "N"},
  "picture": {
    "file": "creek.jpg",
    "sha256": "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef",
    "width": 4032,
    "height": 3024
  },
  "joints": [
    {"name": "A", "px": [512.3, 2011.8], "px_error": 1.4, "confidence": 0.98, "at": [0, 0]},
    {"name": "C", "px": [3500, 2010.25], "px_error": 1.4, "confidence": 0.9, "at": [600, 0]},
    {"name": "D", "at": [300, 250.5]}
  ],
  "members": [
    {"joints": ["A", "C"], "confidence": 0.97, "stock": "stick"},
    {"joints": ["A", "D"]},
    {"joints": ["D", "C"]}
  ],
  "supports": [
    {"joint": "A", "kind": "pin"},
    {"joint": "C", "kind": "roller", "normal": [0, 1]}
  ],
  "loads": [
    {"joint": "D", "force": [0, -40]},
    {"joint": "D", "px_direction": [0, 1], "confidence": 0.8}
  ],
  "dimensions": [
    {"kind": "across", "from": "A", "to": "C", "value": 600}
  ],
  "view": {
    "rectangle": {"corners": [[0, 0], [4000, 12], [4010, 3000], [5, 2990]], "width": 420, "height": 297}
  },
  "level": ["A", "C"],
  "stocks": {
    "stick": {"material": "birch", "width": 10, "thickness": 2}
  }
}
"""

MINIMAL = {
    "format": "panelpoint truss",
    "version": 1,
    "units": {"length": "mm", "force": "N"},
    "joints": [{"name": "A", "at": [0, 0]}, {"name": "B", "at": [1, 0]}],
    "members": [{"joints": ["A", "B"]}],
}


KNOWN = [{"joint": "A", "at": [0, 0]}] * 3


def written(tmp_path: Path, document: object) -> Path:
    """Write any document as a model file."""
    path = tmp_path / "some.truss.json"
    path.write_text(document if isinstance(document, str) else json.dumps(document), encoding="utf-8")
    return path


def fault(tmp_path: Path, document: object) -> str:
    """Return what loading a wrong document says."""
    with pytest.raises(ModelFileError) as caught:
        load(written(tmp_path, document))
    return str(caught.value)


def test_a_file_read_and_saved_is_the_same_to_the_letter(tmp_path: Path) -> None:
    """Key order, indent and line breaks are stable, so a diff shows what was changed and nothing else."""
    path = written(tmp_path, SAMPLE)
    save(path, load(path))
    assert path.read_text(encoding="utf-8") == SAMPLE


def test_one_moved_joint_changes_one_line(tmp_path: Path) -> None:
    """A small change makes a small diff."""
    model = load(written(tmp_path, SAMPLE))
    moved = model.joints[2].model_copy(update={"at": (301.0, 250.5)})
    after = dumps(model.model_copy(update={"joints": (*model.joints[:2], moved)}))
    lines = zip(SAMPLE.splitlines(), after.splitlines(), strict=True)
    assert [new for old, new in lines if old != new] == ['    {"name": "D", "at": [301, 250.5]}']


def test_the_kept_schema_is_the_generated_one() -> None:
    """`python -m cli.model.file > cli/model/schema.json` has been run since the types last changed."""
    kept = json.loads((ROOT / "cli" / "model" / "schema.json").read_text(encoding="utf-8"))
    assert kept == model_schema()


def test_the_schema_is_valid_and_says_the_same_as_the_code(tmp_path: Path) -> None:
    """The JSON Schema takes the sample and refuses what the code refuses by its types."""
    schema = model_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    check = jsonschema.Draft202012Validator(schema)
    check.validate(json.loads(SAMPLE))
    check.validate(MINIMAL)
    for wrong in (
        {**MINIMAL, "colour": "red"},
        {**MINIMAL, "members": [{"joints": ["A"]}]},
        {**MINIMAL, "units": {"length": "yard", "force": "N"}},
        {**MINIMAL, "joints": [{"name": "A B", "at": [0, 0]}]},
        {**MINIMAL, "dimensions": [{"kind": "across", "start": "A", "end": "B", "value": 1}]},
        {key: value for key, value in MINIMAL.items() if key != "units"},
    ):
        assert not check.is_valid(wrong)
        assert fault(tmp_path, wrong)


def test_a_file_typed_by_hand_counts_as_confirmed(tmp_path: Path) -> None:
    """The key `confirmed` is only for what was read from a picture."""
    assert load(written(tmp_path, MINIMAL)).confirmed


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            {"members": [{"joints": ["A", "B"]}] * 3 + [{"joints": ["A", "B"], "foo": 1}]},
            ["members[3].foo", "stock"],
        ),
        ({"members": [{"joints": ["A", "B"], "stocks": "x"}]}, ["members[0].stocks", 'did you mean "stock"']),
        ({"colour": 1}, ["colour", "dimensions"]),
        ({"view": {"rectangel": {}}}, ["view.rectangel", 'did you mean "rectangle"']),
        ({"stocks": {"s": {"material": "pine", "depth": 2}}}, ["stocks.s.depth", "thickness"]),
        ({"view": {"known": [*KNOWN, {**KNOWN[0], "px": 1}]}}, ["view.known[3].px", "joint, at"]),
        ({"members": [{"joints": ["A", "Q"]}]}, ["members[0].joints[1]", '"Q"', "A, B"]),
        ({"loads": [{"joint": "Z", "force": [0, 1]}]}, ["loads[0].joint", '"Z"']),
        ({"supports": [{"joint": "Z", "kind": "pin"}]}, ["supports[0].joint", '"Z"']),
        ({"level": ["A", "Z"]}, ["level[1]", '"Z"']),
        ({"dimensions": [{"kind": "up", "from": "A", "to": "Z", "value": 1}]}, ["dimensions[0].to", '"Z"']),
        (
            {"joints": [*MINIMAL["joints"], {"name": "A", "at": [3, 3]}]},
            ["joints[2].name", "joints[0]", "rename"],
        ),
        ({"joints": [{"name": "A"}, {"name": "B", "at": [1, 0]}]}, ["joints[0]", "nowhere", '"at"']),
        (
            {"joints": [{"name": "A", "at": [0, "1"]}, {"name": "B", "at": [1, 0]}]},
            ["joints[0].at[1]", "a number"],
        ),
        ({"joints": [{"name": "A", "at": [0]}, {"name": "B", "at": [1, 0]}]}, ["joints[0].at[1]", "missing"]),
        ({"joints": [{"name": "", "at": [0, 0]}]}, ["joints[0].name", "no blanks"]),
        ({"supports": [{"joint": "A", "kind": "fixed"}]}, ["supports[0].kind", '"fixed"', "pin"]),
        ({"supports": [{"joint": "A", "kind": "pin", "normal": [0, 1]}]}, ["supports[0]", "normal"]),
        ({"supports": [{"joint": "A", "kind": "roller", "normal": [0, 0]}]}, ["supports[0]", "nowhere"]),
        ({"loads": [{"joint": "A"}]}, ["loads[0]", '"force"']),
        ({"loads": [{"joint": "A", "force": [True, 0]}]}, ["loads[0].force[0]", "a number"]),
        ({"view": {}}, ["view", '"known"', '"rectangle"']),
        ({"view": {"known": [{"joint": "A", "at": [0, 0]}]}}, ["view.known", "4 items"]),
        ({"members": [{"joints": ["A", "B"], "stock": "oak"}]}, ["members[0].stock", '"oak"']),
        ({"units": {"length": "parsec", "force": "N"}}, ["units.length", "'mm'"]),
        ({"format": "other"}, ["not a model file", "panelpoint truss"]),
        ({"version": "1"}, ["version", "whole number"]),
        ({"members": {"a": 1}}, ["members", "square brackets"]),
    ],
)
def test_what_is_wrong_is_named_with_its_place(
    tmp_path: Path, change: dict[str, object], words: list[str]
) -> None:
    """Every fault names the key, where it stands, and what would be right."""
    said = fault(tmp_path, {**MINIMAL, **change})
    assert "some.truss.json" in said
    for word in words:
        assert word in said
    assert "\n" not in said
    assert "Traceback" not in said
    assert "pydantic" not in said


def test_all_faults_are_said_together(tmp_path: Path) -> None:
    """A person mends a file once, not once a fault."""
    said = fault(tmp_path, {**MINIMAL, "members": [{"joints": ["A", "Q"]}, {"joints": ["R", "B"]}]})
    assert "members[0].joints[1]" in said
    assert "members[1].joints[0]" in said
    many = fault(tmp_path, {**MINIMAL, "members": [{"joints": ["A", f"Q{row}"]} for row in range(50)]})
    assert "and 44 more" in many


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ["not JSON", "line 1"]),
        ("{", ["not JSON"]),
        ("[]", ["curly brackets"]),
        ('{"format": "panelpoint truss", "format": "x"}', ['"format" stands twice']),
        ("[" * 100_000, ["nested too deep"]),
        ('{"a": ' + "9" * 5000 + "}", ["too many digits"]),
    ],
)
def test_text_that_is_no_model_file_is_explained(tmp_path: Path, text: str, words: list[str]) -> None:
    """Broken JSON, repeated keys, absurd nesting and numbers end in a sentence."""
    said = fault(tmp_path, text)
    assert all(word in said for word in words)


@pytest.mark.parametrize("number", ["NaN", "Infinity", "1e999"])
def test_numbers_are_finite(tmp_path: Path, number: str) -> None:
    """Not-a-number and infinity stop at the door."""
    text = json.dumps({**MINIMAL, "loads": [{"joint": "A", "force": [0, 12345]}]}).replace("12345", number)
    assert "loads[0].force[1]: a finite number is wanted" in fault(tmp_path, text)


def test_a_picture_given_as_model_is_explained(tmp_path: Path) -> None:
    """Bytes that are no text are not decoded at any price."""
    path = tmp_path / "photo.jpg"
    path.write_bytes(b"\xff\xd8\xff\xe0" + bytes(range(128, 256)))
    with pytest.raises(ModelFileError, match="not text"):
        load(path)


def test_a_version_0_file_is_migrated(tmp_path: Path) -> None:
    """The short hand-typed form of before versions were numbered opens and is saved in the present one."""
    old = {
        "format": "panelpoint truss",
        "units": {"length": "m", "force": "kN"},
        "joints": {"A": [0, 0], "B": [4, 0], "C": [2, 1.5]},
        "members": [["A", "B"], ["B", "C"], ["A", "C"]],
        "supports": [{"joint": "A", "kind": "pin"}, {"joint": "B", "kind": "roller"}],
        "loads": [{"joint": "C", "force": [0, -10]}],
    }
    path = written(tmp_path, old)
    model = load(path)
    assert model.version == 1
    assert model.names == ("A", "B", "C")
    assert model.joints[2].at == (2.0, 1.5)
    assert model.members[2].joints == ("A", "C")
    save(path, model)
    assert load(path) == model
    assert '"version": 1' in path.read_text(encoding="utf-8")


def test_a_later_version_is_refused_with_the_cure(tmp_path: Path) -> None:
    """A file of the future is not guessed at."""
    with pytest.raises(NewerVersionError, match="update panelpoint"):
        load(written(tmp_path, {**MINIMAL, "version": 2}))


names = st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=8)
number = st.floats(allow_nan=False, allow_infinity=False)


@st.composite
def models(draw: st.DrawFn) -> Model:
    """Any model with joints in plane and picture."""
    joints = draw(st.lists(names, min_size=2, max_size=6, unique=True))
    pick = st.sampled_from(joints)
    return Model.model_validate(
        {
            "units": {"length": "in", "force": "lbf"},
            "title": draw(st.none() | st.text(max_size=20)),
            "confirmed": draw(st.booleans()),
            "joints": tuple(
                {"name": name, "px": (draw(number), draw(number)), "at": (draw(number), draw(number))}
                for name in joints
            ),
            "members": tuple({"joints": pair} for pair in draw(st.lists(st.tuples(pick, pick), max_size=5))),
            "loads": tuple(
                {"joint": draw(pick), "force": (draw(number), draw(number))}
                for _ in range(draw(st.integers(0, 3)))
            ),
        }
    )


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(model=models())
def test_any_model_survives_save_and_load(tmp_path: Path, model: Model) -> None:
    """Every number comes back to the last bit, every name to the letter."""
    path = tmp_path / "any.truss.json"
    save(path, model)
    assert load(path) == model


def test_a_write_that_fails_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk is full, what the user confirmed is still there and nothing half-written lies about."""
    path = tmp_path / "kept.truss.json"
    path.write_text("old")

    def full_disk(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(cli.outputs.os, "fsync", full_disk)
    with pytest.raises(OSError, match="No space left"):
        write_atomically(path, b"new")
    assert path.read_text() == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["kept.truss.json"]


def test_permissions_are_those_of_any_new_file(tmp_path: Path) -> None:
    """A model file can be read by whoever can read its neighbours, and a replaced one keeps its mode."""
    plain, written_one = tmp_path / "plain", tmp_path / "written"
    plain.write_text("x")
    write_atomically(written_one, b"x")
    assert written_one.stat().st_mode == plain.stat().st_mode
    written_one.chmod(0o600)
    write_atomically(written_one, b"y")
    assert written_one.stat().st_mode & 0o777 == 0o600


def test_outputs_are_asked_for_before_the_work(tmp_path: Path) -> None:
    """An output that exists wants --force; the user's picture is never replaced, under any name."""
    picture, other, new = tmp_path / "photo.jpg", tmp_path / "old.json", tmp_path / "new.json"
    picture.write_bytes(b"picture")
    other.write_text("old")
    again = tmp_path / "again.json"
    os.link(picture, again)
    given_by_user = ((picture, "the picture itself"),)
    ensure_free(new, force=False, inputs=given_by_user)
    assert not new.exists()
    with pytest.raises(OutputExistsError, match="--force"):
        ensure_free(other, force=False, inputs=given_by_user)
    ensure_free(other, force=True, inputs=given_by_user)
    for name in (picture, again):
        with pytest.raises(OutputIsInputError, match="never replaced"):
            ensure_free(name, force=True, inputs=given_by_user)
    with pytest.raises(UnwritableError, match="no such file or directory"):
        ensure_free(tmp_path / "nowhere" / "x.json", force=False)
    with pytest.raises(UnwritableError, match="not a directory"):
        ensure_free(picture / "x.json", force=False)
    with pytest.raises(UnwritableError, match="it is a folder"):
        ensure_free(tmp_path, force=True)


def test_deck_loads_and_self_weight_reach_the_solver(tmp_path: Path) -> None:
    """Two deck panels under 3 N/mm: an end joint takes half of one panel, the middle two halves."""
    document = {
        **MINIMAL,
        "joints": [
            {"name": name, "at": at}
            for name, at in zip("ABCD", [[0, 0], [2, 0], [6, 0], [2, 3]], strict=True)
        ],
        "members": [{"joints": list(pair)} for pair in ("AB", "BC", "AD", "BD", "CD")],
        "supports": [{"joint": "A", "kind": "pin"}, {"joint": "C", "kind": "roller"}],
        "deck_loads": [{"joints": ["A", "B", "C"], "force": [0, -3]}],
    }
    model = load(written(tmp_path, document))
    assert load(written(tmp_path, dumps(model))) == model
    truss = truss_of(model, place(model).at)
    assert joint_loads(truss)[:, 1].tolist() == [-3, -9, -6, 0]
    heavy = truss_of(model.model_copy(update={"self_weight": 2.0, "deck_loads": ()}), place(model).at)
    assert joint_loads(heavy)[:, 1].sum() == pytest.approx(-2 * (2 + 4 + 13**0.5 + 3 + 5), rel=1e-12)


def test_an_unknown_deck_joint_is_named_with_its_place(tmp_path: Path) -> None:
    """The place in the file is given to the row and the end."""
    said = fault(tmp_path, {**MINIMAL, "deck_loads": [{"joints": ["A", "Q"], "force": [0, -1]}]})
    assert 'deck_loads[0].joints[1]: there is no joint "Q"' in said


def test_weight_without_any_length_is_refused(tmp_path: Path) -> None:
    """In a picture without a scale nobody knows how much a member weighs."""
    document = {
        **MINIMAL,
        "joints": [
            {"name": name, "px": px} for name, px in zip("ABC", [[0, 0], [90, 0], [40, -50]], strict=True)
        ],
        "members": [{"joints": list(pair)} for pair in ("AB", "BC", "AC")],
        "self_weight": 0.1,
    }
    with pytest.raises(FaultsError, match="need true lengths"):
        place(load(written(tmp_path, document)))
