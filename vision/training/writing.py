"""Writing on a sketch: letters of our own strokes, or outlines of a font, each letter a little different."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from vision.training.faces import glyph_outline, hand_faces, print_faces
from vision.training.letters import letter_strokes
from vision.training.sketch import Sketch

__all__ = ["Lettering", "choose_lettering", "text_width", "write"]


@dataclass(frozen=True)
class Lettering:
    """How somebody writes."""

    face: Path | None = None
    """A font; None is strokes of our own."""
    slant: float = 0.0
    """Sideways lean of a capital in parts of its height."""
    jitter: float = 0.0
    """How much letters differ in size, place, lean and form; 0 is print, 0.1 a hasty hand."""
    stretch: float = 1.0
    """Width of the letters against their usual width."""
    weight: float = 0.11
    """Width of the pen in heights of a capital (for strokes of our own)."""


def choose_lettering(rng: np.random.Generator, *, printed: bool, fonts: bool) -> Lettering:
    """Return somebody's hand, or a font of print.

    `fonts` allows handwriting fonts where they were fetched; without it the answer is the same on every
    machine.
    """
    if printed:
        faces = print_faces()
        face = faces[int(rng.integers(len(faces)))] if faces else None
        return Lettering(face, stretch=rng.uniform(0.9, 1.1))
    hands = hand_faces() if fonts else ()
    face = hands[int(rng.integers(len(hands)))] if hands and rng.random() < 0.6 else None
    return Lettering(
        face,
        slant=rng.normal(0.05, 0.1),
        jitter=rng.uniform(0.01, 0.07),
        stretch=rng.uniform(0.75, 1.15),
        weight=rng.uniform(0.07, 0.16),
    )


def _advance(lettering: Lettering, letter: str) -> float:
    if lettering.face is not None:
        found = glyph_outline(lettering.face, letter)
        if found is not None:
            return found[1] * lettering.stretch
    return letter_strokes(letter)[1] * lettering.stretch


def text_width(lettering: Lettering, text: str) -> float:
    """Return the length of a line of writing in heights of a capital."""
    return sum(_advance(lettering, letter) for letter in text)


def write(
    sketch: Sketch,
    text: str,
    at: tuple[float, float],
    *,
    height: float,
    lettering: Lettering,
    rng: np.random.Generator,
    angle: float = 0.0,
    ink: int = 0,
    width: float | None = None,
) -> NDArray[np.float64]:
    """Write one line with its middle at a point, and return its corners.

    Parameters
    ----------
    at
        Middle of the line, in units of the drawing.
    height
        Of a capital, in the same units.
    angle
        Radians, clockwise in the picture (y runs down).
    width
        Of the pen; None takes the hand's own.

    Returns
    -------
    (4, 2) corners clockwise from the top left as one reads.
    """
    length = text_width(lettering, text)
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    loose = lettering.jitter
    cursor, drift = -length / 2, 0.0
    pen = height * lettering.weight if width is None else width
    for letter in text:
        lean = np.array([[1 + rng.normal(0, loose), 0.0], [-lettering.slant + rng.normal(0, loose), 1.0]])
        lean = lean * (1 + rng.normal(0, loose))
        lean[:, 0] *= lettering.stretch
        drift += rng.normal(0, loose * 0.5)
        shift = np.array([cursor + rng.normal(0, loose * 0.4), 0.5 + drift])
        outline = None if lettering.face is None else glyph_outline(lettering.face, letter)
        strokes = letter_strokes(letter)[0] if outline is None else outline[0]
        placed = []
        for stroke in strokes:
            points = stroke @ lean + shift
            if loose:
                # One slow wave over the letter bends it as a whole, so that no two are alike.
                phase = rng.uniform(0, 6.3, 2)
                points = points + loose * np.sin(points[:, ::-1] * 3.0 + phase)
            placed.append(points @ turn * height + np.asarray(at))
        if outline is not None and placed:
            sketch.patch(placed, ink=ink, part="text")
        else:
            for points in placed:
                sketch.line(points, pen, ink=ink, part="text", strength=1 - 0.2 * rng.random())
        cursor += _advance(lettering, letter)
    half = length / 2
    low = 0.65 + abs(drift)
    corners = np.array([[-half, -low], [half, -low], [half, low], [-half, low]])
    return np.asarray(corners @ turn * height + np.asarray(at), dtype=np.float64)
