"""Least stock against every combination and linear programming; what a step of strengthening gains."""

from __future__ import annotations

import itertools
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import linprog

from solver import Joint, Load, OutOfReachError, StockError, Truss
from solver.equilibrium import Equilibrium
from solver.strength import (
    MATERIALS,
    JointStrength,
    Option,
    Piece,
    demand_of,
    laminated,
    least_stock,
    rectangle,
    square,
    standing_of,
    stressed_areas,
    upgrades,
)
from tests.test_solver_strength_failing import STRIP, crossed, ladder, triangle

BIRCH = MATERIALS["birch"]
AT_HAND = (
    Option("1 strip", rectangle(10, 2), BIRCH),
    Option("2 strips", laminated(10, 2, 2), BIRCH),
    Option("3 strips", laminated(10, 2, 3), BIRCH),
    Option("balsa 5 mm", square(5), MATERIALS["balsa"]),
)
THIN = Option("thin strip", rectangle(10, 1), BIRCH)


def by_every_combination(truss: Truss, target: float, options: tuple[Option, ...]) -> float:
    """Return the least mass of all choices that carry the target, by trying each."""
    pieces = (STRIP,) * len(truss.members)
    best = np.inf
    fixed = demand_of(truss, pieces)
    for choice in itertools.product(options, repeat=len(truss.members)):
        chosen = tuple(option.put(piece) for option, piece in zip(choice, pieces, strict=True))
        demand = fixed if fixed.determinate else demand_of(truss, chosen)
        standing = standing_of(demand, chosen)
        if standing.load_factor >= target * (1 - 1e-9):
            best = min(best, standing.mass)
    return best


@pytest.mark.parametrize("target", [3.0, 10.0, 25.0, 40.0, 80.0])
def test_least_stock_of_determinate_trusses_against_every_combination(target: float) -> None:
    """No choice of the 4 options in 3 members, or of 3 in 5 members, is lighter."""
    for truss, options in ((triangle(), AT_HAND), (panel(), AT_HAND[:3])):
        if truss != triangle() and target > 30:
            continue  # out of reach of the panel
        pieces = (STRIP,) * len(truss.members)
        choice = least_stock(truss, pieces, options, target=target)
        assert choice.standing.mass == pytest.approx(by_every_combination(truss, target, options))
        assert choice.standing.load_factor >= target
        assert choice.turns == (pytest.approx(choice.standing.mass),)


def panel() -> Truss:
    """Return a square panel with one diagonal, loaded at one top joint."""
    whole = crossed()
    return replace(whole, members=whole.members[:-1])


@pytest.mark.parametrize(
    ("target", "options"),
    [
        (0.5, (THIN, AT_HAND[0])),
        (3.0, AT_HAND[1:3]),
        (5.0, AT_HAND[1::2]),
        (8.0, AT_HAND[1::2]),
        (14.0, AT_HAND[:2]),
    ],
)
def test_least_stock_of_an_indeterminate_truss_against_every_combination(
    target: float, options: tuple[Option, ...]
) -> None:
    """All 64 choices, forces solved anew for each: the turns end on the lightest that carries the target.

    That no single member can be lighter is promised, the lightest of all is not; on this panel it is found.
    """
    choice = least_stock(crossed(), (STRIP,) * 6, options, target=target)
    assert choice.standing.mass == pytest.approx(by_every_combination(crossed(), target, options))
    assert choice.standing.load_factor >= target * (1 - 1e-9)
    assert len(choice.turns) >= 2
    assert choice.turns[-1] == pytest.approx(choice.standing.mass)


def test_an_indeterminate_truss_out_of_reach() -> None:
    """No combination carries it, and the turns say so too."""
    assert by_every_combination(crossed(), 20.0, AT_HAND[:2]) == np.inf
    with pytest.raises(OutOfReachError, match="B-C"):
        least_stock(crossed(), (STRIP,) * 6, AT_HAND[:2], target=20.0)


@pytest.mark.parametrize("panels", [2, 4, 7])
def test_stressed_areas_against_linear_programming(panels: int) -> None:
    """Least weight with forces free to choose within equilibrium is the same, by scipy's linprog (HiGHS).

    Minimise the sum of density x length x (pull / f_t + push / f_c) with A (pull - push) + B r = -p.
    """
    truss = ladder(panels)
    demand = demand_of(truss, (STRIP,) * len(truss.members))
    matrix, loads = Equilibrium(truss).matrix.toarray(), Equilibrium(truss).loads
    count = len(truss.members)
    weight = 1e-6 * BIRCH.density.value * truss.lengths
    free = matrix.shape[1] - count
    cost = np.concatenate((weight / BIRCH.tension.value, weight / BIRCH.compression.value, np.zeros(free)))
    found = linprog(
        cost,
        A_eq=np.hstack((matrix[:, :count], -matrix[:, :count], matrix[:, count:])),
        b_eq=-loads,
        bounds=[(0, None)] * (2 * count) + [(None, None)] * free,
    )
    assert found.success
    areas = stressed_areas(demand, BIRCH)
    assert float(weight @ areas) == pytest.approx(found.fun, rel=1e-9)
    # Every member that carries anything is then exactly at its strength.
    carried = np.abs(demand.live) > 1e-9
    strength = np.where(demand.live > 0, BIRCH.tension.value, BIRCH.compression.value)
    assert np.abs(demand.live)[carried] / areas[carried] == pytest.approx(strength[carried])


def test_linear_programming_bounds_what_real_stock_weighs() -> None:
    """Buckling and whole strips only add: the least stock for the same load weighs more than the bound."""
    truss = ladder(4)
    pieces = (STRIP,) * len(truss.members)
    choice = least_stock(truss, pieces, AT_HAND, target=2.0)
    bound = float(2 * stressed_areas(demand_of(truss, pieces), BIRCH) @ truss.lengths) * BIRCH.density.value
    assert choice.standing.mass > bound * 1e-6


def test_steps_of_strengthening_by_hand() -> None:
    """Doubling both sloping strips (eight times Euler) costs 1.232 g; then the pull governs at 212.5.

    100 mm x 20 mm² x 616 kg/m³ = 1.232 g. Doubled: crushing 1568 N and Euler 2316 N of 50 mm, 156.8 times.
    """
    first, second, *_ = upgrades(triangle(), (STRIP,) * 3, AT_HAND[:3])
    assert first.members == ("A-C", "B-C")
    assert first.options == ("2 strips", "2 strips")
    assert first.grams == pytest.approx(1.232)
    assert first.standing.load_factor == pytest.approx(39.2 * 40 / 10)
    assert first.gain == pytest.approx((156.8 - 28.952) * 12 / 1.232, rel=1e-4)
    assert second.options == ("3 strips", "3 strips")
    assert second.standing.load_factor == pytest.approx(85 * 20 / 8)


@pytest.mark.parametrize("panels", [2, 4, 6])
def test_steps_come_in_order_of_gain_per_gram(panels: int) -> None:
    """Each gains less for a gram than the one before; grams and loads add up from one truss to the next.

    The balsa is lighter than the strips and buckles later: taking it costs no gram at all.
    """
    truss = ladder(panels)
    pieces = (STRIP,) * len(truss.members)
    steps = upgrades(truss, pieces, (*AT_HAND, THIN))
    assert len(steps) > 1
    assert all(before.gain > after.gain for before, after in pairwise(steps))
    standing = standing_of(demand_of(truss, pieces), pieces)
    for step in steps:
        assert step.grams == pytest.approx(step.standing.mass - standing.mass)
        more = step.standing.failure_load - standing.failure_load
        assert more > 0
        assert step.gain == (pytest.approx(more / step.grams) if step.grams > 0 else np.inf)
        standing = step.standing


def test_a_step_that_pays_better_takes_in_the_one_before_it() -> None:
    """The sticks that buckle go from one strip to three at once where the third strip gains most."""
    small = triangle()
    truss = replace(small, joints=tuple(Joint(at.name, 4 * at.x, 4 * at.y) for at in small.joints))
    options = AT_HAND[:3]
    first, *_ = upgrades(truss, (STRIP,) * 3, options)
    assert first.options == ("3 strips", "3 strips")
    direct = tuple(option.put(STRIP) for option in (options[0], options[2], options[2]))
    after = standing_of(demand_of(truss, direct), direct)
    assert first.standing.failure_load == pytest.approx(after.failure_load)
    assert first.grams == pytest.approx(
        after.mass - standing_of(demand_of(truss, (STRIP,) * 3), (STRIP,) * 3).mass
    )


def test_no_other_member_gains_anything() -> None:
    """Whatever is added to a member that does not govern, the failure load stays."""
    truss = ladder(4)
    pieces = [STRIP] * len(truss.members)
    standing = standing_of(demand_of(truss, pieces), pieces)
    governing = {check.name for check in standing.governing}
    for row, check in enumerate(standing.checks):
        changed = list(pieces)
        changed[row] = AT_HAND[2].put(STRIP)
        after = standing_of(demand_of(truss, changed), changed).load_factor
        if check.name not in governing:
            assert after == pytest.approx(standing.load_factor)


def test_a_joint_ends_the_strengthening() -> None:
    """Wood does not help where glue lets go."""
    held = (JointStrength("C", 100),)
    assert upgrades(triangle(), (STRIP,) * 3, AT_HAND[:1], joint_strengths=held) == ()
    assert upgrades(triangle(), (STRIP,) * 3, AT_HAND, joint_strengths=(JointStrength("C", 10),)) == ()


def test_a_target_out_of_reach_is_explained() -> None:
    """It names the members, what they would carry at best, and ways out."""
    with pytest.raises(OutOfReachError, match=r"A-C, B-C would carry 235 times at best.*stronger stock"):
        least_stock(triangle(), (STRIP,) * 3, AT_HAND, target=1000.0)
    many = OutOfReachError(("A-B", "A-C", "A-D", "B-C", "B-D", "C-D", "C-E"), 1.5, 4.0)
    assert "A-B, A-C, A-D, B-C, B-D and 2 more would carry 1.5 times at best" in str(many)
    with pytest.raises(OutOfReachError, match="C would carry 1 times at best"):
        least_stock(triangle(), (STRIP,) * 3, AT_HAND, target=5.0, joint_strengths=(JointStrength("C", 10),))
    with pytest.raises(StockError, match="nothing at hand"):
        least_stock(triangle(), (STRIP,) * 3, (), target=5.0)
    with pytest.raises(StockError, match="target of 0 times"):
        least_stock(triangle(), (STRIP,) * 3, AT_HAND, target=0.0)


def test_how_a_member_is_held_is_kept() -> None:
    """A member with ends held fast needs less: one strip carries what would take two with free ends."""
    held = replace(STRIP, effective_length=0.5)
    free = least_stock(triangle(), (STRIP,) * 3, AT_HAND[:2], target=60.0)
    fast = least_stock(triangle(), (STRIP, held, held), AT_HAND[:2], target=60.0)
    assert [option.name for option in free.options] == ["1 strip", "2 strips", "2 strips"]
    assert [option.name for option in fast.options] == ["1 strip"] * 3
    assert isinstance(fast.standing.pieces[1], Piece)
    assert fast.standing.pieces[1].effective_length == 0.5


def test_more_load_never_takes_less_stock() -> None:
    """Mass grows with the target, and with the load."""
    truss = ladder(3)
    pieces = (STRIP,) * len(truss.members)
    grown = [least_stock(truss, pieces, AT_HAND, target=target).standing.mass for target in (1, 2, 4, 8, 16)]
    assert grown == sorted(grown)
    doubled = replace(truss, loads=tuple(Load(load.joint, load.fx, 2 * load.fy) for load in truss.loads))
    assert least_stock(doubled, pieces, AT_HAND, target=4).standing.mass == pytest.approx(grown[3])
