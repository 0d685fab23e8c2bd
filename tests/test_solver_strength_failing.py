"""What gives way first: hand-worked load factors, and chances against closed forms."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from solver import (
    Joint,
    Load,
    Member,
    NoUniqueSolutionError,
    QuestionError,
    Support,
    Truss,
    joint_covariance,
    solve,
    solve_with_stiffness,
)
from solver.errors import StockError
from solver.strength import (
    MATERIALS,
    SETTINGS,
    Figure,
    JointStrength,
    Material,
    Piece,
    Standing,
    chances_of,
    demand_of,
    rectangle,
    square,
    standing_of,
    update_strength,
)

STRIP = Piece(rectangle(10, 2), MATERIALS["birch"])
STRONG = Piece(square(100), MATERIALS["steel"])


def triangle(*, load: float = -12.0, weight: float = 0.0) -> Truss:
    """Return a 3-4-5 triangle in mm and N: A-B pulls 2/3 of the load, A-C and B-C push 5/6 of it."""
    return Truss(
        joints=(Joint("A", 0, 0), Joint("B", 80, 0), Joint("C", 40, 30)),
        members=tuple(Member(*ends, weight=weight) for ends in ("AB", "AC", "BC")),
        supports=(Support("A", "pin"), Support("B", "roller")),
        loads=(Load("C", 0, load),),
        length_unit="mm",
        force_unit="N",
    )


def stand(truss: Truss, *pieces: Piece, **options: object) -> Standing:
    """Hold a truss against its pieces; one piece serves all members."""
    every = pieces if len(pieces) > 1 else pieces * len(truss.members)
    return standing_of(demand_of(truss, every), every, **options)  # type: ignore[arg-type]


def ladder(panels: int) -> Truss:
    """Return a beam truss with parallel chords and one diagonal a panel."""
    bottom = [Joint(f"L{i}", 100.0 * i, 0) for i in range(panels + 1)]
    top = [Joint(f"U{i}", 100.0 * i, 100) for i in range(panels + 1)]
    pairs = [(f"{side}{i}", f"{side}{i + 1}") for side in "LU" for i in range(panels)]
    pairs += [(f"L{i}", f"U{i}") for i in range(panels + 1)]
    pairs += [(f"L{i}", f"U{i + 1}") for i in range(panels)]
    return Truss(
        joints=(*bottom, *top),
        members=tuple(Member(*pair) for pair in pairs),
        supports=(Support("L0", "pin"), Support(f"L{panels}", "roller")),
        loads=tuple(Load(f"L{i}", 0, -10) for i in range(1, panels)),
        length_unit="mm",
        force_unit="N",
    )


def crossed() -> Truss:
    """Return a square panel with both diagonals, once redundant."""
    return Truss(
        joints=(Joint("A", 0, 0), Joint("B", 100, 0), Joint("C", 100, 100), Joint("D", 0, 100)),
        members=tuple(Member(*ends) for ends in ("AB", "BC", "CD", "DA", "AC", "BD")),
        supports=(Support("A", "pin"), Support("B", "roller")),
        loads=(Load("C", 20, -30),),
        length_unit="mm",
        force_unit="N",
    )


def test_the_triangle_by_hand() -> None:
    """A-C carries 10 N and buckles at pi² 11000 (10 2³/12) / 50² = 289.5 N: factor 28.95, 347 N in all."""
    standing = stand(triangle(), STRIP)
    bottom, left, right = standing.checks
    assert bottom.force == pytest.approx(8)
    assert bottom.capacity.mode == "tension"
    assert bottom.utilization == pytest.approx(8 / (85 * 20))
    assert left.force == pytest.approx(-10)
    assert left.capacity.mode == "buckling"
    assert left.load_factor == pytest.approx(28.95, abs=0.005)
    assert left.utilization * left.load_factor == pytest.approx(1)
    assert standing.failure_load == pytest.approx(347.4, abs=0.05)
    assert {check.name for check in standing.governing} == {"A-C", "B-C"}
    assert standing.ranking[-1] == bottom
    assert right.load_factor == pytest.approx(left.load_factor)


def test_mass_is_volume_times_density() -> None:
    """180 mm of 20 mm² at 616 kg/m³: 2.218 g, by hand."""
    assert stand(triangle(), STRIP).mass == pytest.approx(2.2176)


def test_a_long_thin_member_goes_before_a_shorter_one_that_carries_more() -> None:
    """The question behind every classroom bridge: force alone does not say which member fails."""
    standing = stand(ladder(8), STRIP)
    lengths = dict(zip((check.name for check in standing.checks), standing.demand.lengths, strict=True))
    first = standing.governing[0]
    assert first.capacity.mode == "buckling"
    assert [
        check.name
        for check in standing.checks
        if check.force < first.force < 0 and lengths[check.name] < lengths[first.name]
    ]


def test_units_do_not_matter() -> None:
    """The same triangle in inches and pounds-force fails at the same newtons."""
    metric = triangle()
    imperial = Truss(
        joints=tuple(Joint(joint.name, joint.x / 25.4, joint.y / 25.4) for joint in metric.joints),
        members=metric.members,
        supports=metric.supports,
        loads=(Load("C", 0, -12 / 4.4482216152605),),
        length_unit="in",
        force_unit="lbf",
    )
    one, other = stand(metric, STRIP), stand(imperial, STRIP)
    assert other.failure_load == pytest.approx(one.failure_load, rel=1e-12)
    assert other.mass == pytest.approx(one.mass, rel=1e-12)
    covariance = joint_covariance(np.full(3, 0.5))
    drawn = chances_of(one, joint_covariance=covariance, draws=500)
    same = chances_of(other, joint_covariance=covariance / 25.4**2, draws=500)
    assert same.interval == pytest.approx(drawn.interval, rel=1e-6)


def test_self_weight_does_not_grow_with_the_load() -> None:
    """Weight w of each length unit puts w (50 + 0) N on C: the load may grow by that much less, by hand.

    C carries half of A-C and half of B-C, 50 w together, so that failure is at 12 f + 50 w = 347.4 N.
    """
    light, heavy = stand(triangle(), STRIP), stand(triangle(weight=1.0), STRIP)
    assert heavy.failure_load == pytest.approx(light.failure_load - 50, rel=1e-9)
    assert stand(triangle(weight=10.0), STRIP).load_factor == 0.0


def test_a_load_upwards_turns_the_modes_round() -> None:
    """Pull C up: the sloping members are in tension and the bottom one buckles over 80 mm."""
    standing = stand(triangle(load=12.0), STRIP)
    assert [check.capacity.mode for check in standing.checks] == ["buckling", "tension", "tension"]
    assert standing.governing[0].name == "A-B"


def test_a_joint_can_be_what_fails() -> None:
    """At C two members of 10 N are glued for 50 N each: load factor 5, before any stick."""
    standing = stand(triangle(), STRIP, joint_strengths=(JointStrength("C", 50),))
    assert [(check.name, check.load_factor) for check in standing.governing] == [("C", pytest.approx(5))]
    assert standing.governing[0].capacity.mode == "joint"
    drawn = chances_of(standing)
    assert drawn.first[3] > 0.99
    with pytest.raises(StockError, match="no joint X"):
        stand(triangle(), STRIP, joint_strengths=(JointStrength("X", 50),))


def test_chances_of_one_member_against_the_closed_form() -> None:
    """One member can fail: its factor is lognormal with the scatter of E (22 %), quantiles from scipy."""
    standing = stand(triangle(), STRONG, STRIP, STRONG)
    drawn = chances_of(standing, draws=40_000, seed=3)
    spread = math.sqrt(math.log(1 + 0.22**2))
    exact = stats.lognorm(spread, scale=standing.load_factor * math.exp(-(spread**2) / 2))
    low, high = (exact.ppf(share) * 12 for share in (0.05, 0.95))
    assert drawn.interval == pytest.approx((low, high), rel=0.01)
    assert drawn.median == pytest.approx(exact.ppf(0.5) * 12, rel=0.01)
    assert drawn.log_spread == pytest.approx(spread, rel=0.02)
    assert drawn.first.tolist() == [0, 1, 0]
    assert stats.kstest(drawn.factors, exact.cdf).pvalue > 0.001


def test_chances_of_two_equal_members_against_the_closed_form() -> None:
    """The weaker of two: P(both above x) is the square of P(one above x); each is first half of the time."""
    standing = stand(triangle(), STRONG, STRIP, STRIP)
    drawn = chances_of(standing, draws=40_000, seed=5)
    spread = math.sqrt(math.log(1 + 0.22**2))
    exact = stats.lognorm(spread, scale=standing.load_factor * math.exp(-(spread**2) / 2))
    assert stats.kstest(drawn.factors, lambda x: 1 - exact.sf(x) ** 2).pvalue > 0.001
    assert drawn.first == pytest.approx([0, 0.5, 0.5], abs=4 * 0.5 / math.sqrt(40_000))


def sure(material: Material) -> Material:
    """Return the material without scatter."""
    return replace(
        material,
        **{
            name: replace(getattr(material, name), scatter=0.0)
            for name in ("modulus", "tension", "compression")
        },
    )


@pytest.mark.parametrize("truss", [triangle(load=12.0), crossed()], ids=["determinate", "indeterminate"])
def test_geometry_alone_spreads_as_the_solver_says(truss: Truss) -> None:
    """With sure sticks in tension the spread of the force is the solver's own first-order standard error."""
    piece = Piece(rectangle(10, 2), sure(MATERIALS["birch"]))
    covariance = joint_covariance(np.full(len(truss.joints), 0.1))
    demand = demand_of(truss, (piece,) * len(truss.members))
    answer = solve if demand.determinate else solve_with_stiffness
    expected = answer(demand.truss, joint_covariance=covariance).force_errors
    found = np.sqrt(np.einsum("ij,jk,ik->i", demand.live_by_place, covariance, demand.live_by_place))
    assert found == pytest.approx(expected, rel=1e-6, abs=1e-9)
    pulled = int(np.argmax(demand.live))
    pieces = [STRONG] * len(truss.members) if demand.determinate else [piece] * len(truss.members)
    pieces[pulled] = piece
    if demand.determinate:
        standing = standing_of(demand, pieces)
        drawn = chances_of(standing, joint_covariance=covariance, draws=40_000)
        inverse = 1 / drawn.factors
        assert inverse.std() / inverse.mean() == pytest.approx(
            expected[pulled] / demand.live[pulled], rel=0.03
        )


def test_stiffness_moves_forces_of_a_redundant_truss() -> None:
    """A diagonal one per cent stiffer draws the force that the stiffness solution gives it."""
    truss = crossed()
    demand = demand_of(truss, (STRIP,) * 6)
    stiffer = replace(STRIP.material, modulus=Figure(11_000 * 1.01, "one per cent more"))
    changed = demand_of(truss, (*(STRIP,) * 4, replace(STRIP, material=stiffer), STRIP))
    assert changed.live - demand.live == pytest.approx(0.01 * demand.live_by_stiffness[:, 4], rel=0.01)
    # All members together stiffer by one share leave the forces alone.
    assert demand.live_by_stiffness.sum(axis=1) == pytest.approx(0, abs=1e-6)
    assert chances_of(standing_of(demand, (STRIP,) * 6)).first.sum() == pytest.approx(1)


def test_the_same_seed_gives_the_same_answer() -> None:
    """Seeded draws repeat; another seed moves the interval by little."""
    standing = stand(ladder(6), STRIP)
    covariance = joint_covariance(np.full(14, 0.5))
    one, same, other = (chances_of(standing, joint_covariance=covariance, seed=seed) for seed in (1, 1, 2))
    assert np.array_equal(one.factors, same.factors)
    assert other.interval == pytest.approx(one.interval, rel=0.02)
    assert one.interval[0] < one.median < one.interval[1]
    assert one.median < standing.failure_load
    assert one.first.sum() == pytest.approx(1)


def test_the_published_curve_lowers_every_answer() -> None:
    """The interaction between crushing and Euler is below both."""
    plain, curved = (stand(ladder(3), STRIP, curve=curve) for curve in ("least", "interaction"))
    assert curved.load_factor < plain.load_factor
    assert chances_of(curved).median < chances_of(plain).median


def test_one_test_updates_the_class_by_its_weight() -> None:
    """Equal spreads share the logarithm half and half: a bridge at 0.64 of the prediction says 0.8."""
    update = update_strength(100, (64,), scatter=0.2, batch=0.2)
    assert update.factor == pytest.approx(0.8)
    assert update.weight == pytest.approx(0.5)
    assert update.high / update.factor == pytest.approx(math.exp(2 * 0.2 / math.sqrt(2)))
    many = update_strength(100, (64,) * 400, scatter=0.2, batch=0.2)
    assert many.factor == pytest.approx(0.64, abs=0.002)
    assert many.low < 0.64 < many.high


def test_update_against_the_posterior_by_integration() -> None:
    """Prior times likelihood on a fine grid gives the same mean and weight."""
    logs = np.linspace(-2, 2, 200_001)
    tests = np.log(np.array([80.0, 95.0, 70.0]) / 100)
    density = stats.norm(0, 0.2).pdf(logs) * np.prod(
        [stats.norm(logs, 0.15).pdf(one) for one in tests], axis=0
    )
    mean = float((logs * density).sum() / density.sum())
    error = math.sqrt(float(((logs - mean) ** 2 * density).sum() / density.sum()))
    update = update_strength(100, (80, 95, 70), scatter=0.15)
    assert math.log(update.factor) == pytest.approx(mean, abs=1e-9)
    assert math.log(update.high / update.low) == pytest.approx(4 * error, abs=1e-9)


def test_questions_that_cannot_be_answered() -> None:
    """No load, a load on a support, a loose truss, odd covariances and tests: each says why."""
    truss = triangle()
    with pytest.raises(StockError, match="one piece for each of the 3"):
        demand_of(truss, (STRIP,))
    with pytest.raises(StockError, match="stand on the supports"):
        stand(replace(truss, loads=(Load("A", 0, -1),)), STRIP)
    with pytest.raises(StockError, match="no load besides self-weight"):
        stand(replace(triangle(weight=1.0), loads=()), STRIP)
    with pytest.raises(NoUniqueSolutionError):
        stand(replace(truss, supports=(Support("A", "pin"),)), STRIP)
    with pytest.raises(QuestionError, match="6 by 6"):
        chances_of(stand(truss, STRIP), joint_covariance=np.eye(4))
    with pytest.raises(QuestionError, match="one draw"):
        chances_of(stand(truss, STRIP), draws=0)
    with pytest.raises(QuestionError, match="above zero"):
        update_strength(100, (0,), scatter=0.2)
    with pytest.raises(QuestionError, match="spread of batches"):
        update_strength(100, (90,), scatter=-1)
    assert SETTINGS.draws == 10_000
