"""Wild drawings: a graph or a plain truss drawn by some hand, with names, numbers, ticks, supports, loads."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.clutter import words
from vision.training.wild.marks import Marks
from vision.training.wild.shapes import graph, truss
from vision.training.wild.strokes import Hand, Pen, bowed, circle_mark, scribble, stroke, write
from vision.training.wild.symbols import draw_arrow, draw_dimension, draw_support

__all__ = ["draw_structure"]

Rng = np.random.Generator
Points = NDArray[np.float64]


def _place(rng: Rng, at: Points, box: tuple[float, float, float, float]) -> Points:
    """Fit unit points into a box (x, y, width, height) with some turn, shear and perspective."""
    x, y, width, height = box
    size = np.maximum(np.ptp(at, axis=0), 1e-3)
    centred = at - (at.min(0) + at.max(0)) / 2
    turn = rng.normal(0, 0.06) if rng.random() < 0.85 else rng.uniform(-np.pi, np.pi)
    rotate = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    out = centred @ rotate.T
    tilt = rng.normal(0, 0.08, 2)
    out = out / (1 + (out / size.max()) @ tilt)[:, None]
    spread = np.maximum(np.ptp(out, axis=0), 1e-3)
    scale = min(width / spread[0], height / spread[1])
    return np.asarray((out - (out.min(0) + out.max(0)) / 2) * scale + (x + width / 2, y + height / 2))


@dataclass(frozen=True)
class _Style:
    """How nodes and members of one drawing look."""

    mark: str
    radius: float
    most: float
    """Length of the shortest member, pixels: nodes stay below half of it."""
    short: float
    bow: float
    askew: float
    stops: float
    """How far short of a node a stroke may stop, as a part of the member's length."""
    uneven: float
    """Spread of the nodes' sizes within one drawing, as the standard deviation of their logarithm."""
    text: float
    """Height of names and numbers, pixels."""
    named: float
    numbered: float
    ticked: float


def _style(rng: Rng, *, nodes: bool, shortest: float, hand: Hand) -> _Style:
    kinds = ["circle", "named", "filled", "scribbled", "mixed", "dot", "none", "cross"]
    chance = (
        [0.3, 0.22, 0.1, 0.1, 0.18, 0.1, 0, 0] if nodes else [0.2, 0.05, 0.08, 0.03, 0.04, 0.2, 0.35, 0.05]
    )
    mark = str(rng.choice(kinds, p=chance))
    radius = shortest * rng.uniform(0.05, 0.3 if nodes else 0.14)
    if mark == "named":
        radius = max(radius, shortest * rng.uniform(0.16, 0.36), 9.0)
    if mark in {"none", "cross", "dot"}:
        radius = min(radius, hand.width * rng.uniform(1.2, 3.5))
    radius = max(radius, hand.width * 1.3, 3.0)
    by_hand = hand.wobble > 0
    return _Style(
        mark=mark,
        radius=radius,
        most=shortest,
        short=rng.uniform(-0.3, 1.6) if by_hand and rng.random() < 0.7 else 0.0,
        bow=rng.choice([0.0, 0.01, 0.03, 0.06]) if by_hand else 0.0,
        askew=rng.uniform(0, 2.0) if by_hand and nodes else 0.0,
        stops=rng.choice([0.0, 0.06, 0.14]) if by_hand and mark not in {"none", "cross", "dot"} else 0.0,
        uneven=rng.choice([0.1, 0.25, 0.4]) if by_hand and nodes else 0.08,
        text=float(np.clip(shortest * rng.uniform(0.1, 0.35), 7, 34)),
        named=rng.choice([0.0, 0.5, 1.0]),
        numbered=rng.choice([0.0, 0.0, 0.3, 0.8]),
        ticked=rng.choice([0.0, 0.0, 0.0, 0.3]),
    )


def _node(pen: Pen, at: Points, style: _Style) -> None:
    rng = pen.rng
    mark = style.mark
    if mark == "mixed":
        mark = str(rng.choice(["circle", "filled", "scribbled", "named"]))
    radius = max(style.radius * float(np.exp(rng.normal(0, style.uneven))), 3.0)
    radius = min(radius, 0.45 * style.most)
    if mark in {"circle", "named", "scribbled"}:
        circle_mark(pen, at, radius)
    if mark == "scribbled":
        scribble(pen, at, radius * 0.8)
    if mark in {"filled", "dot"}:
        centre = (round(float(at[0]) * 16), round(float(at[1]) * 16))
        cv2.circle(pen.picture, centre, int(radius * 16), pen.colour, -1, cv2.LINE_AA, 4)
    if mark == "named" and radius > 7:
        text = str(rng.choice(list("ABCDEFGHKLMNPRSTabcdefgh0123456789"))) + (
            "" if rng.random() < 0.7 else "1"
        )
        write(pen, text, at + rng.normal(0, 0.1, 2) * radius, radius * rng.uniform(0.6, 1.1))
    if mark == "cross":
        for arm in (np.array([radius, radius]), np.array([radius, -radius])):
            stroke(pen, np.stack([at - arm, at + arm]))


def _trimmed(rng: Rng, style: _Style, a: Points, b: Points) -> tuple[Points, Points]:
    """Where the stroke of a member starts and ends: at the marks, short of them, over them, beside them."""
    run = b - a
    length = float(np.hypot(*run))
    unit = run / max(length, 1e-6)
    aside = np.array([-unit[1], unit[0]])
    reach = style.radius if style.mark not in {"none", "cross", "dot"} else 0.0
    loose = rng.normal(0, 0.25, 2) * (style.short != 0)
    gaps = np.clip(reach * (style.short + loose), -0.2 * length, 0.3 * length)
    if style.short == 0:
        gaps = np.full(2, reach)
    if style.stops > 0:
        gaps = np.minimum(gaps + rng.exponential(style.stops, 2) * length, 0.36 * length)
    slip = np.clip(rng.normal(0, 0.4, 2) * style.askew, -1.1, 1.1) * min(reach, 0.2 * length)
    return a + unit * gaps[0] + aside * slip[0], b - unit * gaps[1] + aside * slip[1]


def _member(pen: Pen, a: Points, b: Points, style: _Style) -> NDArray[np.float64]:
    """Draw one member and return the pieces its label runs along, (S, 4)."""
    rng = pen.rng
    run = b - a
    length = float(np.hypot(*run))
    unit = run / max(length, 1e-6)
    aside = np.array([-unit[1], unit[0]])
    start, end = _trimmed(rng, style, a, b)
    bow = float(np.clip(rng.normal(0, style.bow), -0.13, 0.13))
    if rng.random() < 0.03 and pen.hand.wobble > 0:
        bow += float(rng.normal(0, 0.06))
    stroke(pen, bowed(start, end, bow))
    if rng.random() < style.numbered and length > 40:
        middle = a + run * rng.uniform(0.35, 0.65) + aside * rng.normal(0, 0.7) * style.text
        write(pen, words(rng), middle, style.text * rng.uniform(0.7, 1.1))
    if rng.random() < style.ticked and length > 30:
        for where in rng.uniform(0.3, 0.7, int(rng.integers(1, 4))):
            p = a + run * where
            d = (aside + unit * rng.normal(0, 0.4)) * rng.uniform(4, 11)
            stroke(pen, np.stack([p - d, p + d]))
    path = bowed(a, b, bow, 4) if abs(bow) > 0.012 else np.stack([a, b])
    return np.hstack([path[:-1], path[1:]])


def _name(pen: Pen, at: Points, centre: Points, style: _Style) -> NDArray[np.float32]:
    """Write a joint's name beside it, on the outer side mostly."""
    rng = pen.rng
    away = at - centre
    away = away / max(float(np.hypot(*away)), 1.0)
    size = style.text * rng.uniform(0.8, 1.2)
    spot = at + (away + rng.normal(0, 0.35, 2)) * (style.radius + size * rng.uniform(0.8, 1.6))
    return write(pen, words(rng)[:3], spot, size)


def _surroundings(pen: Pen, at: Points, style: _Style, marks: Marks) -> None:
    """Add supports, loads and dimension lines."""
    rng = pen.rng
    for i in np.argsort(-at[:, 1])[: int(rng.integers(0, 3))]:
        draw_support(pen, at[i], style.text, marks)
    for i in rng.choice(len(at), min(len(at), int(rng.integers(0, 4))), replace=False):
        draw_arrow(pen, at[i], style.text, marks)
    for _ in range(int(rng.integers(0, 3))):
        draw_dimension(pen, at, style.text, marks)


def _second_pen(pen: Pen) -> Pen:
    """Now and then another colour for marks and names."""
    if pen.rng.random() >= 0.25:
        return pen
    mixed = np.clip(np.array(pen.colour) + pen.rng.normal(0, 70, 3), 0, 255)
    return replace(pen, colour=(float(mixed[0]), float(mixed[1]), float(mixed[2])))


def draw_structure(pen: Pen, box: tuple[float, float, float, float], marks: Marks) -> None:
    """Draw one structure into a box (x, y, width, height) of the picture and add its truth to `marks`."""
    rng = pen.rng
    nodes = rng.random() < 0.55
    shape = graph(rng) if nodes else truss(rng)
    inset = 0.09 if nodes else 0.05
    x, y, wide, high = box
    at = _place(
        rng, shape.at, (x + inset * wide, y + inset * high, (1 - 2 * inset) * wide, (1 - 2 * inset) * high)
    )
    runs = at[[p[1] for p in shape.pairs]] - at[[p[0] for p in shape.pairs]]
    shortest = float(np.hypot(*runs.T).min())
    # A hand takes a finer pen for a finer drawing, mostly.
    width = min(pen.hand.width, max(1.0, shortest * rng.uniform(0.04, 0.12)))
    pen = replace(pen, hand=replace(pen.hand, width=width))
    second = _second_pen(pen)
    style = _style(rng, nodes=nodes, shortest=shortest, hand=pen.hand)
    quiet = replace(style, bow=0.0, askew=0.0, numbered=0.0, ticked=0.0)
    in_run = {tuple(sorted(p)) for run in shape.runs for p in pairwise(run)}
    whole = bool(shape.runs) and rng.random() < 0.6 and style.mark in {"none", "dot", "cross"}
    for run in shape.runs if whole else ():
        stroke(pen, at[list(run)])
    for a, b in shape.pairs:
        if whole and (a, b) in in_run:
            marks.lines.append(np.concatenate([at[a], at[b]])[None])
        else:
            marks.lines.append(_member(pen, at[a], at[b], quiet if (a, b) in in_run else style))
    for i in range(len(at)):
        _node(second, at[i], style)
        if style.mark != "named" and rng.random() < style.named:
            marks.other.append(_name(second, at[i], at.mean(0), style))
    first = len(marks.joints)
    marks.joints += list(at)
    marks.members += [(first + a, first + b) for a, b in shape.pairs]
    if not nodes or rng.random() < 0.1:
        _surroundings(pen, at, style, marks)
