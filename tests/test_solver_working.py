"""Worked solutions: the order a person takes, hinges, sections where joints stall, and sections as checks."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from solver import Joint, Load, Member, Support, Truss, Working, solve, work
from solver.steps import (
    BlockStep,
    CheckStep,
    CountStep,
    JointStep,
    ReactionStep,
    SectionStep,
    Slope,
    ZeroForceStep,
)
from tests.trusses import Case, published, published_cases, three_bar, through_truss


def of_kind(working: Working, kind: Any) -> list[Any]:
    """Pick the steps of one kind."""
    return [step for step in working.steps if isinstance(step, kind)]


def truss(places: dict[str, tuple[float, float]], members: str, supports: str, *loads: Load) -> Truss:
    """Build a truss from a few words; supports like `Ap Br`."""
    return Truss(
        tuple(Joint(name, *map(float, place)) for name, place in places.items()),
        tuple(Member(pair[0], pair[1]) for pair in members.split()),
        tuple(Support(word[0], "pin" if word[1] == "p" else "roller") for word in supports.split()),
        loads,
    )


def arch(rise: float) -> Truss:
    """Build a three-hinged arch of two triangles; its right support stands `rise` higher than the left."""
    places = {"A": (0, 0), "B": (10, rise), "C": (5, 5), "D": (1, 3), "E": (9, 3.5)}
    return truss(places, "AC AD DC BC BE EC", "Ap Bp", Load("D", 0, -10), Load("E", 3, -5))


def compound_fink() -> Truss:
    """Build a compound Fink roof: two W-trusses leaning on each other at the ridge, tied at the bottom.

    Joints stall once the outer ones are done, as in every text on roof trusses.
    """
    left = {"A": (0, 0), "B": (2, 1), "C": (4, 2), "D": (6, 3), "E": (8, 4), "F": (2.5, 0), "G": (5, 0)}
    left |= {"H": (6.5, 2)}
    right = {
        "I": (10, 3),
        "J": (12, 2),
        "K": (14, 1),
        "L": (16, 0),
        "M": (13.5, 0),
        "N": (11, 0),
        "O": (9.5, 2),
    }
    members = "AB BC CD DE AF FG BF FC CG CH GH DH HE EI IJ JK KL LM MN KM MJ JN JO NO IO OE GN"
    loads = [Load(name, 0.0, -2.0) for name in "BCDEIJK"]
    return truss({**left, **right}, members, "Ap Lr", *loads)


def test_hand_order_of_the_reactions() -> None:
    """Moments about the pin come first, then up, then across, each for one unknown (Holtz J-1)."""
    (step,) = of_kind(work(published("holtz-J1").truss), ReactionStep)
    assert [equation.kind for equation in step.equations] == ["moment", "y", "x"]
    assert step.equations[0].about == "a"
    assert {term.factor for term in step.equations[0].terms} == {4.5, 9.0, 18.0}
    assert [
        (result.quantity.joints, result.quantity.axis, round(result.value, 9)) for result in step.results
    ] == [
        (("e",), "n", 70.0),
        (("a",), "y", 130.0),
        (("a",), "x", 0.0),
    ]


def test_joints_have_at_most_two_unknowns() -> None:
    """Each joint step finds one or two forces.

    The joint solved next is beside the last where one isready.
    """
    working = work(through_truss("pratt", 8))
    steps = of_kind(working, JointStep)
    assert all(1 <= len(step.results) <= 2 for step in steps)
    beside = {frozenset((member.start, member.end)) for member in working.truss.members}
    follows = [frozenset((one.joint, two.joint)) in beside for one, two in pairwise(steps)]
    assert sum(follows) >= len(follows) - 2
    assert isinstance(working.steps[0], CountStep)
    assert isinstance(working.steps[-1], CheckStep)


def test_an_equation_with_one_unknown_comes_first() -> None:
    """At a support joint of a Pratt truss the upright equation gives the end post by itself."""
    step = of_kind(work(through_truss("pratt", 6)), JointStep)[0]
    assert [equation.kind for equation in step.equations] == ["y", "x"]
    assert [
        equation.solves_for == result.quantity
        for equation, result in zip(step.equations, step.results, strict=True)
    ] == [
        True,
        True,
    ]
    assert step.slopes == (Slope(("L0", "U1"), "L0", 4.0, 3.0),)
    assert step.slopes[0].angle == pytest.approx(36.8698976)
    assert step.slopes[0].length == 5.0


def test_zero_force_rules_are_named() -> None:
    """Each rule is found on the truss that shows it, its joint and members named."""
    (step,) = of_kind(work(published("holtz-3bar").truss), ZeroForceStep)
    assert (step.joint, step.rule, step.reaction, step.load) == ("c", "load along one member", True, False)
    rules = {step.rule for step in of_kind(work(published("es-zfm-example").truss), ZeroForceStep)}
    assert {"two members", "three forces"} <= rules


@pytest.mark.parametrize("rise", [0.0, 1.0])
def test_three_hinged_arch(rise: float) -> None:
    """Four reactions: the whole gives what it can, the part at the hinge the rest (N.

    M. Holtz, 3.2;any text).
    """
    working = work(arch(rise))
    steps = of_kind(working, ReactionStep)
    assert any(step.hinge == "C" for step in steps)
    assert not any(step.remaining for step in steps)
    assert sum(len(step.results) for step in steps) == 4
    assert not of_kind(working, BlockStep)


def test_reactions_that_the_whole_cannot_give_are_said_so() -> None:
    """A joint on three wall pins.

    The equations used say which reactions they leave, and the jointsgive them.
    """
    case = published("holtz-PS1d")
    loaded = replace(case.truss, loads=(Load(case.truss.joints[-1].name, 1.0, -2.0),))
    working = work(loaded)
    found = {result.quantity for step in working.steps for result in getattr(step, "results", ())}
    assert sum(quantity.kind == "reaction" for quantity in found) == 6
    remaining = [step for step in of_kind(working, ReactionStep) if step.remaining]
    assert len(remaining) == 1


def test_fink_roof_needs_a_section() -> None:
    """Joints stall in a compound Fink roof; a section through the tie and moments about the ridge go on."""
    working = work(compound_fink())
    sections = of_kind(working, SectionStep)
    assert sections
    assert not of_kind(working, BlockStep)
    tie = next(step for step in sections if set(step.result.quantity.joints) == {"G", "N"})
    assert tie.equation.about == "E"
    # By hand, the left half about the ridge: 7 kN at 8 m up, 2 kN at 6, 4 and 2 m down, over a rise of 4 m.
    assert tie.result.value == pytest.approx((7 * 8 - 2 * (6 + 4 + 2)) / 4)


def test_tied_compound_truss_of_the_source() -> None:
    """Holtz S-1: no joint has two unknowns; the section through the ties is found, F_JK as printed."""
    working = work(published("holtz-S1").truss)
    assert of_kind(working, SectionStep)
    assert not of_kind(working, BlockStep)


def test_complex_truss_is_solved_together_and_said_so() -> None:
    """Holtz's complex truss: no joint and no section help, so the rest is one block."""
    case = published("holtz-complex")
    loaded = replace(case.truss, loads=(Load(case.truss.joints[2].name, 1.0, -2.0),))
    working = work(loaded)
    (block,) = of_kind(working, BlockStep)
    assert len(block.equations) >= len(block.results)


LOADED = [case for case in published_cases() if case.facts["published"]["forces"]]


@pytest.mark.parametrize("case", LOADED, ids=str)
def test_sections_agree_with_joints(case: Case) -> None:
    """Forces found again by sections agree with those of the joints."""
    solution = solve(case.truss)
    for check in solution.section_checks:
        assert check.agrees
        assert abs(check.difference) <= 1e-10 * np.abs(solution.forces).max()


@pytest.mark.parametrize("kind", ["pratt", "howe", "warren"])
def test_every_panel_has_chord_and_web_checked(kind: str) -> None:
    """In a parallel-chord truss a section isolates at least one chord and one web member of every panel."""
    truss_ = through_truss(kind, 8)
    checked = {check.member for check in solve(truss_).section_checks}
    at = {joint.name: joint for joint in truss_.joints}
    for panel in range(1, 7):
        middle = (panel + 0.25) * 4.0
        over = [
            (m.start, m.end)
            for m in truss_.members
            if min(at[m.start].x, at[m.end].x) <= middle - 0.4
            and max(at[m.start].x, at[m.end].x) >= middle + 0.4
        ]
        webs = {pair for pair in over if at[pair[0]].y != at[pair[1]].y}
        assert checked & webs
        assert checked & (set(over) - webs)


def test_a_wrong_force_is_caught_by_sections() -> None:
    """The check can fail: a force changed by a thousandth disagrees with its section."""
    solution = solve(through_truss("pratt", 6))
    forces = solution.forces.copy()
    forces[2] *= 1.001
    wrong = replace(solution, forces=forces)
    assert not all(check.agrees for check in wrong.section_checks)


def test_checks_know_their_residuals() -> None:
    """Global equilibrium and joint residuals are measured, small, and compared with the largest load."""
    checks = solve(three_bar()).checks
    assert checks.largest_load == 12.0
    assert checks.passed
    for lacking in (checks.joint_residual, checks.sum_fx, checks.sum_fy, checks.sum_moment):
        assert abs(lacking) <= 1e-10 * 12.0


def test_three_slanted_rollers_are_solved_together() -> None:
    """Where no equation of the whole leaves one reaction alone, the three are written and solved together."""
    normals = {"A": (1, 2), "B": (-1, 3), "C": (2, 1)}
    slanted = replace(
        three_bar(),
        supports=tuple(Support(name, "roller", normal) for name, normal in normals.items()),
        loads=(Load("C", 3.0, -12.0),),
    )
    working = work(slanted)
    (step,) = of_kind(working, ReactionStep)
    values = {result.quantity: result.value for result in step.results}
    assert len(step.equations) == len(values) == 3
    for equation in step.equations:
        total = sum(
            term.factor * (values[term.quantity] if term.value is None else term.value)
            for term in equation.terms
        )
        assert total == pytest.approx(0.0, abs=1e-10)
    assert not of_kind(working, BlockStep)


def test_slopes_are_seen_from_the_joint_of_the_step() -> None:
    """Run and rise have the signs of going from the joint to the member's other end."""
    working = work(through_truss("pratt", 6))
    places = {joint.name: (joint.x, joint.y) for joint in working.truss.joints}
    seen = 0
    for step in of_kind(working, JointStep):
        for slope in step.slopes:
            other = next(name for name in slope.member if name != step.joint)
            far, near = places[other], places[step.joint]
            assert (slope.run, slope.rise) == (far[0] - near[0], far[1] - near[1])
            seen += near[0] > 0
    assert seen > 5


def test_moments_about_a_point_on_a_joint_name_it() -> None:
    """Where two cut lines meet at a joint beyond the cut, the equation names that joint."""
    checks = {check.member: check for check in solve(compound_fink()).section_checks}
    check = checks["H", "E"]
    assert check.equation.about == "A"
    assert check.equation.centre == pytest.approx((0.0, 0.0), abs=1e-9)
    assert checks["O", "E"].equation.about == "L"


def test_moments_name_the_joint_wherever_the_truss_stands() -> None:
    """The joint at a section's centre is found far from the origin too, on either side of both axes."""
    still = compound_fink()
    for right, up in ((40.0, 30.0), (-40.0, -30.0)):
        moved = replace(still, joints=tuple(Joint(j.name, j.x + right, j.y + up) for j in still.joints))
        checks = {check.member: check for check in solve(moved).section_checks}
        assert checks["H", "E"].equation.about == "A"
        assert checks["H", "E"].equation.centre == pytest.approx((right, up), abs=1e-9)
        assert checks["O", "E"].equation.about == "L"


def test_global_moment_is_measured() -> None:
    """The moment of loads and reactions about the centre vanishes, loads across and up together."""
    loaded = replace(three_bar(), loads=(Load("C", 7.0, -5.0), Load("B", 1.0, -2.0)))
    assert abs(solve(loaded).checks.sum_moment) < 1e-10
