"""The test day: records taken down, limits of a contest, the class's table, and the class's own stock."""

from __future__ import annotations

import csv
import io
import json
import math
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import cli.testday
from cli.cautions import CAUTIONS
from cli.errors import ModelFileError, NewerVersionError
from cli.model.json_schema import json_schema
from cli.testday.contest_file import Contest
from cli.testday.record_file import Record, load_record, record_beside, save_record
from tests.front_door import assert_refused, panelpoint, three_bars, write_model

GRAVITY = 9.80665
HEAD = """{"format": "panelpoint test", "version": 1, "bridge": "x", "model": "m",
"units": {"length": "mm", "force": "N"}"""
SAMPLE = Path(__file__).parent.parent / "sample_images" / "contest-sticks-model.truss.json"


def sticks(**changes: Any) -> dict[str, Any]:
    """Return the 3-4-5 triangle of birch strips of 10 by 2 mm, 8 cm wide and 3 cm high, loaded by 12 N."""
    return three_bars(
        **{
            "units": {"length": "cm", "force": "N"},
            "members": [{"joints": list(ends), "stock": "strip"} for ends in ("AB", "AC", "BC")],
            "stocks": {"strip": {"material": "birch", "width": 1, "thickness": 0.2}},
            **changes,
        }
    )


def bridge(folder: Path, name: str, **changes: Any) -> Path:
    """Write a model of the class."""
    path = write_model(folder, sticks(title=name.capitalize(), **changes))
    return path.rename(folder / f"{name}.truss.json")


def rules(folder: Path, **limits: Any) -> None:
    """Write the rules of a contest, in millimetres."""
    document = {
        "format": "panelpoint contest",
        "version": 1,
        "title": "Class 9b",
        "units": {"length": "mm", "force": "N"},
        "limits": limits,
        "hold": 10,
    }
    (folder / "class.contest.json").write_text(json.dumps(document), encoding="utf-8")


def note(model: Path, *options: str) -> Any:
    """Take something down and return the record's document."""
    outcome = panelpoint("record", model, *options)
    assert outcome.code == 0, outcome.err
    return json.loads(record_beside(model).read_text(encoding="utf-8"))


def day(folder: Path) -> Any:
    """Return the table as JSON."""
    outcome = panelpoint("testday", folder, "--json")
    assert outcome.code == 0, outcome.err
    return outcome.document


def test_a_test_is_taken_down_step_by_step(tmp_path: Path) -> None:
    """Before, during and after: guesses and steps add up, kg is weight, names either way round."""
    heron = bridge(tmp_path, "heron")
    said = panelpoint("strength", heron, "--json").document["prediction"]
    first = note(heron, "--mass", "2.5 g", "--guess", "Ana B. C-A 300 N", "--guess", "Ben B-C")
    assert first["stated"]["sentence"] == said["sentence"]
    assert first["stated"]["load"] == pytest.approx(said["load"], rel=1e-5)
    assert first["guesses"] == [
        {"by": "Ana B.", "first": "A-C", "load": 300},
        {"by": "Ben", "first": "B-C"},
    ]
    note(heron, "--step", "100 N 10 s", "--step", "20 kg, 12,5 s")
    last = note(heron, "--step", "300N", "--held", "20 kg", "--let-go", "bent C-A")
    assert last["steps"] == [
        {"load": 100, "seconds": 10},
        {"load": pytest.approx(20 * GRAVITY), "seconds": 12.5},
        {"load": 300},
    ]
    assert last["last_held"] == pytest.approx(196.133)
    assert last["let_go"] == {"how": "member bent sideways", "what": ["A-C"]}
    assert last["mass"] == 2.5
    assert last["stated"] == first["stated"]


def test_what_was_stated_stays_once_a_load_hangs(tmp_path: Path) -> None:
    """Before that a better model states anew; afterwards the table says that the model was changed."""
    heron = bridge(tmp_path, "heron")
    thin = note(heron, "--mass", "3 g")["stated"]["load"]
    thick = {"strip": {"material": "birch", "width": 1, "thickness": 0.25}}
    bridge(tmp_path, "heron", stocks=thick)
    stated = note(heron, "--note", "a better measurement")["stated"]["load"]
    assert stated == pytest.approx(1.25**3 * thin, rel=0.01)
    note(heron, "--step", "50 N 10 s")
    bridge(tmp_path, "heron")
    assert note(heron, "--held", "50 N")["stated"]["load"] == stated
    (row,) = day(tmp_path)["bridges"]
    assert row["predicted"]["load"] == stated
    assert "its model was changed since the prediction" in row["remarks"][0]


def test_a_broken_bridge_is_not_loaded_again(tmp_path: Path) -> None:
    """After something let go a further step is refused and nothing is written; a tipped bridge may go on."""
    heron, wren = bridge(tmp_path, "heron"), bridge(tmp_path, "wren")
    note(heron, "--step", "50 N", "--held", "40 N", "--let-go", "bent A-C")
    before = record_beside(heron).read_text(encoding="utf-8")
    assert_refused(panelpoint("record", heron, "--step", "60 N"), "has let go already")
    assert record_beside(heron).read_text(encoding="utf-8") == before
    assert note(heron, "--note", "glue was wet")["note"] == "glue was wet"
    note(wren, "--step", "50 N", "--held", "40 N", "--let-go", "tipped")
    assert [step["load"] for step in note(wren, "--step", "60 N")["steps"]] == [50, 60]


def test_nothing_is_stated_after_the_fact(tmp_path: Path) -> None:
    """A record that begins with the end has no prediction from before; the table says so."""
    heron = bridge(tmp_path, "heron")
    assert "stated" not in note(heron, "--held", "200 N", "--let-go", "snapped A-B")
    (row,) = day(tmp_path)["bridges"]
    assert row["predicted"]["stated"] is False
    assert "nothing was stated before the test" in row["remarks"][0]
    assert row["right"] == []


def test_the_table_by_hand(tmp_path: Path) -> None:
    """Efficiency is load over weight; ratio, range, who was right, whose load was nearest; best first."""
    heron, wren, owl = (bridge(tmp_path, name) for name in ("heron", "wren", "owl"))
    note(heron, "--mass", "2.5 g", "--guess", "Ana A-C 250 N", "--guess", "Ben A-B 330 N")
    note(heron, "--step", "240 N", "--step", "300 N")
    note(heron, "--held", "240 N", "--let-go", "bent A-C")
    note(wren, "--mass", "2 g", "--trusses", "2", "--step", "400 N", "--held", "400 N")
    note(wren, "--let-go", "tipped")
    document = day(tmp_path)
    rows = {row["bridge"]: row for row in document["bridges"]}
    assert [row["bridge"] for row in document["bridges"]] == ["Wren", "Heron", "Owl"]
    assert rows["Heron"]["efficiency"] == pytest.approx(240 / (2.5e-3 * GRAVITY))
    assert rows["Wren"]["efficiency"] == pytest.approx(400 / (2e-3 * GRAVITY))
    assert rows["Heron"]["ratio"] == pytest.approx(240 / rows["Heron"]["predicted"]["load"])
    assert rows["Heron"]["right"] == ["panelpoint", "Ana"]
    assert rows["Wren"]["right"] is None
    # Two trusses carry twice as much and weigh twice as much.
    assert rows["Wren"]["predicted"]["load"] == pytest.approx(2 * rows["Owl"]["predicted"]["load"], rel=1e-5)
    assert rows["Owl"]["held"] is None
    assert rows["Owl"]["mass"] == pytest.approx(2.2176)
    text = panelpoint("testday", tmp_path).text
    assert "Heron: Ana, 250 N against 240 N held" in text
    assert "panelpoint, Ana" in text
    assert "bent A-C" in text
    assert "≈2.22" in text
    assert "≈ mass by the model, not weighed" in text
    assert "Not tested yet\n  Owl: Member A-C or B-C buckles first at about" in text
    assert owl.exists()


def test_own_stock_is_the_posterior_of_the_tests_that_count(tmp_path: Path) -> None:
    """Precisions add up; a tipped bridge is left out; the untested one is expected by what was learnt.

    Heron held 240 N and not 300 N: its sticks let go at about sqrt(240 × 300). Normal prior of spread 0.2
    and normal tests, in logarithms, by hand.
    """
    heron, wren, owl, _ = (bridge(tmp_path, name) for name in ("heron", "wren", "owl", "rook"))
    note(heron, "--mass", "2.5 g", "--step", "240 N", "--step", "300 N")
    note(heron, "--held", "240 N", "--let-go", "bent A-C")
    note(wren, "--mass", "2.5 g")
    note(wren, "--held", "200 N", "--let-go", "snapped A-B")
    note(owl, "--held", "100 N", "--let-go", "tipped")
    document = day(tmp_path)
    stated = load_record(record_beside(heron)).stated
    assert stated is not None
    spread = math.log(stated.high / stated.low) / (2 * 1.6448536)
    logs = [math.log(load / stated.load) for load in (math.sqrt(240 * 300), 200)]
    precision, prior = 2 / spread**2, 1 / 0.2**2
    factor = math.exp(sum(log / spread**2 for log in logs) / (precision + prior))
    (stock,) = document["own_stock"]
    assert stock["material"] == "birch"
    assert set(stock["bridges"]) == {"Heron", "Wren"}
    assert stock["factor"] == pytest.approx(factor, rel=1e-6)
    assert stock["weight"] == pytest.approx(precision / (precision + prior), rel=1e-6)
    assert document["left_out"] == ["Owl (tipped) says only that its sticks hold as much or more."]
    rook = next(row for row in document["bridges"] if row["bridge"] == "Rook")
    assert rook["expected"] == pytest.approx(factor * stated.load, rel=1e-5)
    assert "After the tests so far: about " in panelpoint("testday", tmp_path).text


def test_limits_kept_broken_and_not_known(tmp_path: Path) -> None:
    """Span and height by the model in the units of the rules; the rest as weighed, measured, counted."""
    heron = bridge(tmp_path, "heron")
    rules(
        tmp_path,
        span={"least": 80, "most": 80},
        height={"most": 25},
        width={"most": 60},
        mass={"most": 3},
        pieces={"most": 3},
        glue={"most": 1},
    )
    verdicts = {found["what"]: found["verdict"] for found in day(tmp_path)["bridges"][0]["limits"]}
    assert verdicts == {
        "span": "kept",
        "height": "broken",
        "width": "not known",
        "mass": "kept",
        "pieces": "kept",
        "glue": "not known",
    }
    note(heron, "--mass", "3.2 g", "--width", "2 in", "--pieces", "4", "--glue", "0.9 g")
    said = {found["what"]: found["sentence"] for found in day(tmp_path)["bridges"][0]["limits"]}
    assert said["mass"] == "mass 3.2 g, as weighed: too much (at most 3 g)"
    assert said["pieces"] == "pieces 4, as counted: too much (at most 3)"
    assert said["width"] == "width 50.8 mm, as measured: kept (at most 60 mm)"
    assert said["height"] == "height 30 mm, lowest joint to highest: too much (at most 25 mm)"
    text = panelpoint("testday", tmp_path).text
    assert text.startswith("Class 9b\n")
    assert "Heron: breaks the rules." in text
    assert "Kept: span 80 mm, width 50.8 mm, glue 0.9 g." in text


def test_a_load_that_was_not_held_long_enough_is_told(tmp_path: Path) -> None:
    """The rules ask for ten seconds."""
    heron = bridge(tmp_path, "heron")
    rules(tmp_path, mass={"most": 30})
    note(heron, "--mass", "3 g")
    note(heron, "--step", "100 N 10 s", "--step", "120 N 4 s", "--held", "120 N", "--let-go", "bent A-C")
    (row,) = day(tmp_path)["bridges"]
    (said,) = row["remarks"]
    assert said.startswith(
        "its last load was held 4 s, and the rules ask for 10 s: by them the step before it"
    )


def test_units_of_record_and_model_may_differ(tmp_path: Path) -> None:
    """A record that was begun in N stays in N when the model goes over to pounds and inches."""
    heron = bridge(tmp_path, "heron")
    metric = note(heron, "--mass", "2.5 g", "--width", "5 cm")["stated"]
    inch, pound = 1 / 2.54, 1 / 4.4482216152605
    bridge(
        tmp_path,
        "heron",
        units={"length": "in", "force": "lbf"},
        joints=[
            {"name": "A", "at": [0, 0]},
            {"name": "B", "at": [8 * inch, 0]},
            {"name": "C", "at": [4 * inch, 3 * inch]},
        ],
        loads=[{"joint": "C", "force": [0, -12 * pound]}],
        stocks={"strip": {"material": "birch", "width": inch, "thickness": 0.2 * inch}},
    )
    rules(tmp_path, width={"most": 60})
    assert note(heron, "--step", "50 lbf")["stated"] == metric
    (row,) = day(tmp_path)["bridges"]
    assert row["limits"][0]["sentence"] == "width 50 mm, as measured: kept (at most 60 mm)"
    assert row["remarks"] == []
    assert load_record(record_beside(heron)).steps[0].load == pytest.approx(50 / pound)


def test_a_bridge_that_cannot_carry_itself_has_no_test_day(tmp_path: Path) -> None:
    """Told with the cure; nothing is written."""
    heron = bridge(tmp_path, "heron", self_weight=1000)
    assert_refused(
        panelpoint("record", heron, "--mass", "3 g"), "does not carry its own weight", "self_weight"
    )
    assert not record_beside(heron).exists()
    assert_refused(panelpoint("testday", tmp_path), "heron.truss.json is not in the table", "own weight")


def test_csv_says_the_same(tmp_path: Path) -> None:
    """One bridge a row, RFC 4180, the numbers those of the JSON; no name becomes a formula."""
    heron = bridge(tmp_path, "=heron")
    note(heron, "--mass", "2.5 g", "--guess", "Ana, Ben A-C")
    note(heron, "--held", "240 N", "--let-go", "bent A-C")
    outcome = panelpoint("testday", tmp_path, "-o", tmp_path / "table.csv")
    assert outcome.code == 0, outcome.err
    (row,) = csv.DictReader(io.StringIO((tmp_path / "table.csv").read_text(encoding="utf-8")))
    known = day(tmp_path)["bridges"][0]
    assert float(row["held over weight"]) == pytest.approx(known["efficiency"])
    assert float(row["predicted [N]"]) == pytest.approx(known["predicted"]["load"])
    assert row["bridge"] == "'=heron"
    assert row["who said so"] == "panelpoint, Ana, Ben"
    assert_refused(panelpoint("testday", tmp_path, "-o", tmp_path / "table.csv"), "--force")
    assert_refused(
        panelpoint("testday", tmp_path, "-o", tmp_path / "table.doc"), ".csv, .txt, .md, .html, .pdf"
    )


@pytest.mark.parametrize("suffix", ["txt", "md", "html", "pdf"])
def test_the_table_is_printed(tmp_path: Path, suffix: str) -> None:
    """Text, Markdown, a page that stands alone, paper; each with figures, cautions and advice."""
    heron = bridge(tmp_path, "heron")
    rules(tmp_path, height={"most": 25})
    note(heron, "--mass", "2.5 g", "--guess", "Ana A-C 250 N")
    note(heron, "--held", "240 N", "--let-go", "bent A-C")
    path = tmp_path / f"table.{suffix}"
    outcome = panelpoint("testday", tmp_path, "-o", path)
    assert outcome.code == 0, outcome.err
    if suffix == "pdf":
        # That the paper holds every word of a document is tested where documents are set.
        assert path.read_bytes().startswith(b"%PDF")
        return
    text = " ".join(path.read_text(encoding="utf-8").replace("> ", "").split())
    words = ("Class 9b", "Heron", "240", "Ana", "breaks the rules", "eye protection", "guard the weights")
    for said in (*words, *CAUTIONS):
        assert said in text, said


def test_cautions_and_advice_stand_on_everything(tmp_path: Path) -> None:
    """Table and record before the test."""
    heron = bridge(tmp_path, "heron")
    before = " ".join(panelpoint("record", heron).text.split())
    table = " ".join(panelpoint("testday", tmp_path).text.split())
    for words in ("eye protection", "screen", "guard the weights"):
        assert words in before
        assert words in table
    for caution in CAUTIONS:
        assert caution in table
    assert "averages of clear wood" in table


def test_one_bad_bridge_does_not_sink_the_table(tmp_path: Path) -> None:
    """It is named with what is wrong, and the others stand; alone it is an error."""
    bridge(tmp_path, "wren", stocks={"strip": {"material": "unobtainium", "width": 1, "thickness": 1}})
    assert_refused(panelpoint("testday", tmp_path), "wren.truss.json is not in the table", "unobtainium")
    bridge(tmp_path, "heron")
    outcome = panelpoint("testday", tmp_path)
    assert outcome.code == 0
    assert "wren.truss.json is not in the table" in outcome.err
    assert "Heron" in outcome.text


def test_bridges_may_have_folders_of_their_own(tmp_path: Path) -> None:
    """As `run -o class/heron` leaves them; photographs of a tested one are on the printed page."""
    folder = tmp_path / "heron"
    folder.mkdir()
    document = json.loads(SAMPLE.read_text(encoding="utf-8"))
    document["picture"]["file"] = str(SAMPLE.with_name("contest-sticks-model.jpg"))
    path = folder / "heron.truss.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    bridge(tmp_path, "wren")
    note(path, "--held", "80 N", "--let-go", "bent E-F")
    assert {row["model"] for row in day(tmp_path)["bridges"]} == {"heron.truss.json", "wren.truss.json"}
    assert panelpoint("testday", tmp_path, "-o", tmp_path / "table.html").code == 0
    page = (tmp_path / "table.html").read_text(encoding="utf-8")
    assert "Contest model, team Heron before the test" in page
    assert "data:image/" in page


def test_the_picture_before_is_that_of_the_model(tmp_path: Path) -> None:
    """And a picture that is not there is refused when given, told when it went away."""
    document = json.loads(SAMPLE.read_text(encoding="utf-8"))
    document["picture"]["file"] = "gone.jpg"
    path = tmp_path / "heron.truss.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    assert note(path, "--mass", "14 g")["before"] == "gone.jpg"
    assert_refused(panelpoint("record", path, "--after", tmp_path / "no.jpg"), "--after", "no such file")
    after = tmp_path / "broken.jpg"
    after.write_bytes(b"not looked at")
    assert note(path, "--after", str(after))["after"] == "broken.jpg"
    assert "the picture gone.jpg is not there" in day(tmp_path)["bridges"][0]["remarks"]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--mass", "5"], "give a mass with its unit"),
        (["--mass", "-5 g"], "give a mass with its unit"),
        (["--width", "wide"], "give a length with its unit"),
        (["--step", "ten N"], "give the whole load"),
        (["--step", "0 N 5 s"], "no sign and is not zero"),
        (["--held", "5 m"], "give the whole load"),
        (["--guess", "Ana"], "give who, what goes first"),
        (["--guess", "Ana A-Q 5 N"], "there is no member or joint A-Q here; there are A, B, C, A-B"),
        (["--held", "5 N", "--let-go", "crushed A-B"], "begin with one of bent, snapped, joint, deck"),
        (["--held", "5 N", "--let-go", "bent A-Q"], "there is no member or joint A-Q here"),
        (["--let-go", "bent A-B"], "give the last whole load that it held too"),
        (["--step", "10 N", "--held", "20 N"], "more than every step"),
    ],
)
def test_slips_are_told_and_nothing_is_written(tmp_path: Path, options: list[str], words: str) -> None:
    """Option, what was given, and the cure."""
    heron = bridge(tmp_path, "heron")
    assert_refused(panelpoint("record", heron, *options), words)
    assert not record_beside(heron).exists()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("nonsense", "this is not JSON at line 1"),
        ("[]", "not one JSON object"),
        ('{"format": "panelpoint truss"}', 'begin with "format": "panelpoint test"'),
        ('{"format": "panelpoint test", "version": 1, "bridge": "x"}', "model"),
        (HEAD + ', "mas": 3}', 'did you mean "mass"'),
        (HEAD + ', "let_go": {"how": "tipped"}}', '"let_go" ends a test'),
    ],
)
def test_a_bad_record_is_named(tmp_path: Path, text: str, words: str) -> None:
    """With place and cure, and it stays as it was."""
    heron = bridge(tmp_path, "heron")
    record_beside(heron).write_text(text, encoding="utf-8")
    assert_refused(panelpoint("record", heron, "--mass", "3 g"), "heron.test.json", words)
    assert record_beside(heron).read_text(encoding="utf-8") == text
    with pytest.raises(ModelFileError):
        load_record(record_beside(heron))


def test_a_record_of_a_later_version_is_left_alone(tmp_path: Path) -> None:
    """It asks for a newer program."""
    path = tmp_path / "x.test.json"
    path.write_text('{"format": "panelpoint test", "version": 9}', encoding="utf-8")
    with pytest.raises(NewerVersionError, match="version 9"):
        load_record(path)


def test_records_are_written_whole_and_read_back(tmp_path: Path) -> None:
    """To the same record, and the file fits the kept schema."""
    heron = bridge(tmp_path, "heron")
    note(heron, "--mass", "3 g", "--step", "40 N 10 s", "--held", "40 N", "--let-go", "nothing")
    path = record_beside(heron)
    record = load_record(path)
    save_record(path, record)
    assert load_record(path) == record
    schema = json.loads((Path(cli.testday.__file__).parent / "record_schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(json.loads(path.read_text("utf-8")))
    assert "≥ 40.0" in panelpoint("testday", tmp_path).text


@pytest.mark.parametrize(("name", "kind"), [("record", Record), ("contest", Contest)])
def test_the_kept_schemas_are_those_of_the_types(name: str, kind: Any) -> None:
    """Made anew with `python -m cli.testday.NAME_file`."""
    kept = json.loads((Path(cli.testday.__file__).parent / f"{name}_schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(kept)
    assert kept == json_schema(kind)


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        ({"span": {}}, 'give "least", "most" or both'),
        ({"span": {"least": 5, "most": 4}}, "swap them"),
        ({"weight": {"most": 4}}, '"weight" is not a key known here'),
    ],
)
def test_bad_rules_are_named(tmp_path: Path, limits: Any, words: str) -> None:
    """Place and cure."""
    bridge(tmp_path, "heron")
    rules(tmp_path, **limits)
    assert_refused(panelpoint("testday", tmp_path), "class.contest.json", words)


def test_a_folder_must_hold_bridges(tmp_path: Path) -> None:
    """Not a folder, an empty one, one with two sets of rules."""
    assert_refused(panelpoint("testday", tmp_path / "no"), "is not a folder")
    assert_refused(panelpoint("testday", tmp_path), "holds no model file")
    rules(tmp_path)
    (tmp_path / "other.contest.json").write_text("{}", encoding="utf-8")
    assert_refused(panelpoint("testday", tmp_path), "several contests")


def test_the_sample_folder_is_a_test_day() -> None:
    """Two bridges tested, one waiting; one breaks the rules by its mass; models as stated."""
    document = day(SAMPLE.parent / "testday")
    rows = {row["bridge"]: row for row in document["bridges"]}
    assert set(rows) == {"Heron", "Wren", "Owl"}
    assert [found["what"] for found in rows["Wren"]["limits"] if found["verdict"] == "broken"] == ["mass"]
    assert rows["Heron"]["right"] == ["panelpoint", "Ana"]
    assert not any(row["remarks"] for row in rows.values())


def test_rules_are_written_from_the_command_line(tmp_path: Path) -> None:
    """Each call adds or changes, in the units of the models; `none` lifts a limit; the table keeps to it."""
    bridge(tmp_path, "heron")
    first = panelpoint(
        "contest", tmp_path, "--title", "Class 9b", "--height", "up to 25 mm", "--mass", "at most 1 oz"
    )
    assert first.code == 0, first.err
    assert first.text.splitlines() == ["Class 9b", "  height  at most 2.5 cm", "  mass    at most 28.35 g"]
    more = ("--pieces", "3 to 5", "--span", "from 8 cm", "--mass", "none", "--hold", "10")
    assert panelpoint("contest", tmp_path, *more).text.splitlines()[1:] == [
        "  span    at least 8 cm",
        "  height  at most 2.5 cm",
        "  pieces  at least 3, at most 5",
        "  hold    each load 10 s",
    ]
    verdicts = {found["what"]: found["verdict"] for found in day(tmp_path)["bridges"][0]["limits"]}
    assert verdicts == {"span": "kept", "height": "broken", "pieces": "kept"}


def test_rules_may_come_before_the_models(tmp_path: Path) -> None:
    """The folder is made, in millimetres and newtons."""
    outcome = panelpoint("contest", tmp_path / "class-9b", "--span", "300 mm to 320 mm")
    assert outcome.code == 0, outcome.err
    assert outcome.text == "Contest, class-9b\n  span  at least 300 mm, at most 320 mm\n"


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--span", "300 mm"), 'write "at most ..."'),
        (("--span", "at least long"), "give lengths with their units"),
        (("--span", "5 mm to 4 mm"), "swap them"),
        (("--mass", "at most 25"), "give a mass with its unit"),
        (("--pieces", "at most 2.5"), "give a whole number"),
        (("--hold", "0"), "give 0.1 or more"),
    ],
)
def test_slips_in_rules_are_told(tmp_path: Path, options: tuple[str, ...], words: str) -> None:
    """And no rules are written."""
    assert_refused(panelpoint("contest", tmp_path, *options), words)
    assert not list(tmp_path.iterdir())
