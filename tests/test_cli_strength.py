"""`panelpoint strength`: the sentence before the test, units, joints, tests of one's own, and every slip."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import Any

import pytest

from cli.cautions import CAUTIONS
from tests.front_door import assert_refused, panelpoint, three_bars, write_model

ROOT = Path(__file__).parent.parent
SAMPLE = ROOT / "sample_images" / "contest-sticks-model.truss.json"


def sticks(**changes: Any) -> dict[str, Any]:
    """Return the 3-4-5 triangle in centimetres, all of birch strips of 10 by 2 mm; see `three_bars`."""
    return three_bars(
        **{
            "units": {"length": "cm", "force": "N"},
            "members": [{"joints": list(ends), "stock": "strip"} for ends in ("AB", "AC", "BC")],
            "stocks": {"strip": {"material": "birch", "width": 1, "thickness": 0.2}},
            **changes,
        }
    )


def ask(folder: Path, document: dict[str, Any], *options: str) -> Any:
    """Return the JSON answer on a model."""
    outcome = panelpoint("strength", write_model(folder, document), "--json", *options)
    assert outcome.code == 0, outcome.err
    return outcome.document


def test_the_triangle_by_hand(tmp_path: Path) -> None:
    """A-C pushes 10 N and buckles at pi² 11000 MPa 6.667 mm⁴ / (50 mm)² = 289.5 N: 347 N in all."""
    answer = ask(tmp_path, sticks())
    prediction = answer["prediction"]
    assert prediction["first"] == ["A-C", "B-C"]
    assert prediction["load_at_averages"] == pytest.approx(math.pi**2 * 11_000 * 80 / 12 / 2500 / 10 * 12)
    assert answer["load_factor"] == pytest.approx(28.95, abs=0.01)
    assert prediction["low"] < prediction["load"] < prediction["high"]
    assert prediction["sentence"].startswith("Member A-C or B-C buckles first at about ")
    assert [check["mode"] for check in answer["checks"]] == ["tension", "buckling", "buckling"]
    assert [check["first"] for check in answer["checks"]] == [0, *[pytest.approx(0.5, abs=0.03)] * 2]
    # 180 mm x 20 mm² x 616 kg/m³ = 2.218 g; load per weight is the median over 9.80665 m/s² times that.
    assert answer["mass_g"] == pytest.approx(2.2176)
    assert answer["load_per_weight"] == pytest.approx(prediction["load"] / (2.2176e-3 * 9.80665))
    assert answer["given_load"] == 12


def test_units_do_not_matter(tmp_path: Path) -> None:
    """Inches and pounds-force give the same load and the same mass."""
    metric = ask(tmp_path, sticks())["prediction"]
    inch, pound = 1 / 2.54, 1 / 4.4482216152605
    imperial = ask(
        tmp_path,
        sticks(
            units={"length": "in", "force": "lbf"},
            joints=[
                {"name": "A", "at": [0, 0]},
                {"name": "B", "at": [8 * inch, 0]},
                {"name": "C", "at": [4 * inch, 3 * inch]},
            ],
            loads=[{"joint": "C", "force": [0, -12 * pound]}],
            stocks={"strip": {"material": "birch", "width": inch, "thickness": 0.2 * inch}},
        ),
    )["prediction"]
    for key in ("load", "low", "high", "load_at_averages"):
        assert imperial[key] == pytest.approx(metric[key] * pound, rel=1e-9)


def test_the_sample_from_photograph_to_sentence() -> None:
    """The stick model: four equal pushed members go first; the README has the figures of this very answer."""
    outcome = panelpoint("strength", SAMPLE)
    assert outcome.code == 0, outcome.err
    first, sentence = outcome.text.splitlines()[0], outcome.text.splitlines()[2]
    assert first == "Contest model, team Heron"
    readme = " ".join((ROOT / "README.md").read_text(encoding="utf-8").split())
    assert sentence in readme
    for name in ("A-E", "E-F", "F-G", "D-G"):
        assert name in sentence
    assert "π² E I / (K L)² = π² × 11000 MPa × 6.6667 mm⁴" in outcome.text
    text = " ".join(outcome.text.split())
    for caution in CAUTIONS:
        assert caution in text
    for words in ("eye protection", "screen", "guard the weights", "averages of clear wood", "Wood Handbook"):
        assert words in text


def test_from_photograph_to_sentence(tmp_path: Path) -> None:
    """Read, loaded, stocked, broken: the load is that of the README, the members are of the exact four."""
    readme = " ".join((ROOT / "README.md").read_text(encoding="utf-8").split())
    first = re.search(r"> Member \S.*? buckles first at about (\d+) N \((\d+) to (\d+)\)", readme)
    assert first
    ends = ("--pin", "A", "--roller", "D", "--length", "A D 300 mm")
    loads = ("--load", "B 0 -20 N", "--load", "C 0 -20 N")
    photo = SAMPLE.with_name("contest-sticks-model.jpg")
    assert panelpoint("run", photo, *ends, *loads, "-o", tmp_path, stdin="y\n").code == 0
    model = tmp_path / SAMPLE.name
    assert panelpoint("stock", model, "birch 10 x 2 mm").code == 0
    found = panelpoint("strength", model, "--json").document["prediction"]
    assert set(found["first"]) <= {"A-E", "E-F", "F-G", "D-G"}
    for name, figure in zip(("load", "low", "high"), first.groups(), strict=True):
        assert found[name] == pytest.approx(float(figure), rel=0.03)


def test_straws_by_their_own_tests() -> None:
    """By hand: mean 295 N over 11.78 mm² of straw, Euler 40.67 N at 200 mm; source and mark are one's own."""
    straws = SAMPLE.with_name("contest-straws-model.truss.json")
    answer = panelpoint("strength", straws, "--json").document
    checks = {"-".join(check["joints"]): check for check in answer["checks"]}
    assert checks["A-B"]["capacity"] == pytest.approx(295)
    length = checks["A-D"]["terms"][3][1]
    assert checks["A-D"]["capacity"] == pytest.approx((36 + 41 + 45) / 3 * (200 / length) ** 2)
    assert {answer["materials"][0][name]["mark"] for name in ("modulus", "tension")} == {"own test"}


def test_errors_of_the_photograph_widen_the_range() -> None:
    """The sample's joints come from a picture: its load varies from draw to draw also where sticks do not."""
    answer = json.loads(panelpoint("strength", SAMPLE, "--json").out)
    assert answer["prediction"]["low"] < answer["prediction"]["high"]
    assert answer["warnings"]


def test_the_same_seed_gives_the_same_text() -> None:
    """To the letter; another seed does not change what goes first."""
    one, same, other = (panelpoint("strength", SAMPLE, "--seed", seed) for seed in ("1", "1", "2"))
    assert one.text == same.text
    assert one.text != other.text


def test_a_joint_can_be_what_fails(tmp_path: Path) -> None:
    """C is glued for 50 N a member and 10 N come: it lets go at five times the load, 60 N."""
    joints = [
        {"name": "A", "at": [0, 0]},
        {"name": "B", "at": [8, 0]},
        {"name": "C", "at": [4, 3], "holds": 50},
    ]
    answer = ask(tmp_path, sticks(joints=joints))
    assert answer["prediction"]["sentence"].startswith("Joint C lets go first at about ")
    assert answer["prediction"]["load_at_averages"] == pytest.approx(60)
    assert answer["checks"][3]["joints"] == ["C"]


def test_a_glued_lap_can_be_what_fails(tmp_path: Path) -> None:
    """20 mm² of paper birch shear at 8.3 MPa × 20 mm² = 166 N (Table 5-3a); C carries 10 N: 199 N in all."""
    joints = [
        {"name": "A", "at": [0, 0]},
        {"name": "B", "at": [8, 0]},
        {"name": "C", "at": [4, 3], "lap": 0.2},
    ]
    answer = ask(tmp_path, sticks(joints=joints))
    assert answer["prediction"]["load_at_averages"] == pytest.approx(8.3 * 20 / 10 * 12)
    assert answer["checks"][3]["terms"] == [["f_v", 8.3, "MPa"], ["A", pytest.approx(20), "mm²"]]
    text = panelpoint("strength", write_model(tmp_path, sticks(joints=joints))).text
    assert "C  joint: f_v × A = 8.3 MPa × 20 mm² = 166.0 N" in text
    assert "shear 8.3 MPa, ±14% (read)" in text
    # The class's own laps of 0.5 cm²: 300 N on average, 6 MPa.
    strip = {
        "material": "birch",
        "width": 1,
        "thickness": 0.2,
        "tests": {"lap": [280, 300, 320], "lap_area": 0.5},
    }
    own = ask(tmp_path, sticks(joints=joints, stocks={"strip": strip}))
    assert own["prediction"]["load_at_averages"] == pytest.approx(6 * 20 / 10 * 12)
    assert own["materials"][0]["shear"]["mark"] == "own test"
    steel = {"strip": {"material": "steel", "diameter": 0.1}}
    outcome = panelpoint("strength", write_model(tmp_path, sticks(joints=joints, stocks=steel)))
    assert_refused(
        outcome, "joints[2].lap: nothing is known of the shear strength of steel", "three glued laps"
    )


def test_a_truss_that_does_not_carry_itself(tmp_path: Path) -> None:
    """The sentence says so, and a test has nothing to be compared with."""
    path = write_model(tmp_path, sticks(self_weight=1000))
    outcome = panelpoint("strength", path, "--tested", "5 N")
    assert outcome.code == 0
    assert "It does not carry its own weight: A-B, A-C and B-C give way before any load" in outcome.text
    assert "nothing to compare it with" in outcome.text
    assert "as strong as" not in outcome.text
    assert "factor" not in panelpoint("strength", path, "--json", "--tested", "5 N").document["test"]


def test_effective_length_bracing_and_holes(tmp_path: Path) -> None:
    """Held ends carry four times as much; a long way between bracing points less; a hole its share."""
    members = [
        {"joints": ["A", "B"], "stock": "strip", "net": 0.5},
        {"joints": ["A", "C"], "stock": "strip", "effective_length": 0.5},
        {"joints": ["B", "C"], "stock": "strip", "bracing": 10},
    ]
    plain = [check["capacity"] for check in ask(tmp_path, sticks())["checks"]]
    checks = ask(tmp_path, sticks(members=members))["checks"]
    assert [check["capacity"] / before for check, before in zip(checks, plain, strict=True)] == pytest.approx(
        [0.5, min(4, 784 / plain[1]), 0.25]
    )
    assert checks[2]["mode"] == "buckling out of plane"


@pytest.mark.parametrize(
    ("stock", "area", "inertia"),
    [
        ({"width": 1, "thickness": 0.2, "sticks": 3}, 60, 10 * 6**3 / 12),
        ({"width": 1, "thickness": 0.2, "sticks": 3, "glued": False}, 60, 3 * 80 / 12),
        ({"width": 1, "thickness": 0.2, "gap": 0.1}, 40, 10 * (125 - 1) / 12),
        ({"diameter": 0.5}, math.pi * 25 / 4, math.pi * 625 / 64),
        ({"diameter": 0.5, "wall": 0.1}, math.pi * 16 / 4, math.pi * (625 - 81) / 64),
        ({"area": 0.2, "inertia": 0.002}, 20, 20),
    ],
)
def test_every_shape_of_stock(tmp_path: Path, stock: dict[str, Any], area: float, inertia: float) -> None:
    """Area (mm²) and second moment (mm⁴) by hand, as they come out in the formulas."""
    answer = ask(tmp_path, sticks(stocks={"strip": {"material": "birch", **stock}}))
    pulled, pushed, _ = answer["checks"]
    assert pulled["capacity"] == pytest.approx(85 * area)
    assert pushed["capacity"] == pytest.approx(
        min(39.2 * area, math.pi**2 * 11_000 * inertia / 2500), rel=1e-9
    )


def test_a_material_of_ones_own(tmp_path: Path) -> None:
    """Three broken straws of each kind stand for a list: E from buckling at 100 mm, mean and spread."""
    tests = {
        "tension": [40, 44, 48],
        "compression": [9, 10, 11],
        "buckling": [1.8, 2.0, 2.2],
        "buckling_length": 10,
    }
    stock = {"material": "our straw", "diameter": 0.6, "wall": 0.02, "density": 700, "tests": tests}
    answer = ask(tmp_path, sticks(stocks={"strip": stock}))
    assert answer["checks"][0]["capacity"] == pytest.approx(44)
    # At 50 mm Euler gives four times the 2 N of 100 mm, less than the 10 N of crushing.
    assert answer["checks"][1]["capacity"] == pytest.approx(8)
    material = answer["materials"][0]
    assert material["tension"]["mark"] == "own test"
    assert material["modulus"]["scatter"] == pytest.approx(0.1 * math.sqrt(4 / 3))
    outcome = panelpoint(
        "strength",
        write_model(tmp_path, sticks(stocks={"strip": {**stock, "tests": {"tension": [40, 44, 48]}}})),
    )
    assert_refused(outcome, "stocks.strip", "density and tests of all three")


def test_an_indeterminate_truss_is_solved_by_its_stock(tmp_path: Path) -> None:
    """Two pins: the bottom member and the supports share the thrust, and the answer says so."""
    pins = [{"joint": "A", "kind": "pin"}, {"joint": "B", "kind": "pin"}]
    answer = ask(tmp_path, sticks(supports=pins))
    assert answer["checks"][0]["load_factor"] is None
    assert any("indeterminate" in warning for warning in answer["warnings"])
    assert "shape" not in answer


def test_after_the_test(tmp_path: Path) -> None:
    """Predicted against tested, who was right, and a factor between 1 and what the test alone says."""
    path = write_model(tmp_path, sticks())
    predicted = panelpoint("strength", path, "--json").document["prediction"]["load"]
    answer = panelpoint("strength", path, "--json", "--tested", f"C-B {predicted / 2} N").document
    assert answer["test"]["first"] == "B-C"
    assert 0.5 < answer["test"]["factor"] < 1
    assert "as predicted" in answer["test"]["sentence"]
    wrong = panelpoint("strength", path, "--tested", "A-B 200 N")
    assert "predicted was A-C or B-C" in " ".join(wrong.text.split())
    assert_refused(
        panelpoint("strength", path, "--tested", "X-Y 200 N"), "no member or joint X-Y", "A-C, B-C"
    )
    assert_refused(panelpoint("strength", path, "--tested", "-20 N"), "no sign")


def test_a_target_by_hand(tmp_path: Path) -> None:
    """600 N in all is 50 times: A-C and B-C need 500 N, two glued strips (1568 N); A-B 400 N, one (1700 N).

    Each doubled strip adds 50 mm x 20 mm² x 616 kg/m³ = 0.616 g. Nothing else is at hand but one to three.
    """
    path = write_model(tmp_path, sticks())
    sizing = panelpoint("strength", path, "--json", "--target", "600 N").document["sizing"]
    assert [member["least"] for member in sizing["members"]] == ["strip", "2 × strip", "2 × strip"]
    assert [member["change_g"] for member in sizing["members"]] == pytest.approx([0, 0.616, 0.616])
    assert sizing["least"]["mass_g"] == pytest.approx(2.2176 + 1.232)
    assert sizing["least"]["load"] == pytest.approx(156.8 * 12)
    assert sizing["upgrades"][0]["members"] == ["A-C", "B-C"]
    # 400 N pulled over 80 mm at 85 MPa, 500 N pushed over 2 × 50 mm at 39.2 MPa, birch of 616 kg/m³.
    assert sizing["ideal_g"] == pytest.approx((400 * 80 / 85 + 500 * 100 / 39.2) * 616e-6)
    assert sizing["least"]["least_used"] > sizing["now"]["least_used"]
    text = panelpoint("strength", path, "--target", "600 N").text
    assert "Least stock at hand that carries 600 N in all" in text
    assert "What to make stronger, one step after the other" in text


def test_a_step_that_costs_no_gram_is_told_so(tmp_path: Path) -> None:
    """Square balsa is lighter than the strip and buckles later."""
    stocks = {
        "strip": {"material": "birch", "width": 1, "thickness": 0.2},
        "square": {"material": "balsa", "width": 0.5, "thickness": 0.5},
    }
    path = write_model(tmp_path, sticks(stocks=stocks))
    assert "costs none" in panelpoint("strength", path, "--target", "600 N").text
    first = panelpoint("strength", path, "--json", "--target", "600 N").document["sizing"]["upgrades"][0]
    assert first["gain_per_g"] is None
    assert first["adds_g"] < 0


def test_what_can_be_thinned(tmp_path: Path) -> None:
    """Three strips each where one does: the table says how many grams come off, 2.464 / 1.232 / 1.232 g."""
    stocks = {"strip": {"material": "birch", "width": 1, "thickness": 0.2, "sticks": 3}}
    path = write_model(tmp_path, sticks(stocks=stocks))
    sizing = panelpoint("strength", path, "--json", "--target", "60 N").document["sizing"]
    assert [member["least"] for member in sizing["members"]] == ["strip of 1"] * 3
    assert [member["change_g"] for member in sizing["members"]] == pytest.approx(
        [-2 * 80 * 20 * 616e-6, *[-2 * 50 * 20 * 616e-6] * 2]
    )


def test_a_target_out_of_reach_is_an_honest_no(tmp_path: Path) -> None:
    """Exit code 1 with members and ways out; a target that is none is wrong input."""
    path = write_model(tmp_path, sticks())
    assert_refused(panelpoint("strength", path, "--target", "50 kN"), "A-C", "stronger stock", code=1)
    assert_refused(panelpoint("strength", path, "--target", "much"), "--target", "200 N")
    assert_refused(panelpoint("strength", path, "--target", "-5 N"), "no sign")


def test_an_indeterminate_target_shows_its_turns(tmp_path: Path) -> None:
    """Convergence is part of the answer."""
    pins = [{"joint": "A", "kind": "pin"}, {"joint": "B", "kind": "pin"}]
    outcome = panelpoint("strength", write_model(tmp_path, sticks(supports=pins)), "--target", "600 N")
    assert outcome.code == 0, outcome.err
    assert "from turn to turn" in " ".join(outcome.text.split())


def test_a_cutting_list(tmp_path: Path) -> None:
    """8, 5 and 5 cm from bars of 10 cm take two; of two sticks each, four; bars of 7 cm are too short."""
    stocks = {"strip": {"material": "birch", "width": 1, "thickness": 0.2, "bars": [10], "kerf": 0}}
    answer = ask(tmp_path, sticks(stocks=stocks))
    (cuts,) = answer["cutting"]
    assert [[piece["member"] for piece in bar["pieces"]] for bar in cuts["bars"]] == [["A-B"], ["A-C", "B-C"]]
    assert [bar["rest"] for bar in cuts["bars"]] == pytest.approx([2, 0])
    text = panelpoint("strength", write_model(tmp_path, sticks(stocks=stocks))).text
    assert "Cutting list of strip: 2 bars, nothing takes less" in text
    stocks["strip"]["sticks"] = 2
    assert len(ask(tmp_path, sticks(stocks=stocks))["cutting"][0]["bars"]) == 4
    stocks["strip"]["bars"] = [7]
    refused = panelpoint("strength", write_model(tmp_path, sticks(stocks=stocks)))
    assert_refused(refused, "stocks.strip.bars", "longer than any bar")


def test_what_moving_a_joint_gains(tmp_path: Path) -> None:
    """Of the triangle only C can move, up or down; a model moved so holds as much more as was said."""
    document = sticks()
    before = ask(tmp_path, document)
    (gain,) = [one["by_move"] for one in before["shape"]["gradient"] if one["joint"] == "C"]
    assert gain[0] == pytest.approx(0, abs=1e-6 * abs(gain[1]))
    way = "down" if gain[1] < 0 else "up"
    lines = panelpoint("strength", write_model(tmp_path, document)).text.splitlines()
    at = lines.index("What moving a joint gains")
    assert lines[at + 2].split()[:2] == ["C", way]
    step = 0.001 if gain[1] > 0 else -0.001
    document["joints"][2]["at"] = [4, 3 + step]
    after = ask(tmp_path, document)
    found = (after["shape"]["load_per_gram"] - before["shape"]["load_per_gram"]) / step
    assert found == pytest.approx(gain[1], rel=0.01)


def test_the_published_curve_is_said(tmp_path: Path) -> None:
    """The choice is named in the text and lowers the load."""
    path = write_model(tmp_path, sticks())
    plain, curved = (panelpoint("strength", path, "--curve", curve) for curve in ("least", "interaction"))
    assert "smaller of crushing and Euler" in plain.text
    assert "column curve of the NDS" in curved.text
    assert "C_P" in curved.text


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"stocks": {}, "members": [{"joints": list(e)} for e in ("AB", "AC", "BC")]},
         "Nothing says what the members are made of"),
        ({"members": [{"joints": ["A", "B"]},
                      {"joints": ["A", "C"], "stock": "strip"}, {"joints": ["B", "C"], "stock": "strip"}]},
         "A-B is made of"),
        ({"stocks": {"strip": {"material": "birch"}}}, "stocks.strip: it has no shape"),
        ({"stocks": {"strip": {"material": "brich", "diameter": 1}}}, "There is no material 'brich'"),
        ({"stocks": {"strip": {"material": "straw", "diameter": 1}}}, "break three pieces"),
        ({"stocks": {"strip": {"material": "birch", "width": -1, "thickness": 2}}}, "stocks.strip.width"),
        ({"stocks": {"strip": {"material": "birch", "width": 1, "diameter": 2}}}, "one shape"),
        ({"stocks": {"strip": {"material": "birch", "wall": 2}}}, '"diameter" besides its "wall"'),
        ({"stocks": {"strip": {"material": "birch", "area": 2}}}, '"area" and "inertia" belong together'),
        ({"stocks": {"strip": {"material": "birch", "diameter": 2, "gap": 1}}}, "between two strips"),
        ({"stocks": {"strip": {"material": "birch", "diameter": 2, "sticks": 2}}}, "only strips are glued"),
        ({"stocks": {"strip": {"material": "birch", "diameter": 1, "wall": 0.5}}}, "half the diameter"),
        ({"stocks": {"strip": {"material": "balsa", "diameter": 1, "density": 900}}}, "60 and 380"),
        ({"stocks": {"strip": {"material": "birch", "diameter": 1, "tests": {"buckling": [1, 2, 3]}}}},
         "buckling_length"),
        ({"stocks": {"strip": {"material": "birch", "diameter": 1, "tests": {"tension": [1, 2]}}}},
         "tension"),
        ({"loads": [{"joint": "A", "force": [0, -1]}]}, "stand on the supports"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_explained(tmp_path: Path, changes: dict[str, Any], words: str) -> None:
    """Exit code 2, one sentence with place and cure, nothing on standard output."""
    assert_refused(panelpoint("strength", write_model(tmp_path, sticks(**changes))), words)


def test_a_loose_truss_is_an_honest_no(tmp_path: Path) -> None:
    """Exit code 1, as of `solve`."""
    path = write_model(tmp_path, sticks(supports=[{"joint": "A", "kind": "pin"}]))
    assert_refused(panelpoint("strength", path), "can still move", code=1)
    bare = write_model(tmp_path, three_bars(supports=[{"joint": "A", "kind": "pin"}]))
    assert_refused(panelpoint("strength", bare), "can still move", code=1)


def test_missing_stocks_are_told_once(tmp_path: Path) -> None:
    """Three members without stock, one sentence."""
    outcome = panelpoint("strength", write_model(tmp_path, three_bars()))
    assert_refused(outcome, "Nothing says what the members are made of")
    assert outcome.err.count("made of") == 1


def test_a_picture_without_length_says_why_it_must_have_one(tmp_path: Path) -> None:
    """Buckling goes with length, and angles have none."""
    document = json.loads(SAMPLE.read_text(encoding="utf-8"))
    document["dimensions"] = []
    for joint in document["joints"]:
        del joint["at"]
    assert_refused(panelpoint("strength", write_model(tmp_path, document)), "no length is known")


def test_an_unconfirmed_model_is_refused(tmp_path: Path) -> None:
    """Unless --trust is given, as everywhere."""
    path = write_model(tmp_path, sticks(confirmed=False))
    assert_refused(panelpoint("strength", path), "--trust")
    assert panelpoint("strength", path, "--trust").code == 0
