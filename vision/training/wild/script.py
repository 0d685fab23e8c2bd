"""Handwriting for wild drawings: letters of our own strokes or of fonts, each a little different."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.faces import glyph_outline
from vision.training.letters import letter_strokes
from vision.training.writing import Lettering

__all__ = ["handwrite"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]
Colour = tuple[float, float, float]


def _letters(rng: Rng, text: str, lettering: Lettering) -> tuple[list[Points], list[Points], float]:
    """Return strokes, filled outlines and length of a line, in heights of a capital from its left end."""
    strokes: list[Points] = []
    outlines: list[Points] = []
    loose, along, drift = lettering.jitter, 0.0, 0.0
    for letter in text:
        glyph = None if lettering.face is None else glyph_outline(lettering.face, letter)
        parts, advance = letter_strokes(letter) if glyph is None else glyph
        lean = np.array([[lettering.stretch, 0.0], [-lettering.slant * lettering.stretch, 1.0]])
        lean = lean * (1 + rng.normal(0, 2 * loose))
        drift += rng.normal(0, 0.5 * loose)
        shift = np.array([along, drift])
        wave, phase = loose * rng.uniform(0, 1.5), rng.uniform(0, 6.3)
        placed = [p @ lean + shift + wave * np.sin(3 * p[:, ::-1] + phase) for p in parts]
        (strokes if glyph is None else outlines).extend(placed)
        along += advance * lettering.stretch * (1 + rng.normal(0, loose))
    return strokes, outlines, along


def handwrite(
    rng: Rng,
    picture: Image,
    text: str,
    centre: Points,
    size: float,
    *,
    colour: Colour,
    width: float,
    lettering: Lettering,
) -> NDArray[np.float32]:
    """Write a text by hand with capitals `size` pixels high, centred on a point; return its box, (4, 2).

    `width` is the pen's, pixels. Lines lean a little, now and then much.
    """
    strokes, outlines, length = _letters(rng, text, lettering)
    turn = rng.normal(0, 0.05) if rng.random() < 0.9 else rng.uniform(-1.6, 1.6)
    rotate = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]) * size
    middle = np.array([length / 2, -0.5])

    def put(points: Points) -> NDArray[np.int32]:
        return np.asarray(np.round(((points - middle) @ rotate + centre) * 16), np.int32)

    if outlines:
        cv2.fillPoly(picture, [put(p) for p in outlines], colour, cv2.LINE_AA, 4)
    if strokes:
        thick = max(1, round(min(width, 0.2 * size)))
        cv2.polylines(picture, [put(p) for p in strokes], False, colour, thick, cv2.LINE_AA, 4)
    box = np.array([[0, -1.05], [length, -1.05], [length, 0.1], [0, 0.1]])
    return np.asarray((box - middle) @ rotate + centre, np.float32)
