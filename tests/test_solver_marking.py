"""Marking: right, right on the student's own numbers, or wrong; and slips named only when they fit best."""

from __future__ import annotations

import math

import pytest

from solver import Answer, Answers, Joint, Load, Member, Rubric, Solution, Support, Truss, assess, mark, solve
from solver.marking import Mark, Unreadable, mark_stability
from solver.steps import Quantity
from tests.trusses import three_bar, through_truss


def member(name: str) -> Quantity:
    """Name a member by its ends, such as `A-B`."""
    start, end = name.split("-")
    return Quantity("member", (start, end))


def reaction(joint: str, axis: str) -> Quantity:
    """Name a reaction component."""
    return Quantity("reaction", (joint,), axis)


def paper(**changed: float | None) -> Answers:
    """Give a right paper on the 3-4-5 triangle, four decimals, but for what is changed (None: left out).

    By hand: RA = RB = 6, AC = BC = -6 / 0.6 = -10, AB = 10 * 0.8 = 8.
    """
    values: dict[str, float | None] = {
        "Ax": 0.0, "Ay": 6.0, "Bn": 6.0, "A_B": 8.0, "A_C": -10.0, "B_C": -10.0, **changed
    }  # fmt: skip
    numbers = [
        Answer(
            member(name.replace("_", "-")) if "_" in name else reaction(name[0], name[1]), value, step=0.01
        )
        for name, value in values.items()
        if value is not None
    ]
    asked = [member(n.replace("_", "-")) if "_" in n else reaction(n[0], n[1]) for n in values]
    return Answers("A. Student", tuple(numbers), asked=tuple(asked))


def marks_of(answers: Answers, rubric: Rubric | None = None) -> dict[str, Mark]:
    """Mark a paper on the triangle, by short names."""
    marking = mark(solve(three_bar()), answers, rubric)
    return {"".join(m.quantity.joints) + m.quantity.axis: m for m in marking.marks}


def test_a_right_paper_has_all_credit_and_no_findings() -> None:
    """Everything is right; credit is the sum of what the rubric gives."""
    marking = mark(solve(three_bar()), paper())
    assert {m.outcome for m in marking.marks} == {"right"}
    # Three reactions of 1, two directions of 0.5, three members of 1.5, units 1.
    assert marking.credit == marking.out_of == pytest.approx(3 + 1 + 4.5 + 1)
    assert marking.findings == ()
    assert marking.sources == ()


def test_a_wrong_reaction_is_followed_through() -> None:
    """One wrong reaction, and what is worked from it rightly keeps its credit.

    By hand with RB = 8.37: RA = 12 - 8.37 = 3.63; at B: BC = -8.37 / 0.6 = -13.95, AB = 0.8 * 13.95 = 11.16;
    at A: AC = -3.63 / 0.6 = -6.05.
    """
    marks = marks_of(paper(Bn=8.37, Ay=3.63, B_C=-13.95, A_B=11.16, A_C=-6.05))
    assert marks["Bn"].outcome == "wrong"
    assert {marks[n].outcome for n in ("Ay", "BC", "AB", "AC")} == {"followed"}
    assert marks["BC"].own == pytest.approx(-13.95)
    assert marks["BC"].origin is not None
    assert marks["BC"].origin.name == "B"


def test_follow_through_share_is_the_teachers() -> None:
    """Half credit for what follows, where the rubric says so."""
    followed = marks_of(paper(Bn=8.37, Ay=3.63), Rubric(follow_through=0.5))["Ay"]
    assert followed.credit == pytest.approx(0.5 * 1.0 + 0.5)  # size followed, direction right
    assert followed.out_of == pytest.approx(1.5)


def test_sense_and_size_are_judged_apart() -> None:
    """A right size with the wrong sense keeps the credit for the size."""
    mark_ = marks_of(paper(A_B=-8.0))["AB"]
    assert (mark_.outcome, mark_.sense) == ("right", "wrong")
    assert mark_.credit == pytest.approx(1.0)


def test_units_are_judged_apart() -> None:
    """A number that is right in another unit is right; the unit is not."""
    answers = Answers("A", (Answer(member("A-B"), 8.0, 0.1, "N"), Answer(member("A-C"), -10000.0, 1.0, "N")))
    marking = mark(solve(three_bar()), answers)
    assert [m.outcome for m in marking.marks] == ["right", "right"]
    assert [m.unit for m in marking.marks] == ["wrong", ""]
    assert marking.units is not None
    assert marking.units.outcome == "wrong"


def test_blank_and_unreadable_are_told_apart() -> None:
    """What cannot be read waits for a person; what is blank does not."""
    answers = paper(A_B=None, A_C=None)
    answers = Answers(
        answers.student, answers.numbers, asked=answers.asked, unreadable=(Unreadable(member("A-C"), "1o.0"),)
    )
    marking = mark(solve(three_bar()), answers)
    found = {m.quantity: m for m in marking.marks}
    assert found[member("A-B")].outcome == "blank"
    assert found[member("A-C")].outcome == "unreadable"
    assert found[member("A-C")].text == "1o.0"
    assert marking.waiting == pytest.approx(1.5)


def test_whole_degrees_are_right() -> None:
    """Working with 37 degrees instead of 36.87 moves nothing out of tolerance, however strict the teacher."""
    sine, cosine = math.sin(math.radians(37)), math.cos(math.radians(37))
    slant = -6 / sine
    answers = paper(A_C=round(slant, 2), B_C=round(slant, 2), A_B=round(-slant * cosine, 2))
    marks = marks_of(answers, Rubric(tolerance=0.0001))
    assert {m.outcome for m in marks.values()} == {"right"}


def test_last_figure_given() -> None:
    """A number written to whole kilonewtons is right when it rounds so."""
    truss = through_truss("pratt", 6, panel=3.5)
    solution = solve(truss)
    value = float(solution.forces[0])
    answers = Answers("A", (Answer(Quantity("member", ("L0", "L1")), float(round(value)), 1.0),))
    assert mark(solution, answers, Rubric(tolerance=0.0)).marks[0].outcome == "right"


def test_members_by_either_order_of_their_ends() -> None:
    """C-A is A-C."""
    assert marks_of(Answers("A", (Answer(member("C-A"), -10.0, 0.1),)))["AC"].outcome == "right"


def test_verdict_count_and_angles() -> None:
    """These are marked by themselves."""
    solution = solve(three_bar())
    answers = Answers(
        "A",
        (
            Answer(Quantity("count", (), "m"), 3),
            Answer(Quantity("count", (), "j"), 4),
            Answer(Quantity("angle", ("A", "C")), 37.0, 1.0),
            Answer(Quantity("angle", ("B", "C")), 53.0, 1.0),
        ),
        verdict="determinate",
    )
    outcomes = [m.outcome for m in mark(solution, answers).marks]
    assert outcomes == ["right", "right", "wrong", "right", "wrong"]


def test_verdict_of_a_truss_without_unique_answer() -> None:
    """A square without a diagonal moves: 4 + 3 < 8."""
    square = Truss(
        tuple(Joint(n, x, y) for n, x, y in (("A", 0, 0), ("B", 1, 0), ("C", 1, 1), ("D", 0, 1))),
        tuple(Member(a, b) for a, b in ("AB", "BC", "CD", "DA")),
        (Support("A", "pin"), Support("B", "roller")),
        (Load("C", 1.0, 0.0),),
    )
    answers = Answers("A", (Answer(Quantity("count", (), "r"), 3),), verdict="determinate")
    marking = mark_stability(assess(square), answers)
    assert [m.outcome for m in marking.marks] == ["wrong", "right"]
    assert marking.credit == pytest.approx(0.5)


def pratt() -> Solution:
    """Give a Pratt truss of six panels with unequal loads, so that slips differ from each other."""
    truss = through_truss("pratt", 6)
    loads = tuple(
        Load(load.joint, 0.0, -force) for load, force in zip(truss.loads, (10, 14, 20, 9, 13), strict=True)
    )
    return solve(Truss(truss.joints, truss.members, truss.supports, loads))


def exact_paper(truss: Truss, flipped: frozenset[str] = frozenset()) -> Answers:
    """Give all forces and reactions of a truss to four figures, some senses flipped."""
    solution = solve(truss)
    numbers = []
    for item, force in zip(truss.members, solution.forces.tolist(), strict=True):
        sign = -1.0 if f"{item.start}-{item.end}" in flipped else 1.0
        numbers.append(Answer(Quantity("member", (item.start, item.end)), sign * round(force, 2), 0.01))
    for item in solution.reactions:
        if item.kind == "pin":
            numbers.append(Answer(Quantity("reaction", (item.joint,), "x"), round(item.fx, 2), 0.01))
            numbers.append(Answer(Quantity("reaction", (item.joint,), "y"), round(item.fy, 2), 0.01))
        else:
            numbers.append(Answer(Quantity("reaction", (item.joint,), "n"), round(item.fy, 2), 0.01))
    return Answers("A. Student", tuple(numbers))


def test_a_forgotten_load_is_named() -> None:
    """All numbers of the same truss without one load: the load is named, and it alone."""
    key = pratt()
    without = Truss(key.truss.joints, key.truss.members, key.truss.supports, key.truss.loads[1:])
    (finding,) = mark(key, exact_paper(without)).findings
    (slip,) = finding.slips
    assert (slip.kind, slip.scope, slip.quantity) == (
        "load left out", "throughout", Quantity("load", ("L1",))
    )  # fmt: skip
    assert len(finding.explains) >= 4


def test_senses_inverted_throughout_are_one_slip() -> None:
    """Every sense is the other way round: one slip, paid for once."""
    key = pratt()
    every = frozenset(f"{item.start}-{item.end}" for item in key.truss.members)
    marking = mark(key, exact_paper(key.truss, every))
    (finding,) = marking.findings
    assert (finding.slips[0].kind, finding.slips[0].scope) == ("sense", "throughout")
    assert sum(m.sense == "wrong" for m in marking.marks) == 1
    assert all(m.outcome == "right" for m in marking.marks)


def test_random_numbers_are_accused_of_nothing() -> None:
    """Numbers without rhyme or reason are wrong, and no slip is named."""
    key = pratt()
    numbers = tuple(
        Answer(answer.quantity, round(11.3 + 7.7 * number % 31, 2), 0.01)
        for number, answer in enumerate(exact_paper(key.truss).numbers)
    )
    assert mark(key, Answers("A", numbers)).findings == ()


def test_a_blank_does_not_spoil_what_follows() -> None:
    """A reaction left blank, and members worked from its wrong value: they follow all the same."""
    key = pratt()
    without = Truss(key.truss.joints, key.truss.members, key.truss.supports, key.truss.loads[1:])
    answers = exact_paper(without)
    blank = Quantity("reaction", ("L6",), "n")
    kept = tuple(answer for answer in answers.numbers if answer.quantity != blank)
    marking = mark(key, Answers("A", kept, asked=tuple(answer.quantity for answer in answers.numbers)))
    assert {m.quantity for m in marking.marks if m.outcome == "blank"} == {blank}
    (finding,) = marking.findings
    assert finding.slips[0].quantity == Quantity("load", ("L1",))


def test_members_follow_from_the_students_own_angle() -> None:
    """AC taken at 30 degrees from the start: AC = -6 / 0.5 = -12, and what is worked from it follows.

    By hand at A: AB = 12 cos 30 = 10.39; at B, whose angle is right: BC = -6 / 0.6 = -10.
    """
    answers = paper(A_C=-12.0, A_B=10.39)
    angle = Answer(Quantity("angle", ("A", "C")), 30.0, 1.0)
    marking = mark(solve(three_bar()), Answers("A", (angle, *answers.numbers)))
    outcomes = {m.quantity: m.outcome for m in marking.marks}
    assert outcomes[Quantity("angle", ("A", "C"))] == "wrong"
    assert outcomes[member("A-C")] == outcomes[member("A-B")] == "followed"
    assert outcomes[member("B-C")] == "right"
