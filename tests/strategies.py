"""Random trusses: sound ones built joint by joint, and models that are wrong in every way."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
from hypothesis import strategies as st

from solver import DeckLoad, Joint, Load, Member, MemberLoad, Support, Truss
from solver.geometry import joints_on_members

Point = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class ExactTruss:
    """A determinate truss with rational data, and the order in which it was built."""

    truss: Truss
    points: tuple[Point, ...]
    parents: tuple[tuple[int, int], ...]
    """For joint 2 onwards: the two earlier joints that it was joined to."""
    pin: int
    roller: int
    normal: Point
    loads: dict[int, Point]


def build(seed: int, joints: int) -> ExactTruss:
    """Build a simple truss: start with one member, and join each new joint to the two ends of a member.

    Coordinates are eighths, so that doubles hold them exactly.
    """
    rng = np.random.default_rng(seed)
    points: list[Point] = [(Fraction(0), Fraction(0)), (Fraction(4), Fraction(1))]
    places = [(float(x), float(y)) for x, y in points]
    members, parents = [(0, 1)], []
    while len(points) < joints:
        start, end = members[int(rng.integers(max(0, len(members) - 12), len(members)))]
        (ax, ay), (bx, by) = points[start], points[end]
        side = int(rng.choice([-1, 1]))
        along = Fraction(int(rng.integers(1, 8)), 8)
        away = side * Fraction(int(rng.integers(5, 9)), 8)
        x = ax + along * (bx - ax) - away * (by - ay)
        y = ay + along * (by - ay) + away * (bx - ax)
        point = (Fraction(round(x * 8), 8), Fraction(round(y * 8), 8))
        if point in points:
            continue
        new = len(points)
        longer = [*places, (float(point[0]), float(point[1]))]
        more = [*members, (start, new), (end, new)]
        if joints_on_members(np.array(longer), np.array(more)):
            continue
        parents.append((start, end))
        points.append(point)
        places, members = longer, more
    pin, roller = (int(row) for row in rng.choice(joints, 2, replace=False))
    normal = (Fraction(int(rng.integers(-3, 4)), 2), Fraction(int(rng.integers(1, 7)), 2))
    loaded = rng.choice(joints, min(joints, 1 + int(rng.integers(0, 6))), replace=False)
    loads = {
        int(row): (Fraction(int(rng.integers(-80, 81)), 8), Fraction(int(rng.integers(-80, -7)), 8))
        for row in loaded
    }
    truss = Truss(
        tuple(Joint(f"J{i}", float(x), float(y)) for i, (x, y) in enumerate(points)),
        tuple(Member(f"J{start}", f"J{end}") for start, end in members),
        (
            Support(f"J{pin}", "pin"),
            Support(f"J{roller}", "roller", (float(normal[0]), float(normal[1]))),
        ),
        tuple(Load(f"J{row}", float(fx), float(fy)) for row, (fx, fy) in loads.items()),
    )
    return ExactTruss(truss, tuple(points), tuple(parents), pin, roller, normal, loads)


def exact_trusses(least: int = 3, most: int = 200) -> st.SearchStrategy[ExactTruss]:
    """Draw sound determinate trusses with rational data."""
    return st.builds(build, st.integers(0, 2**32 - 1), st.integers(least, most))


def exact_forces(exact: ExactTruss) -> tuple[list[float], Point, Point] | None:
    """Solve in fractions: member forces, pin reaction, roller reaction; none if the reactions are not three.

    Unknown is the force per length of each member, so that square roots enter only at the end. Reactions come
    from the whole truss, then joints are taken away in the reverse of the order in which they were joined on.
    """
    points, loads = exact.points, exact.loads
    px, py = points[exact.pin]
    rx, ry = points[exact.roller]
    nx, ny = exact.normal
    arm = (rx - px) * ny - (ry - py) * nx
    if arm == 0:
        return None
    moment = sum(
        ((points[row][0] - px) * fy - (points[row][1] - py) * fx for row, (fx, fy) in loads.items()),
        Fraction(0),
    )
    push = -moment / arm
    roller = (push * nx, push * ny)
    pin = (
        -sum((fx for fx, _ in loads.values()), Fraction(0)) - roller[0],
        -sum((fy for _, fy in loads.values()), Fraction(0)) - roller[1],
    )
    on = [list(loads.get(row, (Fraction(0), Fraction(0)))) for row in range(len(points))]
    for row, force in ((exact.pin, pin), (exact.roller, roller)):
        on[row][0] += force[0]
        on[row][1] += force[1]
    density: dict[tuple[int, int], Fraction] = {}
    for row in range(len(points) - 1, 1, -1):
        first, second = exact.parents[row - 2]
        ax, ay = (points[first][axis] - points[row][axis] for axis in (0, 1))
        bx, by = (points[second][axis] - points[row][axis] for axis in (0, 1))
        size = ax * by - ay * bx
        fx, fy = on[row]
        density[first, row] = (-fx * by + fy * bx) / size
        density[second, row] = (-ax * fy + ay * fx) / size
        for other, (dx, dy) in ((first, (ax, ay)), (second, (bx, by))):
            on[other][0] -= density[other, row] * dx
            on[other][1] -= density[other, row] * dy
    dx, dy = (points[1][axis] - points[0][axis] for axis in (0, 1))
    density[0, 1] = -(on[0][0] * dx + on[0][1] * dy) / (dx * dx + dy * dy)
    forces = []
    for member in exact.truss.members:
        start, end = (int(name[1:]) for name in (member.start, member.end))
        value = density[start, end]
        squared = value**2 * sum((points[end][axis] - points[start][axis]) ** 2 for axis in (0, 1))
        forces.append(math.copysign(root(squared), value))
    return forces, pin, roller


def root(value: Fraction) -> float:
    """Take the square root of a fraction to a double's precision."""
    if value == 0:
        return 0.0
    shift = 120 + 2 * max(0, value.denominator.bit_length() - value.numerator.bit_length())
    shift += shift % 2
    return float(Fraction(math.isqrt((value.numerator << shift) // value.denominator), 1 << (shift // 2)))


ODD_NUMBERS: tuple[Any, ...] = (
    *(0.0, -0.0, -1.0, 0.5, 1e-9, 1.0 + 1e-10, 5e-324, 1e-120, 1e-99, 1e99, 1e120, 1e308, 2, 7),
    *(math.nan, math.inf, -math.inf, None, "1", True, 10**400, 1 + 2j, Fraction(1, 3), np.float64(2.5), [1]),
)
ODD_NAMES: tuple[Any, ...] = ("", "Q", None, 3, "ä–é", ["A"], "A ")


def careless(seed: int) -> dict[str, Any]:
    """Make the parts of a model as a careless person or program might, with slips of every kind."""
    rng = random.Random(seed)  # noqa: S311  no secret
    slips = rng.choice((0.0, 0.0, 0.02, 0.1, 0.4))

    def number(*sound: float) -> Any:
        return rng.choice(ODD_NUMBERS) if rng.random() < slips else rng.choice(sound)

    def name(*sound: str) -> Any:
        return rng.choice(ODD_NAMES) if rng.random() < slips else rng.choice(sound)

    count = rng.randint(3, 6)
    letters = "ABCDEF"[:count]
    grid = (0.0, 1.0, 2.0, 3.0, 4.0)
    places = rng.sample([(x, y) for x in grid for y in grid], count)
    joints = [
        Joint(letter if rng.random() >= slips / 2 else name(*letters), number(x), number(y))
        for letter, (x, y) in zip(letters, places, strict=True)
    ]
    pairs = [(first, second) for place, first in enumerate(letters) for second in letters[:place]]
    chosen = rng.sample(pairs, min(len(pairs), max(1, 2 * count - 3 + rng.choice((-1, 0, 0, 0, 1)))))
    members = [
        Member(name(first), name(second), number(0.0), None if rng.random() >= slips else number(1.0, 0.0))
        for first, second in chosen
    ]
    if rng.random() < slips / 2:
        members.append(rng.choice(members))
    held = rng.sample(letters, 2)
    kinds: tuple[Any, ...] = ("pin", "roller") if rng.random() > slips else ("roller", "glue", None)
    supports = [
        Support(name(letter), kind, (number(0.0, 1.0), number(1.0)) if rng.random() > slips else number(1.0))
        for letter, kind in zip(held, kinds, strict=False)
    ]
    if rng.random() < slips:
        supports = rng.choice(([], [*supports, *supports[:1]], [Support("A", "roller", (0.0, 0.0))]))
    loads = [
        Load(name(*letters), number(-3.0, 0.0, 2.0), number(-8.0, -1.0))
        for _ in range(rng.randint(1, 3))
        if rng.random() > slips / 2
    ]
    model: dict[str, Any] = {"joints": joints, "members": members, "supports": supports, "loads": loads}
    if rng.random() < slips:
        model["joints"] = rng.choice(([], joints[:1], [*joints, joints[0]], joints))
    if rng.random() < slips:
        model["members"] = rng.choice(([], members[:1], members))
    if rng.random() < slips:
        model["length_unit"] = rng.choice(("m", "parsec", None))
        model["force_unit"] = rng.choice(("kN", "kg", 7))
    if rng.random() < slips:
        deck = tuple(name(*letters) for _ in range(rng.randint(1, 3)))
        model["deck_loads"] = [DeckLoad(deck, number(0.0), number(-1.0))]
    if rng.random() < slips:
        first, second = rng.choice(pairs)
        share = rng.random() < 0.7
        model["member_loads"] = [
            MemberLoad(name(first), name(second), number(0.5, 9.0), number(0.0), number(-1.0), share)
        ]
    return model
