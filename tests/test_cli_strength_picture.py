"""The strength on the photograph: what each member uses, what gives way first, which way to move joints."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest

from cli.cautions import CAUTIONS
from cli.model.file import load
from cli.sheets.layout import lay_out
from cli.sheets.marks import Fill, Stroke, Text
from cli.sheets.palette import INK, PAPER, TENSION, USE, contrast, luminance, rgb, use_tone
from cli.sheets.scene import Scene
from cli.strength.job import strength_of
from cli.strength.picture import moves_scene, used_label, used_scene
from tests.front_door import assert_refused, panelpoint

SAMPLE = Path(__file__).parent.parent / "sample_images" / "contest-sticks-model.truss.json"
SIZE = (2000, 1400)


def changed(folder: Path, **changes: Any) -> Path:
    """Return the sample's model with other entries, beside a link to its picture."""
    document = {**json.loads(SAMPLE.read_text(encoding="utf-8")), **changes}
    document["picture"]["file"] = str(SAMPLE.with_name("contest-sticks-model.jpg"))
    path = folder / "bridge.truss.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def scene_of(make: Any, path: Path = SAMPLE) -> Scene:
    """Return the scene of a model."""
    model = load(path)
    answer = strength_of(model, curve="least", seed=0)
    px = {joint.name: joint.px for joint in model.joints}
    return make(answer, px, SIZE, senses=answer.standing.demand.solution.senses)


def test_every_member_says_what_it_uses() -> None:
    """Percent and sense are those of the ranking; the governing ones, and only they, are marked as first."""
    answer = panelpoint("strength", SAMPLE, "--json").document
    scene = scene_of(used_scene)
    for member, check in zip(scene.members, answer["checks"], strict=True):
        first = "-".join(check["joints"]) in answer["prediction"]["first"]
        sense = "T" if check["force"] > 0 else "C"
        assert member.label == used_label(check["utilization"], sense, first=first)
        assert member.used == check["utilization"]
        assert member.first is first
        assert member.label.endswith("first") is first
    assert answer["prediction"]["sentence"] in scene.remarks[0]
    assert "given load, 40 N in all" in scene.remarks[0]
    for words in (*CAUTIONS, "guard the weights", "averages of clear wood"):
        assert words in scene.caution


def test_a_given_load_that_is_too_much_is_told(tmp_path: Path) -> None:
    """Ten times the load: over 100%, and the sentence under the picture says what that means."""
    loads = [{"joint": "B", "force": [0, -200]}, {"joint": "C", "force": [0, -200]}]
    scene = scene_of(used_scene, changed(tmp_path, loads=loads))
    assert scene.largest_use > 3
    assert "What uses more than 100% would have given way" in scene.remarks[0]
    assert "100%" not in scene_of(used_scene).remarks[0]


def test_labels_of_all_kinds() -> None:
    """Percent, the letter, a zero-force member as everywhere, little as less than one, too much as it is."""
    assert used_label(0.314, "C", first=True) == "31% (C) first"
    assert used_label(0.0, "0", first=False) == "0"
    assert used_label(0.003, "T", first=False) == "<1% (T)"
    assert used_label(1.32, "?", first=False) == "132% (?)"
    assert used_label(0.5, "", first=True) == "50% first"


def test_what_goes_first_is_darker_wider_and_outlined() -> None:
    """Never by colour alone: the first members are the widest, between dark lines, and carry the word."""
    scene = scene_of(used_scene)
    layout = lay_out(scene)
    assert layout.overlap == 0
    tones = [mark for mark in layout.drawing.marks if isinstance(mark, Stroke) and mark.colour in USE]
    dark = [mark for mark in tones if mark.colour == USE[-1]]
    first = sum(member.first for member in scene.members)
    assert len(dark) == first + 1  # and the sample of the legend
    assert min(mark.width for mark in dark) > 2 * max(mark.width for mark in tones if mark not in dark)
    edges = [
        mark
        for mark in layout.drawing.marks
        if isinstance(mark, Stroke) and mark.colour == INK and mark.width > max(line.width for line in dark)
    ]
    assert len(edges) == first + 1
    words = [mark.words for mark in layout.drawing.marks if isinstance(mark, Text)]
    assert "gives way first" in words
    assert "how much of its strength is used" in words
    assert "32%" in words


def test_tones_darken_step_by_step() -> None:
    """A grey print keeps the order: each tone is darker; the lightest still has 3:1 (WCAG 2.2, 1.4.11)."""
    lights = [luminance(rgb(tone)) for tone in USE]
    assert all(before > after + 0.02 for before, after in pairwise(lights))
    assert contrast(USE[0], PAPER) >= 3
    assert [use_tone(share) for share in (-1, 0, 0.19, 0.21, 0.5, 0.99, 1, 2)] == [
        *[USE[0]] * 3,
        USE[1],
        USE[2],
        *[USE[4]] * 3,
    ]


def test_a_joint_that_lets_go_is_marked(tmp_path: Path) -> None:
    """Its name carries percent and the word, its ring is double."""
    joints = json.loads(SAMPLE.read_text(encoding="utf-8"))["joints"]
    joints[4]["holds"] = 30
    scene = scene_of(used_scene, changed(tmp_path, joints=joints))
    joint = scene.joints[4]
    assert joint.first
    assert joint.label == "joint E 78% first"
    assert not any(member.first for member in scene.members)
    plain, marked = (
        sum(isinstance(mark, Fill) for mark in lay_out(each).drawing.marks)
        for each in (scene_of(used_scene), scene)
    )
    # One ring is a dark disc with a light one on it. The plates behind labels are as many in both; in the
    # legend a double ring has taken the place of the outlined member.
    assert marked == plain + 2 + 4


def test_moves_point_where_the_table_says() -> None:
    """E gains by going down and right: in the picture x and y grow; the arrow that gains most is longest."""
    scene = scene_of(moves_scene)
    moves = {scene.joints[move.joint].name: move for move in scene.moves}
    assert set(moves) == {"B", "C", "E", "F", "G"}  # A and D are held
    across, down = moves["E"].direction
    assert across > 0.5
    assert down > 0.4
    assert moves["F"].direction[1] < -0.9
    assert moves["G"].share == 1
    gradient = {
        row["joint"]: row["by_move"]
        for row in panelpoint("strength", SAMPLE, "--json").document["shape"]["gradient"]
    }
    sizes = {name: float(np.hypot(*gradient[name])) for name in moves}
    assert {name: move.share for name, move in moves.items()} == pytest.approx(
        {name: size / max(sizes.values()) for name, size in sizes.items()}
    )
    layout = lay_out(scene)
    assert layout.overlap == 0
    words = [text.words for text in layout.labels]
    assert words.count("first") == 4
    assert "+0.48 %" in words


@pytest.mark.parametrize(
    ("show", "suffix"), [("used", "png"), ("moves", "jpg"), ("moves", "svg"), ("used", "pdf")]
)
def test_every_kind_of_picture(tmp_path: Path, show: str, suffix: str) -> None:
    """Each is written, and none is that of the forces."""
    path = tmp_path / f"bridge.{suffix}"
    outcome = panelpoint("overlay", SAMPLE, "--show", show, "-o", path)
    assert outcome.code == 0, outcome.err
    data = path.read_bytes()
    assert len(data) > 10_000
    if suffix == "png":
        picture = cv2.cvtColor(cv2.imread(str(path)), cv2.COLOR_BGR2RGB)
        assert picture.shape[1] == SIZE[0]
        assert (picture == rgb(USE[-1])).all(axis=2).sum() > 5_000
        assert (picture == rgb(TENSION)).all(axis=2).sum() == 0


def test_moves_of_a_redundant_truss_are_not_known(tmp_path: Path) -> None:
    """An honest no, and nothing is written."""
    members = [
        *json.loads(SAMPLE.read_text(encoding="utf-8"))["members"],
        {"joints": ["A", "F"], "stock": "stick"},
    ]
    picture = tmp_path / "moves.png"
    outcome = panelpoint(
        "overlay", changed(tmp_path, members=members), "--show", "moves", "-o", picture, "--trust"
    )
    assert_refused(outcome, "statically determinate trusses only", code=1)
    assert not picture.exists()


def test_a_truss_without_stock_says_what_to_give(tmp_path: Path) -> None:
    """As `strength` does."""
    members = [{"joints": entry["joints"]} for entry in json.loads(SAMPLE.read_text())["members"]]
    path = changed(tmp_path, members=members, stocks={})
    outcome = panelpoint("overlay", path, "--show", "used", "-o", tmp_path / "used.png")
    assert_refused(outcome, "give each a stock")
