"""Dimensions that cannot all hold, and those that only seem so."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from tests.survey_scenes import (
    AS_DRAWN,
    FINK,
    FINK_MEMBERS,
    NAMES,
    WARREN,
    drawn,
    place,
)
from vision.errors import ContradictionError
from vision.survey import Dimension


def read(text):
    """Return dimensions from lines like "across A C 6"."""
    words = [line.split() for line in text.split(", ")]
    return [Dimension(kind, NAMES.index(a), NAMES.index(b), float(value)) for kind, a, b, value in words]


CASES = {
    "the same twice": ("across A C 6, across A C 7", {0, 1}),
    "the same, other way round": ("across A C 6, up A D 2.5, across C A 7", {0, 2}),
    "parts and whole": ("across A B 3, across B C 3, across A C 6.5, up A D 2.5", {0, 1, 2}),
    "up round a loop": ("across A C 6, up A D 2.5, up B D 2.5, up A B 1", {1, 2, 3}),
    "a triangle that does not close": ("along A B 3, along A D 2, along B D 6, across A C 6", {0, 1, 2}),
    "a chain too short": ("along A B 3, along B C 3, along A C 6.5", {0, 1, 2}),
    "wider than long": ("across A D 3, along A D 2.9", {0, 1}),
    "higher than long": ("up A D 3, along A D 2.9", {0, 1}),
    "slope against legs": ("across A D 2, up A D 2, angle A D 50", {0, 1, 2}),
    "slope against length": ("across A C 6, up A D 2, along A D 2.5, angle A D 30", {1, 2, 3}),
    "two apart from a sound rest": (
        "across A B 3, up A D 2.5, across A D 1.5, along A D 2.915, across D E 3, across E D 4",
        {4, 5},
    ),
    "the pair is smaller than the loop": (
        "across A B 3, across B C 3, across A C 7, along D E 3, along D E 4",
        {3, 4},
    ),
    "a braced panel": ("across A B 4, up A B 0, up A D 3, across A D 0, along B D 6", {0, 1, 2, 3, 4}),
}


@pytest.mark.parametrize("case", CASES)
def test_the_smallest_set_at_fault_is_named(case):
    """The set is the one expected; its sentence repeats each dimension in it as written."""
    text, expected = CASES[case]
    dimensions = read(text)
    with pytest.raises(ContradictionError) as caught:
        place(drawn(WARREN), dimensions=dimensions)
    assert set(caught.value.dimensions) == expected
    for place_, line in enumerate(text.split(", ")):
        assert (line in str(caught.value).replace("°", "")) == (place_ in expected)


@pytest.mark.parametrize("case", CASES)
def test_without_any_one_of_the_set_the_rest_of_it_holds(case):
    """Each member of the set is needed for the contradiction."""
    text, expected = CASES[case]
    dimensions = read(text)
    for left_out in expected:
        rest = [dimensions[k] for k in expected - {left_out}]
        # A length that is no part of the quarrel, so that there is a scale.
        place(drawn(WARREN), dimensions=[*rest, *read("up B E 2.5")], settings=AS_DRAWN)


def test_level_can_be_at_fault():
    """Two joints named as level and given a difference in height."""
    with pytest.raises(ContradictionError) as caught:
        place(drawn(WARREN), dimensions=read("across A C 6, up A C 1"), level=(0, 2))
    assert caught.value.statements == ("up A C 1", "level A C")
    assert caught.value.dimensions == (1,)


@pytest.mark.parametrize("seed", range(8))
def test_smallest_set_against_every_subset(seed):
    """With distances across only, plain linear algebra over all subsets finds no smaller set."""
    rng = np.random.default_rng(seed)
    every = list(combinations(range(7), 2))
    pairs = [every[k] for k in rng.choice(len(every), size=10, replace=False)]
    values = [abs(FINK[k, 0] - FINK[i, 0]) + (0.75 if rng.random() < 0.3 else 0.0) for i, k in pairs]
    dimensions = [Dimension("across", i, k, value) for (i, k), value in zip(pairs, values, strict=True)]

    def cannot_hold(chosen):
        rows = np.zeros((len(chosen), 7))
        for row, index in enumerate(chosen):
            i, k = pairs[index]
            rows[row, [i, k]] = np.array([-1.0, 1.0]) * (1 if FINK[k, 0] >= FINK[i, 0] else -1)
        wanted = np.array([values[index] for index in chosen])
        return np.abs(rows @ np.linalg.lstsq(rows, wanted, rcond=None)[0] - wanted).max() > 1e-6

    smallest = next(
        (size for size in range(2, 11) if any(map(cannot_hold, combinations(range(10), size)))), None
    )
    if smallest is None:
        assert place(drawn(FINK), FINK_MEMBERS, dimensions=dimensions).at.shape == (7, 2)
        return
    with pytest.raises(ContradictionError) as caught:
        place(drawn(FINK), FINK_MEMBERS, dimensions=dimensions)
    assert len(caught.value.dimensions) == smallest
    assert cannot_hold(caught.value.dimensions)


def test_a_sheet_with_every_distance_written():
    """All distances of a Fink truss, across, up and along between every two joints, agree."""
    dimensions = []
    for i, k in combinations(range(7), 2):
        across, up = np.abs(FINK[k] - FINK[i])
        dimensions += [Dimension("across", i, k, across), Dimension("up", i, k, up)]
        dimensions.append(Dimension("along", i, k, float(np.hypot(across, up))))
    placed = place(drawn(FINK * [1, 1.3]), FINK_MEMBERS, dimensions=dimensions)
    np.testing.assert_allclose(placed.at, FINK, atol=1e-9)
    assert placed.free == ()


@pytest.mark.parametrize(
    "text",
    [
        "across A B 2, up A D 2, across A D 2, along A D 2.83",
        "across A C 600, up A D 205, across A D 300, along A D 363",
        "across A C 6, up A D 2, across A D 1, angle A D 63",
        "across A C 6, up A D 2, across A D 1, angle A D 63.4",
    ],
)
def test_rounded_lengths_and_angles_are_no_contradiction(text):
    """The last place of a length or angle may be rounded; across and up stay exact; a remark says so."""
    dimensions = read(text)
    placed = place(drawn(WARREN), dimensions=dimensions)
    for dimension in dimensions:
        if dimension.kind in ("across", "up"):
            extent = np.abs(placed.at[dimension.end] - placed.at[dimension.start])
            assert extent[("across", "up").index(dimension.kind)] == pytest.approx(dimension.value, rel=1e-6)
    assert any("agrees with the rest only as rounded" in remark for remark in placed.remarks)


@pytest.mark.parametrize(
    "text", ["across A B 2, up A D 2, across A D 2, along A D 2.84", "along A B 3, along A B 3.1"]
)
def test_more_than_rounding_is_a_contradiction(text):
    """A whole unit of the last place is too much."""
    with pytest.raises(ContradictionError):
        place(drawn(WARREN), dimensions=read(text))


SAG = np.array([[0, 0], [0.2, -0.6], [0.1, 0.2], [0, 0], [0, 0]])
BULGE = np.array([[0, 0], [0, 0], [0, 0], [0, 0], [-0.2, 0.2], [0, 0], [0.1, 0]])
TAUT = {
    "parts along, whole along": "along A B 3, along B C 3, along A C 6",
    "parts along, whole across": "along A B 3, along B C 3, across A C 6",
    "along and across alike": "along A B 3, across A B 3, across A C 6, along A C 6",
    "parts and whole, both ways": "along A B 3, along B C 3, along A C 6, across A B 3, across A C 6",
}


@pytest.mark.parametrize("case", TAUT)
def test_lengths_that_only_just_reach_pull_the_chain_straight(case):
    """On a sagging sketch, without straightening, the chain comes out straight to 1e-9 and free of error."""
    sagging = drawn(WARREN + SAG)
    placed = place(sagging, dimensions=read(TAUT[case]), level=(0, 2), settings=AS_DRAWN)
    np.testing.assert_allclose(placed.at[:3], WARREN[:3], atol=1e-9)
    np.testing.assert_allclose(placed.errors[:3], 0.0, atol=1e-12)


def test_a_taut_rafter_is_straight_on_its_slope():
    """Panel lengths that add up to the rafter put its panel point on the line, at its share."""
    sketch = drawn(FINK + BULGE)
    half = float(np.hypot(1.5, 1.5))
    given = [
        Dimension("across", 0, 3, 6.0),
        Dimension("along", 0, 6, 2 * half),
        Dimension("along", 0, 4, half),
        Dimension("along", 4, 6, half),
    ]
    placed = place(sketch, FINK_MEMBERS, dimensions=given)
    np.testing.assert_allclose(placed.at[4], (placed.at[0] + placed.at[6]) / 2, atol=1e-9)
    np.testing.assert_allclose(np.hypot(*placed.at[6]), 2 * half, rtol=1e-9)
