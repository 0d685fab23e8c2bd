"""Standard errors of forces against Monte Carlo and finite differences, and angles rounded on the way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from solver import (
    DeckLoad,
    Joint,
    Load,
    Member,
    MemberLoad,
    QuestionError,
    Solution,
    Support,
    Truss,
    joint_covariance,
    round_angles,
    solve,
    solve_with_stiffness,
    work,
)
from tests.trusses import published, through_truss

SAMPLES = 1500


def moved(truss: Truss, shift: np.ndarray) -> Truss:
    """Move each joint by a row of (N, 2) shifts."""
    joints = tuple(
        Joint(joint.name, joint.x + float(dx), joint.y + float(dy))
        for joint, (dx, dy) in zip(truss.joints, shift, strict=True)
    )
    return replace(truss, joints=joints)


def all_loads() -> Truss:
    """Build a truss whose loads follow its joints in every way that the model knows."""
    truss = through_truss("pratt", 4)
    return replace(
        truss,
        members=tuple(replace(member, weight=0.4) for member in truss.members),
        deck_loads=(DeckLoad(("L0", "L1", "L2"), 0.3, -2.0),),
        member_loads=(MemberLoad("L2", "L3", 1.5, 1.0, -6.0, share=True),),
        supports=(Support("L0", "pin"), Support("L4", "roller", (0.2, 1.0))),
    )


def with_brace() -> Truss:
    """Build the same truss once redundant."""
    truss = all_loads()
    members = (*truss.members, Member("L1", "U2", weight=0.4))
    return replace(
        truss,
        members=tuple(replace(m, stiffness=1000.0 + 50 * i) for i, m in enumerate(members)),
    )


CASES: list[tuple[str, Callable[[], Truss], Callable[..., Solution]]] = [
    ("determinate", all_loads, solve),
    ("redundant", with_brace, solve_with_stiffness),
]


@pytest.mark.parametrize(("name", "make", "how"), CASES, ids=[case[0] for case in CASES])
def test_first_order_matches_finite_differences(
    name: str, make: Callable[[], Truss], how: Callable[..., Solution]
):
    """Moving one coordinate moves every force as implicit differentiation says.

    Loads that follow included.
    """
    truss = make()
    size = 2 * len(truss.joints)
    step = 1e-6
    for coordinate in range(size):
        covariance = np.zeros((size, size))
        covariance[coordinate, coordinate] = 1.0
        errors = how(truss, joint_covariance=covariance).force_errors
        shift = np.zeros(size)
        shift[coordinate] = step
        ahead = how(moved(truss, shift.reshape(-1, 2))).forces
        behind = how(moved(truss, -shift.reshape(-1, 2))).forces
        slope = np.abs(ahead - behind) / (2 * step)
        assert errors == pytest.approx(slope, rel=1e-6, abs=1e-6 * np.abs(ahead).max()), (name, coordinate)


def test_errors_match_monte_carlo() -> None:
    """Forces and reactions scatter as the standard errors say, within ten per cent, for correlated joints."""
    truss = published("holtz-J1").truss
    rng = np.random.default_rng(11)
    size = 2 * len(truss.joints)
    root = 0.002 * (np.eye(size) + 0.3 * rng.standard_normal((size, size)))
    covariance = root @ root.T
    solution = solve(truss, joint_covariance=covariance)
    shifts = rng.standard_normal((SAMPLES, size)) @ root.T
    samples = [solve(moved(truss, shift.reshape(-1, 2))) for shift in shifts]
    spread = np.std([sample.forces for sample in samples], axis=0)
    sure = solution.force_errors > 1e-6 * solution.force_errors.max()
    assert spread[sure] == pytest.approx(solution.force_errors[sure], rel=0.1)
    for place, reaction in enumerate(solution.reactions):
        for part in ("fx", "fy"):
            scatter = np.std([getattr(sample.reactions[place], part) for sample in samples])
            assert scatter == pytest.approx(getattr(reaction, f"{part}_error"), rel=0.1, abs=1e-9)


def test_unsure_signs_are_marked() -> None:
    """A force within two standard errors of zero is neither tension nor compression.

    One by inspection is zero.
    """
    truss = through_truss("pratt", 6)
    solution = solve(truss, joint_covariance=joint_covariance(np.full(len(truss.joints), 0.02)))
    sense = {
        (member.start, member.end): sense
        for member, sense in zip(truss.members, solution.senses, strict=True)
    }
    assert sense["L3", "U3"] == "0"  # by inspection
    assert sense["L0", "L1"] == "T"
    assert sense["U2", "U3"] == "C"
    wild = solve(truss, joint_covariance=joint_covariance(np.full((len(truss.joints), 2), 5.0)))
    assert "?" in wild.senses
    for force, error, letter in zip(wild.forces, wild.force_errors, wild.senses, strict=True):
        if letter in "TC":
            assert abs(force) >= 2 * error
        if letter == "?":
            assert abs(force) < 2 * error


def test_covariances_that_are_none() -> None:
    """A covariance of another shape, lopsided or without numbers is refused.

    So are odd standard errors.
    """
    truss = published("holtz-3bar").truss
    lopsided = np.eye(6)
    lopsided[0, 1] = 1.0
    for covariance, words in (
        (np.eye(5), "6 by 6"),
        (lopsided, "not symmetric"),
        (np.full((6, 6), np.nan), "no variance"),
        (-np.eye(6), "no variance"),
    ):
        with pytest.raises(QuestionError, match=words):
            solve(truss, joint_covariance=covariance)
    for errors in (np.ones((3, 3)), np.array([1.0, -1.0]), np.array([np.inf])):
        with pytest.raises(QuestionError, match="standard error"):
            joint_covariance(errors)


def test_rounded_angles() -> None:
    """Angles to a whole degree move forces by about a per cent.

    To a tenth by a tenth of that; right ones not.
    """
    working = work(published("holtz-J1").truss)
    whole, tenth = round_angles(working), round_angles(working, places=1)
    largest = np.abs(working.solution.forces).max()
    assert 1e-3 < np.abs(whole.changes).max() / largest < 0.05
    assert np.abs(tenth.changes).max() < 0.3 * np.abs(whole.changes).max()
    assert np.abs(round_angles(working, places=6).changes).max() < 1e-6 * largest
    # By hand: joint a has F_ab = -130 / sin 34° where the slope of 3 in 4.5 is 33.69°.
    assert whole.forces[0] == pytest.approx(-130 / np.sin(np.radians(34)), rel=1e-12)
    square = Truss(
        (Joint("A", 0, 0), Joint("B", 4, 0), Joint("C", 2, 2)),
        (Member("A", "B"), Member("A", "C"), Member("B", "C")),
        (Support("A", "pin"), Support("B", "roller")),
        (Load("C", 1.0, -3.0),),
    )
    assert np.abs(round_angles(work(square)).changes).max() < 1e-14
    with pytest.raises(QuestionError, match="0 to 6"):
        round_angles(working, places=-1)
