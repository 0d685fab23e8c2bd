"""The solver against published worked examples and closed forms, each with its source beside it."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from solver import assess, solve, work
from tests.trusses import (
    Case,
    case_from,
    closed_form,
    forces_by_name,
    published_cases,
    through_truss,
)

SHARED = Path(__file__).parents[2] / "shared" / "check_values" / "cases.json"
CASES = published_cases()
LOADED = [case for case in CASES if case.facts["published"]["forces"]]


def tolerance(value: float, rounding: dict[str, Any], slack: float, largest: float) -> float:
    """Give half a unit of the last figure printed, and what the source's own arithmetic carried."""
    match rounding["type"]:
        case "exact":
            half = 1e-12 * largest
        case "decimals":
            half = 0.5 * 10.0 ** -rounding["n"]
        case _:
            figure = math.floor(math.log10(abs(value))) if value else 0
            half = 0.5 * 10.0 ** (figure - rounding["n"] + 1)
    return half * (1 + 1e-9) + slack * largest


def check_against_print(case: Case) -> None:
    """Compare forces and reactions with the figures printed in the source."""
    solution = solve(case.truss)
    printed = case.facts["published"]
    found = forces_by_name(case.truss, solution.forces)
    largest = float(np.abs(solution.forces).max())
    slack = printed.get("carry_slack", 0.0)
    for member, value in printed["forces"].items():
        allowed = tolerance(value, printed["rounding"], slack, largest)
        assert found[member] == pytest.approx(value, abs=allowed), member
    normals = {support.joint: np.array(support.normal) for support in case.truss.supports}
    reactions = {reaction.joint: np.array([reaction.fx, reaction.fy]) for reaction in solution.reactions}
    for joint, parts in printed["reactions"].items():
        for part, value in parts.items():
            axis = {"x": np.array([1.0, 0.0]), "y": np.array([0.0, 1.0])}.get(part, normals[joint])
            size = float(reactions[joint] @ axis / np.linalg.norm(axis))
            assert size == pytest.approx(value, abs=tolerance(value, printed["rounding"], slack, largest)), (
                joint
            )


@pytest.mark.parametrize("case", LOADED, ids=str)
def test_printed_forces_and_reactions(case: Case) -> None:
    """Every printed figure comes out, to its last figure and what the source says it carried."""
    check_against_print(case)


def test_enough_published_examples() -> None:
    """At least fifteen worked examples whose figures were read in their source, not remembered."""
    assert sum(case.facts["origin"] in {"read", "arithmetic"} for case in LOADED) >= 15


@pytest.mark.parametrize("case", CASES, ids=str)
def test_printed_verdicts(case: Case) -> None:
    """The verdict, the count and the rank are those of the source; the deceptive cases among them."""
    found = assess(case.truss)
    rank = case.facts["rank"]
    assert (found.j, found.m, found.r) == (rank["j"], rank["m"], rank["r"])
    assert (found.mechanisms, found.self_stress) == (rank["mechanisms"], rank["self_stress"])
    assert found.verdict.startswith(case.facts["verdict"])
    assert found.mechanisms - found.self_stress == 2 * found.j - found.m - found.r


@pytest.mark.parametrize("case", LOADED, ids=str)
def test_zero_force_members_by_inspection(case: Case) -> None:
    """Inspection finds the members that the rules give, and no other."""
    solution = solve(case.truss)
    zero = {
        f"{member.start}-{member.end}"
        for member, seen in zip(case.truss.members, solution.zero_by_inspection, strict=True)
        if seen
    }
    assert zero == set(case.facts["zero_by_inspection"])


def test_seven_zero_force_members() -> None:
    """Baker and Haynes, Engineering Statics, section 6.3: the seven members of the published exercise."""
    case = next(case for case in CASES if case.id == "es-zfm-example")
    seen = solve(case.truss).zero_by_inspection
    names = {frozenset((m.start, m.end)) for m, zero in zip(case.truss.members, seen, strict=True) if zero}
    printed = {frozenset(name.split("-")) for name in case.facts["published"]["zero_force_members"]}
    assert names == printed
    assert len(printed) == 7


@pytest.mark.parametrize("kind", ["pratt", "howe", "warren"])
@pytest.mark.parametrize("panels", [4, 6, 8, 10])
def test_closed_forms(kind: str, panels: int) -> None:
    """Parallel-chord trusses give the closed forms of the text books (source beside `closed_form`)."""
    shape = {"panel": 4.0, "height": 3.0, "load": 10.0}
    truss = through_truss(kind, panels, **shape)
    found = forces_by_name(truss, solve(truss).forces)
    wanted = closed_form(kind, panels, **shape)
    assert {name: found[name] for name in wanted} == pytest.approx(wanted, rel=1e-12, abs=1e-11)


@pytest.mark.parametrize("case", LOADED, ids=str)
def test_worked_steps_find_everything_once(case: Case) -> None:
    """The steps find each member and each reaction exactly once, and every equation in them holds."""
    working = work(case.truss)
    found = []
    values = {}
    for step in working.steps:
        results = getattr(step, "results", None) or ([step.result] if hasattr(step, "result") else [])
        for result in results:
            found.append(result.quantity)
            values[result.quantity] = result.value
        if hasattr(step, "rule"):
            found += [("zero", member) for member in step.members]
    assert len(found) == len(set(found)) == len(case.truss.members) + working.solution.stability.r
    largest = float(np.abs(working.solution.forces).max())
    for step in working.steps:
        equations = getattr(step, "equations", None) or ([step.equation] if hasattr(step, "equation") else [])
        for equation in equations:
            total = sum(
                term.factor * (term.value if term.value is not None else values[term.quantity])
                for term in equation.terms
            )
            reach = 1.0 if equation.kind != "moment" else float(np.abs(case.truss.at).max())
            assert abs(total) <= 1e-12 * largest * reach * len(equation.terms)


@pytest.mark.skipif(not SHARED.exists(), reason="the folder of check values is not beside this checkout")
def test_every_case_of_the_shared_folder() -> None:
    """The shared case file, where it is at hand, holds no case that this copy lacks, and all of them pass."""
    shared = [case_from(facts) for facts in json.loads(SHARED.read_text(encoding="utf-8"))]
    own = {case.id: case.facts for case in CASES}
    for case in shared:
        assert case.facts["joints"] == own[case.id]["joints"]
        assert case.facts["members"] == own[case.id]["members"]
        rank = case.facts["verified"]["rank_test"]
        found = assess(case.truss)
        assert (found.mechanisms, found.self_stress) == (rank["mechanisms"], rank["self_stress"])
        if case.facts["published"]["forces"]:
            check_against_print(case)
