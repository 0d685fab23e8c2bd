"""Strokes, circles and writing as a hand, a ruler or a drawing program leaves them."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.grounds import clouds
from vision.training.wild.script import handwrite
from vision.training.writing import Lettering

__all__ = ["Colour", "Hand", "Pen", "bowed", "circle_mark", "rough_ink", "scribble", "stroke", "write"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]
Colour = tuple[float, float, float]

_SHIFT = 4
_LEFT_OUT = 2
"""Pieces of a stroke of chalk left out on end, at most."""
_FONTS = (
    cv2.FONT_HERSHEY_SIMPLEX,
    cv2.FONT_HERSHEY_PLAIN,
    cv2.FONT_HERSHEY_DUPLEX,
    cv2.FONT_HERSHEY_COMPLEX,
    cv2.FONT_HERSHEY_SCRIPT_SIMPLEX,
    cv2.FONT_HERSHEY_SCRIPT_COMPLEX,
)


@dataclass(frozen=True)
class Hand:
    """How one drawing is drawn."""

    width: float
    """Stroke width, pixels."""
    wobble: float
    """Sideways wander of a stroke, as a part of its length."""
    again: float
    """Chance of going over a stroke a second time."""
    fade: float
    """Chance that a stroke is cut by gaps where the tool skipped."""
    taper: float = 0.0
    """Chance that a stroke swells or thins along its way, and how much strokes differ in width."""
    broken: float = 0.0
    """How much of a stroke the tool leaves out in short pieces, 0 to 1; 0 for a tool that runs evenly."""
    lettering: Lettering | None = None
    """How the hand writes; None writes as a machine does."""


@dataclass(frozen=True, eq=False)
class Pen:
    """A hand with an ink over a picture, and the chance it goes by."""

    rng: Rng
    picture: Image
    """(H, W, 3), drawn into."""
    colour: Colour
    hand: Hand


def bowed(start: Points, end: Points, bow: float, pieces: int = 12) -> Points:
    """Return a quadratic bow from start to end, (pieces + 1, 2), its middle `bow` times the length aside."""
    run = end - start
    t = np.linspace(0, 1, pieces + 1)[:, None]
    aside = np.array([-run[1], run[0]]) * bow
    return np.asarray(start + t * run + 4 * t * (1 - t) * aside, np.float64)


def _polyline(picture: Image, path: Points, colour: Colour, width: float) -> None:
    points = np.round(path * (1 << _SHIFT)).astype(np.int32).reshape(-1, 1, 2)
    cv2.polylines(picture, [points], False, colour, max(1, round(width)), cv2.LINE_AA, _SHIFT)


def _chalky(pen: Pen, path: Points) -> None:
    """Draw a path in short pieces of uneven width, some left out: a stub of chalk pressed unevenly."""
    rng, hand = pen.rng, pen.hand
    skip = hand.broken * rng.uniform(0.3, 1.0)
    piece, left_out = 0, 0
    while piece < len(path) - 1:
        end = min(len(path) - 1, piece + int(rng.integers(1, 4)))
        left_out += 1
        # Never more than two pieces on end: a stroke that is hardly there cannot be asked for.
        if rng.random() > skip or (hand.taper > 0 and left_out > _LEFT_OUT):
            _polyline(pen.picture, path[piece : end + 1], pen.colour, hand.width * rng.uniform(0.45, 1.4))
            left_out = 0
        piece = end


def _tapered(pen: Pen, path: Points, width: float) -> None:
    """Draw a path whose width changes along it: a pen lifted at the end, a stub of chalk turned."""
    rng = pen.rng
    first, last = rng.uniform(0.35, 1.5, 2)
    count = min(len(path) - 1, 5)
    cuts = np.linspace(0, len(path) - 1, count + 1).astype(int)
    for k in range(count):
        part = path[cuts[k] : cuts[k + 1] + 1]
        _polyline(pen.picture, part, pen.colour, width * (first + (last - first) * (k + 0.5) / count))


def _dusty(pen: Pen, path: Points) -> None:
    """Let crumbs fall beside a stroke of chalk or soft pencil."""
    rng, picture = pen.rng, pen.picture
    length = float(np.hypot(*(path[-1] - path[0])))
    count = int(min(400.0, length * pen.hand.width * rng.uniform(0.02, 0.25)))
    rows = rng.integers(0, len(path), count)
    at = path[rows] + rng.normal(0, 0.9 * pen.hand.width, (count, 2))
    at = np.round(
        at + rng.uniform(-1, 1, (count, 1)) * (path[np.minimum(rows + 1, len(path) - 1)] - path[rows])
    )
    x, y = at.astype(int).T
    inside = (x >= 0) & (y >= 0) & (x < picture.shape[1]) & (y < picture.shape[0])
    picture[y[inside], x[inside]] = np.array(pen.colour).astype(np.uint8)


def stroke(pen: Pen, path: Points) -> None:
    """Draw a path with wander, skipped pieces and second passes, as the hand has them."""
    rng, picture, colour, hand = pen.rng, pen.picture, pen.colour, pen.hand
    length = float(np.hypot(*np.diff(path, axis=0).T).sum())
    if length < 1:
        return
    passes = 1 + int(rng.random() < hand.again) + int(rng.random() < hand.again / 3)
    for turn in range(passes):
        line = path
        if hand.wobble > 0:
            t = np.linspace(0, len(path) - 1, max(len(path), int(length / 12)))
            base = np.stack([np.interp(t, np.arange(len(path)), path[:, i]) for i in (0, 1)], 1)
            drift = np.interp(np.linspace(0, 1, len(t)), np.linspace(0, 1, 6), rng.normal(0, 1, 6))
            heading = path[-1] - path[0]
            normal = np.array([-heading[1], heading[0]]) / max(float(np.hypot(*heading)), 1.0)
            line = base + (hand.wobble * length * drift)[:, None] * normal
            if turn:
                far = 2.2 if hand.taper > 0 and rng.random() < 0.3 else 0.6
                line = line + rng.normal(0, far * hand.width, 2)
        if rng.random() < hand.fade and len(line) > 8:
            cut = int(rng.integers(2, len(line) - 3))
            _polyline(picture, line[:cut], colour, hand.width)
            line = line[cut + int(rng.integers(1, max(2, len(line) // 8))) :]
        if len(line) > 1:
            if hand.broken > 0:
                _chalky(pen, line)
                if hand.taper > 0:
                    _dusty(pen, line)
            elif hand.taper > 0 and rng.random() < hand.taper:
                _tapered(pen, line, hand.width * float(np.exp(rng.normal(0, 0.3 * hand.taper))))
            else:
                _polyline(picture, line, colour, hand.width * rng.uniform(0.8, 1.25))


def circle_mark(pen: Pen, centre: Points, radius: float) -> None:
    """Draw an open hand-made circle: not quite round, not quite closed, an oval, perhaps a spiral."""
    rng, hand = pen.rng, pen.hand
    turns = rng.uniform(0.7, 1.25) + (rng.random() < max(hand.again, 0.15)) * rng.uniform(0.3, 2.2)
    if hand.wobble == 0:
        turns = 1.0
    angle = rng.uniform(0, 2 * np.pi) + np.linspace(0, 2 * np.pi * turns, max(16, int(20 * turns)))
    loose = 0.0 if hand.wobble == 0 else rng.uniform(0, 0.22)
    r = radius * (1 + loose * np.interp(angle, np.linspace(angle[0], angle[-1], 5), rng.normal(0, 0.6, 5)))
    if hand.wobble > 0 and turns > 1.3 and rng.random() < 0.5:
        r = r * np.linspace(rng.uniform(0.2, 0.9), 1.0, len(r))
    elif hand.taper > 0 and rng.random() < 0.5:
        # Begun inside: a hook, as on a 6 or an @.
        r = r * np.interp(
            np.linspace(0, 1, len(r)), [0, rng.uniform(0.12, 0.5), 1], [rng.uniform(0.3, 0.9), 1, 1]
        )
    squash, lean = (1.0, 0.0) if hand.wobble == 0 else (rng.uniform(0.42, 1.0), rng.uniform(0, np.pi))
    x, y = r * np.cos(angle), r * np.sin(angle) * squash
    path = centre + np.stack([x * np.cos(lean) - y * np.sin(lean), x * np.sin(lean) + y * np.cos(lean)], 1)
    # The truth is the centre of the ink, so a lopsided circle is put back over its joint.
    path += centre - (path.min(0) + path.max(0)) / 2
    if hand.broken > 0:
        _chalky(pen, path)
    elif hand.taper > 0 and rng.random() < hand.taper:
        _tapered(pen, path, hand.width * rng.uniform(0.8, 1.2))
    else:
        _polyline(pen.picture, path, pen.colour, hand.width * rng.uniform(0.7, 1.3))


def scribble(pen: Pen, centre: Points, radius: float) -> None:
    """Fill a spot by scribbling to and fro."""
    rng = pen.rng
    n = int(rng.integers(5, 30))
    angle = rng.uniform(0, 2 * np.pi, n)
    if rng.random() < 0.4:
        # Round and round instead of to and fro.
        angle = rng.uniform(0, 2 * np.pi) + np.cumsum(rng.uniform(0.5, 1.6, n))
    path = centre + radius * np.sqrt(rng.uniform(0.3, 1, n))[:, None] * np.stack(
        [np.cos(angle), np.sin(angle)], 1
    )
    _polyline(pen.picture, path, pen.colour, max(1.0, 0.7 * pen.hand.width))


def write(pen: Pen, text: str, centre: Points, size: float) -> NDArray[np.float32]:
    """Write a text `size` pixels high centred on a point and return its box, (4, 2)."""
    hand = pen.hand
    if hand.lettering is not None:
        width = hand.width * pen.rng.uniform(0.5, 0.9)
        return handwrite(pen.rng, pen.picture, text, centre, size, colour=pen.colour, width=width,
                         lettering=hand.lettering)  # fmt: skip
    font = int(_FONTS[pen.rng.integers(len(_FONTS))])
    thick = max(1, round(0.6 * pen.hand.width))
    (_, base_height), _ = cv2.getTextSize(text, font, 1.0, thick)
    scale = size / max(base_height, 1)
    (w, h), _ = cv2.getTextSize(text, font, scale, thick)
    x, y = float(centre[0] - w / 2), float(centre[1] + h / 2)
    cv2.putText(pen.picture, text, (round(x), round(y)), font, scale, pen.colour, thick, cv2.LINE_AA)
    return np.array([[x, y - h], [x + w, y - h], [x + w, y], [x, y]], np.float32)


def rough_ink(rng: Rng, picture: Image, ground: Image, strength: float) -> Image:
    """Let the ground show through the ink in grains, as chalk, pencil and dry felt do."""
    height, width = picture.shape[:2]
    size = int(rng.choice([2, 2, 2, 3, 5]))
    coarse = rng.integers(0, 256, (height // size + 1, width // size + 1), dtype=np.uint8)
    grain = cv2.resize(coarse, (width, height), interpolation=cv2.INTER_LINEAR)
    patch = np.clip(128 + 100 * clouds(rng, height, width, rng.uniform(3, 25)), 0, 255).astype(np.uint8)
    alpha = cv2.addWeighted(grain, -strength, patch, -0.4 * strength, 255.0 + 20 * strength)
    alpha = cv2.merge([alpha] * 3)
    out = cv2.add(
        cv2.multiply(picture, alpha, scale=1 / 255),
        cv2.multiply(ground, cv2.bitwise_not(alpha), scale=1 / 255),
    )
    return np.asarray(out, np.uint8)
