"""What a page says: a truss with names, loads, dimensions and remarks, before anybody has drawn it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from vision.training.shape import Shape

__all__ = ["Measure", "Scene", "random_scene", "reading_order"]


@dataclass(frozen=True)
class Measure:
    """A dimension to be drawn: `across`, `up`, `along` or `angle` between two joints."""

    kind: str
    start: int
    end: int
    text: str


@dataclass(frozen=True, eq=False)
class Scene:
    """A truss and all that is written about it."""

    shape: Shape
    names: tuple[str, ...] = ()
    """One for each joint, or none at all."""
    load_texts: tuple[str, ...] = ()
    """One for each load of the shape; an empty text is not written."""
    measures: tuple[Measure, ...] = ()
    title: str = ""
    notes: tuple[str, ...] = ()
    """Lines written in the free room below or above."""


def reading_order(shape: Shape) -> list[int]:
    """Return the rows of the joints bottom row first, each row from left to right."""
    ys = shape.joints[:, 1]
    tolerance = 0.06 * float(np.ptp(shape.joints, axis=0).max())
    order = np.argsort(ys, kind="stable")
    rows: list[list[int]] = []
    for i in order.tolist():
        if rows and ys[i] - ys[rows[-1][0]] <= tolerance:
            rows[-1].append(i)
        else:
            rows.append([i])
    return [i for row in rows for i in sorted(row, key=lambda k: float(shape.joints[k, 0]))]


_UNITS = ("kN", "N", "kip", "lb", "kN", "kN", "")
_LENGTHS = ("m", "m", "mm", "cm", "ft", "")
_TITLES = (
    "Homework 4", "Quiz 2", "Problem 3", "Truss A", "Ex. 6.12", "Roof frame", "Find all bar forces",
    "Bridge 1", "Name: ______", "Statics", "Test B", "Method of joints", "No. 7", "Group 5", "Tuesday 14.3.",
)  # fmt: skip
_NOTES = (
    "ΣFx = 0", "ΣFy = 0", "ΣMA = 0", "RA + RB = 12", "AC = 4.5 kN (T)", "BD = -3.2", "tan θ = 3/4",
    "m + r = 2j", "5 + 3 = 8", "FAB cos 60 = 10", "check!", "= 16.7 kN", "sin 45 = 0.707", "h = 2.4 m",
    "Ay = 6", "EA = const", "zero bar", "see p. 41", "x 2", "ok", "P = 8 kN", "L/4", "a) reactions",
    "b) members", "c) draw",
)  # fmt: skip


def _names(rng: np.random.Generator, shape: Shape) -> tuple[str, ...]:
    count = len(shape.joints)
    order = reading_order(shape) if rng.random() < 0.7 else rng.permutation(count).tolist()
    scheme = rng.random()
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    names = [""] * count
    for k, i in enumerate(order):
        if scheme < 0.65:
            names[i] = letters[k % 26] + ("'" if k >= 26 else "")
        elif scheme < 0.85:
            names[i] = str(k + 1)
        elif scheme < 0.93:
            names[i] = letters[k % 26].lower()
        else:
            names[i] = f"{'UL'[int(shape.joints[i, 1] < 0.05)]}{k}"
    return tuple(names)


def _value(rng: np.random.Generator) -> str:
    kind = rng.random()
    if kind < 0.5:
        return str(int(rng.integers(1, 60)))
    if kind < 0.75:
        return f"{rng.uniform(0.5, 30):.1f}"
    return str(int(rng.integers(1, 50)) * 10)


def _load_text(rng: np.random.Generator, unit: str) -> str:
    if rng.random() < 0.2:
        return str(rng.choice(["P", "F", "2P", "W", "Q", "P/2"]))
    return f"{_value(rng)} {unit}".strip()


def random_measures(rng: np.random.Generator, shape: Shape, busy: float) -> tuple[Measure, ...]:
    """Return dimensions as a teacher writes them: panels or span below, a height at the side, an angle."""
    points = shape.joints
    unit = str(rng.choice(_LENGTHS))
    low = [i for i in range(len(points)) if points[i, 1] < points[:, 1].min() + 0.04]
    low.sort(key=lambda i: float(points[i, 0]))
    out: list[Measure] = []

    def text() -> str:
        return f"{_value(rng)} {unit}".strip()

    if len(low) >= 2 and rng.random() < 0.9 * busy:
        if len(low) > 2 and rng.random() < 0.6:
            same = text()
            for a, b in pairwise(low):
                out.append(Measure("across", a, b, same if rng.random() < 0.7 else text()))
        if not out or rng.random() < 0.3:
            out.append(Measure("across", low[0], low[-1], text()))
    if rng.random() < 0.7 * busy:
        top = int(np.argmax(points[:, 1]))
        out.append(Measure("up", low[-1] if low else 0, top, text()))
    if rng.random() < 0.35 * busy and low:
        ends = [m for m in shape.members if low[0] in m]
        leaning = [m for m in ends if abs(points[m[0], 1] - points[m[1], 1]) > 0.1]
        if leaning:
            a, b = leaning[0]
            start, end = (a, b) if a == low[0] else (b, a)
            out.append(Measure("angle", start, end, f"{int(rng.choice([30, 45, 60, 37, 53]))}°"))
    if rng.random() < 0.25 * busy:
        a, b = shape.members[int(rng.integers(len(shape.members)))]
        out.append(Measure("along", a, b, text()))
    return tuple(out)


def random_scene(rng: np.random.Generator, shape: Shape, *, busy: float, clutter: float) -> Scene:
    """Write about a truss by chance; `busy` and `clutter` go from 0 (bare) to 1."""
    if rng.random() > busy * 1.1:
        shape = Shape(shape.name, shape.joints, shape.members, shape.rests if rng.random() < 0.5 else ())
    unit = str(rng.choice(_UNITS))
    notes: list[str] = []
    if rng.random() < clutter:
        notes = [
            str(n) for n in rng.choice(_NOTES, size=int(rng.integers(1, 2 + int(7 * clutter))), replace=False)
        ]
    return Scene(
        shape,
        names=_names(rng, shape) if rng.random() < 0.35 + 0.6 * busy else (),
        load_texts=tuple(_load_text(rng, unit) if rng.random() < 0.85 else "" for _ in shape.pulls),
        measures=random_measures(rng, shape, busy),
        title=str(rng.choice(_TITLES)) if rng.random() < 0.25 + 0.5 * clutter else "",
        notes=tuple(notes),
    )
