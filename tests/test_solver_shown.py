"""What a notebook shows of a truss, its forces and each step, with the solver alone."""

from __future__ import annotations

import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest

from cli.sheets import palette
from solver import Joint, Load, Member, Support, Truss, solve, work
from solver.sketch import INK, SENSE_COLOURS
from solver.steps import CheckStep, CountStep, JointStep, ReactionStep, SectionStep, ZeroForceStep
from tests.trusses import published_cases, three_bar, through_truss

LOADED = [case for case in published_cases() if case.facts["published"]["forces"]]
SVG = "{http://www.w3.org/2000/svg}"


def parsed(document: str) -> ET.Element:
    """Read an SVG or a piece of HTML as XML."""
    return ET.fromstring(f"<div>{document}</div>")  # noqa: S314 (our own)


def words(document: str) -> list[str]:
    """Return the text of an SVG in order."""
    return [item.text or "" for item in parsed(document).iter(f"{SVG}text")]


def cells(document: str) -> list[list[str]]:
    """Return the rows of the tables in a piece of HTML."""
    rows = [[cell.text or "" for cell in row.iter("td")] for row in parsed(document).iter("tr")]
    return [row for row in rows if row]


def test_a_truss_is_a_picture_and_a_table() -> None:
    """Names, load, two supports; lengths of the 3-4-5 triangle."""
    truss = three_bar()
    assert sorted(words(truss._repr_svg_())) == ["12 kN", "A", "B", "C"]
    assert cells(truss._repr_html_()) == [["A–B", "8"], ["A–C", "5"], ["B–C", "5"]]
    assert len(list(parsed(truss._repr_svg_()).iter(f"{SVG}g"))) == 2


def test_forces_are_a_picture_and_a_table() -> None:
    """Each member has its size and sense, in the picture and in the table (worked by hand)."""
    solution = solve(three_bar())
    assert {"8 (T)", "10 (C)", "12 kN", "6 kN"} <= set(words(solution._repr_svg_()))
    assert cells(solution._repr_html_()) == [
        ["A", "0", "6"],
        ["B", "0", "6"],
        ["A–B", "8", "T"],
        ["A–C", "-10", "C"],
        ["B–C", "-10", "C"],
    ]


def test_errors_stand_in_the_table() -> None:
    """Where the joints came with standard errors, each force has its own."""
    solution = solve(three_bar(), joint_covariance=1e-4 * np.eye(6))
    assert solution.force_errors is not None
    shown = [row[2] for row in cells(solution._repr_html_())[2:]]
    assert shown == [f"{error:.4g}" for error in solution.force_errors]


def test_a_joint_is_cut_free() -> None:
    """At A of the triangle the reaction and both members stand with what is found there."""
    step = next(step for step in work(three_bar()).steps if isinstance(step, JointStep))
    assert set(words(step._repr_svg_())) == {"A", "A–B 8 (T)", "A–C 10 (C)", "Ay 6"}
    assert ["A–C", "0.6", "0.8", "-10", "C"] in cells(step._repr_html_())


def test_tension_pulls_and_compression_pushes() -> None:
    """The tip of a member's arrow is away from the joint in tension, towards it in compression."""
    step = next(step for step in work(three_bar()).steps if isinstance(step, JointStep))
    drawn = parsed(step._repr_svg_())
    ring = next(drawn.iter(f"{SVG}circle"))
    middle = np.array([float(ring.get("cx")), float(ring.get("cy"))])
    seen = {}
    for head in drawn.iter(f"{SVG}polygon"):
        points = np.array([point.split(",") for point in head.get("points").split()], dtype=float)
        tip, back, _ = np.hypot(*(points - middle).T)
        seen[head.get("fill")] = bool(tip > back)
    assert seen == {SENSE_COLOURS["T"]: True, SENSE_COLOURS["C"]: False, INK: False}


@pytest.mark.parametrize("case", LOADED, ids=str)
def test_every_step_shows_itself(case) -> None:
    """Each kind of step of the published cases gives well-formed HTML with a table in it."""
    working = work(case.truss)
    for step in working.steps:
        assert cells(step._repr_html_())
    assert len(list(parsed(working._repr_html_()).iter("table"))) == len(working.steps)


def test_the_cases_meet_most_kinds_of_step() -> None:
    """The cases above hold these kinds."""
    kinds = {type(step) for case in LOADED for step in work(case.truss).steps}
    assert {CountStep, ReactionStep, ZeroForceStep, JointStep, SectionStep, CheckStep} <= kinds


def test_names_are_escaped() -> None:
    """A joint called <b> is shown, not obeyed."""
    truss = Truss(
        (Joint("<b>", 0.0, 0.0), Joint("B&", 8.0, 0.0), Joint("C", 4.0, 3.0)),
        (Member("<b>", "B&"), Member("<b>", "C"), Member("B&", "C")),
        (Support("<b>", "pin"), Support("B&", "roller")),
        (Load("C", 0.0, -12.0),),
    )
    assert "<b>" in words(solve(truss)._repr_svg_())
    assert "<b>" not in solve(truss)._repr_html_()


def test_colours_are_those_of_the_sheets() -> None:
    """One palette: the solver's few colours are the application's."""
    assert {sense: style.colour for sense, style in palette.SENSES.items()} == SENSE_COLOURS
    assert palette.INK == INK


def test_the_solver_alone_is_enough() -> None:
    """Pictures come with `import solver`, and nothing of the application is loaded for them."""
    script = (
        "import sys; from solver import *; "
        "t = Truss((Joint('A', 0, 0), Joint('B', 4, 0), Joint('C', 0, 3)), "
        "(Member('A', 'B'), Member('A', 'C'), Member('B', 'C')), "
        "(Support('A', 'pin'), Support('B', 'roller')), (Load('C', 1, 0),)); "
        "print(len(solve(t)._repr_html_()) > 1000, any(name.split('.')[0] == 'cli' for name in sys.modules))"
    )
    root = Path(__file__).parents[1]
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=root, capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["True", "False"]


def test_a_long_truss_fits_its_picture() -> None:
    """Members of a truss of 24 joints lie within the picture."""
    svg = solve(through_truss("pratt", 12))._repr_svg_()
    width, height = (float(size) for size in re.findall(r'viewBox="0 0 (\d+) (\d+)"', svg)[0])
    for line in parsed(svg).iter(f"{SVG}line"):
        for axis, most in (("x1", width), ("x2", width), ("y1", height), ("y2", height)):
            assert 0 <= float(line.get(axis)) <= most
