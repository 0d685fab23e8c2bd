"""The solver against arithmetic in fractions, sympy's planar truss, and the laws that forces obey."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st

from solver import Joint, Load, NoUniqueSolutionError, Solution, Support, Truss, assess, solve, work
from tests.strategies import ExactTruss, build, exact_forces, exact_trusses
from tests.trusses import through_truss

RELATIVE = 1e-9
"""What the issue of statics asks for, for condition numbers below `CONDITION`."""
CONDITION = 1e6
calm = settings(
    max_examples=40, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.filter_too_much]
)


def solved(exact: ExactTruss) -> tuple[Solution, list[float]]:
    """Solve both ways, passing over trusses with meeting reactions or too large a condition."""
    wanted = exact_forces(exact)
    assume(wanted is not None)
    assert wanted is not None
    assume((assess(exact.truss).condition or math.inf) < CONDITION)
    solution = solve(exact.truss)
    pin, roller = solution.reactions
    scale = max(abs(part) for part in (*wanted[1], *wanted[2]))
    for found, exactly in ((pin, wanted[1]), (roller, wanted[2])):
        assert abs(found.fx - exactly[0]) <= RELATIVE * scale
        assert abs(found.fy - exactly[1]) <= RELATIVE * scale
    return solution, wanted[0]


@calm
@example(build(3, 200))
@example(build(4, 200))
@given(exact_trusses(most=60))
def test_forces_match_fractions(exact: ExactTruss) -> None:
    """Forces are those of exact arithmetic; joints balance to 1e-10 of the largest load."""
    solution, wanted = solved(exact)
    scale = np.abs(wanted).max()
    assert np.abs(solution.forces - wanted).max() <= RELATIVE * scale
    assert solution.checks.passed
    assert solution.stability.verdict == "determinate"


@settings(calm, max_examples=25)
@given(exact_trusses(most=40))
def test_worked_steps_and_sections_agree(exact: ExactTruss) -> None:
    """Steps exist for every truss built joint by joint without solving any block together; sections agree."""
    solution, _ = solved(exact)
    names = [type(step).__name__ for step in work(exact.truss).steps]
    assert "BlockStep" not in names
    assert all(check.agrees for check in solution.section_checks)


@settings(calm, max_examples=30)
@given(exact_trusses(most=30), st.floats(-50, 50).filter(lambda factor: abs(factor) > 1e-3))
def test_forces_grow_with_loads_and_mirror(exact: ExactTruss, factor: float) -> None:
    """Loads times a number give forces times it; the mirror image has the same forces."""
    solution, _ = solved(exact)
    truss = exact.truss
    scale = np.abs(solution.forces).max()
    grown = solve(
        replace(
            truss, loads=tuple(Load(load.joint, factor * load.fx, factor * load.fy) for load in truss.loads)
        )
    )
    assert np.abs(grown.forces - factor * solution.forces).max() <= RELATIVE * scale * abs(factor)
    mirrored = Truss(
        tuple(Joint(joint.name, -joint.x, joint.y) for joint in truss.joints),
        truss.members,
        tuple(Support(s.joint, s.kind, (-s.normal[0], s.normal[1])) for s in truss.supports),
        tuple(Load(load.joint, -load.fx, load.fy) for load in truss.loads),
    )
    assert np.abs(solve(mirrored).forces - solution.forces).max() <= RELATIVE * scale


@settings(calm, max_examples=30)
@given(exact_trusses(most=30), st.floats(0, 2 * math.pi), st.floats(-1e3, 1e3))
def test_turning_the_whole_truss_changes_no_force(exact: ExactTruss, angle: float, shift: float) -> None:
    """Member forces do not know which way is up, nor where the origin is."""
    solution, _ = solved(exact)
    truss = exact.truss
    c, s = math.cos(angle), math.sin(angle)

    def turn(x: float, y: float) -> tuple[float, float]:
        return c * x - s * y, s * x + c * y

    joints = []
    for joint in truss.joints:
        x, y = turn(joint.x, joint.y)
        joints.append(Joint(joint.name, x + shift, y - shift))
    turned = Truss(
        tuple(joints),
        truss.members,
        tuple(Support(each.joint, each.kind, turn(*each.normal)) for each in truss.supports),
        tuple(Load(load.joint, *turn(load.fx, load.fy)) for load in truss.loads),
    )
    scale = np.abs(solution.forces).max()
    assert np.abs(solve(turned).forces - solution.forces).max() <= 1e-7 * scale


def second_opinion(truss: Truss) -> tuple[dict[str, float], dict[str, float]]:
    """Solve with sympy: member forces, and reactions by its names."""
    # Slow to import, and nothing else here needs it.
    from sympy.physics.continuum_mechanics.truss import Truss as SecondOpinion  # noqa: PLC0415

    other = SecondOpinion()
    other.add_node(*[(joint.name, joint.x, joint.y) for joint in truss.joints])
    other.add_member(*[(f"m{i}", m.start, m.end) for i, m in enumerate(truss.members)])
    other.apply_support(*[(s.joint, "pinned" if s.kind == "pin" else "roller") for s in truss.supports])
    for load in truss.loads:
        other.apply_load((load.joint, load.fx, 0), (load.joint, load.fy, 90))
    other.solve()
    forces = {name: float(value) for name, value in other.internal_forces.items()}
    return forces, {str(name): float(value) for name, value in other.reaction_loads.items()}


def test_sympy_agrees_on_a_hundred_trusses() -> None:
    """Sympy's truss solver, by other people and another route, gives the same forces and reactions."""
    agreed, seed = 0, 0
    while agreed < 100:
        seed += 1
        truss = build(seed, 3 + seed % 3).truss
        pin, roller = truss.supports
        truss = replace(truss, supports=(pin, Support(roller.joint, "roller")))
        try:
            solution = solve(truss)
        except NoUniqueSolutionError:
            continue
        forces, reactions = second_opinion(truss)
        mine = {f"m{i}": force for i, force in enumerate(solution.forces)}
        scale = max(np.abs(solution.forces).max(), 1.0)
        assert mine == pytest.approx(forces, abs=1e-9 * scale)
        for reaction in solution.reactions:
            assert reaction.fy == pytest.approx(reactions[f"R_{reaction.joint}_y"], abs=1e-9 * scale)
        agreed += 1


def test_rounding_does_not_grow_along_a_strip() -> None:
    """A long strip has a condition number of thousands, and still balances to 1e-10 of its load."""
    solution = solve(through_truss("pratt", 100))
    assert solution.checks.passed
    assert solution.checks.joint_residual <= 1e-10 * solution.checks.largest_load
