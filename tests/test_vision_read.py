"""Small drawn photographs with exact truth go through `read_photo`."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest
from drawing import DRAWN, Sheet, draw, photo_of
from scoring import score

from vision import NoTrussError, Photo, read_photo
from vision.settings import ReadSettings

SHEETS = {
    "plain": Sheet(),
    "thin pen": Sheet(pen_width=2),
    "pencil": Sheet(pen=(150, 150, 150), pen_width=3),
    "squared paper": Sheet(squares=40),
    "circled joints": Sheet(circles=16),
    "dotted joints": Sheet(dots=12),
    "gaps": Sheet(gap=14),
    "chalk": Sheet(paper=(45, 70, 60), pen=(225, 225, 220), pen_width=7),
    "signs and letters": Sheet(signs=True),
    "signs on squares": Sheet(signs=True, squares=40),
}


def photo(rgb: np.ndarray) -> Photo:
    """Give an array as a loaded photograph."""
    return Photo(rgb=rgb, path=Path("page.png"), sha256="0" * 64)


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("name", ["warren", "crossed panel"])
def test_a_drawn_truss_is_read_with_nothing_to_correct(name: str, sheet: str) -> None:
    """Every joint and member is found and nothing else, on every ground and with every pen."""
    drawn = draw(name, seed=3, sheet=SHEETS[sheet])
    reading = read_photo(photo_of(drawn))
    result = score(drawn.joints, drawn.members, reading.joints, reading.members)
    assert result.corrections == 0
    assert (reading.width, reading.height) == (1200, 900)
    assert list(reading.members) == sorted((min(pair), max(pair)) for pair in reading.members)
    assert ((reading.joint_confidence >= 0) & (reading.joint_confidence <= 1)).all()
    assert ((reading.member_confidence >= 0) & (reading.member_confidence <= 1)).all()


def test_crossing_diagonals_have_no_joint_and_this_is_said() -> None:
    """Two members that run straight through each other do not meet; the person is told."""
    reading = read_photo(photo_of(draw("crossed panel")))
    assert len(reading.joints) == 4
    assert any("without a joint" in remark for remark in reading.remarks)


def test_a_truss_without_a_triangle_is_still_a_truss() -> None:
    """Where all diagonals cross, crossings and oblique members tell a truss from a table."""
    drawn = draw("double warren")
    reading = read_photo(photo_of(drawn))
    assert score(drawn.joints, drawn.members, reading.joints, reading.members).corrections == 0


def test_a_marked_crossing_is_a_joint() -> None:
    """A dot on the crossing of two members makes it a joint."""
    drawn = draw("crossed panel", sheet=Sheet(dots=12))
    rgb = drawn.rgb.copy()
    cross = tuple(int(v) for v in _crossing(drawn.joints))
    cv2.circle(rgb, cross, 12, (30, 32, 50), -1, cv2.LINE_AA)
    reading = read_photo(photo(rgb))
    assert len(reading.joints) == 5
    assert len(reading.members) == 8


def _crossing(corners: np.ndarray) -> np.ndarray:
    """Where the diagonals 0-2 and 1-3 meet."""
    one, two = corners[2] - corners[0], corners[3] - corners[1]
    along, _ = np.linalg.solve(np.column_stack([one, -two]), corners[1] - corners[0])
    return np.asarray(corners[0] + along * one)


def test_standard_errors_are_honest() -> None:
    """Deviations from truth, in units of the standard errors given, have a spread of about one."""
    ratios = []
    for seed in range(6):
        drawn = draw("pratt", seed=seed, sheet=Sheet(wobble=1.5))
        reading = read_photo(photo_of(drawn))
        result = score(drawn.joints, drawn.members, reading.joints, reading.members)
        for truth, read in result.pairs:
            ratios.extend((reading.joints[read] - drawn.joints[truth]) / reading.px_error[read])
    spread = float(np.sqrt(np.mean(np.square(ratios))))
    assert len(ratios) > 50
    assert 0.6 < spread < 1.5


def test_straight_lines_are_placed_to_parts_of_a_pixel() -> None:
    """Without wobble, joints lie within half a pixel of the truth."""
    drawn = draw("warren", sheet=Sheet(wobble=0.0))
    reading = read_photo(photo_of(drawn))
    result = score(drawn.joints, drawn.members, reading.joints, reading.members)
    deviation = np.array([reading.joints[read] - drawn.joints[truth] for truth, read in result.pairs])
    assert len(deviation) == 7
    assert np.abs(deviation).max() < 0.5


@pytest.mark.parametrize("factor", [0.5, 3.0])
def test_the_size_of_the_photograph_does_not_matter(factor: float) -> None:
    """The same page with a quarter or nine times the pixels gives the same truss, in its own pixels."""
    drawn = draw("warren", sheet=Sheet(signs=True))
    rgb = cv2.resize(drawn.rgb, None, fx=factor, fy=factor, interpolation=cv2.INTER_AREA)
    reading = read_photo(photo(rgb))
    truth = (drawn.joints + 0.5) * factor - 0.5
    result = score(truth, drawn.members, reading.joints, reading.members)
    assert result.corrections == 0
    assert max(result.joint_errors) < 0.01


@pytest.mark.parametrize(
    ("page", "seen"),
    [
        ("blank", "nothing that looks like"),
        ("noise", "nothing that looks like"),
        ("text", "writing"),
        ("two lines", ""),
        ("table", ""),
    ],
)
def test_a_picture_without_a_truss_says_what_was_seen(page: str, seen: str) -> None:
    """No joints are made up: the error names what was there instead and gives the cure."""
    rgb = np.full((900, 1200, 3), 235, np.uint8)
    if page == "noise":
        noise = np.random.default_rng(5).normal(0, 9, rgb.shape)
        rgb = np.clip(rgb + noise, 0, 255).astype(np.uint8)
    elif page == "text":
        for line in range(12):
            text = "Find the force in each member"[line:] + " of this frame"
            place = (60, 80 + 66 * line)
            cv2.putText(rgb, text, place, cv2.FONT_HERSHEY_SIMPLEX, 1.1, (40, 40, 40), 2, cv2.LINE_AA)
    elif page == "table":
        for step in range(6):
            cv2.line(rgb, (200, 150 + 100 * step), (1000, 150 + 100 * step), (40, 40, 40), 4, cv2.LINE_AA)
            cv2.line(rgb, (200 + 160 * step, 150), (200 + 160 * step, 650), (40, 40, 40), 4, cv2.LINE_AA)
    elif page == "two lines":
        cv2.line(rgb, (100, 100), (900, 700), (40, 40, 40), 4, cv2.LINE_AA)
        cv2.line(rgb, (500, 100), (1100, 300), (40, 40, 40), 4, cv2.LINE_AA)
    with pytest.raises(NoTrussError) as caught:
        read_photo(photo(rgb))
    assert caught.value.seen
    assert seen in caught.value.seen
    assert "Photograph the truss" in str(caught.value)


def test_every_stage_can_keep_its_picture() -> None:
    """Who asks for the stages is given one picture of each, of the working size."""

    class Album:
        def __init__(self) -> None:
            self.stages: dict[str, tuple[int, ...]] = {}

        def picture(self, stage_name: str, array: np.ndarray) -> None:
            self.stages[stage_name] = array.shape

    album = Album()
    read_photo(photo_of(draw("triangle")), settings=ReadSettings(), keep=album)
    assert list(album.stages) == [
        "maps joints", "maps members", "maps supports shafts heads", "maps other and behind", "ink",
        "segments", "endpoint clusters", "joints", "members", "chosen drawing", "refined",
    ]  # fmt: skip
    assert album.stages["ink"] == (900, 1200)
    assert album.stages["segments"] == album.stages["refined"] == (900, 1200, 3)
    assert album.stages["maps joints"] == album.stages["maps members"]


def test_the_gallery_covers_each_rule() -> None:
    """The trusses drawn here differ: with and without crossings, from three joints to ten."""
    assert {len(plan.joints) for plan in DRAWN.values()} == {3, 4, 7, 8, 10}
