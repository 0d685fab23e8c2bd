"""Colours, numbers, letters and scenes: the parts that every overlay and figure is made of."""

from __future__ import annotations

import math

import numpy as np
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from cli.sheets.directions import direction_axes, direction_in
from cli.sheets.legend import round_steps
from cli.sheets.marks import Stroke, dashes
from cli.sheets.numerals import Numerals
from cli.sheets.palette import (
    COMPRESSION,
    PAPER,
    SENSES,
    TENSION,
    TEXT_CONTRAST,
    UNSURE,
    ZERO,
    contrast,
    member_width,
)
from cli.sheets.scene import ground_normal, make_scene
from cli.sheets.symbols import ArrowShape, arrow, support, support_depth, support_hulls
from cli.sheets.typeface import font_path, measure, wrap
from solver import Joint, Load, Member, Support, Truss, solve
from tests.trusses import three_bar


def test_colours_are_those_of_the_design() -> None:
    """Teal tension, amber compression, grey dashed zero, violet dotted unsure; suffixes say it again."""
    assert (TENSION, COMPRESSION, ZERO, UNSURE) == ("#00797a", "#c25e00", "#7a7a7a", "#7b4fa3")
    assert [SENSES[sense].suffix for sense in "TC0?"] == ["(T)", "(C)", "0", "(?)"]
    assert SENSES["T"].dash == SENSES["C"].dash == ()
    assert SENSES["0"].dash
    assert not SENSES["0"].round_caps
    assert SENSES["?"].dash[0] == 0
    assert SENSES["?"].round_caps


def test_contrast_of_black_and_white() -> None:
    """Black on white is 21 and a colour on itself 1 (WCAG 2.2, definition of contrast ratio)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast(TENSION, TENSION) == 1
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # WebAIM's example, from memory


@pytest.mark.parametrize("sense", SENSES)
def test_text_colours_are_dark_enough(sense: str) -> None:
    """Coloured text reaches the stated contrast with paper."""
    assert contrast(SENSES[sense].text_colour, PAPER) >= TEXT_CONTRAST


def test_width_grows_with_force() -> None:
    """Width is in proportion above the thinnest line, the same for either sign, and safe without forces."""
    widths = [member_width(force, 40.0, thinnest=1.0, thickest=5.0) for force in (0.0, -10.0, 20.0, -40.0)]
    assert widths == [1.0, 2.0, 3.0, 5.0]
    assert member_width(0.0, 0.0, thinnest=1.0, thickest=5.0) == 1.0


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (-234.36, "−234"),
        (9.996, "10.0"),
        (0.09996, "0.100"),
        (1234.4, "1234"),
        (130.0, "130"),
        (0.05, "0.0500"),
        (-0.7777, "−0.778"),
    ],
)
def test_numbers_have_three_figures(value: float, text: str) -> None:
    """Three significant figures by default, whole numbers whole, a real minus sign."""
    assert Numerals().number(value) == text


def test_numbers_follow_the_locale() -> None:
    """Figures and decimal sign are the reader's."""
    assert Numerals(figures=4, decimal=",").number(-1.23456) == "−1,235"


@pytest.mark.parametrize(
    ("largest", "steps"),
    [
        (15.0, (0, 7.5, 15)),
        (67.5, (0, 35, 70)),
        (78.4, (0, 40, 80)),
        (234.4, (0, 120, 240)),
        (18.7, (0, 9.5, 19)),
        (13.0, (0, 6.5, 13)),
        (7.21, (0, 3.7, 7.4)),
        (1.04, (0, 0.55, 1.1)),
        (1.0, (0, 0.5, 1.0)),
        (9.999999999999998, (0, 5, 10)),
        (0.0, (0,)),
    ],
)
def test_scale_of_widths_has_round_steps(largest: float, steps: tuple[float, ...]) -> None:
    """The wedge ends at the largest force where two figures say it, or at a short number close above."""
    assert round_steps(largest) == pytest.approx(steps)


@pytest.mark.parametrize("largest", np.geomspace(0.003, 9e5, 41))
def test_scale_of_widths_reaches_the_largest_force(largest: float) -> None:
    """To the three figures that labels show, the scale is never short of the largest force, nor far past."""
    end = round_steps(largest)[-1]
    assert float(f"{largest:.2e}") <= end * (1 + 1e-9)
    assert end <= 1.1 * largest


@pytest.mark.parametrize("weight", ["regular", "semibold"])
def test_text_sizes_come_from_the_typeface(weight: str) -> None:
    """Advances, cap height, ascent and descent are those in the font file."""
    font = TTFont(font_path(weight))
    words = "62.5 (C) kN Qj"
    cmap, glyphs = font.getBestCmap(), font.getGlyphSet()
    advance = sum(font["hmtx"][cmap[ord(letter)]][0] for letter in words) / font["head"].unitsPerEm
    size = measure(words, 20.0, weight)
    assert size.width == pytest.approx(20 * advance, rel=2e-3)
    assert size.cap_height == pytest.approx(20 * font["OS/2"].sCapHeight / font["head"].unitsPerEm)
    lows, highs = [], []
    for letter in "bdfhklgjpqy()[]QA0123456789":
        pen = BoundsPen(glyphs)
        glyphs[cmap[ord(letter)]].draw(pen)
        lows.append(pen.bounds[1])
        highs.append(pen.bounds[3])
    assert size.descent >= -min(lows) / 1000 * 20
    assert size.ascent >= max(highs) / 1000 * 20


def test_wrapped_lines_fit() -> None:
    """No line is wider than asked, and no word is lost."""
    words = "Nothing here designs or approves a structure that carries people, vehicles or goods"
    lines = wrap(words, 120.0, 10.0)
    assert " ".join(lines) == words
    assert max(measure(line, 10.0).width for line in lines) <= 120


def test_dashes_leave_gaps() -> None:
    """A dash pattern covers its share of a bent line, and goes on round the bend."""
    pieces = dashes(np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 8.0]]), (4.0, 2.0))
    lengths = [float(np.hypot(*np.diff(piece, axis=0).T).sum()) for piece in pieces]
    assert lengths == pytest.approx([4, 4, 4])
    assert pieces[2].tolist() == [[10.0, 2.0], [10.0, 6.0]]


@pytest.mark.parametrize("kind", ["pin", "roller"])
@pytest.mark.parametrize("degrees", [0, 30, -90, 145])
def test_supports_turn_with_their_normal(kind: str, degrees: float) -> None:
    """The symbol lies on the ground's side of the joint, inside the room it claims, whatever the normal."""
    turn = math.radians(degrees)
    normal = (math.sin(turn), -math.cos(turn))
    points = np.concatenate([mark.points for mark in support(kind, (50.0, 70.0), normal, 20.0, 1.5)])
    depth = (points - (50.0, 70.0)) @ (-np.array(normal))
    assert depth.min() >= -1e-9
    assert depth.max() <= support_depth(kind, 20.0) + 1e-9
    hull_depth = (support_hulls(kind, (50.0, 70.0), normal, 20.0).reshape(-1, 2) - (50.0, 70.0)) @ -np.array(
        normal
    )
    assert hull_depth.max() == pytest.approx(support_depth(kind, 20.0))


def test_a_reaction_is_marked_without_colour() -> None:
    """A reaction's arrow has one stroke more than a load's: across its shaft."""
    shape = ArrowShape(2.0, 8.0)
    load, reaction = (arrow((0, 0), (0, 40), shape, slashed=slashed) for slashed in (False, True))
    assert sum(isinstance(mark, Stroke) for mark in reaction) == 1 + sum(
        isinstance(mark, Stroke) for mark in load
    )


def scene_at(truss: Truss, px: dict[str, tuple[float, float]]):
    """Solve a truss and put it into a picture."""
    solution = solve(truss)
    return make_scene(
        truss,
        px,
        (400, 300),
        forces=solution.forces.tolist(),
        senses=solution.senses,
        reactions=[(item.joint, item.fx, item.fy) for item in solution.reactions],
    )


def test_directions_follow_the_truss_in_the_picture() -> None:
    """In a picture held askew by 20 degrees, downward loads and supports lean with the truss."""
    truss = three_bar()
    turn = math.radians(20)
    px = {
        joint.name: (
            100 + 20 * (joint.x * math.cos(turn) - joint.y * math.sin(turn)),
            200 - 20 * (joint.x * math.sin(turn) + joint.y * math.cos(turn)),
        )
        for joint in truss.joints
    }
    scene = scene_at(truss, px)
    assert scene.loads[0].direction == pytest.approx((math.sin(turn), math.cos(turn)))
    for item in scene.supports:
        assert item.normal == pytest.approx((-math.sin(turn), -math.cos(turn)))
    assert [item.label for item in scene.reactions] == ["6.00 kN", "6.00 kN"]


def test_pin_reactions_come_in_components() -> None:
    """A pin that pushes both ways gets two arrows, a leaning roller one along its normal."""
    truss = Truss(
        three_bar().joints,
        (Member("A", "B"), Member("A", "C"), Member("B", "C")),
        (Support("A", "pin"), Support("B", "roller", (-1.0, 2.0))),
        (Load("C", 0.0, -12.0),),
    )
    scene = scene_at(truss, {"A": (0, 200), "B": (160, 200), "C": (80, 140)})
    across, up, roller = scene.reactions
    assert across.direction == pytest.approx((1.0, 0.0))
    assert up.direction == pytest.approx((0.0, -1.0))
    assert roller.direction == pytest.approx((-1 / math.sqrt(5), -2 / math.sqrt(5)))
    assert roller.label == "6.71 kN"


def test_self_weight_is_shown_where_it_acts() -> None:
    """A member's weight is drawn as a load at both of its ends."""
    truss = Truss(
        (Joint("A", 0.0, 0.0), Joint("B", 8.0, 0.0), Joint("C", 4.0, 3.0)),
        (Member("A", "B", weight=0.5), Member("A", "C"), Member("B", "C")),
        (Support("A", "pin"), Support("B", "roller")),
        (Load("C", 0.0, -12.0),),
    )
    scene = scene_at(truss, {"A": (0, 200), "B": (160, 200), "C": (80, 140)})
    assert [(item.joint, item.label) for item in scene.loads] == [
        (2, "12 kN"),
        (0, "2 kN"),
        (1, "2 kN"),
    ]


def test_a_pin_stands_where_no_member_is() -> None:
    """On a wall, with a member straight below its joint, a pin's ground is beside it."""
    truss = Truss(
        (Joint("A", 0.0, 0.0), Joint("B", 3.0, 0.0), Joint("C", 0.0, 2.0)),
        (Member("A", "B"), Member("A", "C"), Member("B", "C")),
        (Support("C", "pin"), Support("A", "roller", (2.0, 0.0))),
        (Load("B", 0.0, -6.0),),
    )
    assert ground_normal(truss, truss.supports[0]) == (1.0, 0.0)
    assert ground_normal(truss, truss.supports[1]) == (1.0, 0.0)
    assert ground_normal(three_bar(), three_bar().supports[0]) == (0.0, 1.0)


def test_only_a_known_view_turns_upright_askew() -> None:
    """A truss leant over by 20 degrees: seen aslant its loads lean too, on a sketch they stay upright."""
    at = np.array([(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)])
    lean = math.tan(math.radians(20))
    px = 100 * np.array([(x + lean * y, -y) for x, y in at])
    seen = direction_axes(at, px, aslant=True)
    assert direction_in(seen, 0, -1) == pytest.approx(
        (-math.sin(math.radians(20)), math.cos(math.radians(20)))
    )
    assert direction_in(seen, 1, 0) == pytest.approx((1, 0))
    sketch = direction_axes(at, px, aslant=False)
    assert direction_in(sketch, 0, -1) == pytest.approx((0, 1))
    assert direction_in(sketch, 1, 0) == pytest.approx((1, 0))
