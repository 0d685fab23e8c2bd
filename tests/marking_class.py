"""A synthetic class marked and compared with what was planted: the figures that the marker is held to."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, field
from functools import cache

from solver import Solution, Truss, solve
from solver import work as work_out
from solver.marking import Answer, Answers, Finding, Marking, mark
from solver.steps import Quantity, SectionStep, ZeroForceStep
from tests.student_papers import (
    HANDS,
    Name,
    PaperOfClass,
    Planted,
    draw_known,
    draw_unknown,
    paper,
    tolerances,
    unit_of,
    worked,
)
from tests.trusses import Case, published_cases

REPORTED = 20_260
"""Seed of the class that figures are reported on; prices of slips were tuned on seeds below 100."""
FEWEST_JOINTS = 5
"""Of a truss in which two slips are planted: in a triangle nobody can tell two slips from one."""
HONEST, ONE, TWO = 0.3, 0.45, 0.25
"""Shares of a class without a slip, with one, with two."""


@cache
def workable() -> tuple[Case, ...]:
    """Give the published cases with loads that joints alone solve."""
    cases = [case for case in published_cases() if case.facts.get("verified_forces") and case.facts["loads"]]
    return tuple(case for case in cases if worked(case.facts) is not None)


@cache
def _key(name: str) -> tuple[Solution, dict[Name, float], list[Name]]:
    case = next(case for case in workable() if case.id == name)
    work = worked(case.facts)
    assert work is not None
    slack = tolerances(case.facts, work.written)
    names = {quantity_of(name): name for name in work.written}
    sheet = [names[quantity] for quantity in _worked_order(case.truss) if quantity in names]
    return solve(case.truss), slack, sheet


def _worked_order(truss: Truss) -> list[Quantity]:
    """Give the quantities in the order of the worked solution."""
    order: list[Quantity] = []
    for step in work_out(truss).steps:
        order += [result.quantity for result in getattr(step, "results", ())]
        if isinstance(step, SectionStep):
            order.append(step.result.quantity)
        if isinstance(step, ZeroForceStep):
            order += [Quantity("member", member) for member in step.members]
    return list(dict.fromkeys(order))


def draw_paper(seed: int, *, known: bool, slips: int) -> PaperOfClass:
    """Draw one paper with so many slips that show."""
    draw = random.Random(seed)  # noqa: S311  a seed, so that a class can be drawn again
    while True:
        case = draw.choice(workable())
        if slips > 1 and len(case.truss.joints) < FEWEST_JOINTS:
            continue
        planted = tuple((draw_known if known else draw_unknown)(case.facts, draw) for _ in range(slips))
        if len({slip.kind for slip in planted}) < len(planted):
            continue
        _, slack, sheet = _key(case.id)
        hand, order = draw.choice(HANDS), draw.randrange(10**6)
        found = paper(case.facts, planted, hand, order, slack=slack, sheet=sheet)
        if found is not None:
            return found


def class_of(size: int, seed: int) -> list[PaperOfClass]:
    """Draw a class with known slips, one or two at a time, and honest rounding."""
    draw = random.Random(seed)  # noqa: S311  a seed, so that a class can be drawn again
    counts = draw.choices((0, 1, 2), (HONEST, ONE, TWO), k=size)
    return [
        draw_paper(seed * 100_003 + number, known=True, slips=count) for number, count in enumerate(counts)
    ]


def class_of_unknown(size: int, seed: int) -> list[PaperOfClass]:
    """Draw papers with one slip each of kinds that the marker does not know."""
    return [draw_paper(seed * 100_003 + number, known=False, slips=1) for number in range(size)]


def quantity_of(name: Name) -> Quantity:
    """Name an answer as the solver does."""
    if name[0] == "member":
        return Quantity("member", (name[1], name[2]))
    return Quantity("reaction", (name[1],), name[2])


def marked(one: PaperOfClass) -> Marking:
    """Mark a synthetic paper."""
    answers = []
    for name, value in one.written.items():
        step = unit_of(value, one.hand.figures)
        sense = None if name[0] == "reaction" or not value else "T" if value > 0 else "C"
        answers.append(Answer(quantity_of(name), abs(value) if sense else value, step, sense=sense))
    return mark(_key(one.facts["id"])[0], Answers("A. Student", tuple(answers)))


def names(finding: Finding, slip: Planted) -> bool:
    """Tell whether a finding names a planted slip: its kind, and its joint, member or load."""
    return any(_same(found, slip) for found in finding.slips)


def _same(found, slip: Planted) -> bool:
    about = None if found.quantity is None else (found.quantity.kind, *found.quantity.joints)
    member = slip.member[:3] if slip.member and slip.member[0] == "member" else slip.member[:2]
    match slip.kind:
        case "trig_at":
            return found.kind == "sine and cosine" and (about == member or found.joint == slip.joint)
        case "trig_joint":
            return found.kind == "sine and cosine" and found.joint == slip.joint
        case "trig_member":
            return found.kind == "sine and cosine" and (about == member or found.joint in slip.member[1:])
        case "trig_all":
            return found.kind == "sine and cosine"
        case "component_out":
            return found.kind == "component left out" and found.joint == slip.joint and about == member
        case "component_sign":
            return found.kind in {"component sign", "sense", "direction"} and about == member
        case "rounded":
            return found.kind == "rounding"
        case "half_each":
            return found.kind == "reactions halved"
        case "load_out_joint" | "load_out_whole" | "load_out_all":
            return found.kind == "load left out" and about == ("load", slip.joint)
        case "load_sign_joint" | "load_sign_whole" | "load_sign_all":
            return found.kind == "load sign" and about == ("load", slip.joint)
        case "reactions_swapped":
            return found.kind == "reactions swapped"
        case "lever_arm":
            return found.kind == "lever arm" and about == ("load", slip.joint)
        case "sense_all":
            return found.kind == "sense" and about is None
        case "sense_written" | "sense_carried":
            return found.kind in {"sense", "direction", "component sign"} and about == member
        case "unit_all":
            return found.kind == "unit" and about is None
        case "unit_one":
            return found.kind == "unit" and about == member
        case "digits_written" | "digits_carried":
            return found.kind == "digits" and about == member
    return False


@dataclass
class Score:
    """What a class came to."""

    papers: int = 0
    answers: int = 0
    agreed: int = 0
    senses: int = 0
    senses_agreed: int = 0
    planted: int = 0
    named: int = 0
    alone: int = 0
    """Planted slips named as the only one, not as one of two."""
    clean: int = 0
    accused: int = 0
    """Clean papers in which a slip was named."""
    misnamed_papers: int = 0
    """Papers with such a finding."""
    misnamed: int = 0
    """Findings in papers with slips that name none of those planted."""
    by_kind: Counter = field(default_factory=Counter)
    named_by_kind: Counter = field(default_factory=Counter)
    notes: list[str] = field(default_factory=list)

    @property
    def agreement(self) -> float:
        """Share of sizes and senses marked as a careful person would."""
        return (self.agreed + self.senses_agreed) / max(self.answers + self.senses, 1)

    def lines(self) -> str:
        """Print the figures."""
        kinds = ", ".join(
            f"{kind} {self.named_by_kind[kind]}/{count}" for kind, count in sorted(self.by_kind.items())
        )
        return (
            f"{self.papers} papers, {self.answers} sizes and {self.senses} senses: "
            f"{self.agreement:.2%} marked as by hand\n"
            f"planted {self.planted}, named {self.named} ({self.named / max(self.planted, 1):.1%}), "
            f"alone {self.alone}\n"
            f"clean papers {self.clean}, accused {self.accused}; "
            f"findings beside the planted: {self.misnamed}\n"
            f"{kinds}"
        )


def score(papers: list[PaperOfClass]) -> Score:
    """Mark a class and compare."""
    total = Score()
    for number, one in enumerate(papers):
        _add(total, number, one, marked(one))
    return total


def _add(total: Score, number: int, one: PaperOfClass, marking: Marking) -> None:
    total.papers += 1
    found = {mark.quantity: mark for mark in marking.marks}
    inverted = any(slip.kind == "sense_all" for slip in one.slips)
    for name, truth in one.truth.items():
        mark = found[quantity_of(name)]
        total.answers += 1
        total.agreed += mark.outcome == truth.size
        if truth.sense:
            total.senses += 1
            # Inverted throughout: one of them is paid for, whichever comes first.
            same = inverted and {mark.sense, truth.sense} == {"wrong", "followed"}
            total.senses_agreed += mark.sense == truth.sense or same
        if mark.outcome != truth.size or (truth.sense and mark.sense != truth.sense and not same):
            total.notes.append(
                f"{number} {one.facts['id']} {name}: {mark.outcome}/{mark.sense}, "
                f"by hand {truth.size}/{truth.sense}, wrote {mark.answer} key {mark.key} tol {mark.tolerance}"
            )
    if not one.slips:
        total.clean += 1
        total.accused += bool(marking.findings)
    for slip in one.slips:
        total.planted += 1
        total.by_kind[slip.kind] += 1
        hits = [finding for finding in marking.findings if names(finding, slip)]
        if hits:
            total.named += 1
            total.named_by_kind[slip.kind] += 1
            total.alone += len(hits[0].slips) == 1
        else:
            total.notes.append(
                f"{number} {one.facts['id']} {one.hand} not named: {slip}; "
                f"{len(one.slips)} slips; found {[finding.slips for finding in marking.findings]}"
            )
    strangers = [f for f in marking.findings if not any(names(f, slip) for slip in one.slips)]
    total.misnamed += len(strangers)
    total.misnamed_papers += bool(strangers)
    for finding in strangers:
        total.notes.append(
            f"{number} {one.facts['id']} beside: {finding.slips} {finding.likelihood:.2f}; "
            f"planted {one.slips}"
        )
