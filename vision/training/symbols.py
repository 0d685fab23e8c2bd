"""Supports and load arrows on a sheet, in the many ways in which they are drawn."""

from __future__ import annotations

import numpy as np

from vision.training.draughtsman import Draughtsman, Symbol, box_of
from vision.training.paint import Points
from vision.training.pens import ring

__all__ = ["draw_loads", "draw_supports"]


def draw_supports(pad: Draughtsman) -> None:
    """Draw the symbols of the supports at their joints."""
    for row, rest in enumerate(pad.scene.shape.rests):
        start = len(pad.sketch.strokes)
        _support(pad, rest.joint, rest.kind, np.array(rest.normal) * [1, -1])
        points = np.concatenate([s.points for s in pad.sketch.strokes[start:]])
        pad.out.supports.append(Symbol(row, points))
        pad.out.taken.append(box_of(points, 0.01))


def _hatch(pad: Draughtsman, middle: Points, along: Points, away: Points, half: float) -> None:
    depth = half * pad.rng.uniform(0.25, 0.5)
    count = int(pad.rng.integers(4, 9))
    for t in np.linspace(-0.9, 1.0, count):
        foot = middle + along * half * t
        pad.stroke(np.stack([foot, foot + away * depth - along * depth * 0.8]), factor=0.6)


def _support(pad: Draughtsman, joint: int, kind: str, push: Points) -> None:
    style, rng = pad.style, pad.rng
    push = push / np.hypot(*push)
    along = np.array([push[1], -push[0]])
    size = style.support * rng.uniform(0.8, 1.2)
    # With a small mark the triangle's tip is at the joint itself, with a large one at its rim.
    apex = pad.out.joints[joint] - push * (pad.radii[joint] if pad.style.mark in {"circle", "mixed"} else 0.0)
    half = size * rng.uniform(0.5, 0.75)
    base = apex - push * size
    ground_half = half * rng.uniform(1.1, 1.7)
    if kind == "roller" and rng.random() < 0.45:  # a wheel only
        radius = size * 0.42
        pad.stroke(ring(apex - push * radius, radius, rng=rng, careless=style.careless))
        base = apex - push * radius * 2
    else:
        triangle = np.stack([apex, base - along * half, base + along * half, apex])
        if style.solid and rng.random() < 0.5:
            pad.sketch.patch([triangle], strength=0.8)
        pad.stroke(triangle)
        if kind == "roller":
            wheels = int(rng.integers(1, 4))
            radius = size * rng.uniform(0.12, 0.2)
            if rng.random() < 0.25:  # a bare second line
                base = base - push * radius
            else:
                for t in np.linspace(-0.6, 0.6, wheels) if wheels > 1 else [0.0]:
                    centre = base - push * radius + along * half * t
                    pad.stroke(ring(centre, radius, rng=rng, careless=style.careless), factor=0.7)
                base = base - push * 2 * radius
    if kind == "roller" or rng.random() < 0.8:
        ends = np.stack([base - along * ground_half, base + along * ground_half])
        pad.stroke(ends)
    if rng.random() < 0.65:
        _hatch(pad, base, along, -push, ground_half)


def draw_loads(pad: Draughtsman) -> None:
    """Draw the load arrows and write their sizes beside them."""
    texts = pad.scene.load_texts
    for row, pull in enumerate(pad.scene.shape.pulls):
        way = np.array(pull.direction) * [1, -1]
        tail, head = _arrow(pad, pull.joint, way / np.hypot(*way))
        pad.out.arrows.append(Symbol(row, np.stack([tail, head])))
        pad.out.taken.append(box_of(np.stack([tail, head]), 0.015))
        if row < len(texts) and texts[row]:
            side = np.array([way[1], -way[0]])
            spots: list[tuple[Points, Points]] = []
            for reach in (0.1, 0.35, 0.6, 0.0):
                spots.extend((tail + (head - tail) * reach, side * sign) for sign in (1, -1))
            pad.text(texts[row], "load", spots, ink=pad.style.load_ink)


def _arrow(pad: Draughtsman, joint: int, way: Points) -> tuple[Points, Points]:
    style, rng = pad.style, pad.rng
    at = pad.out.joints[joint]
    length = style.arrow * rng.uniform(0.7, 1.3)
    ways = []
    for a, b in pad.scene.shape.members:
        if joint in (a, b):
            other = pad.out.joints[b if a == joint else a] - at
            ways.append(other / np.hypot(*other))
    pushes = max((float(-way @ w) for w in ways), default=-1.0)
    pulls = max((float(way @ w) for w in ways), default=-1.0)
    gap = pad.radii[joint] + style.hand.width * rng.uniform(0.2, 2.5)
    if pushes <= pulls or (pulls < 0.8 and rng.random() < 0.1):
        head = at - way * gap
        tail = head - way * length
        if pushes > 0.97 and pulls < 0.97:
            tail, head = at + way * gap, at + way * (gap + length)
    else:
        tail, head = at + way * gap, at + way * (gap + length)
    pad.head_line(tail, head, ink=style.load_ink)
    return tail, head
