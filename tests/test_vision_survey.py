"""The survey on drawings whose truth is known: scale, level, dimensions, straightening, what stays free."""

from __future__ import annotations

import pickle
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize

from tests.survey_scenes import (
    AS_DRAWN,
    FINK,
    FINK_MEMBERS,
    NAMES,
    WARREN,
    WARREN_MEMBERS,
    drawn,
    in_perspective,
    place,
    rectangle,
)
from vision import errors
from vision.survey import Dimension, KnownPoints, survey

WOBBLE = np.array([[0, 0], [0.3, 0.1], [0.2, -0.1], [0.3, 0.2], [-0.2, 0.3]])
SLANT = float(np.hypot(4.5, 2.5))


@pytest.mark.parametrize("level", [None, (0, 2), (2, 0), (0, 1), (4, 3)])
@pytest.mark.parametrize(
    "dimension",
    [
        Dimension("along", 0, 4, SLANT),
        Dimension("along", 4, 0, SLANT),
        Dimension("across", 2, 0, 6.0),
        Dimension("across", 1, 4, 1.5),
        Dimension("up", 3, 1, 2.5),
    ],
)
def test_one_length_and_level_recover_a_drawing_to_scale(dimension, level):
    """Whichever length is given, in either order of its joints, the shape comes out to 1e-9."""
    placed = place(drawn(WARREN), dimensions=[dimension], level=level)
    origin = WARREN[3] if level == (4, 3) else WARREN[0]
    np.testing.assert_allclose(placed.at, WARREN - origin, atol=1e-9)


@pytest.mark.parametrize("unit", [1e-3, 1.0, 1e6])
def test_units_are_those_of_the_dimensions(unit):
    """The same truss in millimetres, metres or anything else comes out in that unit, errors too."""
    metres = place(drawn(WARREN), dimensions=[Dimension("across", 0, 2, 6.0)])
    other = place(drawn(WARREN), dimensions=[Dimension("across", 0, 2, 6.0 * unit)])
    np.testing.assert_allclose(other.at, metres.at * unit, rtol=1e-12, atol=1e-12 * unit)
    np.testing.assert_allclose(other.errors, metres.errors * unit, rtol=1e-9, atol=1e-12 * unit)


def test_dimensions_overrule_the_drawing():
    """A sketch drawn half as high again as it is long comes out as its dimensions say."""
    sketch = drawn(WARREN * [1.0, 1.5] + [[0, 0], [0.2, 0], [0, 0], [-0.3, 0.1], [0.2, -0.1]])
    placed = place(
        sketch,
        dimensions=[
            Dimension("across", 0, 1, 3.0),
            Dimension("across", 1, 2, 3.0),
            Dimension("across", 0, 3, 1.5),
            Dimension("across", 3, 4, 3.0),
            Dimension("up", 0, 3, 2.5),
        ],
    )
    np.testing.assert_allclose(placed.at, WARREN, atol=1e-9)
    assert placed.free == ()
    np.testing.assert_allclose(placed.covariance, 0.0, atol=1e-20)
    assert any("not to scale" in remark for remark in placed.remarks)


def test_lengths_and_angles_hold_exactly():
    """Along and angle are met to 1e-9 on a sketch that shows neither."""
    sketch = drawn(WARREN + WOBBLE)
    given = [
        Dimension("along", 0, 3, 2.9),
        Dimension("along", 3, 1, 3.1),
        Dimension("angle", 4, 2, 52.0),
        Dimension("along", 4, 2, 2.7),
        Dimension("across", 0, 2, 6.0),
    ]
    placed = place(sketch, dimensions=given)
    for dimension in given:
        across, up = np.abs(placed.at[dimension.end] - placed.at[dimension.start])
        measured = {
            "along": np.hypot(across, up),
            "across": across,
            "angle": np.degrees(np.arctan2(up, across)),
        }
        assert measured[dimension.kind] == pytest.approx(dimension.value, rel=1e-9)


def test_free_joints_stay_as_near_the_drawing_as_a_general_optimiser_puts_them():
    """Without straightening, scipy's SLSQP on the stated problem finds the same joints."""
    sketch = drawn(WARREN + WOBBLE)
    px_error = np.array([1.0, 2.0, 0.7, 1.5, 1.2])
    placed = survey(
        sketch,
        px_error,
        WARREN_MEMBERS,
        dimensions=[
            Dimension("along", 0, 3, 2.6),
            Dimension("along", 3, 1, 3.3),
            Dimension("along", 1, 4, 2.8),
        ],
        level=(0, 2),
        settings=AS_DRAWN,
    )
    q = (sketch - sketch.mean(axis=0)) * [1, -1]
    q /= np.sqrt(np.mean(q**2))
    weights = (np.median(px_error) / px_error) ** 2

    def misfit(z):
        at, (a, b, c, d, e, f) = z[:10].reshape(-1, 2), z[10:]
        pen = np.column_stack([a * at[:, 0] + b * at[:, 1] + c, d * at[:, 0] + e * at[:, 1] + f])
        stretched = ((a - e) ** 2 + (b + d) ** 2) / ((a + e) ** 2 + (b - d) ** 2)
        return float(np.sum((pen - q) ** 2 * weights[:, None]) + AS_DRAWN.stretch_weight * stretched)

    def missed(z):
        at = z[:10].reshape(-1, 2)
        far = [np.hypot(*(at[i] - at[k])) - value for i, k, value in ((0, 3, 2.6), (3, 1, 3.3), (1, 4, 2.8))]
        return np.array([*far, *at[0], at[2, 1]])

    start = np.concatenate([WARREN.ravel(), [0.6, 0.0, -1.8, 0.0, 0.6, -0.6]])
    found = minimize(
        misfit,
        start,
        method="SLSQP",
        constraints={"type": "eq", "fun": missed},
        options={"maxiter": 500, "ftol": 1e-15},
    )
    assert found.success
    np.testing.assert_allclose(placed.at, found.x[:10].reshape(-1, 2), atol=2e-4)


def test_a_redundant_dimension_changes_nothing():
    """A diagonal that follows from the rest adds nothing to joints, errors or the list of free joints."""
    sketch = drawn(FINK * [1, 1.2])
    given = [Dimension("across", 0, 1, 2.0), Dimension("across", 0, 3, 6.0), Dimension("up", 0, 4, 1.5)]
    plain = place(sketch, FINK_MEMBERS, dimensions=given)
    across, up = plain.at[4] - plain.at[1]
    more = [*given, Dimension("across", 1, 3, 4.0), Dimension("across", 1, 4, abs(across))]
    fixed = place(sketch, FINK_MEMBERS, dimensions=more[:4])
    np.testing.assert_allclose(fixed.at, plain.at, atol=1e-9)
    np.testing.assert_allclose(fixed.covariance, plain.covariance, atol=1e-12)
    assert fixed.free == plain.free
    assert up > 0


def test_free_lists_what_no_dimension_places():
    """Joint B slides along the level chord; the top joints are as drawn in both directions."""
    placed = place(drawn(WARREN), dimensions=[Dimension("across", 0, 2, 6.0)])
    listed = {(NAMES[free.joint], free.across, free.up) for free in placed.free}
    assert listed == {("B", True, False), ("D", True, True), ("E", True, True)}


def test_near_level_members_become_level_and_near_upright_ones_upright():
    """Pen wobble of 3 degrees goes from chords and posts; a slope of 10 degrees stays."""
    truth = np.array([[0, 0], [3, 0], [6, 0], [3, 2.0], [6, 2.0 + 3 * np.tan(np.radians(10))]])
    wobble = np.array([[0, 0.04], [0.1, -0.1], [0, 0.1], [0.0, 0], [-0.1, 0]])
    members = ((0, 1), (1, 2), (1, 3), (0, 3), (3, 4), (2, 4), (1, 4))
    at = place(drawn(truth + wobble), members, dimensions=[Dimension("across", 0, 2, 6.0)]).at
    assert at[0, 1] == pytest.approx(at[1, 1], abs=1e-12)
    assert at[1, 1] == pytest.approx(at[2, 1], abs=1e-12)
    assert at[1, 0] == pytest.approx(at[3, 0], abs=1e-12)
    assert at[2, 0] == pytest.approx(at[4, 0], abs=1e-12)
    assert np.degrees(np.arctan2(*(at[4] - at[3])[::-1])) == pytest.approx(10, abs=2.5)


def test_a_dimension_beats_straightening():
    """A fall of 0.1 in 6 stays, is exact, and the member that it slopes is named."""
    placed = place(
        drawn(WARREN), dimensions=[Dimension("across", 0, 1, 3.0), Dimension("up", 0, 1, 0.1)], level=(0, 2)
    )
    assert abs(placed.at[1, 1] - placed.at[0, 1]) == pytest.approx(0.1, abs=1e-12)
    assert any("A-B" in remark and "hold it at its slope" in remark for remark in placed.remarks)


def test_a_member_just_outside_the_tolerance_is_pointed_out():
    """Six degrees are left as drawn, with a remark that says how to level it."""
    truth = np.array([[0, 0], [3, 0], [6, 0], [1.5, 2.5], [4.5, 2.5 + 3 * np.tan(np.radians(6))]])
    placed = place(drawn(truth), dimensions=[Dimension("across", 0, 2, 6.0)])
    np.testing.assert_allclose(placed.at, truth, atol=1e-9)
    assert any("D-E is nearly level" in remark for remark in placed.remarks)


@pytest.mark.parametrize("turn", [-40.0, -7.0, 0.0, 12.0, 70.0])
def test_level_given_turns_the_picture(turn):
    """Two level joints, in either order, bring back a picture turned by less than a right angle."""
    given = {"dimensions": [Dimension("across", 0, 2, 6.0)], "level": (2, 0)}
    placed = place(drawn(WARREN, turn_degrees=turn), **given)
    np.testing.assert_allclose(placed.at, WARREN, atol=1e-9)
    assert any("was turned by 70 degrees to the right" in remark for remark in placed.remarks) == (
        turn == 70.0
    )


def test_level_chosen_is_remarked_upon():
    """Without level the bottom chord gives it, and the remark names its ends."""
    placed = place(drawn(WARREN), dimensions=[Dimension("across", 0, 2, 6.0)])
    assert placed.remarks[0].startswith("Level was taken from the chord A-C.")


def test_level_of_a_cantilever_comes_from_its_level_chord():
    """A wall bracket with a sloping bottom chord is levelled by its top chord."""
    bracket = np.array([[0, 0], [1.5, 0.6], [3, 1.2], [0, 1.2], [1.5, 1.2]])
    members = ((0, 1), (1, 2), (3, 4), (4, 2), (0, 4), (1, 4))
    placed = place(drawn(bracket), members, dimensions=[Dimension("across", 3, 2, 3.0)])
    np.testing.assert_allclose(placed.at, bracket - bracket[3], atol=1e-9)


def test_a_sloping_chord_yields_to_a_flatter_one_that_is_shorter():
    """A triangle on a level base with a long arm sloping at 15 degrees: the base gives level."""
    members = ((0, 1), (0, 2), (1, 2), (1, 3), (2, 3))
    picture = drawn(np.array([[0, 0], [4, 0.1], [2, 4], [7.6, 2.5]]), turn_degrees=0.0)
    placed = place(picture, members, dimensions=[Dimension("along", 0, 1, 4.0)])
    assert "the chord A-B" in placed.remarks[0]


def test_a_truss_without_a_level_member_keeps_the_edges_of_the_picture():
    """A lone slanting bar is placed as the picture shows it, with a remark."""
    bar = np.array([[0.0, 0.0], [2.0, 3.0]])
    placed = place(drawn(bar, turn_degrees=0.0), ((0, 1),), dimensions=[Dimension("up", 0, 1, 3.0)])
    np.testing.assert_allclose(placed.at, bar, atol=1e-9)
    assert "edges of the picture" in placed.remarks[0]


def test_dimensions_that_turn_the_truss_beat_the_chord():
    """When the dimensions slope the chord itself, level is not taken from it, and a remark says so."""
    placed = place(
        drawn(WARREN),
        dimensions=[Dimension("across", 0, 2, 6.0), Dimension("up", 0, 2, 1.0)],
        settings=AS_DRAWN,
    )
    assert abs(placed.at[2, 1]) == pytest.approx(1.0, abs=1e-9)
    assert "the chord A-C was not made level" in placed.remarks[0]
    shape = placed.at @ placed.at[2] / np.hypot(6, 1) ** 2
    np.testing.assert_allclose(shape[[0, 1, 2]], [0, 0.5, 1], atol=1e-9)


def test_a_dimension_against_the_drawing_is_remarked_upon():
    """A width written at an upright post goes to the right, and the remark says to look."""
    truth = np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 3.0]])
    given = [Dimension("across", 0, 1, 4.0), Dimension("across", 1, 2, 0.5)]
    placed = place(drawn(truth), ((0, 1), (1, 2), (0, 2)), dimensions=given)
    assert placed.at[2, 0] == pytest.approx(4.5)
    assert any("hardly shows which way across B C 0.5 runs" in remark for remark in placed.remarks)


@pytest.mark.parametrize("px_error", [0.0, 1e-9, 50.0])
def test_weights_take_any_error(px_error):
    """Exact and very unsure joints go through; the errors scale with what is given."""
    placed = survey(
        drawn(WARREN), np.full(5, px_error), WARREN_MEMBERS, dimensions=[Dimension("across", 0, 2, 6.0)]
    )
    np.testing.assert_allclose(placed.at, WARREN, atol=1e-9)
    assert placed.errors.max() == pytest.approx(px_error / 83.0, rel=1.0)


PRATT = np.array([[0, 0], [2, 0], [4, 0], [6, 0], [2, 1.5], [4, 1.5]])
PRATT_MEMBERS = ((0, 1), (1, 2), (2, 3), (0, 4), (4, 5), (5, 3), (1, 4), (2, 5), (1, 5))


def test_a_sketch_with_exaggerated_heights_keeps_its_panels_equal():
    """Drawn half as high again and dimensioned by span and rise alone: panels stay equal within 1 %."""
    given = [Dimension("across", 0, 3, 6.0), Dimension("up", 0, 4, 1.5)]
    placed = place(drawn(PRATT * [1.0, 1.5]), PRATT_MEMBERS, dimensions=given, level=(0, 3))
    np.testing.assert_allclose(np.diff(placed.at[:4, 0]), 2.0, rtol=0.01)
    np.testing.assert_allclose(placed.at[4:, 1], 1.5, atol=1e-9)
    assert any("heights are drawn 1.4" in remark for remark in placed.remarks)


def test_panel_lengths_a_little_too_long_do_not_blow_up_the_heights():
    """Three lengths of 6.2 in all over a span of 6 bend the chord; the rest keeps its proportions roughly."""
    wavy = PRATT + np.column_stack([np.zeros(6), [0, 0.03, -0.03, 0.02, 0, 0.05]])
    lengths = [Dimension("along", joint, joint + 1, value) for joint, value in enumerate((2.15, 2.05, 2.0))]
    placed = place(
        drawn(wavy, turn_degrees=0.0),
        PRATT_MEMBERS,
        dimensions=[Dimension("across", 0, 3, 6.0), *lengths],
        level=(0, 3),
        settings=AS_DRAWN,
    )
    assert placed.at[4:, 1].max() < 1.6 * 1.5


def test_joints_less_sure_move_more():
    """Of two joints that must give way to a dimension, the one with the larger error does."""
    bar = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0], [6.0, 0.0]])
    wide = [Dimension("across", 0, 3, 6.0), Dimension("across", 1, 2, 2.4)]
    members = ((0, 1), (1, 2), (2, 3))
    at = survey(drawn(bar), np.array([1.0, 1.0, 3.0, 1.0]), members, dimensions=wide).at
    assert at[2, 0] - 4.0 > 3 * abs(at[1, 0] - 2.0)


BAD_NUMBERS = {
    "NaN": (drawn(WARREN) * [[np.nan, 1], [1, 1], [1, 1], [1, 1], [1, 1]], "Joint A has no place"),
    "infinite": (drawn(WARREN) * [[1, 1], [np.inf, 1], [1, 1], [1, 1], [1, 1]], "Joint B has no place"),
    "coincident": (drawn(WARREN)[[0, 1, 2, 3, 3]], "Joints D and E lie on one point"),
    "huge": (drawn(WARREN) * 1e12, "has no place in the picture"),
}


@pytest.mark.parametrize("case", BAD_NUMBERS)
def test_joints_that_no_picture_has(case):
    """Each is refused in a sentence that names the joint."""
    px, sentence = BAD_NUMBERS[case]
    with pytest.raises(errors.JointDataError, match=sentence):
        place(px, dimensions=[Dimension("across", 0, 2, 6.0)])


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"joints": [[0, 0]], "px_error": [1.0]}, "fewer than two joints"),
        ({"joints": [[0, 0, 0]] * 5}, "shape"),
        ({"joints": [["a", "b"]] * 5}, "not a table of numbers"),
        ({"px_error": [1.0] * 4}, "shape"),
        ({"px_error": [1.0, 1.0, -1.0, 1.0, 1.0]}, "pixel error of joint 2"),
        ({"px_error": [1.0, 1.0, np.nan, 1.0, 1.0]}, "pixel error of joint 2"),
        ({"members": [(0, 9)]}, "not there"),
        ({"members": [(0, 0)]}, "to itself"),
        ({"names": ["A"]}, "5 joints and 1 names"),
    ],
)
def test_joint_data_that_does_not_fit_together(change, sentence):
    """Shapes, rows and names are checked at the door."""
    given = {"joints": drawn(WARREN), "px_error": np.ones(5), "members": WARREN_MEMBERS} | change
    with pytest.raises(errors.JointDataError, match=sentence):
        survey(**given, dimensions=[Dimension("across", 0, 2, 6.0)])


ACROSS = Dimension("across", 0, 2, 6.0)


@pytest.mark.parametrize(
    ("dimension", "sentence"),
    [
        (replace(ACROSS, value=-6.0), "taken from the drawing"),
        (replace(ACROSS, value=float("nan")), "not a number"),
        (replace(ACROSS, value=float("inf")), "not a number"),
        (replace(ACROSS, end=0), "to itself"),
        (replace(ACROSS, end=7), "not there"),
        (replace(ACROSS, start=-1), "not there"),
        (replace(ACROSS, kind="around"), "along or angle"),
        (replace(ACROSS, kind="along", value=0.0), "length is zero"),
        (replace(ACROSS, kind="angle", value=120.0), "perhaps 60"),
    ],
)
def test_a_dimension_that_makes_no_sense(dimension, sentence):
    """Each is refused with its cure."""
    with pytest.raises(errors.DimensionError, match=sentence):
        place(drawn(WARREN), dimensions=[dimension])


@pytest.mark.parametrize("level", [(0, 0), (0, 5), (-1, 2)])
def test_level_that_is_not_two_joints(level):
    """Level needs two different joints of the reading."""
    with pytest.raises(errors.LevelError, match="joints"):
        place(drawn(WARREN), dimensions=[ACROSS], level=level)


@pytest.mark.parametrize("given", [[], [Dimension("angle", 0, 3, 60.0)], [Dimension("across", 0, 2, 0.0)]])
def test_no_scale_is_refused(given):
    """Without a length the sentence says how to give one."""
    with pytest.raises(errors.ScaleMissingError, match="Give one length between two joints"):
        place(drawn(WARREN), dimensions=given)


def test_dimensions_that_put_two_joints_on_one_point():
    """Zero across and zero up leave no member."""
    given = [ACROSS, Dimension("across", 3, 4, 0.0), Dimension("up", 3, 4, 0.0)]
    with pytest.raises(errors.NoPlacementError, match="joints D and E on one point"):
        place(drawn(WARREN), dimensions=given)


def test_inputs_are_left_alone():
    """The arrays handed in are not written to."""
    px, px_error = drawn(WARREN), np.ones(5)
    kept = px.copy()
    px.setflags(write=False)
    px_error.setflags(write=False)
    survey(px, px_error, WARREN_MEMBERS, dimensions=[ACROSS])
    np.testing.assert_array_equal(px, kept)


def again(error):
    """Return the error as another process would get it."""
    return pickle.loads(pickle.dumps(error))  # noqa: S301 -- written by the same line


def test_errors_travel():
    """Every error of the survey survives pickling, so that worker processes can hand it on."""
    for given in ([], [replace(ACROSS, value=-1.0)], [ACROSS, replace(ACROSS, value=7.0)]):
        with pytest.raises(errors.SurveyError) as caught:
            place(drawn(WARREN), dimensions=given)
        assert str(again(caught.value)) == str(caught.value)
    seen = in_perspective(rectangle(8, 5))
    with pytest.raises(errors.ViewError) as caught:
        place(drawn(WARREN), view=KnownPoints((0, 1, 2), seen[:3]))
    assert str(again(caught.value)) == str(caught.value)
