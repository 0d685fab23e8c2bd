"""Wild drawings: a graph or a plain truss drawn by some hand, with names, numbers, ticks, supports, loads."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.asides import draw_cut
from vision.training.wild.clutter import words
from vision.training.wild.marks import Marks
from vision.training.wild.measures import draw_angle, draw_axes, draw_chain, draw_row_of_loads, draw_turning
from vision.training.wild.members import draw_bar, draw_dashes, draw_hinge, draw_plate, draw_twin, highlight
from vision.training.wild.shapes import graph, truss
from vision.training.wild.strokes import Colour, Pen, bowed, circle_mark, scribble, stroke, write
from vision.training.wild.style import POINTS, Style, choose_style
from vision.training.wild.symbols import draw_arrow, draw_dimension, draw_support

__all__ = ["draw_structure"]

_TOLD = 20.0
"""Grey levels between ink and ground, at least, once a picture has lost its colours."""
_GREY = np.array([0.299, 0.587, 0.114])
"""What red, green and blue weigh in a grey picture (ITU-R BT.601)."""

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


def _node(pen: Pen, at: Points, style: Style, ways: Points) -> None:
    """Draw the mark of a joint; `ways` (K, 2) are unit vectors along its members."""
    rng = pen.rng
    mark = style.mark
    if mark == "mixed":
        mark = str(rng.choice(["circle", "filled", "scribbled", "named", "hinge", "square"]))
    radius = max(style.radius * float(np.exp(rng.normal(0, style.uneven))), 3.0)
    radius = min(radius, 0.45 * style.most)
    if mark in {"circle", "named", "scribbled"}:
        circle_mark(pen, at, radius)
    if mark == "scribbled":
        scribble(pen, at, radius * 0.8)
    if mark in {"filled", "dot"}:
        centre = (round(float(at[0]) * 16), round(float(at[1]) * 16))
        cv2.circle(pen.picture, centre, int(radius * 16), pen.colour, -1, cv2.LINE_AA, 4)
    if mark in {"hinge", "square"}:
        draw_hinge(pen, at, radius, fill=style.fill, square=mark == "square")
    if mark == "plate":
        reach, broad = min(radius * rng.uniform(1.5, 4), 0.3 * style.most), radius * rng.uniform(0.5, 0.9)
        draw_plate(pen, at, ways, reach=reach, broad=broad, fill=style.fill)
    if mark == "named" and radius > 7:
        text = str(rng.choice(list("ABCDEFGHKLMNPRSTabcdefgh0123456789"))) + (
            "" if rng.random() < 0.7 else "1"
        )
        write(pen, text, at + rng.normal(0, 0.1, 2) * radius, radius * rng.uniform(0.6, 1.1))
    if mark == "cross":
        for arm in (np.array([radius, radius]), np.array([radius, -radius])):
            stroke(pen, np.stack([at - arm, at + arm]))


def _trimmed(rng: Rng, style: Style, a: Points, b: Points) -> tuple[Points, Points]:
    """Where the stroke of a member starts and ends: at the marks, short of them, over them, beside them."""
    run = b - a
    length = float(np.hypot(*run))
    unit = run / max(length, 1e-6)
    aside = np.array([-unit[1], unit[0]])
    reach = style.radius if style.mark not in POINTS else 0.0
    if style.look != "line" or style.mark in {"hinge", "square"}:
        return a, b  # marks of this kind lie over their members
    loose = rng.normal(0, 0.25, 2) * (style.short != 0)
    gaps = np.clip(reach * (style.short + loose), -0.2 * length, 0.3 * length)
    if style.short == 0:
        gaps = np.full(2, reach)
    if style.stops > 0:
        gaps = np.minimum(gaps + rng.exponential(style.stops, 2) * length, 0.36 * length)
    slip = np.clip(rng.normal(0, 0.4, 2) * style.askew, -0.9, 0.9) * min(reach, 0.2 * length)
    return a + unit * gaps[0] + aside * slip[0], b - unit * gaps[1] + aside * slip[1]


def _toned(pen: Pen, style: Style) -> Pen:
    """Press more or less on a stroke, or take another colour for it."""
    rng = pen.rng
    r, g, b = pen.colour
    if rng.random() < 0.35 * style.odd:
        r, g, b = np.clip(np.array(pen.colour) + rng.normal(0, 60, 3), 0, 255).tolist()
    part = style.patchy * rng.random()
    p, q, s = style.paper
    mixed = (r + (p - r) * part, g + (q - g) * part, b + (s - b) * part)
    return replace(pen, colour=(float(mixed[0]), float(mixed[1]), float(mixed[2])))


def _member(pen: Pen, a: Points, b: Points, style: Style) -> NDArray[np.float64]:
    """Draw one member and return the pieces its label runs along, (S, 4)."""
    rng = pen.rng
    run = b - a
    length = float(np.hypot(*run))
    unit = run / max(length, 1e-6)
    aside = np.array([-unit[1], unit[0]])
    pen = _toned(pen, style)
    start, end = _trimmed(rng, style, a, b)
    bow = float(np.clip(rng.normal(0, style.bow), -0.13, 0.13))
    if rng.random() < 0.03 and pen.hand.wobble > 0:
        bow += float(rng.normal(0, 0.06))
    if style.look == "bar":
        draw_bar(pen, start, end, broad=style.broad, fill=style.fill)
    elif style.look == "twin":
        draw_twin(pen, start, end, broad=style.broad)
    elif bow == 0 and rng.random() < 0.3 * style.odd:
        draw_dashes(pen, start, end)
    else:
        stroke(pen, bowed(start, end, bow))
    if rng.random() < style.marked:
        highlight(pen, a, b, broad=style.text * rng.uniform(0.5, 1.2))
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


def _name(pen: Pen, at: Points, centre: Points, style: Style) -> NDArray[np.float32]:
    """Write a joint's name beside it, on the outer side mostly."""
    rng = pen.rng
    away = at - centre
    away = away / max(float(np.hypot(*away)), 1.0)
    size = style.text * rng.uniform(0.8, 1.2)
    spot = at + (away + rng.normal(0, 0.35, 2)) * (style.radius + size * rng.uniform(0.5, 1.5))
    return write(pen, words(rng)[:3], spot, size)


def _surroundings(
    pen: Pen, at: Points, pairs: tuple[tuple[int, int], ...], style: Style, marks: Marks
) -> None:
    """Add supports, loads, measures, axes, angles."""
    rng = pen.rng
    # Most stand on supports by their lowest joints; some hang from others, with members running across.
    order = np.argsort(-at[:, 1]) if rng.random() < 0.75 else rng.permutation(len(at))
    for i in order[: int(rng.integers(0, 3))]:
        draw_support(pen, at[i], style.text, marks)
    members = np.hstack([at[[p for p, _ in pairs]], at[[q for _, q in pairs]]])
    for i in rng.choice(len(at), min(len(at), int(rng.integers(0, 4))), replace=False):
        draw_arrow(pen, at[i], style.text, marks, reach=style.most, members=members)
    if rng.random() < 0.3:
        draw_dimension(pen, at, style.text, marks)
    for _ in range(int(rng.choice(4, p=[0.4, 0.3, 0.2, 0.1]))):
        draw_chain(pen, at, pairs, style.text, marks)
    if rng.random() < 0.2:
        draw_angle(pen, at, pairs, style.text, marks)
    if rng.random() < 0.08:
        draw_cut(_second_pen(pen), at, style.text, marks)
    kind = rng.random()
    if kind < 0.08:
        draw_row_of_loads(pen, at, pairs, style.text, marks)
    elif kind < 0.14:
        draw_axes(pen, at, style.text, marks)
    elif kind < 0.18:
        draw_turning(pen, at, style.text)


def _second_pen(pen: Pen) -> Pen:
    """Now and then another colour for marks and names."""
    if pen.rng.random() >= 0.25:
        return pen
    mixed = np.clip(np.array(pen.colour) + pen.rng.normal(0, 70, 3), 0, 255)
    return replace(pen, colour=(float(mixed[0]), float(mixed[1]), float(mixed[2])))


def _room(at: Points, pairs: tuple[tuple[int, int], ...]) -> float:
    """Return how near any member comes to a joint it does not end at: no node's mark may reach so far."""
    a, b = at[[p for p, _ in pairs]], at[[q for _, q in pairs]]
    run = b - a
    t = np.clip(((at[:, None] - a) * run).sum(2) / np.maximum((run**2).sum(1), 1e-9), 0, 1)
    off = np.hypot(*(at[:, None] - a - t[..., None] * run).transpose(2, 0, 1))
    rows = np.arange(len(pairs))
    off[[p for p, _ in pairs], rows] = off[[q for _, q in pairs], rows] = np.inf
    return float(off.min())


def _paper(picture: NDArray[np.uint8], at: Points) -> Colour:
    """Return the mean colour of the ground round a structure."""
    low = np.maximum(at.min(0).astype(int), 0)
    high = np.maximum(at.max(0).astype(int), low + 8)
    part = picture[low[1] : high[1] : 7, low[0] : high[0] : 7].reshape(-1, 3)
    r, g, b = (part if len(part) else picture[:1, :1].reshape(-1, 3)).mean(0).tolist()
    return float(r), float(g), float(b)


def _told_apart(pen: Pen, paper: Colour) -> Pen:
    """Make an ink darker or paler that a grey picture would not tell from the ground just here."""
    ink, ground = np.array(pen.colour), float(_GREY @ np.array(paper))
    apart = float(_GREY @ ink) - ground
    if abs(apart) >= _TOLD:
        return pen
    far = 0.0 if ground > 127 else 255.0
    part = abs(ground + np.sign(far - ground) * _TOLD - float(_GREY @ ink)) / max(
        abs(far - float(_GREY @ ink)), 1.0
    )
    r, g, b = (ink + min(part, 1.0) * (far - ink)).tolist()
    return replace(pen, colour=(float(r), float(g), float(b)))


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
    paper = _paper(pen.picture, at)
    pen = _told_apart(pen, paper)
    second = _told_apart(_second_pen(pen), paper)
    style = choose_style(rng, nodes=nodes, shortest=shortest, hand=pen.hand, paper=paper, ink=pen.colour)
    # Marks are up to some 1.4 times their style's size.
    style = replace(style, radius=max(3.0, min(style.radius, 0.65 * _room(at, shape.pairs))))
    quiet = replace(style, bow=0.0, askew=0.0, numbered=0.0, ticked=0.0)
    in_run = {tuple(sorted(p)) for run in shape.runs for p in pairwise(run)}
    whole = bool(shape.runs) and rng.random() < 0.6 and style.mark in POINTS and style.look == "line"
    for run in shape.runs if whole else ():
        steady = replace(pen, hand=replace(pen.hand, wobble=pen.hand.wobble / len(run)))
        stroke(steady, at[list(run)])
    for a, b in shape.pairs:
        if whole and (a, b) in in_run:
            marks.lines.append(np.concatenate([at[a], at[b]])[None])
        else:
            marks.lines.append(_member(pen, at[a], at[b], quiet if (a, b) in in_run else style))
    for i in range(len(at)):
        ways = np.array([at[b if a == i else a] - at[i] for a, b in shape.pairs if i in (a, b)])
        _node(second, at[i], style, ways / np.maximum(np.hypot(*ways.T), 1e-6)[:, None])
        if style.mark != "named" and rng.random() < style.named:
            marks.other.append(_name(second, at[i], at.mean(0), style))
    first = len(marks.joints)
    marks.joints += list(at)
    marks.members += [(first + a, first + b) for a, b in shape.pairs]
    if not nodes or rng.random() < 0.1:
        _surroundings(pen, at, shape.pairs, style, marks)
