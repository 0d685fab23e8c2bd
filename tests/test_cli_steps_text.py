"""The worked solution in words: aligned, complete, and true to its steps."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from cli.steps_text import steps_as_text
from solver import DeckLoad, Load, MemberLoad, work
from tests.test_solver_working import arch, compound_fink
from tests.trusses import Case, published, published_cases, through_truss

LOADED = [case for case in published_cases() if case.facts["published"]["forces"]]


@pytest.mark.parametrize("case", LOADED, ids=str)
def test_every_force_stands_in_the_text(case: Case) -> None:
    """Each member that is not zero by inspection has a line with its force, its unit and its letter."""
    working = work(case.truss)
    text = steps_as_text(working)
    for member, sense in zip(case.truss.members, working.solution.senses, strict=True):
        joined = ("" if len(member.start) == len(member.end) == 1 else "–").join((member.start, member.end))
        if sense in "TC":
            assert re.search(rf"^ +F_{re.escape(joined)} = .* kN \({sense}\)$", text, flags=re.MULTILINE), (
                joined
            )
        else:
            assert f"F_{joined}" in text


@pytest.mark.parametrize("case", LOADED, ids=str)
def test_equals_signs_stand_in_one_column(case: Case) -> None:
    """Within each step the equations' equals signs are aligned, and so are the results'."""
    for block in steps_as_text(work(case.truss)).split("\n\n"):
        for pattern in (r"^( *Σ\S+(?: \S+)?) = 0 = ", r"^( *[^ΣΔ=]+?) = +[−\d.]+ "):
            columns = {len(match[1]) for match in re.finditer(pattern, block, flags=re.MULTILINE)}
            if "Check" not in block:
                assert len(columns) <= 1, block


def test_no_trailing_space_and_plain_minus_signs() -> None:
    """The text has no trailing space, ends in one line feed, and numbers its steps."""
    text = steps_as_text(work(through_truss("pratt", 6)))
    assert not re.search(r" $", text, flags=re.MULTILINE)
    assert text.endswith("\n")
    assert not text.endswith("\n\n")
    numbers = [int(match[1]) for match in re.finditer(r"^(\d+)\. ", text, flags=re.MULTILINE)]
    assert numbers == list(range(1, len(numbers) + 1))


def test_count_and_first_equation_of_a_published_example() -> None:
    """Holtz J-1: the count as arithmetic, and moments about a with their lever arms."""
    text = steps_as_text(work(published("holtz-J1").truss))
    assert "m + r = 13 + 3 = 16 = 2j = 2 · 8 = 16" in text
    assert "ΣM(a) = 0 = −4.5·120 − 9·80 + 18·e_n" in text
    assert "e_n =  70 kN" in text
    assert "F_ab = −234.4 kN (C)" in text


def test_loads_brought_to_joints_are_stated() -> None:
    """Deck shares, self-weight and the lever rule each say what they moved and why."""
    truss = through_truss("pratt", 4)
    truss = replace(
        truss,
        members=tuple(replace(member, weight=0.5) for member in truss.members),
        deck_loads=(DeckLoad(("L0", "L1", "L2"), 0.0, -2.0),),
        member_loads=(MemberLoad("L2", "L3", 1.0, 2.0, -8.0, share=True),),
    )
    text = steps_as_text(work(truss))
    assert "L1: 8 kN down (tributary length 4 m of the deck L0–L1–L2)" in text
    assert "(half of the weight of L0–L1, 4 m long)" in text
    assert "L2: 1.5 kN right and 6 kN down (share 3/4 of the load on L2–L3)" in text
    assert "Bending of a member loaded between its joints is not covered." in text


def test_hinges_sections_and_blocks_are_said() -> None:
    """A part at a hinge, a section and a block each have their own heading and sentence."""
    assert "Reactions, from the part A, D hinged at C" in steps_as_text(work(arch(0.0)))
    roof = steps_as_text(work(compound_fink()))
    assert re.search(r"Section through .*F_GN", roof)
    assert "ΣM(E)" in roof
    case = published("holtz-complex")
    loaded = replace(case.truss, loads=(Load(case.truss.joints[2].name, 1.0, -2.0),))
    assert "solved together" in steps_as_text(work(loaded))
    wall = published("holtz-PS1d")
    hanging = replace(wall.truss, loads=(Load(wall.truss.joints[-1].name, 1.0, -2.0),))
    assert "the truss has more reactions than they can find" in steps_as_text(work(hanging))


def test_small_and_large_numbers() -> None:
    """Forces far from one keep their figures.

    A tiny load is not printed as zero, a large one not with an E.
    """
    truss = through_truss("pratt", 4, load=4e-6)
    assert "e−06 kN" in steps_as_text(work(truss))
    text = steps_as_text(work(through_truss("pratt", 4, load=123456.0)))
    assert "185200 kN" in text
    assert "e+" not in text
