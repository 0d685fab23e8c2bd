"""What the survey straightens and what it leaves: level and bent chords, remarks, and the work."""

from __future__ import annotations

import re

import numpy as np
import pytest

from tests.survey_scenes import WARREN, WARREN_MEMBERS, drawn
from vision.survey import Dimension, SurveySettings, survey

AS_DRAWN = SurveySettings(straighten_degrees=0.0)
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def place(px, members, **given):
    """Survey with one pixel of error everywhere and the joints named by letters."""
    return survey(px, np.ones(len(px)), members, names=LETTERS[: len(px)], **given)


def chord_over_a_span(slopes, *, panel=2.0, rise=3.0):
    """Return joints and members of a truss whose top chord has pieces of these slopes in degrees.

    The bottom chord is level, A first, and as long as the top one plus a panel; diagonals and no posts.
    """
    heights = rise + np.concatenate([[0.0], np.cumsum(panel * np.tan(np.radians(slopes)))])
    tops = len(heights)
    bottom = np.column_stack([panel * np.arange(tops + 1), np.zeros(tops + 1)])
    top = np.column_stack([panel * (np.arange(tops) + 0.5), heights])
    first = tops + 1
    members = [
        *((joint, joint + 1) for joint in range(tops)),
        *((first + joint, first + joint + 1) for joint in range(tops - 1)),
        *((joint, first + joint) for joint in range(tops)),
        *((joint + 1, first + joint) for joint in range(tops)),
    ]
    return np.concatenate([bottom, top]), tuple(members), first


def top_slopes(slopes, **given):
    """Return the slopes in degrees of the top chord once surveyed, and the remarks."""
    at, members, first = chord_over_a_span(slopes)
    span = [Dimension("across", 0, first - 1, float(at[first - 1, 0]))]
    placed = place(drawn(at, turn_degrees=0.0), members, dimensions=span, **given)
    across, up = np.diff(placed.at[first:], axis=0).T
    return np.degrees(np.arctan2(up, across)), placed.remarks


# The front plane of a stick model, as annotated by eye in shared/real_photos/04-...truth.json.
STICKS = np.array(
    [
        [418.2, 1659.7],
        [1294.4, 1691.7],
        [2154.1, 1703.0],
        [2994.5, 1702.5],
        [971.7, 1021.4],
        [1754.3, 980.9],
        [2537.2, 1064.0],
    ]
)
STICK_MEMBERS = ((0, 1), (1, 2), (2, 3), (4, 5), (5, 6), (0, 4), (4, 1), (1, 5), (5, 2), (2, 6), (6, 3))
STICK_SPAN = Dimension("across", 0, 3, 600.0)


def test_a_cambered_chord_of_a_model_stays_as_built():
    """E-F and F-G of the photographed model keep their slopes within half a degree, and are listed."""
    placed = place(STICKS, STICK_MEMBERS, dimensions=[STICK_SPAN])
    plain = place(STICKS, STICK_MEMBERS, dimensions=[STICK_SPAN], settings=AS_DRAWN)
    across, up = np.diff(placed.at[4:], axis=0).T
    was_across, was_up = np.diff(plain.at[4:], axis=0).T
    np.testing.assert_allclose(
        np.degrees(np.arctan2(up, across)), np.degrees(np.arctan2(was_up, was_across)), atol=0.5
    )
    np.testing.assert_allclose(placed.at[:4, 1], 0.0, atol=1e-9)
    for name in ("E-F", "F-G"):
        assert any(name in remark and "left as drawn" in remark for remark in placed.remarks)
    assert not any("off its place" in remark for remark in placed.remarks)


def test_a_dimension_levels_a_cambered_chord():
    """Given their rises as 0, both pieces are level, and no remark says that they stayed."""
    flat = [STICK_SPAN, Dimension("up", 4, 5, 0.0), Dimension("up", 5, 6, 0.0)]
    placed = place(STICKS, STICK_MEMBERS, dimensions=flat)
    np.testing.assert_allclose(np.diff(placed.at[4:, 1]), 0.0, atol=1e-9)
    assert not any("left as drawn" in remark for remark in placed.remarks)


@pytest.mark.parametrize(
    "slopes",
    [
        pytest.param((4.0, -4.0, 3.0, -3.0), id="zigzag within tolerance"),
        pytest.param((22.0, 2.0, -1.5, -22.0), id="hip roof with a level top"),
        pytest.param((10.0, 2.5, -10.0), id="crown between two slopes"),
        pytest.param((0.5, 6.0, -1.0), id="level pieces beside one outlier"),
    ],
)
def test_a_wobbly_level_chord_becomes_level(slopes):
    """Every piece within tolerance of level is levelled where the chord is not bent on purpose."""
    found, _ = top_slopes(slopes)
    near = np.abs(slopes) < SurveySettings().straighten_degrees
    np.testing.assert_allclose(found[near], 0.0, atol=1e-9)


@pytest.mark.parametrize(
    "slopes",
    [
        pytest.param((20.0, 12.0, 4.0, -4.0, -12.0, -20.0), id="arch of six"),
        pytest.param((4.0, -5.5), id="two pieces, one within tolerance"),
        pytest.param((4.5, 5.5, 5.6), id="straight roof, one piece within tolerance"),
        pytest.param((-12.0, -4.0, 4.0, 12.0), id="sagging polygon"),
        pytest.param((16.7, 4.8, -5.5, -16.7), id="unlike neighbours make no crown"),
    ],
)
def test_a_polygon_stays_as_drawn(slopes):
    """No piece of it is levelled, and each that was near enough is listed."""
    found, remarks = top_slopes(slopes)
    np.testing.assert_allclose(found, slopes, atol=1e-6)
    near = sum(abs(slope) < SurveySettings().straighten_degrees for slope in slopes)
    assert sum("bends against" in remark for remark in remarks) >= near


def test_legs_of_a_tower_that_bend_stay_too():
    """A tower leaning in by 4 and then by 12 degrees keeps its lower legs."""
    lower, upper = np.tan(np.radians([4.0, 12.0]))
    left = np.array([[0, 0], [3 * lower, 3], [3 * lower + 3 * upper, 6]])
    tower = np.concatenate([left, left * [-1, 1] + [5, 0]])
    members = ((0, 1), (1, 2), (3, 4), (4, 5), (0, 3), (1, 4), (2, 5), (0, 4), (1, 5))
    placed = place(
        drawn(tower, turn_degrees=0.0), members, dimensions=[Dimension("across", 0, 3, 5.0)], level=(0, 3)
    )
    np.testing.assert_allclose(placed.at, tower, atol=1e-9)


def test_a_joint_moved_by_straightening_is_not_blamed_on_a_dimension():
    """A chord drawn 4.9 degrees off is levelled; the remark says so, and that no dimension asked for it."""
    tilted = WARREN + np.array([[0, 0]] * 4 + [[0, 3 * np.tan(np.radians(4.9))]])
    placed = place(drawn(tilted), WARREN_MEMBERS, dimensions=[Dimension("across", 0, 2, 6.0)])
    (remark,) = [remark for remark in placed.remarks if "off its place" in remark]
    assert "D-E was made straight" in remark
    assert "dimensions were followed" not in remark


def test_a_joint_moved_by_a_dimension_is():
    """A height that is not the drawn one moves its joint; the remark names the dimensions."""
    given = [Dimension("across", 0, 2, 6.0), Dimension("up", 0, 3, 2.5), Dimension("up", 0, 4, 3.7)]
    placed = place(drawn(WARREN), WARREN_MEMBERS, dimensions=given)
    (remark,) = [remark for remark in placed.remarks if "off its place" in remark]
    assert remark.endswith("The dimensions were followed.")


def wobbly_pratt(panels, seed):
    """Return joints and members of a parallel truss drawn with a slightly unsteady hand."""
    row = 2.0 * np.arange(panels + 1)
    at = np.concatenate([np.column_stack([row, np.full(panels + 1, height)]) for height in (0.0, 2.0)])
    top = panels + 1
    members = [
        *((joint, joint + 1) for joint in (*range(panels), *range(top, top + panels))),
        *((joint, top + joint) for joint in range(top)),
        *((joint, top + joint + 1) for joint in range(panels)),
    ]
    return at + np.random.default_rng(seed).normal(scale=0.02, size=at.shape), tuple(members)


@pytest.mark.parametrize("seed", range(8))
def test_a_coordinate_that_is_zero_but_for_rounding_is_zero(seed):
    """On wobbly trusses whose bottom chord is level, its heights are 0 without dust such as 1e-46."""
    at, members = wobbly_pratt(6, seed)
    placed = survey(
        drawn(at), np.ones(len(at)), members, dimensions=[Dimension("across", 0, 6, 12e3)], level=(0, 6)
    )
    assert not placed.at[:7, 1].any()
    assert np.abs(placed.at[placed.at != 0]).min() > 1e-9


def test_a_hundred_joints_take_no_more_equations_than_ten(monkeypatch):
    """Straightening a hundred members at once solves as few systems as ten: all groups are tried together."""
    solved: list[int] = []
    plain = np.linalg.lstsq

    def counted(*given, **options):
        solved[-1] += 1
        return plain(*given, **options)

    monkeypatch.setattr(np.linalg, "lstsq", counted)
    for panels in (4, 49):
        at, members = wobbly_pratt(panels, 1)
        solved.append(0)
        span = [Dimension("across", 0, panels, 2.0 * panels)]
        placed = survey(drawn(at), np.ones(len(at)), members, dimensions=span, level=(0, panels))
        assert np.ptp(placed.at[: panels + 1, 1]) == 0.0
        np.testing.assert_allclose(np.ptp(placed.at[panels + 1 :, 1]), 0.0, atol=1e-9)
        np.testing.assert_allclose(placed.at[: panels + 1, 0], placed.at[panels + 1 :, 0], atol=1e-9)
    assert solved[1] <= solved[0] + 10


def test_groups_that_cannot_all_be_straightened_are_told_apart():
    """In a top chord that must fall over its length, some pieces are level, and the rest is named."""
    at, members = wobbly_pratt(8, 3)
    given = [Dimension("across", 0, 8, 16.0), Dimension("up", 0, 9, 2.0), Dimension("up", 8, 17, 2.4)]
    placed = survey(drawn(at), np.ones(len(at)), members, dimensions=given, level=(0, 8))
    assert placed.at[17, 1] - placed.at[8, 1] == pytest.approx(2.4, abs=1e-9)
    np.testing.assert_allclose(placed.at[:9, 0], placed.at[9:, 0], atol=1e-9)
    np.testing.assert_allclose(placed.at[:9, 1], 0.0, atol=1e-9)
    sloping = {
        f"{joint}-{joint + 1}"
        for joint in range(9, 17)
        if abs(np.diff(placed.at[joint : joint + 2, 1])[0]) > 1e-6
    }
    named = {
        found[1]
        for remark in placed.remarks
        if (found := re.search(r"Member (\S+) .*(?:slope|drawn)", remark))
    }
    assert sloping
    assert sloping == named
