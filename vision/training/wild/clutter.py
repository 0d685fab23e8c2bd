"""What else is in a picture: writing, tables, box edges, axes, doodles, hands, stray strokes."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.strokes import Colour, Hand, bowed, circle_mark, scribble, stroke, write

__all__ = ["blobs", "clutter", "words"]

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


def _lines_of_writing(rng: Rng, picture: Image, colour: Colour, hand: Hand) -> Boxes:
    height, width = picture.shape[:2]
    size = rng.uniform(8, 30)
    at = rng.uniform(0, 1, 2) * (width, height)
    boxes = []
    for row in range(int(rng.integers(1, 7))):
        text = " ".join(words(rng) for _ in range(int(rng.integers(1, 5))))
        centre = at + (rng.normal(0, 4), row * size * 1.9)
        boxes.append(write(rng, picture, text, centre, size, colour, hand.width * 0.5))
    return boxes


def _frame(rng: Rng, picture: Image, colour: Colour, hand: Hand) -> Boxes:
    """A rectangle or table of thin lines, or the edge of a page."""
    height, width = picture.shape[:2]
    low = rng.uniform(-0.1, 0.7, 2) * (width, height)
    size = rng.uniform(0.1, 0.6, 2) * (width, height)
    rows, cols = int(rng.integers(1, 5)), int(rng.integers(1, 5))
    thin = Hand(max(1.0, hand.width * rng.uniform(0.3, 1)), hand.wobble * (rng.random() < 0.5), 0, 0)
    for i in range(rows + 1):
        y = low[1] + size[1] * i / rows
        stroke(rng, picture, np.array([[low[0], y], [low[0] + size[0], y]]), colour, thin)
    for i in range(cols + 1):
        x = low[0] + size[0] * i / cols
        stroke(rng, picture, np.array([[x, low[1]], [x, low[1] + size[1]]]), colour, thin)
    edge = 3.0
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]]) * size + low
    return [
        np.array([a - edge, b - edge, b + edge, a + edge], np.float32)
        for a, b in zip(corners[:-1], corners[1:], strict=True)
    ]


def _stray(rng: Rng, picture: Image, colour: Colour, hand: Hand) -> Boxes:
    """Loose strokes, ticks, dots, arcs: each stands for nothing."""
    height, width = picture.shape[:2]
    for _ in range(int(rng.integers(1, 7))):
        at = rng.uniform(0, 1, 2) * (width, height)
        kind = rng.random()
        if kind < 0.4:
            turn, length = rng.uniform(0, 2 * np.pi), rng.uniform(0.01, 0.12) * width
            end = at + length * np.array([np.cos(turn), np.sin(turn)])
            stroke(rng, picture, bowed(at, end, rng.normal(0, 0.15)), colour, hand)
        elif kind < 0.6:
            cv2.circle(picture, (int(at[0]), int(at[1])), int(rng.integers(1, 6)), colour, -1, cv2.LINE_AA)
        elif kind < 0.8:
            circle_mark(rng, picture, at, rng.uniform(4, 40), colour, hand)
        else:
            scribble(rng, picture, at, rng.uniform(4, 30), colour, hand)
    return []


def _long_lines(rng: Rng, picture: Image, colour: Colour, hand: Hand) -> Boxes:
    """Lines right across the picture: page edges, table edges, cables, shadows' borders."""
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


_KINDS: tuple[Callable[[Rng, Image, Colour, Hand], Boxes], ...] = (_lines_of_writing, _frame, _stray, _long_lines)


def clutter(rng: Rng, picture: Image, colour: Colour, hand: Hand, count: int) -> Boxes:
    """Add `count` random things in the drawing's own ink and return the boxes of what is writing or table."""
    boxes: Boxes = []
    for _ in range(count):
        kind = _KINDS[rng.choice(len(_KINDS), p=[0.4, 0.15, 0.3, 0.15])]
        boxes += kind(rng, picture, colour, hand)
    return boxes
