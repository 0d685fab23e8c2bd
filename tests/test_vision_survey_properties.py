"""What must hold for every truss, picture and set of dimensions."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.survey_scenes import FINK, FINK_MEMBERS, drawn
from vision.survey import Dimension, SurveySettings, survey

AS_DRAWN = SurveySettings(straighten_degrees=0.0)
SPAN = Dimension("across", 0, 3, 6.0)
QUICK = settings(max_examples=30, deadline=None, derandomize=True)

seeds = st.integers(0, 10_000)
kinds = st.sampled_from(["across", "up", "along", "angle"])
written = st.tuples(kinds, st.integers(0, 6), st.integers(0, 6)).filter(lambda one: one[1] != one[2])


def sketch(seed, *, stretch=1.0, wobble=0.1):
    """Return a Fink truss as a free hand might draw it, in metres."""
    dice = np.random.default_rng(seed)
    return FINK * [1.0, stretch] + dice.uniform(-wobble, wobble, size=FINK.shape)


def place(px, **options):
    """Survey with unlike errors; level is named, so nothing is guessed."""
    return survey(px, 1.0 + np.arange(7) % 3, FINK_MEMBERS, level=(0, 3), **options)


def measured(kind, start, end, at):
    """Return a dimension as `at` has it."""
    across, up = np.abs(at[end] - at[start])
    angle = np.degrees(np.arctan2(up, across))
    value = {"across": across, "up": up, "along": np.hypot(across, up), "angle": angle}[kind]
    return Dimension(kind, start, end, float(value))


@QUICK
@given(seeds, st.floats(-60, 60), st.floats(0.2, 5), st.floats(-3000, 3000), st.floats(-3000, 3000))
def test_where_and_how_large_the_picture_is_does_not_matter(seed, turn, scale, right, down):
    """Shifting, turning and scaling the picture leaves joints as they are; errors go with the scale."""
    truth = sketch(seed)
    up = Dimension("up", 0, 6, 2.5)
    plain = place(drawn(truth, turn_degrees=0), dimensions=[SPAN, up])
    moved = place(
        drawn(truth, turn_degrees=turn, scale=83 * scale, shift=(right, down)), dimensions=[SPAN, up]
    )
    np.testing.assert_allclose(moved.at, plain.at, atol=1e-8)
    np.testing.assert_allclose(moved.errors * scale, plain.errors, atol=1e-8)


@QUICK
@given(seeds, st.lists(written, max_size=12))
def test_dimensions_that_follow_from_the_rest_change_nothing(seed, extra):
    """Dimensions measured on a truss that is already placed may be added freely."""
    given_ = [SPAN, Dimension("up", 0, 6, 2.5), Dimension("along", 0, 4, 2.0)]
    px = drawn(sketch(seed))
    plain = place(px, dimensions=given_)
    free = {
        (one.joint, axis) for one in plain.free for axis, loose in enumerate((one.across, one.up)) if loose
    }
    known = [
        (kind, start, end)
        for kind, start, end in extra
        if not {(joint, axis) for joint in (start, end) for axis in (0, 1)} & free
    ]
    more = place(px, dimensions=[*given_, *(measured(*one, plain.at) for one in known)])
    np.testing.assert_allclose(more.at, plain.at, atol=1e-7)
    np.testing.assert_allclose(more.errors, plain.errors, atol=1e-7)


@QUICK
@given(seeds, st.lists(written, min_size=1, max_size=25))
def test_dimensions_of_one_truss_never_contradict_and_always_hold(seed, several):
    """Whatever is measured on the true truss holds exactly on a bad sketch of it."""
    wanted = [measured(*one, FINK) for one in several]
    placed = place(drawn(sketch(seed, stretch=1.3)), dimensions=[SPAN, *wanted], settings=AS_DRAWN)
    for one in wanted:
        np.testing.assert_allclose(
            measured(one.kind, one.start, one.end, placed.at).value, one.value, atol=1e-6
        )


@QUICK
@given(seeds, st.permutations(range(7)))
def test_the_order_of_the_joints_does_not_matter(seed, order):
    """Renumbering joints renumbers the answer, covariance included."""
    px, new = drawn(sketch(seed)), list(order)
    old_row = np.argsort(new)
    errors = np.linspace(0.5, 2.0, 7)
    up = Dimension("up", 0, 6, 2.5)
    plain = survey(px, errors, FINK_MEMBERS, dimensions=[SPAN, up], level=(0, 3))
    mixed = survey(
        px[new],
        errors[new],
        [(int(old_row[i]), int(old_row[k])) for i, k in FINK_MEMBERS],
        dimensions=[
            Dimension(d.kind, int(old_row[d.start]), int(old_row[d.end]), d.value) for d in (SPAN, up)
        ],
        level=(int(old_row[0]), int(old_row[3])),
    )
    np.testing.assert_allclose(mixed.at, plain.at[new], atol=1e-8)
    rows = np.column_stack([2 * np.array(new), 2 * np.array(new) + 1]).ravel()
    np.testing.assert_allclose(mixed.covariance, plain.covariance[np.ix_(rows, rows)], atol=1e-9)


@QUICK
@given(seeds, st.lists(written, min_size=1, max_size=6))
def test_a_dimension_read_from_either_end_is_the_same(seed, several):
    """A to B and B to A say the same."""
    wanted = [measured(*one, FINK) for one in several]
    turned = [Dimension(one.kind, one.end, one.start, one.value) for one in wanted]
    px = drawn(sketch(seed))
    ahead = place(px, dimensions=[SPAN, *wanted], settings=AS_DRAWN)
    back = place(px, dimensions=[SPAN, *turned], settings=AS_DRAWN)
    np.testing.assert_allclose(back.at, ahead.at, atol=1e-7)


@QUICK
@given(seeds, st.lists(written, max_size=4))
def test_the_covariance_is_one(seed, several):
    """It is symmetric and no mixture of coordinates has a negative variance."""
    placed = place(drawn(sketch(seed)), dimensions=[SPAN, *(measured(*one, FINK) for one in several)])
    assert placed.covariance.shape == (14, 14)
    np.testing.assert_array_equal(placed.covariance, placed.covariance.T)
    assert np.linalg.eigvalsh(placed.covariance).min() > -1e-12
