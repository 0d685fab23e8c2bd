"""The gradient of the failure load per gram against finite differences, and against a shape known by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from solver import DeckLoad, Joint, QuestionError, Truss
from solver.strength import (
    MATERIALS,
    JointStrength,
    Piece,
    Standing,
    demand_of,
    gradient_of,
    rectangle,
    shape_gradient,
    square,
    standing_of,
)
from tests.test_solver_strength_failing import STRIP, crossed, ladder, triangle


def moved(truss: Truss, change: np.ndarray) -> Truss:
    """Return the truss with its joints moved by (N, 2)."""
    joints = tuple(
        Joint(joint.name, joint.x + dx, joint.y + dy)
        for joint, (dx, dy) in zip(truss.joints, change.tolist(), strict=True)
    )
    return replace(truss, joints=joints)


def stand(truss: Truss, pieces: tuple[Piece, ...], **options: object) -> Standing:
    """Hold a truss against its pieces."""
    return standing_of(demand_of(truss, pieces), pieces, **options)  # type: ignore[arg-type]


def merit(standing: Standing, place: int) -> float:
    """Return the load per gram at which one check goes."""
    return standing.checks[place].load_factor * standing.demand.total_load / standing.mass


def crooked(*, weight: float = 0.0) -> Truss:
    """Return a ladder whose joints are shaken, so that no two members are alike."""
    truss = ladder(4)
    shaken = moved(truss, np.random.default_rng(2).normal(0, 6, (len(truss.joints), 2)))
    return replace(shaken, members=tuple(replace(member, weight=weight) for member in shaken.members))


THICK = Piece(square(12), MATERIALS["spruce"])
CASES = {
    "buckling": (crooked(), STRIP, {}),
    "interaction": (crooked(), THICK, {"curve": "interaction"}),
    "self-weight": (crooked(weight=0.01), STRIP, {}),
    "braced": (crooked(), replace(STRIP, bracing=250.0), {}),
    "deck": (replace(crooked(), deck_loads=(DeckLoad(("L0", "L1", "L2", "L3"), 0.0, -0.1),)), STRIP, {}),
    "joint": (crooked(), STRIP, {"joint_strengths": (JointStrength("U2", 5.0),)}),
    "inches": (replace(crooked(), length_unit="in", force_unit="lbf"), THICK, {}),
}


@pytest.mark.parametrize("name", CASES)
def test_gradient_against_finite_differences(name: str) -> None:
    """Every coordinate of every joint, for the six checks that go first, to 1e-6 of the largest."""
    truss, piece, options = CASES[name]
    pieces = (piece,) * len(truss.members)
    standing = stand(truss, pieces, **options)
    millimetre = 25.4 if truss.length_unit == "in" else 1.0
    step = 1e-3
    checks = standing.ranking[:6]
    places = [next(at for at, one in enumerate(standing.checks) if one is check) for check in checks]
    by_steps = np.empty((len(checks), len(truss.joints), 2))
    for at in np.ndindex(by_steps.shape[1:]):
        change = np.zeros(by_steps.shape[1:])
        change[at] = step
        ahead, behind = (stand(moved(truss, sign * change), pieces, **options) for sign in (1, -1))
        for row, place in enumerate(places):
            by_steps[row][at] = (merit(ahead, place) - merit(behind, place)) / (2 * step * millimetre)
    for check, expected in zip(checks, by_steps, strict=True):
        found = gradient_of(standing, check)
        assert found == pytest.approx(expected, rel=1e-6, abs=1e-6 * np.abs(expected).max())


def test_symmetry_gives_a_symmetrical_direction() -> None:
    """Both sloping members of the triangle go first: C moves straight up or down."""
    standing = stand(triangle(), (STRIP,) * 3)
    single = gradient_of(standing, standing.checks[1])[2]
    both = shape_gradient(standing)
    assert abs(single[0]) > 0.01
    assert both.gradient[2, 0] == pytest.approx(0, abs=1e-9 * abs(single[0]) + 1e-9)
    assert both.merit == pytest.approx(standing.failure_load / standing.mass)


def test_the_best_height_of_a_triangle() -> None:
    """At the height that scipy finds best by search, the gradient up and down vanishes."""

    def at_height(height: float) -> Standing:
        return stand(moved(triangle(), np.array([[0, 0], [0, 0], [0, height - 30.0]])), (STRIP,) * 3)

    best = minimize_scalar(
        lambda height: -at_height(height).failure_load / at_height(height).mass,
        bounds=(10, 60),
        method="bounded",
        options={"xatol": 1e-7},
    )
    assert 10.1 < best.x < 59.9
    here, beside = (shape_gradient(at_height(height)).gradient[2, 1] for height in (best.x, best.x - 5))
    assert abs(here) < 1e-4 * abs(beside)
    assert beside > 0


def test_moving_the_whole_truss_gains_nothing() -> None:
    """The gradient sums to zero over all joints, right and up."""
    truss = crooked()
    gradient = shape_gradient(stand(truss, (STRIP,) * len(truss.members))).gradient
    assert gradient.sum(axis=0) == pytest.approx([0, 0], abs=1e-9 * np.abs(gradient).max())


def test_a_step_along_the_gradient_gains_what_it_says() -> None:
    """A tenth of a millimetre along it raises the load per gram as predicted, ties included."""
    for truss in (crooked(), triangle()):
        pieces = (Piece(rectangle(10, 2), MATERIALS["birch"]),) * len(truss.members)
        standing = stand(truss, pieces)
        shape = shape_gradient(standing)
        size = float(np.linalg.norm(shape.gradient))
        step = 0.01 * shape.gradient / size
        after = stand(moved(truss, step), pieces)
        gain = after.failure_load / after.mass - shape.merit
        assert gain == pytest.approx(0.01 * size, rel=0.01)


def test_questions_that_cannot_be_answered() -> None:
    """An indeterminate truss, and a member that the load does not reach."""
    with pytest.raises(QuestionError, match="determinate trusses only"):
        shape_gradient(stand(crossed(), (STRIP,) * 6))
    standing = stand(ladder(4), (STRIP,) * len(ladder(4).members))
    idle = next(check for check in standing.checks if not np.isfinite(check.load_factor))
    with pytest.raises(QuestionError, match="does not reach"):
        gradient_of(standing, idle)
