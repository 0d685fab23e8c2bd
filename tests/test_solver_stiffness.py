"""Displacements and redundant trusses against published figures, closed forms and energy."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from solver import (
    Joint,
    Load,
    Member,
    NoUniqueSolutionError,
    QuestionError,
    Support,
    Truss,
    displacements,
    solve,
    solve_with_stiffness,
    unit_load,
)
from tests.trusses import published, three_bar, through_truss


def with_stiffness(truss: Truss, stiffness: dict[str, float]) -> Truss:
    """Give the members of a truss their EA by name."""
    return replace(
        truss,
        members=tuple(
            replace(member, stiffness=stiffness[f"{member.start}-{member.end}"]) for member in truss.members
        ),
    )


@pytest.mark.parametrize("index", range(3))
def test_published_deflections(index: int) -> None:
    """Published displacements come out (Holtz et al., Structural Analysis, section 6.5).

    2.0162 mm down under load; 4.44 mm up cooled; 10 mm up with a member made too long.
    """
    case = published("holtz-VW1")
    printed = case.facts["deflections"][index]
    stiffness = case.facts["deflections"][0]["EA"]
    truss = with_stiffness(case.truss, stiffness)
    if printed["kind"] == "load":
        found = unit_load(truss, printed["joint"], tuple(printed["direction"])).total * printed["to_mm"]
    else:
        changes = np.array([printed["dL"].get(f"{m.start}-{m.end}", 0.0) for m in truss.members])
        warm = displacements(truss, length_changes=changes)
        cold = displacements(truss)
        found = warm.of(printed["joint"], printed["direction"]) - cold.of(
            printed["joint"], printed["direction"]
        )
    assert found == pytest.approx(printed["published_mm"], abs=printed["half_unit"])


def test_unit_load_table_adds_up() -> None:
    """Each member's share is n N L / EA, and their sum is the movement of the joint in the whole solution."""
    truss = through_truss("pratt", 6)
    truss = replace(truss, members=tuple(replace(member, stiffness=5000.0) for member in truss.members))
    table = unit_load(truss, "L3", (0, -2))
    by_hand = table.unit_forces * table.forces * truss.lengths / 5000.0
    assert table.contributions == pytest.approx(by_hand, rel=1e-12, abs=1e-15)
    assert table.total == pytest.approx(displacements(truss).of("L3", (0, -1)), rel=1e-12)
    assert table.total > 0


def test_beam_like_truss_bends_like_a_beam() -> None:
    """A slender truss bends by P L³ / 48 EI with EI = EA h² / 2 (textbook, from memory)."""
    panels, height, stiffness = 60, 1.0, 1000.0
    truss = through_truss("howe", panels, panel=1.0, height=height, load=1.0)
    truss = replace(
        truss,
        members=tuple(replace(member, stiffness=stiffness) for member in truss.members),
        loads=(Load(f"L{panels // 2}", 0.0, -1.0),),
    )
    beam = panels**3 / (48 * stiffness * height**2 / 2)
    assert displacements(truss).of(f"L{panels // 2}", (0, -1)) == pytest.approx(beam, rel=0.02)


def redundant() -> Truss:
    """Three bars from a ceiling to one loaded joint: the smallest redundant truss of the text books."""
    return Truss(
        (Joint("A", -3.0, 4.0), Joint("B", 0.0, 4.0), Joint("C", 3.0, 4.0), Joint("D", 0.0, 0.0)),
        (Member("A", "D"), Member("B", "D"), Member("C", "D")),
        (Support("A", "pin"), Support("B", "pin"), Support("C", "pin")),
        (Load("D", 0.0, -10.0),),
    )


def test_three_bars_share_a_load() -> None:
    """Equal EA: the upright bar takes P / (1 + 2 cos³ a), the others cos² a of that (Timoshenko.

    From memory).
    """
    solution = solve_with_stiffness(redundant(), equal=True)
    cosine = 4 / 5
    upright = 10.0 / (1 + 2 * cosine**3)
    assert solution.forces == pytest.approx([upright * cosine**2, upright, upright * cosine**2], rel=1e-12)
    assert [notice.kind for notice in solution.warnings] == ["equal stiffness"]
    assert "same for all members" in str(solution.warnings[0])


def test_given_stiffness_moves_the_load() -> None:
    """A stiffer upright bar takes more, and the answer says that it rests on the stiffness."""
    truss = with_stiffness(redundant(), {"A-D": 1.0, "B-D": 1e6, "C-D": 1.0})
    solution = solve_with_stiffness(truss)
    assert solution.forces[1] == pytest.approx(10.0, rel=1e-5)
    assert solution.warnings[0].kind == "stiffness"
    assert solution.checks.passed


def test_stiffness_method_agrees_with_equilibrium_where_both_hold() -> None:
    """On determinate trusses the stiffness makes no difference."""
    truss = through_truss("warren", 5)
    both = solve_with_stiffness(truss, equal=True)
    assert both.forces == pytest.approx(solve(truss).forces, rel=1e-10, abs=1e-10)
    assert both.warnings == ()


def test_what_stiffness_cannot_do() -> None:
    """A missing EA and a truss that moves are refused in words.

    Equilibrium alone is refused for the redundant.
    """
    with pytest.raises(QuestionError, match="A–D, B–D, C–D"):
        solve_with_stiffness(redundant())
    with pytest.raises(NoUniqueSolutionError, match="indeterminate to degree 1"):
        solve(redundant())
    loose = replace(three_bar(), members=three_bar().members[:2], supports=three_bar().supports)
    with pytest.raises(NoUniqueSolutionError, match="can still move"):
        solve_with_stiffness(loose, equal=True)
    with pytest.raises(QuestionError, match="no joint Z"):
        unit_load(redundant(), "Z", (0, 1))
    with pytest.raises(QuestionError, match="direction"):
        unit_load(redundant(), "D", (0, 0))


def test_reciprocal_displacements() -> None:
    """Maxwell: a load at one joint moves another as a load there moves the first."""
    truss = replace(
        through_truss("pratt", 6),
        members=tuple(
            replace(m, stiffness=100.0 + i) for i, m in enumerate(through_truss("pratt", 6).members)
        ),
    )

    def moved(loaded: str, seen: str) -> float:
        return displacements(replace(truss, loads=(Load(loaded, 0.0, -1.0),))).of(seen, (0, -1))

    assert moved("L1", "U4") == pytest.approx(moved("U4", "L1"), rel=1e-12)


def test_unit_load_with_lengths_given_otherwise() -> None:
    """Warmth and a maker's errors count in the unit-load sum as in the whole solution."""
    truss = replace(redundant(), members=tuple(replace(m, stiffness=500.0) for m in redundant().members))
    changes = np.array([0.0, 0.002, -0.001])
    table = unit_load(truss, "D", (1, -2), length_changes=changes)
    whole = displacements(truss, length_changes=changes)
    assert table.total == pytest.approx(whole.of("D", (1, -2)), rel=1e-12)
    assert table.total != pytest.approx(unit_load(truss, "D", (1, -2)).total, rel=1e-3)
