"""Pens, pencils, chalk and markers, and the hand that moves them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vision.training.sketch import Sketch

__all__ = ["Hand", "arc", "choose_hand", "draw_line", "ring"]


@dataclass(frozen=True)
class Hand:
    """How steadily lines are drawn. Lengths are in units of the drawing."""

    width: float
    """Of the stroke."""
    bow: float = 0.0
    """Sag of a line in parts of its length, either way."""
    wobble: float = 0.0
    """Tremble in units of the drawing."""
    gap: float = 0.0
    """Mean distance by which a line stops short of its joint; negative overshoots."""
    loose: float = 0.0
    """Standard deviation of where a line starts and ends."""
    again: float = 0.0
    """Chance that a line is drawn over a second time."""
    patchy: float = 0.0
    """How much strength differs from line to line."""


def choose_hand(rng: np.random.Generator, width: float, *, ruler: bool) -> Hand:
    """Return a careful hand with a ruler, or a free one."""
    if ruler:
        return Hand(
            width,
            gap=float(rng.choice([0.0, 0.0, 0.004, -0.01])),
            loose=rng.uniform(0, 0.003),
            again=0.05,
            patchy=rng.uniform(0, 0.25),
        )
    return Hand(
        width,
        bow=abs(rng.normal(0, 0.012)),
        wobble=rng.uniform(0.0003, 0.0025),
        gap=rng.normal(0.0, 0.007),
        loose=rng.uniform(0.001, 0.006),
        again=float(rng.choice([0.0, 0.05, 0.3])),
        patchy=rng.uniform(0, 0.35),
    )


def _tremble(rng: np.random.Generator, along: NDArray[np.float64], size: float) -> NDArray[np.float64]:
    """Slow waves along a line, dying at neither end."""
    waves = np.zeros_like(along)
    for k in (1.3, 2.9, 5.7, 11.0):
        waves += rng.normal(0, 1 / np.sqrt(k)) * np.sin(k * np.pi * along + rng.uniform(0, 6.3))
    return size * waves


def draw_line(
    sketch: Sketch,
    start: NDArray[np.float64],
    end: NDArray[np.float64],
    *,
    hand: Hand,
    rng: np.random.Generator,
    trims: tuple[float, float] = (0.0, 0.0),
    ink: int = 0,
    part: str = "member",
    dashes: float = 0.0,
) -> NDArray[np.float64]:
    """Draw a line as the hand does, and return the middle of its ink prolonged to `start` and `end`, (K, 2).

    `trims` shortens the line at its ends (a circle drawn there); `dashes` is the length of a dash, 0 for a
    full line.
    """
    along = end - start
    length = float(np.hypot(*along))
    if length < 1e-9:
        return np.stack([start, end])
    unit = along / length
    across = np.array([-unit[1], unit[0]])
    sag = rng.choice([-1.0, 1.0]) * hand.bow * length
    first = trims[0] + hand.gap + rng.normal(0, hand.loose)
    last = trims[1] + hand.gap + rng.normal(0, hand.loose)
    first, last = (min(v, 0.35 * length) for v in (first, last))
    sides = rng.normal(0, hand.loose * 0.6, 2)
    kept: NDArray[np.float64] | None = None
    for _ in range(2 if rng.random() < hand.again else 1):
        steps = int(np.clip(length / 0.015, 8, 60))
        t = np.linspace(first / length, 1 - last / length, steps)
        off = 4 * sag * t * (1 - t) + _tremble(rng, t, hand.wobble) + sides[0] * (1 - t) + sides[1] * t
        if kept is not None:
            off = off + rng.normal(0, 1.2 * hand.width + 0.5 * hand.loose)
        points = start + np.outer(t * length, unit) + np.outer(off, across)
        strength = 1 - hand.patchy * rng.random()
        if dashes:
            per = max(2, int(steps * dashes / length))
            for k in range(0, steps, 2 * per):
                sketch.line(points[k : k + per + 1], hand.width, ink=ink, part=part, strength=strength)
        else:
            sketch.line(points, hand.width, ink=ink, part=part, strength=strength)
        kept = points if kept is None else kept
    assert kept is not None
    # A line that runs past its joint belongs to the member only as far as the joint.
    inside = kept[((kept - start) @ unit > 0) & ((kept - start) @ unit < length)]
    return np.concatenate([start[None], inside, end[None]])


def arc(
    centre: NDArray[np.float64],
    radius: float,
    angles: tuple[float, float],
    *,
    steps: int = 24,
    squash: float = 1.0,
    lean: float = 0.0,
) -> NDArray[np.float64]:
    """Return points (steps, 2) of an arc; radians, clockwise in the picture."""
    a = np.linspace(*angles, steps)
    flat = np.column_stack([radius * np.cos(a), radius * squash * np.sin(a)])
    turn = np.array([[np.cos(lean), np.sin(lean)], [-np.sin(lean), np.cos(lean)]])
    return np.asarray(np.asarray(centre) + flat @ turn, dtype=np.float64)


def ring(
    centre: NDArray[np.float64],
    radius: float,
    *,
    rng: np.random.Generator,
    careless: float,
) -> NDArray[np.float64]:
    """Return points of a circle drawn by hand: egg-shaped, and not quite closed or closed twice."""
    start = rng.uniform(0, 2 * np.pi)
    turn = 2 * np.pi + careless * rng.normal(0.2, 0.8)
    points = arc(
        centre,
        radius,
        (start, start + turn),
        steps=28,
        squash=1 + careless * rng.normal(0, 0.15),
        lean=rng.uniform(0, np.pi),
    )
    drift = np.linspace(0, 1, len(points))[:, None] * rng.normal(0, 0.12 * careless * radius, 2)
    wave = careless * 0.05 * radius * np.sin(np.linspace(0, 2 * np.pi, len(points)) * 2 + rng.uniform(0, 6))
    away = points - centre
    return np.asarray(points + drift + away / radius * wave[:, None])
