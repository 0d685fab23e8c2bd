"""Trusses for tests: published cases with their sources, and families with forces in closed form."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from solver import Joint, Load, Member, Support, Truss

PUBLISHED = Path(__file__).parent / "published_cases.json"


@dataclass(frozen=True)
class Case:
    """A published case: its truss and what its source prints about it."""

    id: str
    truss: Truss
    facts: dict[str, Any]

    def __str__(self) -> str:
        return self.id


def case_from(facts: dict[str, Any]) -> Case:
    """Build the truss of one entry of the case file."""
    truss = Truss(
        tuple(Joint(name, float(x), float(y)) for name, (x, y) in facts["joints"].items()),
        tuple(Member(start, end) for start, end in facts["members"]),
        tuple(
            Support(support["joint"], support["kind"], tuple(support["normal"] or (0.0, 1.0)))
            for support in facts["supports"]
        ),
        tuple(Load(load["joint"], *map(float, load["force"])) for load in facts["loads"]),
    )
    return Case(facts["id"], truss, facts)


@cache
def published_cases() -> tuple[Case, ...]:
    """Read the project's own copy of the published cases."""
    return tuple(case_from(facts) for facts in json.loads(PUBLISHED.read_text(encoding="utf-8")))


def published(name: str) -> Case:
    """Give one published case."""
    return next(case for case in published_cases() if case.id == name)


def forces_by_name(truss: Truss, forces: Any) -> dict[str, float]:
    """Key member forces by both spellings of the member."""
    named = {}
    for member, force in zip(truss.members, forces, strict=True):
        named[f"{member.start}-{member.end}"] = named[f"{member.end}-{member.start}"] = float(force)
    return named


def three_bar() -> Truss:
    """Give the smallest truss: a 3-4-5 triangle on a pin and a roller, loaded at its top."""
    return Truss(
        (Joint("A", 0.0, 0.0), Joint("B", 8.0, 0.0), Joint("C", 4.0, 3.0)),
        (Member("A", "B"), Member("A", "C"), Member("B", "C")),
        (Support("A", "pin"), Support("B", "roller")),
        (Load("C", 0.0, -12.0),),
    )


def through_truss(
    kind: str, panels: int, *, panel: float = 4.0, height: float = 3.0, load: float = 10.0
) -> Truss:
    """Build a Pratt, Howe or Warren through truss with equal loads at the inner bottom joints."""
    bottom = [Joint(f"L{i}", i * panel, 0.0) for i in range(panels + 1)]
    members = [Member(f"L{i}", f"L{i + 1}") for i in range(panels)]
    if kind == "warren":
        top = [Joint(f"T{i}", (i - 0.5) * panel, height) for i in range(1, panels + 1)]
        members += [Member(f"T{i}", f"T{i + 1}") for i in range(1, panels)]
        members += [Member(f"L{i - 1}", f"T{i}") for i in range(1, panels + 1)]
        members += [Member(f"T{i}", f"L{i}") for i in range(1, panels + 1)]
    else:
        top = [Joint(f"U{i}", i * panel, height) for i in range(1, panels)]
        members += [Member(f"U{i}", f"U{i + 1}") for i in range(1, panels - 1)]
        members += [Member(f"L{i}", f"U{i}") for i in range(1, panels)]
        members += [Member("L0", "U1"), Member(f"L{panels}", f"U{panels - 1}")]
        half = panels // 2
        for i in range(2, half + 1):
            left = (f"U{i - 1}", f"L{i}") if kind == "pratt" else (f"L{i - 1}", f"U{i}")
            members.append(Member(*left))
        for i in range(half + 1, panels):
            right = (f"L{i - 1}", f"U{i}") if kind == "pratt" else (f"U{i - 1}", f"L{i}")
            members.append(Member(*right))
    return Truss(
        (*bottom, *top),
        tuple(members),
        (Support("L0", "pin"), Support(f"L{panels}", "roller")),
        tuple(Load(f"L{i}", 0.0, -load) for i in range(1, panels)),
    )


def closed_form(kind: str, panels: int, *, panel: float, height: float, load: float) -> dict[str, float]:
    """Give the forces of `through_truss` in its left half from the closed forms of the text books.

    Sources: shear and moment of the equal beam by the method of sections, standard textbook matter (from
    memory); the principle that diagonals carry the shear and chords the moment is read in N. M. Holtz et al.,
    Structural Analysis, Example T-4.
    """

    def shear(i: int) -> float:
        return load * (panels + 1 - 2 * i) / 2

    def moment(i: int) -> float:
        return load * panel * i * (panels - i) / 2

    forces: dict[str, float] = {}
    if kind == "warren":
        slant = math.hypot(panel / 2, height) / height
        for i in range(1, panels + 1):
            forces[f"L{i - 1}-T{i}"] = -shear(i) * slant
            forces[f"T{i}-L{i}"] = shear(i) * slant
            forces[f"L{i - 1}-L{i}"] = (moment(i - 1) + moment(i)) / (2 * height)
            if i < panels:
                forces[f"T{i}-T{i + 1}"] = -moment(i) / height
        return forces
    slant = math.hypot(panel, height) / height
    half = panels // 2
    pratt = kind == "pratt"
    forces["L0-U1"] = -shear(1) * slant
    forces["L0-L1"] = moment(1) / height
    for i in range(2, half + 1):
        forces[f"U{i - 1}-L{i}" if pratt else f"L{i - 1}-U{i}"] = (1 if pratt else -1) * shear(i) * slant
        forces[f"L{i - 1}-L{i}"] = moment(i - 1 if pratt else i) / height
        forces[f"U{i - 1}-U{i}"] = -moment(i if pratt else i - 1) / height
    forces["L1-U1"] = load if pratt else shear(1)
    for i in range(2, half):
        forces[f"L{i}-U{i}"] = -shear(i + 1) if pratt else shear(i)
    forces[f"L{half}-U{half}"] = 0.0 if pratt else load
    return forces
