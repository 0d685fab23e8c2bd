"""Figures on plain paper: to scale, complete, and with labels that cover nothing (measured by shapely)."""

from __future__ import annotations

import math
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import shapely

from cli.sheets.dimensions import levels, spread
from cli.sheets.easel import Figure
from cli.sheets.figures import free_body_figure, solution_figure, truss_figure
from cli.sheets.free_bodies import joint_figure
from cli.sheets.marks import Fill, Text, text_box
from cli.sheets.numerals import Numerals
from cli.sheets.paper_truss import FigureSettings
from cli.sheets.sections import section_figure
from solver import assess, solve, work
from solver.steps import CheckStep, Equation, JointStep, Quantity, Result, SectionStep, Term
from tests.overlay_scenes import random_truss
from tests.samples import seeds
from tests.trusses import published, published_cases, three_bar

TRUSSES = seeds(200)
PARTS = 4


def covered(figure: Figure) -> float:
    """Measure the area that text covers of other text and of what is drawn."""
    labels = shapely.polygons(np.array([text_box(label) for label in figure.labels]))
    drawn = shapely.polygons(figure.obstacles)
    ones, others = shapely.STRtree(drawn).query(labels)
    area = shapely.area(shapely.intersection(labels[ones], drawn[others])).sum()
    ones, others = shapely.STRtree(labels).query(labels)
    apart = ones < others
    return area + shapely.area(shapely.intersection(labels[ones[apart]], labels[others[apart]])).sum()


def fits(figure: Figure) -> bool:
    """Tell whether all marks lie on the paper."""
    points = np.concatenate(
        [text_box(mark) if isinstance(mark, Text) else mark.points for mark in figure.drawing.marks]
    )
    size = (figure.drawing.width, figure.drawing.height)
    return bool((points >= 0).all() and (points <= size).all())


def words(figure: Figure) -> list[str]:
    """Return all text, an index right after its letter."""
    return [label.words + label.index for label in figure.labels]


def cut_in_two(solution, after: int) -> SectionStep:
    """Cut the strip of triangles of a random truss after a joint: a section through three members."""
    truss = solution.truss
    names = [joint.name for joint in truss.joints]
    cut = tuple(
        (member.start, member.end)
        for member in truss.members
        if names.index(member.start) <= after < names.index(member.end)
    )
    terms = tuple(Term(Quantity("member", ends), 1.0, None) for ends in cut)
    about = names[after + 1]
    centre = tuple(truss.at[after + 1].tolist())
    found = Quantity("member", cut[0])
    equation = Equation("moment", terms, solves_for=found, about=about, centre=centre)
    return SectionStep(cut, tuple(names[: after + 1]), (), equation, Result(found, 1.0, "T"))


@pytest.mark.parametrize("part", range(PARTS))
def test_labels_of_random_trusses_cover_nothing(part: int) -> None:
    """On random trusses of 3 to 30 joints no figure's text covers anything: truss, whole free body.

    200 trusses with `--thorough`, every ninth otherwise.
    """
    for seed in TRUSSES[part::PARTS]:
        truss = random_truss(seed).truss
        for make in (truss_figure, free_body_figure):
            figure = make(truss)
            assert covered(figure) == 0, f"{make.__name__}, seed {seed}"
            assert figure.overlap == 0
            assert fits(figure)


@pytest.mark.parametrize("part", range(PARTS))
def test_labels_of_joints_and_sections_cover_nothing(part: int) -> None:
    """On the same trusses no text of a section or of a joint of the worked solution covers anything."""
    for seed in TRUSSES[part::PARTS]:
        working = work(random_truss(seed).truss)
        joints = len(working.truss.joints)
        if joints > 4:
            figure = section_figure(working.solution, cut_in_two(working.solution, 1 + seed % (joints - 3)))
            assert covered(figure) == 0, f"section, seed {seed}"
            assert fits(figure)
        steps = [step for step in working.steps if isinstance(step, (JointStep, CheckStep))]
        for step in steps[seed % 3 :: 3]:
            figure = joint_figure(working.truss, step)
            assert covered(figure) == 0, f"joint {step.joint}, seed {seed}"
            assert fits(figure)


def test_published_sections_cover_nothing() -> None:
    """Every section in the worked solutions of the published cases is drawn without an overlap."""
    drawn = 0
    for case in published_cases():
        if case.truss.loads and assess(case.truss).verdict == "determinate":
            working = work(case.truss)
            for step in working.steps:
                if isinstance(step, SectionStep):
                    figure = section_figure(working.solution, step)
                    assert covered(figure) == 0, case.id
                    drawn += 1
    assert drawn >= 2


def test_truss_figure_says_it_all() -> None:
    """Names, loads and the dimensions between joints are there, as the source gives them (holtz-J1)."""
    figure = truss_figure(published("holtz-J1").truss)
    assert sorted(words(figure)) == sorted([*"abcdefgh", "120 kN", "80 kN", *["4.5 m"] * 4, *["3 m"] * 2])


def test_truss_figure_is_to_scale() -> None:
    """Rings stand where the joints are, in one scale for both directions."""
    truss = published("holtz-J1").truss
    figure = truss_figure(truss)
    rings = [mark for mark in figure.drawing.marks if isinstance(mark, Fill) and len(mark.points) == 32]
    centres = np.unique(np.round([mark.points.mean(axis=0) for mark in rings], 6), axis=0)
    # A roller's wheels are rings too: every joint must be found among them.
    scale = FigureSettings().width / 18.0
    wanted = truss.at * (scale, -scale)
    first = centres[np.argmin(centres[:, 0])]
    wanted += first - wanted[truss.row["a"]]
    for place in wanted:
        assert np.linalg.norm(centres - place, axis=1).min() < 1e-3


def test_free_body_names_unknown_reactions() -> None:
    """The whole free body has the pin's two parts and the roller's one, by name, and no support."""
    figure = free_body_figure(three_bar())
    assert {"Ax", "Ay", "By"} <= set(words(figure))


def test_solution_figure_shows_forces_and_reactions() -> None:
    """Every member's size and sense stands there (3-4-5 triangle: 8 tension, 10 compression twice)."""
    assert sorted(words(solution_figure(solve(three_bar())))) == sorted(
        ["8.00 (T)", "10.0 (C)", "10.0 (C)", "A", "B", "C", "12 kN", "6.00 kN", "6.00 kN"]
    )


def test_joint_figure_shows_known_and_unknown() -> None:
    """At b of holtz-J1 the end post is known, two forces are sought, and three angles are given."""
    working = work(published("holtz-J1").truss)
    step = next(step for step in working.steps if isinstance(step, JointStep) and step.joint == "b")
    figure = joint_figure(working.truss, step)
    assert sorted(words(figure)) == sorted(["b", "120 kN", "ab: 234 kN (C)", "Fbc", "Fbg", *["33.7°"] * 3])


def test_joint_figure_is_true_in_direction() -> None:
    """Unknown forces pull away from the joint along their members."""
    working = work(published("holtz-J1").truss)
    step = next(step for step in working.steps if isinstance(step, JointStep) and step.joint == "a")
    figure = joint_figure(working.truss, step)
    heads = [mark.points for mark in figure.drawing.marks if isinstance(mark, Fill) and len(mark.points) == 4]
    # Heads point from notch to tip; y runs down on paper. Level, at 33.69 degrees, and up (the reaction).
    ways = [math.degrees(math.atan2(head[2, 1] - head[0, 1], head[0, 0] - head[2, 0])) for head in heads]
    assert sorted(ways) == pytest.approx([0.0, math.degrees(math.atan2(3.0, 4.5)), 90.0], abs=1e-6)


def test_decimal_sign_of_the_locale() -> None:
    """Figures write numbers as the reader does."""
    figure = truss_figure(
        published("holtz-J1").truss, settings=FigureSettings(numerals=Numerals(decimal=","))
    )
    assert "4,5 m" in words(figure)


def test_svg_stands_alone() -> None:
    """The SVG parses, carries its typeface, says what it is, and is the same every time."""
    figure = truss_figure(three_bar())
    root = ET.fromstring(figure.svg)  # noqa: S314 (our own file)
    assert root.find("{http://www.w3.org/2000/svg}title").text == "The idealised truss"
    assert "font/woff" in figure.svg
    assert figure.svg == truss_figure(three_bar()).svg
    assert figure._repr_svg_() == figure.svg


def test_near_levels_are_one() -> None:
    """Joints that differ by less than a written figure share a level."""
    assert levels(np.array([0.0, 3.0, 2.9999, 6.0, 0.0])).tolist() == [0.0, 2.9999, 6.0]


def test_spread_keeps_order_and_distance() -> None:
    """Places are in order and apart, moved no more than needed."""
    wanted = np.array([0.0, 0.1, 0.2, 10.0])
    places = spread(wanted, 1.0)
    assert places == pytest.approx([-0.9, 0.1, 1.1, 10.0])
    random = np.sort(np.random.default_rng(5).uniform(0, 20, 40))
    assert np.diff(spread(random, 1.0)).min() >= 1.0 - 1e-9
