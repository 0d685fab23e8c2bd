"""Verdicts: the deceptive cases, what moves and what is redundant.

The sparse route against the dense one.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from solver import Joint, Load, Member, NoUniqueSolutionError, Support, Truss, assess, solve
from solver.equilibrium import Equilibrium
from solver.judge import judge, rank_tolerance
from solver.peel import peel
from solver.rank import _doubt, certify, nullity
from tests.strategies import build
from tests.trusses import published, three_bar, through_truss


def strip(panels: int, *, without: tuple[int, ...] = (), braced: tuple[int, ...] = ()) -> Truss:
    """Build a strip of square panels on a pin and a roller; some have no diagonal, some have two."""
    joints = [Joint(f"{row}{i}", float(i), float(row == "t")) for row in "bt" for i in range(panels + 1)]
    members = [Member(f"{row}{i}", f"{row}{i + 1}") for row in "bt" for i in range(panels)]
    members += [Member(f"b{i}", f"t{i}") for i in range(panels + 1)]
    members += [Member(f"b{i}", f"t{i + 1}") for i in range(panels) if i not in without]
    members += [Member(f"t{i}", f"b{i + 1}") for i in braced]
    supports = (Support("b0", "pin"), Support(f"b{panels}", "roller"))
    return Truss(tuple(joints), tuple(members), supports, (Load("t1", 0.0, -1.0),))


def triangle(*supports: Support) -> Truss:
    """Hold a triangle in some way."""
    return replace(three_bar(), supports=supports)


VERDICTS = [
    ("simple truss", three_bar(), "determinate", 0, 0),
    (
        "racking panel beside an over-braced one",
        strip(4, without=(1,), braced=(2,)),
        "unstable and indeterminate",
        1,
        1,
    ),
    ("panel without diagonal", strip(4, without=(2,)), "unstable", 1, 0),
    ("panel with two diagonals", strip(4, braced=(2,)), "indeterminate", 0, 1),
    ("no supports", triangle(), "unstable", 3, 0),
    ("a pin alone", triangle(Support("A", "pin")), "unstable", 1, 0),
    ("two pins", triangle(Support("A", "pin"), Support("B", "pin")), "indeterminate", 0, 1),
    (
        "three parallel rollers",
        triangle(*(Support(name, "roller") for name in "ABC")),
        "unstable and indeterminate",
        1,
        1,
    ),
    (
        "three reaction lines through one point",
        triangle(
            Support("A", "roller", (1, 1)), Support("B", "roller", (-1, 1)), Support("C", "roller", (0, 1))
        ),
        "unstable and indeterminate",
        1,
        1,
    ),
    (
        "pin with a roller pushing through it",
        triangle(Support("A", "pin"), Support("B", "roller", (1, 0))),
        "unstable and indeterminate",
        1,
        1,
    ),
    (
        "supports right but a joint loose",
        Truss(
            (*three_bar().joints, Joint("D", 9.0, 9.0)),
            (*three_bar().members, Member("C", "D")),
            three_bar().supports,
            three_bar().loads,
        ),
        "unstable",
        1,
        0,
    ),
    (
        "joint in the line of its two bars",
        Truss(
            (Joint("A", 0.0, 0.0), Joint("B", 2.0, 0.0), Joint("C", 5.0, 0.0)),
            (Member("A", "B"), Member("B", "C")),
            (Support("A", "pin"), Support("C", "pin")),
            (Load("B", 0.0, -1.0),),
        ),
        "unstable and indeterminate",
        1,
        1,
    ),
]


@pytest.mark.parametrize(
    ("name", "truss", "verdict", "mechanisms", "self_stress"), VERDICTS, ids=[v[0] for v in VERDICTS]
)
def test_verdicts(name: str, truss: Truss, verdict: str, mechanisms: int, self_stress: int) -> None:
    """The rank decides, whatever the count says (rules.

    Baker and Haynes, Engineering Statics, 5.6 and6.3).
    """
    found = assess(truss)
    assert (found.verdict, found.mechanisms, found.self_stress) == (verdict, mechanisms, self_stress), name
    assert found.mechanisms - found.self_stress == 2 * found.j - found.m - found.r
    assert len(found.movements) == mechanisms
    assert len(found.redundancies) == self_stress


@pytest.mark.parametrize("truss", [case[1] for case in VERDICTS], ids=[case[0] for case in VERDICTS])
def test_patterns_do_what_they_say(truss: Truss) -> None:
    """A movement stretches no member and lifts no support; a self-stress balances at every joint."""
    found = assess(truss)
    matrix = Equilibrium(truss).matrix
    for movement in found.movements:
        assert np.abs(matrix.T @ movement.displacements.ravel()).max() < 1e-9
        assert np.hypot(*movement.displacements.T).max() == pytest.approx(1.0)
    for redundancy in found.redundancies:
        joints = matrix[:, : found.m] @ redundancy.forces
        held = {truss.row[support.joint] for support in truss.supports}
        free = [row for row in range(found.j) if row not in held]
        assert np.abs(joints.reshape(-1, 2)[free]).max(initial=0) < 1e-9


def test_facts_of_a_racking_panel() -> None:
    """The panel that racks, the joints that move and the members that are redundant are named."""
    found = assess(strip(4, without=(1,), braced=(2,)))
    (movement,), (redundancy,) = found.movements, found.redundancies
    assert movement.kind == "bends"
    assert not movement.whole
    assert movement.racking == (("b1", "b2", "t2", "t1"),)
    assert {frozenset(pair) for pair in redundancy.members} == {
        frozenset(pair)
        for pair in (("b2", "b3"), ("t2", "t3"), ("b2", "t2"), ("b3", "t3"), ("b2", "t3"), ("t2", "b3"))
    }
    assert redundancy.supports == ()


def test_panels_are_named_alike_in_any_place() -> None:
    """A racking panel is named counter-clockwise from its lowest, leftmost joint, mirrored and moved too."""
    truss = strip(4, without=(1,))
    mirrored = replace(truss, joints=tuple(Joint(j.name, 50.0 - j.x, j.y - 30.0) for j in truss.joints))
    assert assess(mirrored).movements[0].racking == (("b2", "b1", "t1", "t2"),)


@pytest.mark.parametrize("right", [-50.0, 50.0])
@pytest.mark.parametrize("up", [-30.0, 30.0])
@pytest.mark.parametrize("turned", [False, True])
def test_panels_are_named_alike_in_every_quarter_of_the_plane(
    right: float, up: float, *, turned: bool
) -> None:
    """Neither the signs of coordinates nor the order of the joints change how a racking panel is named."""
    truss = strip(4, without=(1,))
    joints = [Joint(j.name, j.x + right, j.y + up) for j in truss.joints]
    for sense, names in ((1, ("b1", "b2", "t2", "t1")), (-1, ("b2", "b1", "t1", "t2"))):
        placed = [Joint(j.name, sense * (j.x - right) + right, j.y) for j in joints]
        found = assess(replace(truss, joints=tuple(placed[::-1] if turned else placed)))
        assert found.movements[0].racking == (names,)


@pytest.mark.parametrize("sense", [-1.0, 1.0])
def test_a_triangle_with_a_joint_in_one_side_is_no_panel(sense: float) -> None:
    """A ring with a straight corner is no four-sided panel, whichever way round it is followed."""
    places = {"A": (0.0, 0.0), "Y": (1.0, 0.0), "B": (3.0, 0.0), "C": (1.5, 2.0)}
    truss = Truss(
        tuple(Joint(name, sense * x, y) for name, (x, y) in places.items()),
        tuple(Member(*pair) for pair in ("AY", "YB", "BC", "CA")),
        (Support("A", "pin"), Support("B", "roller")),
        (Load("C", 0.0, -1.0),),
    )
    (movement,) = assess(truss).movements
    assert movement.moving == ("Y",)
    assert movement.racking == ()


def test_facts_of_whole_movements() -> None:
    """Three parallel rollers let all slide.

    Meeting reaction lines let all turn about the point where they meet.
    """
    slide = assess(triangle(*(Support(name, "roller") for name in "ABC"))).movements[0]
    assert (slide.kind, slide.whole) == ("slides", True)
    turn = assess(
        triangle(
            Support("A", "roller", (1, 1)), Support("B", "roller", (-1, 1)), Support("C", "roller", (0, 1))
        )
    ).movements[0]
    assert (turn.kind, turn.whole) == ("turns", True)
    assert turn.centre == pytest.approx((4.0, 4.0))
    swing = assess(triangle(Support("A", "pin"))).movements[0]
    assert (swing.kind, swing.whole) == ("turns", True)
    assert swing.centre == pytest.approx((0.0, 0.0), abs=1e-12)
    loose = assess(VERDICTS[10][1]).movements[0]
    assert (loose.kind, loose.whole, loose.moving) == ("slides", False, ("D",))


def test_hexagon_is_movable_only_on_a_conic() -> None:
    """Holtz 3.2.2: a regular hexagon with long diagonals moves although m + r = 2j.

    Off a conic itdoes not.
    """
    regular = published("holtz-hexagon").truss
    assert assess(regular).verdict == "unstable and indeterminate"
    first, *rest = regular.joints
    bent = replace(regular, joints=(replace(first, x=first.x + 0.1, y=first.y + 0.07), *rest))
    assert assess(bent).verdict == "determinate"


def test_near_mechanism_is_called_so() -> None:
    """Reaction lines that nearly meet leave a determinate truss.

    With a warning that gives thecondition number.
    """
    near = triangle(
        Support("A", "roller", (1, 1)), Support("B", "roller", (-1, 1)), Support("C", "roller", (1e-6, 1))
    )
    found = assess(near)
    assert found.verdict == "determinate"
    assert found.near_mechanism
    notices = [notice for notice in solve(near).warnings if notice.kind == "near mechanism"]
    assert f"{found.condition:.1e}" in str(notices[0])
    assert not assess(three_bar()).near_mechanism


def ladder(panels: int) -> Truss:
    """Build a strip with no diagonal at all: as many mechanisms as panels."""
    return strip(panels, without=tuple(range(panels)))


BIG = [
    strip(90),
    strip(90, without=(50,)),
    strip(90, without=(50, 72), braced=(70,)),
    strip(90, without=(50,), braced=(51,)),
    strip(90, braced=(3, 9, 80)),
    strip(90, without=tuple(range(0, 90, 6)), braced=tuple(range(3, 90, 6))),
    ladder(90),
    replace(strip(90), supports=()),
    replace(strip(90), supports=tuple(Support(f"b{i}", "roller") for i in (0, 7, 90))),
    replace(strip(90), supports=(*strip(90).supports, Support("b80", "roller"), Support("t3", "pin"))),
    build(5, 200).truss,
]


@pytest.mark.parametrize("truss", BIG, ids=range(len(BIG)))
def test_sparse_rank_is_the_dense_one(truss: Truss) -> None:
    """Beyond a few hundred joints the verdict takes the sparse route.

    It is that of the singularvalues.
    """
    matrix = Equilibrium(truss).matrix
    values = np.linalg.svd(matrix.toarray(), compute_uv=False)
    tolerance = rank_tolerance(truss)
    rank = int((values > tolerance * values[0]).sum())
    wanted = (matrix.shape[0] - rank, matrix.shape[1] - rank)
    found = judge(Equilibrium(truss)).stability
    assert (found.mechanisms, found.self_stress) == wanted
    counted = nullity(matrix, tolerance)
    assert (counted.mechanisms, counted.self_stress) == wanted
    if wanted == (0, 0):
        proof = certify(matrix, tolerance)
        assert proof is not None
        assert proof.smallest == pytest.approx(values[-1], rel=0.06)
        assert proof.largest == pytest.approx(values[0], rel=0.06)
    for movement in assess(truss).movements:
        assert np.abs(matrix.T @ movement.displacements.ravel()).max() < 1e-8


def test_peeling_keeps_the_rank() -> None:
    """Joints taken away settle exactly the rank that they held.

    With members in line and loose endsamong them.
    """
    rng = np.random.default_rng(2)
    for seed in range(30):
        truss = build(seed, 9).truss
        kept = [member for member in truss.members if rng.random() > 0.25]
        touched = {name for member in kept for name in (member.start, member.end)}
        line = [Joint("X", 100.0, 0.0), Joint("Y", 102.0, 0.0), Joint("Z", 105.0, 0.0)]
        smaller = Truss(
            (*(joint for joint in truss.joints if joint.name in touched), *line),
            (*kept, Member("X", "Y"), Member("Y", "Z")),
            tuple(support for support in truss.supports if support.joint in touched),
            (),
        )
        matrix = Equilibrium(smaller).matrix
        settled, core = peel(matrix)
        rest = np.linalg.matrix_rank(core.toarray()) if min(core.shape) else 0
        assert settled + rest == np.linalg.matrix_rank(matrix.toarray(), tol=1e-10)


@pytest.mark.parametrize("turn", [0.0, 30.0, 45.0, 90.0, 120.0, -20.0])
def test_peeling_through_a_joint_in_a_line(turn: float) -> None:
    """A braced square, however turned, stays once redundant when a joint is put in the middle of one side."""
    places = {"A": (0, 0), "B": (2, 0), "C": (2, 2), "D": (0, 2), "Y": (1, 0)}
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    truss = Truss(
        tuple(Joint(name, cosine * x - sine * y, sine * x + cosine * y) for name, (x, y) in places.items()),
        tuple(Member(*pair) for pair in ("AY", "YB", "BC", "CD", "DA", "AC", "BD")),
        (),
        (),
    )
    settled, core = peel(Equilibrium(truss).matrix)
    assert settled == 1
    assert core.shape == (8, 6)
    assert np.linalg.matrix_rank(core.toarray()) == 5


def test_condition_is_that_of_the_matrix() -> None:
    """The condition number is largest over smallest singular value, small for a classroom truss."""
    truss = through_truss("pratt", 6)
    condition = assess(truss).condition
    assert condition == pytest.approx(np.linalg.cond(Equilibrium(truss).matrix.toarray()), rel=1e-9)
    assert condition < 1000
    assert assess(ladder(3)).condition is None
    assert math.isfinite(condition)


def test_doubt_of_the_smallest_singular_value() -> None:
    """The doubt left by a random start solves the Chebyshev inequality, and shrinks with each step."""
    unlikely = math.sqrt(200_000) / 1e-6
    doubts = [_doubt(unlikely, steps) for steps in range(1, 9)]
    assert doubts == sorted(doubts, reverse=True)
    assert doubts[3] == pytest.approx(7.8, abs=0.1)
    for steps, doubt in enumerate(doubts, start=1):
        chebyshev = np.polynomial.Chebyshev.basis(2 * steps - 2)(doubt)
        assert chebyshev * math.sqrt(doubt**4 - 1) == pytest.approx(unlikely, rel=0.1)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"without": (1,)}, r"unstable, with 1 independent mechanism \(m \+ r = 12 \+ 3 = 15, 2j = 16\)"),
        ({"braced": (1,)}, r"indeterminate to degree 1 \(m \+ r = 14 \+ 3 = 17, 2j = 16\)"),
    ],
)
def test_refusal_shows_the_count_as_arithmetic(change: dict[str, tuple[int, ...]], words: str) -> None:
    """A panel without its diagonal and one with two: the sums a person would write beside the refusal."""
    with pytest.raises(NoUniqueSolutionError, match=words):
        solve(replace(strip(3, **change), loads=(Load("t1", 0.0, -1.0),)))
