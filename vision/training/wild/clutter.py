"""What else is in a picture: writing, tables, box edges, axes, doodles, hands, stray strokes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.strokes import Hand, Pen, bowed, circle_mark, scribble, stroke, write

__all__ = ["blobs", "clutter", "litter", "words", "written_over"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Boxes = list[NDArray[np.float32]]

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
_DIGITS = "0123456789"
_UNITS = ("m", "kN", "N", "ft", "cm", "lb", "mm", "kip", "°")


def words(rng: Rng) -> str:
    """Invent a short text: a name, a number with a unit, a word, an equation."""
    kind = rng.random()
    digits = "".join(rng.choice(list(_DIGITS), int(rng.integers(1, 4))))
    if kind < 0.25:
        return str(rng.choice(list(_LETTERS)))
    if kind < 0.5:
        return digits + " " + str(rng.choice(_UNITS[:-1]))
    if kind < 0.7:
        return "".join(rng.choice(list(_LETTERS), int(rng.integers(2, 9))))
    if kind < 0.85:
        return f"{rng.choice(list(_LETTERS))}{digits} = {digits[::-1]}"
    return digits


def _lines_of_writing(pen: Pen) -> Boxes:
    rng = pen.rng
    height, width = pen.picture.shape[:2]
    size = rng.uniform(8, 30)
    at = rng.uniform(0, 1, 2) * (width, height)
    boxes = []
    for row in range(int(rng.integers(1, 7))):
        text = " ".join(words(rng) for _ in range(int(rng.integers(1, 5))))
        centre = at + np.array([rng.normal(0, 4), row * size * 1.9])
        boxes.append(write(pen, text, centre, size))
    return boxes


def _frame(pen: Pen) -> Boxes:
    """Draw a rectangle or table of thin lines, or the edge of a page."""
    rng, hand = pen.rng, pen.hand
    height, width = pen.picture.shape[:2]
    low = rng.uniform(-0.1, 0.7, 2) * (width, height)
    size = rng.uniform(0.1, 0.6, 2) * (width, height)
    rows, cols = int(rng.integers(1, 5)), int(rng.integers(1, 5))
    thin = replace(
        pen, hand=Hand(max(1.0, hand.width * rng.uniform(0.3, 1)), hand.wobble * (rng.random() < 0.5), 0, 0)
    )
    for i in range(rows + 1):
        y = low[1] + size[1] * i / rows
        stroke(thin, np.array([[low[0], y], [low[0] + size[0], y]]))
    for i in range(cols + 1):
        x = low[0] + size[0] * i / cols
        stroke(thin, np.array([[x, low[1]], [x, low[1] + size[1]]]))
    edge = 3.0
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]]) * size + low
    return [np.array([a - edge, b - edge, b + edge, a + edge], np.float32) for a, b in pairwise(corners)]


def _stray(pen: Pen) -> Boxes:
    """Leave loose strokes, ticks, dots, arcs: each stands for nothing."""
    rng, picture, colour = pen.rng, pen.picture, pen.colour
    height, width = picture.shape[:2]
    for _ in range(int(rng.integers(1, 7))):
        at = rng.uniform(0, 1, 2) * (width, height)
        kind = rng.random()
        if kind < 0.4:
            turn, length = rng.uniform(0, 2 * np.pi), rng.uniform(0.01, 0.12) * width
            end = at + length * np.array([np.cos(turn), np.sin(turn)])
            stroke(pen, bowed(at, end, rng.normal(0, 0.15)))
        elif kind < 0.6:
            # One dot, or a few in a row as for "and so on".
            step = rng.normal(0, 18, 2)
            for k in range(int(rng.choice([1, 1, 3, 4]))):
                p = at + k * step
                cv2.circle(picture, (int(p[0]), int(p[1])), int(rng.integers(1, 6)), colour, -1, cv2.LINE_AA)
        elif kind < 0.8:
            circle_mark(pen, at, rng.uniform(4, 40))
        else:
            scribble(pen, at, rng.uniform(4, 30))
    return []


def _long_lines(pen: Pen) -> Boxes:
    """Draw lines right across the picture: page edges, table edges, cables, shadows' borders."""
    rng, picture, colour, hand = pen.rng, pen.picture, pen.colour, pen.hand
    height, width = picture.shape[:2]
    for _ in range(int(rng.integers(1, 4))):
        ends = rng.uniform(-0.2, 1.2, (2, 2)) * (width, height)
        ends[:, int(rng.integers(2))] = (-10, max(height, width) + 10)
        shade = tuple(float(v) for v in rng.uniform(0, 255, 3)) if rng.random() < 0.7 else colour
        cv2.line(
            picture,
            (int(ends[0, 0]), int(ends[0, 1])),
            (int(ends[1, 0]), int(ends[1, 1])),
            shade,
            int(rng.integers(1, max(2, int(2 * hand.width)))),
            cv2.LINE_AA,
        )
    return []


def blobs(rng: Rng, picture: Image, count: int) -> None:
    """Lay smooth filled shapes down: hands, mugs, shadows, weights, boxes."""
    height, width = picture.shape[:2]
    for _ in range(count):
        at = rng.uniform(-0.1, 1.1, 2) * (width, height)
        n = int(rng.integers(4, 10))
        turn = np.sort(rng.uniform(0, 2 * np.pi, n))
        r = rng.uniform(0.03, 0.2) * width * rng.uniform(0.5, 1.2, n)
        outline = at + np.stack([r * np.cos(turn), r * np.sin(turn)], 1)
        if rng.random() < 0.5:
            t = np.linspace(0, n, 60, endpoint=False)
            closed = np.vstack([outline, outline[:1]])
            outline = np.stack([np.interp(t, np.arange(n + 1), closed[:, i]) for i in (0, 1)], 1)
            outline = cv2.blur(np.vstack([outline] * 3).astype(np.float32), (1, 9))[60:120].astype(np.float64)
        colour = rng.uniform(0, 255, 3)
        if rng.random() < 0.4:
            colour = rng.uniform(0.5, 1.0) * np.array([235, 190, 165]) * rng.uniform(0.7, 1.05, 3)
        points = outline.astype(np.int32)
        cv2.fillPoly(picture, [points], tuple(float(v) for v in np.clip(colour, 0, 255)), cv2.LINE_AA)


def _parcel(rng: Rng, picture: Image) -> None:
    """Stand a parcel anywhere: three faces, a band of tape, perhaps clear as a plastic box."""
    height, width = picture.shape[:2]
    at = rng.uniform(-0.1, 1.0, 2) * (width, height)
    right = np.array([rng.uniform(0.08, 0.5) * width, rng.normal(0, 0.03) * height])
    back = np.array([rng.normal(0, 0.08) * width, -rng.uniform(0.02, 0.15) * height])
    down = np.array([rng.normal(0, 0.01) * width, rng.uniform(0.05, 0.5) * height])
    colour = np.array([195, 150, 105]) * rng.uniform(0.4, 1.2) + rng.normal(0, 15, 3)
    if rng.random() < 0.3:
        colour = rng.uniform(0, 255, 3)
    clear = rng.random() < 0.2
    faces = ((at, right, back, 1.1), (at, right, down, 0.85), (at + right, back, down, 0.7))
    for corner, a, b, light in faces:
        quad = np.array([corner, corner + a, corner + a + b, corner + b]).astype(np.int32)
        shade = tuple(float(v) for v in np.clip(colour * light, 0, 255))
        if clear:
            cv2.polylines(picture, [quad], True, shade, 1 + int(rng.integers(2)), cv2.LINE_AA)
        else:
            cv2.fillPoly(picture, [quad], shade, cv2.LINE_AA)
    if not clear and rng.random() < 0.6:
        pale = tuple(float(v) for v in np.clip(colour * rng.uniform(1.0, 1.25), 0, 255))
        start = at + right * rng.uniform(0.3, 0.7)
        wide = right * rng.uniform(0.05, 0.2)
        tape = np.array([start, start + wide, start + wide + back, start + back]).astype(np.int32)
        cv2.fillPoly(picture, [tape], pale, cv2.LINE_AA)
        cv2.line(picture, tape[0].tolist(), tape[3].tolist(), tuple(0.6 * v for v in pale), 1, cv2.LINE_AA)


def _spare_rods(rng: Rng, picture: Image) -> None:
    """Scatter spare rods and knots of the kind models are made of."""
    height, width = picture.shape[:2]
    colour = tuple(float(v) for v in rng.uniform(0, 255, 3))
    at = rng.uniform(0, 1, 2) * (width, height)
    spread = rng.uniform(0.02, 0.3) * width
    thick = int(rng.integers(1, 9))
    for _ in range(int(rng.integers(2, 30))):
        p = at + rng.normal(0, spread, 2)
        if rng.random() < 0.4:
            cv2.circle(picture, p.astype(int).tolist(), int(rng.integers(2, 10)), colour, thick // 2 + 1,
                       cv2.LINE_AA)  # fmt: skip
            continue
        turn, length = rng.uniform(0, np.pi), rng.uniform(0.01, 0.18) * width
        end = p + length * np.array([np.cos(turn), np.sin(turn)])
        cv2.line(picture, p.astype(int).tolist(), end.astype(int).tolist(), colour, thick, cv2.LINE_AA)


def litter(rng: Rng, picture: Image) -> None:
    """Lay about a model what lies about models: parcels and spare rods."""
    for _ in range(int(rng.integers(0, 3))):
        _parcel(rng, picture)
    if rng.random() < 0.5:
        _spare_rods(rng, picture)


_KINDS: tuple[Callable[[Pen], Boxes], ...] = (
    _lines_of_writing,
    _frame,
    _stray,
    _long_lines,
)


def clutter(pen: Pen, count: int) -> Boxes:
    """Add `count` random things in the drawing's own ink and return the boxes of what is writing or table."""
    boxes: Boxes = []
    for _ in range(count):
        kind = _KINDS[pen.rng.choice(len(_KINDS), p=[0.4, 0.15, 0.3, 0.15])]
        boxes += kind(pen)
    return boxes


def written_over(pen: Pen) -> Boxes:
    """Write lines and results anywhere, also across what is drawn, now and then on a patch that covers it."""
    rng, picture = pen.rng, pen.picture
    height, width = picture.shape[:2]
    boxes = []
    if rng.random() < 0.4:
        boxes += _lines_of_writing(pen)
    patch = rng.random() < 0.3
    for _ in range(int(rng.integers(1, 5))):
        size, text = rng.uniform(8, 26), words(rng)
        at = rng.uniform(0.1, 0.9, 2) * (width, height)
        if patch:
            half = np.array([0.42 * size * len(text) + 3, 0.8 * size])
            low, high = (at - half).astype(int).tolist(), (at + half).astype(int).tolist()
            shade = picture[::32, ::32].reshape(-1, 3).mean(0) * rng.uniform(0.95, 1.05)
            cv2.rectangle(picture, low, high, tuple(float(v) for v in np.clip(shade, 0, 255)), -1)
        boxes.append(write(pen, text, at, size))
    return boxes
