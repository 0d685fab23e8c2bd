"""Faults of a model: all of them together, each with names and a cure; and loads brought to the joints."""

from __future__ import annotations

import math
import pickle
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solver import (
    DeckLoad,
    Joint,
    Load,
    Member,
    MemberLoad,
    SolverError,
    Support,
    Truss,
    TrussError,
    assess,
    joint_loads,
    load_shares,
    solve,
    work,
)
from tests.samples import sampled
from tests.strategies import careless
from tests.trusses import three_bar, through_truss


def kinds(error: TrussError) -> set[str]:
    """Collect the kinds of fault of an error."""
    return {fault.kind for fault in error.faults}


def refuse(**changes: Any) -> TrussError:
    """Change the three-bar truss so that it is refused."""
    with pytest.raises(TrussError) as caught:
        replace(three_bar(), **changes)
    return caught.value


J, M = three_bar().joints, three_bar().members

FAULTS = [
    ("repeated name", {"joints": (*J, Joint("A", 1, 7)), "members": M}, ("A",)),
    ("coincident joints", {"joints": (*J, Joint("D", 4, 3)), "members": (*M, Member("A", "D"))}, ("C", "D")),
    ("no length", {"members": (*M, Member("A", "A"))}, ("A",)),
    ("doubled member", {"members": (*M, Member("B", "A"))}, ("A", "B")),
    (
        "member through a joint",
        {"joints": (*J, Joint("D", 4, 0)), "members": (*M, Member("C", "D"))},
        ("D",),
    ),
    ("unknown joint", {"members": (*M, Member("A", "Q"))}, ("Q",)),
    ("unknown joint", {"loads": (Load("Q", 1, 1),)}, ("Q",)),
    ("unknown joint", {"supports": (Support("Q", "pin"),)}, ("Q",)),
    ("unknown joint", {"deck_loads": (DeckLoad(("A", "Q"), 0, -1),)}, ("Q",)),
    ("joint with no member", {"joints": (*J, Joint("D", 9, 9))}, ("D",)),
    ("not a number", {"joints": (*J[:2], Joint("C", math.nan, 3))}, ("C",)),
    ("not a number", {"joints": (*J[:2], Joint("C", "4", 3))}, ("C",)),
    ("not a number", {"loads": (Load("C", True, 3),)}, ("C",)),
    ("out of range", {"loads": (Load("C", math.inf, 3),)}, ("C",)),
    ("out of range", {"loads": (Load("C", 10**400, 3),)}, ("C",)),
    ("out of range", {"members": (*M[:2], Member("B", "C", weight=-1.0))}, ()),
    ("no stiffness", {"members": (*M[:2], Member("B", "C", stiffness=0.0))}, ()),
    ("unknown support", {"supports": (Support("A", "glue"),)}, ("A",)),
    ("doubled support", {"supports": (Support("A", "pin"), Support("A", "roller"))}, ("A",)),
    ("no direction", {"supports": (Support("A", "roller", (0, 0)),)}, ("A",)),
    ("not a number", {"supports": (Support("A", "roller", (0,)),)}, ("A",)),
    ("unknown unit", {"length_unit": "furlong"}, ()),
    ("unknown unit", {"force_unit": "kg"}, ()),
    ("short deck", {"deck_loads": (DeckLoad(("A",), 0, -1),)}, ()),
    ("repeated deck joint", {"deck_loads": (DeckLoad(("A", "B", "A"), 0, -1),)}, ("A", "B", "A")),
    ("load between joints", {"member_loads": (MemberLoad("A", "B", 2, 0, -1),)}, ()),
    ("unknown member", {"member_loads": (MemberLoad("A", "Q", 2, 0, -1, share=True),)}, ()),
    ("off the member", {"member_loads": (MemberLoad("A", "B", 12, 0, -1, share=True),)}, ()),
    ("no joints", {"joints": ()}, ()),
    ("no members", {"members": ()}, ()),
    ("no name", {"joints": (*J[:2], Joint("", 4, 3))}, ()),
]


@pytest.mark.parametrize(("kind", "changes", "joints"), FAULTS, ids=[fault[0] for fault in FAULTS])
def test_each_fault_is_named(kind: str, changes: dict[str, Any], joints: tuple[str, ...]) -> None:
    """Every fault has its own kind, names the joints concerned in its sentence, and ends it like one."""
    error = refuse(**changes)
    fault = next(fault for fault in error.faults if fault.kind == kind)
    assert set(fault.joints) >= set(joints)
    for name in joints:
        assert name in fault.sentence
    assert fault.sentence.endswith(".")
    assert fault.sentence[0].isupper() or fault.sentence[0] in "'0123456789"


def test_faults_are_reported_together() -> None:
    """One error lists all that is wrong, wherever it is, and what lacks too."""
    error = refuse(
        joints=(*J, Joint("A", 1, 7), Joint("E", 4, 3), Joint("F", math.nan, 0)),
        members=(*M, Member("A", "A"), Member("C", "Z"), Member("B", "A")),
        supports=(),
        loads=(Load("Y", 0, -1),),
        length_unit="ell",
    )
    assert kinds(error) >= {
        "repeated name",
        "coincident joints",
        "not a number",
        "no length",
        "unknown joint",
        "doubled member",
        "joint with no member",
        "no supports",
        "unknown unit",
    }
    assert str(error).count("\n") == len(error.faults) - 1


def test_lacks_wait_for_solving() -> None:
    """A truss without supports or loads can be assessed, and solving names both lacks."""
    bare = replace(three_bar(), supports=(), loads=())
    assert assess(bare).verdict == "unstable"
    with pytest.raises(TrussError) as caught:
        solve(bare)
    assert kinds(caught.value) == {"no supports", "no loads"}
    with pytest.raises(TrussError, match="carries no load"):
        solve(replace(three_bar(), loads=(Load("C", 0.0, -0.0),)))


def test_lists_are_as_good_as_tuples() -> None:
    """A truss made from lists is the same truss."""
    truss = three_bar()
    again = Truss(list(truss.joints), list(truss.members), list(truss.supports), list(truss.loads))
    assert again == truss


def test_errors_travel() -> None:
    """Errors can be pickled, as programs that work in several processes need."""
    error = refuse(length_unit="ell")
    assert pickle.loads(pickle.dumps(error)).faults == error.faults  # noqa: S301  our own bytes


def test_crossing_members_need_no_joint() -> None:
    """Members that cross away from joints are sound."""
    truss = Truss(
        tuple(Joint(n, x, y) for n, x, y in (("A", 0, 0), ("B", 2, 0), ("C", 2, 2), ("D", 0, 2))),
        tuple(Member(*pair) for pair in ("AB", "BC", "CD", "DA", "AC", "BD")),
        (Support("A", "pin"), Support("B", "roller")),
        (Load("C", 1.0, 0.0),),
    )
    assert assess(truss).self_stress == 1


def test_slow_and_quick_checks_agree_on_joints_on_members() -> None:
    """The banded search for joints on members finds what comparing everything with everything finds."""
    from solver.geometry import joints_on_members  # noqa: PLC0415  no part of the front door

    rng = np.random.default_rng(5)
    for _ in range(40):
        at = rng.integers(0, 7, (25, 2)).astype(float) * rng.choice([1.0, 1e-3, 1e4], 2)
        at = np.unique(at, axis=0)
        ends = rng.integers(0, len(at), (40, 2))
        ends = ends[ends[:, 0] != ends[:, 1]]
        wanted = []
        for member, (start, end) in enumerate(ends):
            span = at[end] - at[start]
            length = np.hypot(*span)
            for joint in range(len(at)):
                offset = at[joint] - at[start]
                across = abs(offset[0] * span[1] - offset[1] * span[0]) / length
                along = offset @ span / length
                if joint not in (start, end) and across <= 1e-6 * length and 0 < along < length:
                    wanted.append((member, joint))
        assert joints_on_members(at, ends) == wanted


def test_deck_load_by_tributary_length() -> None:
    """A deck load goes to deck joints by half the stretches beside them, and each share is stated."""
    truss = replace(
        through_truss("pratt", 4, panel=3.0),
        loads=(),
        deck_loads=(DeckLoad(("L0", "L1", "L2", "L4"), 0.0, -2.0),),
    )
    shares = load_shares(truss)
    assert [(share.joint, share.length, share.fy) for share in shares] == [
        ("L0", 1.5, -3.0),
        ("L1", 3.0, -6.0),
        ("L2", 4.5, -9.0),
        ("L4", 3.0, -6.0),
    ]
    assert {share.kind for share in shares} == {"deck"}
    assert joint_loads(truss)[:, 1].sum() == pytest.approx(-2.0 * 12.0)
    assert any(type(step).__name__ == "LoadStep" for step in work(truss).steps)


def test_self_weight_halves_to_the_ends() -> None:
    """Each member gives half its weight to either end; reactions carry the whole weight."""
    truss = three_bar()
    truss = replace(truss, loads=(), members=tuple(replace(member, weight=2.0) for member in truss.members))
    whole = 2.0 * (8 + 5 + 5)
    assert joint_loads(truss)[:, 1] == pytest.approx([-13.0, -13.0, -10.0])
    assert sum(reaction.fy for reaction in solve(truss).reactions) == pytest.approx(whole)
    assert sum(share.fy for share in load_shares(truss)) == pytest.approx(-whole)


def test_load_between_joints_is_not_moved_silently() -> None:
    """It is refused with the reason; on request the lever rule shares it, with a warning about bending."""
    error = refuse(member_loads=(MemberLoad("A", "B", 2.0, 0.0, -8.0),))
    assert "members of a truss carry only axial force" in str(error)
    assert "lever rule" in str(error)
    truss = replace(three_bar(), loads=(), member_loads=(MemberLoad("A", "B", 2.0, 1.0, -8.0, share=True),))
    assert joint_loads(truss).tolist() == [[0.75, -6.0], [0.25, -2.0], [0.0, 0.0]]
    assert [notice.kind for notice in solve(truss).warnings] == ["lever rule"]


def test_load_off_its_member_is_measured_from_its_start_wherever_the_truss_stands() -> None:
    """Member A-B is 8 long, also far from the origin: 9 along it is off the member, 8 is its end."""
    joints = tuple(Joint(joint.name, joint.x + 100.0, joint.y + 40.0) for joint in three_bar().joints)
    with pytest.raises(TrussError, match="acts 9 from A, but the member is 8 long"):
        replace(three_bar(), joints=joints, member_loads=(MemberLoad("A", "B", 9.0, 0.0, -1.0, share=True),))
    at_the_end = replace(
        three_bar(), joints=joints, member_loads=(MemberLoad("A", "B", 8.0, 0.0, -1.0, share=True),)
    )
    assert joint_loads(at_the_end)[1].tolist() == [0.0, -1.0]


def test_roller_that_carries_nothing_is_not_told_to_pull() -> None:
    """Loads over the pin alone leave the roller at rest: no warning."""
    assert solve(replace(three_bar(), loads=(Load("A", 3.0, -7.0),))).warnings == ()


def test_roller_that_pulls_is_noticed() -> None:
    """A roller that would have to hold the truss down gets a warning that names its joint."""
    solution = solve(replace(three_bar(), loads=(Load("C", 30.0, 0.0), Load("C", -70.0, 0.0))))
    assert [(notice.kind, notice.joints) for notice in solution.warnings] == [("roller pulls", ("B",))]


@settings(
    max_examples=sampled(10_000, 1_500),
    deadline=20_000,  # ms, far above what any needs: stops a hang, not a busy machine
    derandomize=True,
    suppress_health_check=list(HealthCheck),
)
@given(st.integers(0, 2**32 - 1))
def test_ten_thousand_malformed_models(seed: int) -> None:
    """Every model ends in a solver error with a sentence, or in an answer that balances and is finite.

    Ten thousand with `--thorough`, 1,500 otherwise.
    """
    try:
        solution = work(Truss(**careless(seed))).solution
    except SolverError as error:
        assert len(str(error)) > 10  # noqa: PT017  either outcome is right
        return
    numbers = [*solution.forces, *(part for each in solution.reactions for part in (each.fx, each.fy))]
    assert np.isfinite(numbers).all()
    assert solution.checks.joint_residual <= 1e-9 * max(np.abs(numbers).max(), solution.checks.largest_load)


def test_malformed_models_reach_every_end() -> None:
    """The models above are no straw men: among them are answers, all verdicts and each kind of fault."""
    wanted = {kind for kind, _, _ in FAULTS} | {"no supports", "no loads", "solved", "no unique answer"}
    wanted |= {"determinate", "indeterminate", "unstable", "unstable and indeterminate"}
    seen: set[str] = set()
    for seed in range(4000):
        if seen >= wanted:
            break
        try:
            truss = Truss(**careless(seed))
            seen.add(assess(truss).verdict)
            solve(truss)
            seen.add("solved")
        except TrussError as error:
            seen.update(kinds(error))
        except SolverError:
            seen.add("no unique answer")
    assert seen >= wanted


def test_place_of_the_origin_does_not_matter() -> None:
    """A small truss far from the origin is as sound as at it, and has the same forces."""
    near = three_bar()
    places = [(joint.x / 4096 + 2**20, joint.y / 4096 - 2**20) for joint in near.joints]
    far = replace(near, joints=tuple(Joint(name, *at) for name, at in zip("ABC", places, strict=True)))
    assert solve(far).forces == pytest.approx(solve(near).forces, rel=1e-5)
