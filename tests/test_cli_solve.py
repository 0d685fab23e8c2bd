"""`panelpoint solve`: the right forces in the right shape, the right exit code, and a cure for every slip."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from cli.model.file import load
from cli.report import members_csv
from cli.translate.places import place
from cli.translate.to_truss import truss_of
from solver import solve
from tests.front_door import assert_refused, panelpoint, three_bars, write_model
from tests.trusses import Case, forces_by_name, published_cases


def model_of_case(case: Case) -> dict[str, Any]:
    """Write a published case as a person would type it."""
    facts = case.facts
    return {
        "format": "panelpoint truss",
        "version": 1,
        "title": facts["source"],
        "units": {"length": "m", "force": "kN"},
        "joints": [{"name": name, "at": place_of} for name, place_of in facts["joints"].items()],
        "members": [{"joints": ends} for ends in facts["members"]],
        "supports": [
            {key: value for key, value in support.items() if value is not None}
            for support in facts["supports"]
        ],
        "loads": facts["loads"],
    }


@pytest.mark.parametrize("case", [case for case in published_cases() if case.facts["loads"]], ids=str)
def test_published_cases_through_the_front_door(case: Case, tmp_path: Path) -> None:
    """Verdict, count and forces of every published case come out; the sources are in the case file."""
    outcome = panelpoint("solve", write_model(tmp_path, model_of_case(case)), "--json")
    answer, rank = outcome.document, case.facts["rank"]
    # The sources say "unstable" also where a truss is over-braced elsewhere: rank decides between the two.
    verdicts = {(False, False): "determinate", (False, True): "indeterminate", (True, False): "unstable"}
    moves, redundant = rank["mechanisms"] > 0, rank["self_stress"] > 0
    assert answer["verdict"] == verdicts.get((moves, redundant), "unstable and indeterminate")
    assert answer["verdict"].startswith(case.facts["verdict"])
    assert answer["count"] == rank
    if answer["verdict"] != "determinate":
        assert outcome.code == 1
        assert answer["members"] == answer["reactions"] == []
        assert answer["warnings"][0] in outcome.err
        return
    assert outcome.code == 0, outcome.err
    found = forces_by_name(case.truss, [member["force"] for member in answer["members"]])
    largest = max(abs(force) for force in found.values())
    for member, force in case.facts["verified_forces"].items():
        assert found[member] == pytest.approx(force, rel=1e-9, abs=1e-9 * largest)


def test_json_has_the_keys_that_were_promised(tmp_path: Path) -> None:
    """The shape of the machine output, with the forces of the 3-4-5 triangle worked by hand."""
    answer = panelpoint("solve", write_model(tmp_path, three_bars()), "--json").document
    assert list(answer) == ["verdict", "count", "reactions", "members", "units", "checks", "warnings"]
    assert answer["verdict"] == "determinate"
    assert answer["count"] == {"m": 3, "r": 3, "j": 3, "mechanisms": 0, "self_stress": 0}
    assert [reaction["joint"] for reaction in answer["reactions"]] == ["A", "B"]
    assert [reaction["force"] for reaction in answer["reactions"]] == [
        pytest.approx([0, 6]),
        pytest.approx([0, 6]),
    ]
    assert [member["joints"] for member in answer["members"]] == [["A", "B"], ["A", "C"], ["B", "C"]]
    assert [member["force"] for member in answer["members"]] == pytest.approx([8, -10, -10])
    assert [member["sense"] for member in answer["members"]] == ["T", "C", "C"]
    assert {member["error"] for member in answer["members"]} == {None}
    assert {member["zero_by_inspection"] for member in answer["members"]} == {False}
    assert answer["units"] == {"length": "m", "force": "N"}
    assert answer["checks"]["passed"] is True
    assert answer["warnings"] == []


def test_text_has_verdict_reactions_members_and_cautions(tmp_path: Path) -> None:
    """What a person reads, to the letter where numbers stand."""
    outcome = panelpoint("solve", write_model(tmp_path, three_bars()))
    assert outcome.code == 0
    assert outcome.err == ""
    lines = outcome.text.splitlines()
    assert lines[0] == "Three bars"
    assert "Statically determinate: m + r = 3 + 3 = 6 = 2j = 2 × 3 = 6." in lines
    assert "  A-B      8.000  T" in lines
    assert "  A-C     −10.00  C" in lines
    assert "eye protection" in outcome.text
    assert "licensed engineer" in outcome.text


def test_steps_are_printed_on_request(tmp_path: Path) -> None:
    """The worked solution follows the table."""
    path = write_model(tmp_path, three_bars())
    plain, worked = panelpoint("solve", path), panelpoint("solve", path, "--steps")
    assert worked.text.startswith(plain.text)
    assert len(worked.text.splitlines()) > len(plain.text.splitlines()) + 10
    assert "1. " in worked.text[len(plain.text) :]


def test_an_unstable_truss_is_an_honest_no(tmp_path: Path) -> None:
    """Exit code 1, the count on standard output, the reason on standard error."""
    outcome = panelpoint("solve", write_model(tmp_path, three_bars(supports=[{"joint": "A", "kind": "pin"}])))
    assert_refused(outcome, "can still move", code=1)
    assert outcome.text == "Unstable: m + r = 3 + 2 = 5 < 2j = 2 × 3 = 6.\n"


def square(*members: str, **changes: Any) -> dict[str, Any]:
    """Return a square panel A B C D of 4 m, pin at A and roller at B, with these members beside its sides."""
    corners = {"A": [0, 0], "B": [4, 0], "C": [4, 4], "D": [0, 4]}
    return three_bars(
        joints=[{"name": name, "at": at} for name, at in corners.items()],
        members=[{"joints": list(ends)} for ends in ("AB", "BC", "CD", "AD", *members)],
        **changes,
    )


def test_what_moves_is_named(tmp_path: Path) -> None:
    """A panel without a diagonal racks; it is named, with the cure and without the words of the trade."""
    outcome = panelpoint("solve", write_model(tmp_path, square()))
    assert_refused(outcome, "The panel A B C D can rack. Put a diagonal into it.", code=1)
    assert "independent" not in outcome.err
    assert "2j" not in outcome.err, "the count is on standard output already"


def test_parallel_rollers_are_told_with_the_cure(tmp_path: Path) -> None:
    """As many reactions as equations, and yet it slides: turn a roller or use a pin."""
    rollers = [{"joint": name, "kind": "roller", "normal": [0, 1]} for name in "ABC"]
    outcome = panelpoint("solve", write_model(tmp_path, three_bars(supports=rollers)))
    assert_refused(
        outcome, "slides sideways", "count alone does not show it", "turn one of them, or use a pin", code=1
    )


def test_what_is_redundant_is_named(tmp_path: Path) -> None:
    """A square with both diagonals: all six members share the forces, and one may go."""
    outcome = panelpoint("solve", write_model(tmp_path, square("AC", "BD")))
    assert_refused(outcome, "degree 1", "members A-B, B-C, C-D, A-D, A-C, B-D. Take one", code=1)
    assert "support" not in outcome.err


def test_too_many_supports_are_an_honest_no(tmp_path: Path) -> None:
    """An indeterminate truss says to what degree."""
    pins = [{"joint": "A", "kind": "pin"}, {"joint": "B", "kind": "pin"}]
    outcome = panelpoint("solve", write_model(tmp_path, three_bars(supports=pins)))
    assert_refused(outcome, "indeterminate to degree 1", code=1)
    assert outcome.text == "Statically indeterminate: m + r = 3 + 4 = 7 > 2j = 2 × 3 = 6.\n"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"supports": []}, ["no supports", "pin"]),
        ({"loads": []}, ["load"]),
        ({"members": []}, ["no members"]),
        ({"joints": [], "members": [], "supports": [], "loads": []}, ["no joints"]),
        ({"members": [{"joints": ["A", "B"], "foo": 1}]}, ["members[0].foo", "not a key known here"]),
        ({"members": [{"joints": ["A", "Q"]}]}, ["members[0].joints[1]", '"Q"', "A, B, C"]),
        (
            {
                "joints": [
                    {"name": "A", "at": [0, 0]},
                    {"name": "B", "at": [8, 0]},
                    {"name": "C", "at": [8, 0]},
                ]
            },
            ["B", "C"],
        ),
        ({"loads": [{"joint": "C", "px_direction": [0, 1]}]}, ["loads[0]", "without its size", '"force"']),
        ({"confirmed": False}, ["not confirmed", "--trust"]),
    ],
)
def test_wrong_models_are_refused_with_a_cure(
    changes: dict[str, Any], words: list[str], tmp_path: Path
) -> None:
    """Exit code 2 and a sentence that names the thing."""
    assert_refused(panelpoint("solve", write_model(tmp_path, three_bars(**changes))), *words)


def test_trust_takes_what_nobody_confirmed(tmp_path: Path) -> None:
    """`--trust` is the way past the question, and it changes no number."""
    unsure = write_model(tmp_path, three_bars(confirmed=False))
    sure = write_model(tmp_path, three_bars(), "sure.truss.json")
    assert (
        panelpoint("solve", unsure, "--trust", "--json").document
        == panelpoint("solve", sure, "--json").document
    )


def test_missing_and_wrong_files_are_explained(tmp_path: Path) -> None:
    """A file that is not there, a folder, a text: exit code 2 and the name in the sentence."""
    assert_refused(panelpoint("solve", tmp_path / "nothing.json"), "nothing.json", "check the name")
    assert_refused(panelpoint("solve", tmp_path), "this is a folder")
    text = tmp_path / "note.txt"
    text.write_text("Dear diary")
    assert_refused(panelpoint("solve", text), "note.txt", "not JSON at line 1")


def px_model(**changes: Any) -> dict[str, Any]:
    """Return the same triangle as seen in a picture, 100 pixels to the metre, 800 × 300 with y down."""
    joints = [
        {"name": name, "px": px, "px_error": 2.0}
        for name, px in {"A": [100, 400], "B": [900, 400], "C": [500, 100]}.items()
    ]
    return three_bars(joints=joints, **changes)


def test_a_picture_with_one_length_is_placed_and_has_errors(tmp_path: Path) -> None:
    """`px` with a dimension goes through the survey: forces as by hand, each with a standard error."""
    dimensions = [{"kind": "across", "from": "A", "to": "B", "value": 8}]
    path = write_model(tmp_path, px_model(dimensions=dimensions))
    placed = place(load(path))
    assert placed.at == pytest.approx(np.array([[0, 0], [8, 0], [4, 3]]), abs=1e-6)
    answer = panelpoint("solve", path, "--json").document
    assert [member["force"] for member in answer["members"]] == pytest.approx([8, -10, -10], rel=1e-6)
    assert all(member["error"] > 0 for member in answer["members"])


def test_what_is_written_overrules_what_is_drawn(tmp_path: Path) -> None:
    """A sketch out of scale: the rise is written as 4 where 3 is drawn, so sin = 4/√32."""
    dimensions = [
        {"kind": "across", "from": "A", "to": "B", "value": 8},
        {"kind": "up", "from": "A", "to": "C", "value": 4},
    ]
    answer = panelpoint("solve", write_model(tmp_path, px_model(dimensions=dimensions)), "--json").document
    assert answer["members"][1]["force"] == pytest.approx(-6 / (4 / 32**0.5), rel=1e-6)


def test_errors_stand_only_where_picking_the_joints_moves_a_force(tmp_path: Path) -> None:
    """One length leaves the shape to the picture and has a column of errors; lengths that fix it say so."""
    one = [{"kind": "across", "from": "A", "to": "B", "value": 8}]
    fixed = [
        *one,
        {"kind": "across", "from": "A", "to": "C", "value": 4},
        {"kind": "up", "from": "A", "to": "C", "value": 3},
    ]
    texts = {}
    for name, dimensions in (("one", one), ("fixed", fixed)):
        model = write_model(tmp_path, px_model(dimensions=dimensions), name=f"{name}.truss.json")
        texts[name] = panelpoint("solve", model).text
    assert "± one standard error" in texts["one"]
    assert "moves no force" not in texts["one"]
    assert "±" not in texts["fixed"]
    assert "moves no force" in texts["fixed"]


def test_forces_need_no_scale(tmp_path: Path) -> None:
    """Without any length the forces are the same, and it is said that lengths are not known."""
    outcome = panelpoint("solve", write_model(tmp_path, px_model()), "--json")
    assert [member["force"] for member in outcome.document["members"]] == pytest.approx(
        [8, -10, -10], rel=1e-6
    )
    assert any("No length is known" in warning for warning in outcome.document["warnings"])


@pytest.mark.parametrize(
    "weighty", [{"self_weight": 0.1}, {"deck_loads": [{"joints": ["A", "B"], "force": [0, -1]}]}]
)
def test_loads_by_length_need_a_scale(weighty: dict[str, Any], tmp_path: Path) -> None:
    """What is given per length has no size in a picture without one."""
    assert_refused(panelpoint("solve", write_model(tmp_path, px_model(**weighty))), "need true lengths")


def test_contradicting_dimensions_are_named(tmp_path: Path) -> None:
    """Two dimensions that cannot both hold are told by their joints' names."""
    dimensions = [
        {"kind": "across", "from": "A", "to": "B", "value": 8},
        {"kind": "across", "from": "A", "to": "B", "value": 9},
    ]
    outcome = panelpoint("solve", write_model(tmp_path, px_model(dimensions=dimensions)))
    assert_refused(outcome, "across A B 8", "across A B 9")


def test_a_place_edited_in_vain_is_said(tmp_path: Path) -> None:
    """Where the survey decides, an `at` that disagrees is called out instead of being dropped in silence."""
    document = px_model(dimensions=[{"kind": "across", "from": "A", "to": "B", "value": 8}])
    for joint, at in zip(document["joints"], [[0, 0], [8, 0], [4, 5]], strict=True):
        joint["at"] = at
    warnings = panelpoint("solve", write_model(tmp_path, document), "--json").document["warnings"]
    assert [warning for warning in warnings if "is not used" in warning and "Joint C" in warning]
    assert not [warning for warning in warnings if "is not used" in warning and "Joint B" in warning]


def test_places_edited_in_vain_are_said_once(tmp_path: Path) -> None:
    """Several places that disagree make one sentence: the farthest with its numbers, the others by name."""
    document = px_model(dimensions=[{"kind": "across", "from": "A", "to": "B", "value": 8}])
    for joint, at in zip(document["joints"], [[1, 0], [8, 2], [4, 9]], strict=True):
        joint["at"] = at
    warnings = panelpoint("solve", write_model(tmp_path, document), "--json").document["warnings"]
    (said,) = (warning for warning in warnings if "is not used" in warning)
    assert said.startswith("Joint C is placed at 4, ")
    assert '"at" in the file (4, 9) is not used, nor is that of joints A, B.' in said


def test_a_dimension_that_does_not_fit_typed_places_is_said(tmp_path: Path) -> None:
    """Without a picture the places are used, and a dimension that disagrees is called out."""
    dimensions = [
        {"kind": "across", "from": "A", "to": "B", "value": 8},
        {"kind": "along", "from": "A", "to": "C", "value": 6},
        {"kind": "angle", "from": "B", "to": "C", "value": 36.87},
    ]
    outcome = panelpoint("solve", write_model(tmp_path, three_bars(dimensions=dimensions)))
    assert outcome.code == 0
    assert outcome.err.count("does not fit") == 1
    assert "along A C 6" in outcome.err


def test_a_joint_neither_placed_nor_all_in_the_picture_is_named(tmp_path: Path) -> None:
    """Half a picture is no survey: the joint without a place is named."""
    document = px_model()
    document["joints"][1] = {"name": "B", "at": [8, 0]}
    assert_refused(panelpoint("solve", write_model(tmp_path, document)), "joints[0]", "joint A", '"at"')


SLANT = 0.12
SAMPLES = sorted((Path(__file__).parent.parent / "sample_images").glob("*.truss.json"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem.removesuffix(".truss"))
def test_every_sample_model_has_an_answer_like_its_own_places(path: Path, tmp_path: Path) -> None:
    """Survey of `px` and dimensions against the exact places that the page was made from.

    What no dimension places stays as drawn, in a picture taken at a slant: hence the wide limit.
    """
    surveyed = panelpoint("solve", path, "--json")
    assert surveyed.code == 0, surveyed.err
    document = json.loads(path.read_text(encoding="utf-8"))
    for joint in document["joints"]:
        del joint["px"]
    document.pop("picture")
    typed = panelpoint("solve", write_model(tmp_path, {**document, "dimensions": []}), "--json")
    exact = [member["force"] for member in typed.document["members"]]
    largest = max(abs(force) for force in exact)
    for member, force in zip(surveyed.document["members"], exact, strict=True):
        assert abs(member["force"] - force) <= SLANT * largest, member


def test_the_check_and_the_table_show_no_dust(tmp_path: Path) -> None:
    """Sums that fail by rounding only hold; the table has at most twelve figures."""
    places = {"A": [0, 0], "B": [0.7, 0.1], "C": [0.3, 0.9], "D": [1.1, 0.8], "E": [1.3, -0.1]}
    document = three_bars(
        joints=[{"name": name, "at": at} for name, at in places.items()],
        members=[{"joints": list(ends)} for ends in ("AB", "AC", "BC", "BD", "CD", "BE", "DE")],
        supports=[{"joint": "A", "kind": "pin"}, {"joint": "E", "kind": "roller"}],
        loads=[{"joint": "C", "force": [0.3, -12.1]}, {"joint": "D", "force": [0.1, -7.7]}],
    )
    path = write_model(tmp_path, document)
    lines = panelpoint("solve", path, "--steps").text.splitlines()
    assert "Both hold." in {line.strip() for line in lines}
    assert not any("e-1" in line for line in lines)
    truss = truss_of(load(path), place(load(path)).at)
    rows = list(csv.DictReader(io.StringIO(members_csv(solve(truss)))))
    for row in rows:
        assert len(row["force [N]"].lstrip("-0.").replace(".", "")) <= 12


@pytest.mark.parametrize("other", [("along", "A", "B", 1500), ("along", "C", "D", 1500)])
def test_lengths_that_do_not_go_together_are_named(tmp_path: Path, other: tuple[str, str, str, int]) -> None:
    """Millimetres and metres mixed up: both lengths are told, whether the joints found a place or not."""
    places = {"A": [150, 520], "B": [500, 520], "C": [850, 520], "D": [500, 270]}
    given = [("along", "A", "D" if other[1] == "C" else "C", 8), other]
    document = three_bars(
        units={"length": "mm", "force": "N"},
        picture={"file": "x.png", "sha256": "0" * 64, "width": 1000, "height": 720},
        confirmed=True,
        joints=[{"name": name, "px": px} for name, px in places.items()],
        members=[{"joints": list(ends)} for ends in ("AB", "BC", "AD", "CD", "BD")],
        supports=[{"joint": "A", "kind": "pin"}, {"joint": "C", "kind": "roller"}],
        loads=[{"joint": "D", "force": [0, -40]}],
        dimensions=[dict(zip(("kind", "from", "to", "value"), entry, strict=True)) for entry in given],
    )
    outcome = panelpoint("solve", write_model(tmp_path, document))
    assert_refused(outcome, " 8 mm and along ", "1500 mm do not go together", "check numbers and units")
