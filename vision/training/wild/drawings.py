"""Wild drawings: a graph or a plain truss drawn by some hand, with names, numbers, ticks, supports, loads."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.clutter import words
from vision.training.wild.shapes import graph, truss
from vision.training.wild.strokes import Colour, Hand, bowed, circle_mark, scribble, stroke, write

__all__ = ["Marks", "draw_structure", "place"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]


@dataclass
class Marks:
    """Truth gathered while drawing; joints and lines in pixels."""

    joints: list[Points] = field(default_factory=list)
    members: list[tuple[int, int]] = field(default_factory=list)
    lines: list[NDArray[np.float64]] = field(default_factory=list)
    far_lines: list[NDArray[np.float64]] = field(default_factory=list)
    pins: list[Points] = field(default_factory=list)
    rollers: list[Points] = field(default_factory=list)
    arrows: list[NDArray[np.float64]] = field(default_factory=list)
    other: list[NDArray[np.float32]] = field(default_factory=list)


def place(rng: Rng, at: Points, box: tuple[float, float, float, float]) -> Points:
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
    short: float
    bow: float
    askew: float
    text: float
    """Height of names and numbers, pixels."""
    named: float
    numbered: float
    ticked: float


def _style(rng: Rng, *, nodes: bool, shortest: float, hand: Hand) -> _Style:
    kinds = ["circle", "named", "filled", "scribbled", "mixed", "dot", "none", "cross"]
    chance = [0.3, 0.22, 0.1, 0.1, 0.18, 0.1, 0, 0] if nodes else [0.2, 0.05, 0.08, 0.03, 0.04, 0.2, 0.35, 0.05]
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
        short=rng.uniform(-0.3, 1.6) if by_hand and rng.random() < 0.7 else 0.0,
        bow=rng.choice([0.0, 0.01, 0.03, 0.06]) if by_hand else 0.0,
        askew=rng.uniform(0, 0.8) if by_hand and nodes else 0.0,
        text=float(np.clip(shortest * rng.uniform(0.1, 0.35), 7, 34)),
        named=rng.choice([0.0, 0.5, 1.0]),
        numbered=rng.choice([0.0, 0.0, 0.3, 0.8]),
        ticked=rng.choice([0.0, 0.0, 0.0, 0.3]),
    )


def _node(rng: Rng, picture: Image, at: Points, style: _Style, colour: Colour, hand: Hand) -> None:
    mark = style.mark
    if mark == "mixed":
        mark = str(rng.choice(["circle", "filled", "scribbled", "named"]))
    radius = style.radius * rng.uniform(0.8, 1.25)
    centre = (int(round(at[0] * 16)), int(round(at[1] * 16)))
    if mark in {"circle", "named", "scribbled"}:
        circle_mark(rng, picture, at, radius, colour, hand)
    if mark == "scribbled":
        scribble(rng, picture, at, radius * 0.8, colour, hand)
    if mark in {"filled", "dot"}:
        cv2.circle(picture, centre, int(radius * 16), colour, -1, cv2.LINE_AA, 4)
    if mark == "named" and radius > 7:
        text = str(rng.choice(list("ABCDEFGHKLMNPRSTabcdefgh0123456789"))) + ("" if rng.random() < 0.7 else "1")
        write(rng, picture, text, at + rng.normal(0, 0.1, 2) * radius, radius * rng.uniform(0.6, 1.1), colour,
              hand.width * 0.6)  # fmt: skip
    if mark == "cross":
        arm = np.array([radius, radius])
        for flip in ((1, 1), (1, -1)):
            stroke(rng, picture, np.stack([at - arm * flip, at + arm * flip]), colour, hand)


def _member(
    rng: Rng, picture: Image, ends: tuple[Points, Points], style: _Style, colour: Colour, hand: Hand
) -> NDArray[np.float64]:
    """Draw one member and return the pieces its label runs along, (S, 4)."""
    a, b = ends
    run = b - a
    length = float(np.hypot(*run))
    unit = run / max(length, 1e-6)
    reach = style.radius if style.mark not in {"none", "cross", "dot"} else 0.0
    gaps = np.clip(reach * (style.short + rng.normal(0, 0.25, 2) * (style.short != 0)), -0.2 * length, 0.3 * length)
    if reach and style.short == 0:
        gaps = np.full(2, reach)
    aside = np.array([-unit[1], unit[0]])
    start = a + unit * gaps[0] + aside * rng.normal(0, 0.35) * style.askew * reach
    end = b - unit * gaps[1] + aside * rng.normal(0, 0.35) * style.askew * reach
    bow = float(np.clip(rng.normal(0, style.bow), -0.13, 0.13))
    if rng.random() < 0.03 and hand.wobble > 0:
        bow += float(rng.normal(0, 0.06))
    stroke(rng, picture, bowed(start, end, bow), colour, hand)
    if rng.random() < style.numbered and length > 40:
        middle = a + run * rng.uniform(0.35, 0.65) + aside * rng.normal(0, 0.7) * style.text
        write(rng, picture, words(rng), middle, style.text * rng.uniform(0.7, 1.1), colour, hand.width * 0.5)
    if rng.random() < style.ticked and length > 30:
        for where in rng.uniform(0.3, 0.7, int(rng.integers(1, 4))):
            p = a + run * where
            d = (aside + unit * rng.normal(0, 0.4)) * rng.uniform(4, 11)
            stroke(rng, picture, np.stack([p - d, p + d]), colour, hand)
    path = bowed(a, b, bow, 4) if abs(bow) > 0.012 else np.stack([a, b])
    return np.hstack([path[:-1], path[1:]])


def _name(rng: Rng, picture: Image, at: Points, centre: Points, style: _Style, colour: Colour, hand: Hand,
          marks: Marks) -> None:  # fmt: skip
    away = at - centre
    away = away / max(float(np.hypot(*away)), 1.0)
    size = style.text * rng.uniform(0.8, 1.2)
    spot = at + (away + rng.normal(0, 0.35, 2)) * (style.radius + size * rng.uniform(0.8, 1.6))
    marks.other.append(write(rng, picture, words(rng)[:3], spot, size, colour, hand.width * 0.6))


def _support(rng: Rng, picture: Image, at: Points, text: float, colour: Colour, hand: Hand, marks: Marks) -> None:
    """Draw a triangle on a hatched line (pin) or on wheels, or a wheel alone (roller)."""
    size = text * rng.uniform(1.0, 2.4)
    roller = rng.random() < 0.5
    foot = at + (0, size)
    if roller and rng.random() < 0.4:
        circle_mark(rng, picture, at + (0, size / 2), size / 2, colour, hand)
    else:
        half = np.array([size * rng.uniform(0.4, 0.8), 0])
        for p, q in ((at, foot - half), (at, foot + half), (foot - half, foot + half)):
            stroke(rng, picture, np.stack([p, q]), colour, hand)
        if roller:
            wheel = size * 0.2
            for k in (-1, 0, 1):
                circle_mark(rng, picture, foot + half * k * 0.7 + (0, wheel), wheel, colour, hand)
            foot = foot + (0, 2 * wheel)
    wide = np.array([size * rng.uniform(0.8, 1.6), 0])
    stroke(rng, picture, np.stack([foot - wide, foot + wide]), colour, hand)
    if not roller or rng.random() < 0.5:
        for t in np.linspace(-1, 1, int(rng.integers(4, 9))):
            p = foot + wide * t
            stroke(rng, picture, np.stack([p, p + (-size * 0.25, size * 0.25)]), colour, hand)
    (marks.rollers if roller else marks.pins).append(at)


def _arrow(rng: Rng, picture: Image, at: Points, text: float, colour: Colour, hand: Hand, marks: Marks) -> None:
    """Draw a load arrow that ends or starts at a joint."""
    turn = np.pi / 2 + rng.normal(0, 0.1) if rng.random() < 0.7 else rng.uniform(0, 2 * np.pi)
    way = np.array([np.cos(turn), np.sin(turn)])
    length, gap = text * rng.uniform(2.0, 6.0), rng.uniform(0, 10)
    tail, tip = at - way * (length + gap), at - way * gap
    if rng.random() < 0.35:
        tail, tip = at + way * gap, at + way * (gap + length)
    stroke(rng, picture, np.stack([tail, tip]), colour, hand)
    head = text * rng.uniform(0.4, 0.9)
    side = np.array([-way[1], way[0]])
    wings = [tip - way * head + side * head * k * rng.uniform(0.4, 0.7) for k in (-1, 1)]
    if rng.random() < 0.4:
        cv2.fillConvexPoly(picture, np.array([tip, *wings]).astype(np.int32), colour, cv2.LINE_AA)
    for wing in wings:
        stroke(rng, picture, np.stack([wing, tip]), colour, hand)
    marks.arrows.append(np.concatenate([tail, tip]))
    if rng.random() < 0.7:
        spot = tail + rng.normal(0, 12, 2) - way * 10
        marks.other.append(write(rng, picture, words(rng), spot, text, colour, hand.width * 0.6))


def _dimension(rng: Rng, picture: Image, at: Points, colour: Colour, hand: Hand, marks: Marks) -> None:
    """Draw a dimension line with ticks below or beside the structure."""
    low, high = at.min(0), at.max(0)
    thin = Hand(max(1.0, hand.width * 0.6), hand.wobble, 0, 0)
    drop = rng.uniform(25, 80)
    axis = int(rng.random() < 0.3)
    a, b = np.sort(rng.choice(np.unique(at[:, axis].round()), 2)) if len(at) > 2 else (low[axis], high[axis])
    if b - a < 20:
        return
    level = (high[1] + drop) if axis == 0 else (low[0] - drop)
    ends = np.array([[a, level], [b, level]]) if axis == 0 else np.array([[level, a], [level, b]])
    stroke(rng, picture, ends, colour, thin)
    tick = np.array([0.0, rng.uniform(4, 14)]) if axis == 0 else np.array([rng.uniform(4, 14), 0.0])
    for end in ends:
        stroke(rng, picture, np.stack([end - tick, end + tick]), colour, thin)
    marks.other.append(
        write(rng, picture, words(rng), ends.mean(0) + rng.normal(0, 9, 2), rng.uniform(9, 20), colour, thin.width)
    )
    x0, y0, x1, y1 = *(ends[0] - 3), *(ends[1] + 3)
    marks.other.append(np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], np.float32))


def draw_structure(
    rng: Rng, picture: Image, box: tuple[float, float, float, float], colour: Colour, hand: Hand, marks: Marks
) -> None:
    """Draw one structure into a box of the picture and add its truth to `marks`."""
    nodes = rng.random() < 0.55
    shape = graph(rng) if nodes else truss(rng)
    inset = 0.09 if nodes else 0.05
    x, y, width, height = box
    box = (x + inset * width, y + inset * height, (1 - 2 * inset) * width, (1 - 2 * inset) * height)
    at = place(rng, shape.at, box)
    runs = at[[p[1] for p in shape.pairs]] - at[[p[0] for p in shape.pairs]]
    shortest = float(np.hypot(*runs.T).min())
    # A hand takes a finer pen for a finer drawing, mostly.
    hand = replace(hand, width=min(hand.width, max(1.0, shortest * rng.uniform(0.04, 0.12))))
    style = _style(rng, nodes=nodes, shortest=shortest, hand=hand)
    first = len(marks.joints)
    second = colour
    if rng.random() < 0.25:
        mixed = np.clip(np.array(colour) + rng.normal(0, 70, 3), 0, 255)
        second = (float(mixed[0]), float(mixed[1]), float(mixed[2]))
    in_run = {tuple(sorted(p)) for run in shape.runs for p in zip(run[:-1], run[1:], strict=True)}
    whole = bool(shape.runs) and rng.random() < 0.6 and style.mark in {"none", "dot", "cross"}
    quiet = replace(style, bow=0.0, askew=0.0, numbered=0.0, ticked=0.0)
    if whole:
        for run in shape.runs:
            stroke(rng, picture, at[list(run)], colour, hand)
    for a, b in shape.pairs:
        if whole and (a, b) in in_run:
            marks.lines.append(np.concatenate([at[a], at[b]])[None])
        else:
            chosen = quiet if (a, b) in in_run and not nodes else style
            marks.lines.append(_member(rng, picture, (at[a], at[b]), chosen, colour, hand))
    order = range(len(at))
    for i in order:
        _node(rng, picture, at[i], style, second, hand)
        if style.mark != "named" and rng.random() < style.named:
            _name(rng, picture, at[i], at.mean(0), style, second, hand, marks)
    marks.joints += list(at)
    marks.members += [(first + a, first + b) for a, b in shape.pairs]
    if not nodes or rng.random() < 0.1:
        lowest = np.argsort(-at[:, 1])[: int(rng.integers(0, 3))]
        for i in lowest:
            _support(rng, picture, at[i], style.text, colour, hand, marks)
        for i in rng.choice(len(at), min(len(at), int(rng.integers(0, 4))), replace=False):
            _arrow(rng, picture, at[i], style.text, colour, hand, marks)
        for _ in range(int(rng.integers(0, 3))):
            _dimension(rng, picture, at, colour, hand, marks)
