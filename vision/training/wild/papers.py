"""Papers with a print of their own: squares of many pitches, ruled, isometric, dotted, pages of books."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.grounds import clouds

__all__ = ["paper"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Colour = tuple[float, float, float]

_PRINTS = (
    (150, 190, 225),
    (160, 205, 180),
    (190, 190, 190),
    (230, 175, 140),
    (225, 160, 170),
    (120, 125, 150),
)
"""Blue, green, grey, orange, pink and dark prints, RGB."""


def _sheet(rng: Rng, height: int, width: int) -> tuple[Image, NDArray[np.float64]]:
    """Lay an evenly white, yellowish or green sheet in uneven light; return it and its tint."""
    tint = 255 * (1 - rng.uniform(0, 0.3) * rng.uniform(0.2, 1, 3) * np.array([0.5, 0.6, 1.0]))
    if rng.random() < 0.08:
        tint = np.array([205, 228, 200]) * rng.uniform(0.9, 1.05)
    tint = tint * rng.uniform(0.5, 1.0)
    light = 1 + rng.uniform(0, 0.25) * clouds(rng, height // 4 + 1, width // 4 + 1, rng.uniform(1, 3))
    small = np.clip(light[..., None] * tint.astype(np.float32), 0, 255).astype(np.uint8)
    return np.ascontiguousarray(cv2.resize(small, (width, height), interpolation=cv2.INTER_LINEAR)), tint


def _comb(
    out: Image, turn: float, pitch: float, colour: Colour, *, start: float, thick: int, bold: int
) -> None:
    """Draw parallel lines across a picture, `turn` from the x axis, each `bold`th one heavier (0: none)."""
    height, width = out.shape[:2]
    reach = float(np.hypot(height, width))
    way, side = np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])
    middle = np.array([width / 2, height / 2])
    dark = tuple(0.86 * v for v in colour)
    for k, off in enumerate(np.arange(-reach / 2 + start, reach / 2, pitch)):
        ends = np.round((middle + off * side + np.array([[-1], [1]]) * reach * way) * 16).astype(int).tolist()
        heavy = bold and k % bold == 0
        cv2.line(out, ends[0], ends[1], dark if heavy else colour, thick + bool(heavy), cv2.LINE_AA, 4)


def _print(rng: Rng, tint: NDArray[np.float64], least: float, most: float) -> Colour:
    """Choose the colour of a print: `least` to `most` of its strength over the sheet's tint."""
    part = rng.uniform(least, most)
    full = np.array(_PRINTS[int(rng.integers(len(_PRINTS)))]) * tint / 255
    r, g, b = np.clip(tint * (1 - part) + full * part, 0, 255).tolist()
    return float(r), float(g), float(b)


def _grid(rng: Rng, out: Image, tint: NDArray[np.float64]) -> None:
    """Print squares, or the triangles of isometric paper."""
    pitch = float(np.exp(rng.uniform(np.log(7), np.log(70))))
    lean = rng.normal(0, 0.02) if rng.random() < 0.8 else rng.normal(0, 0.3)
    most = 1.3 if pitch > 14 else 0.9
    colour, thick = _print(rng, tint, 0.3, most), int(rng.choice([1, 1, 1, 2])) if pitch > 18 else 1
    bold = int(rng.choice([0, 0, 0, 2, 5, 5, 10]))
    turns = (0.0, np.pi / 2) if rng.random() < 0.8 else (np.pi / 2, np.pi / 6, -np.pi / 6)
    for turn in turns:
        _comb(out, lean + turn, pitch, colour, start=rng.uniform(0, pitch), thick=thick, bold=bold)


def _ruled(rng: Rng, out: Image, tint: NDArray[np.float64]) -> None:
    """Print ruled lines and a margin, perhaps holes of a binder."""
    height, width = out.shape[:2]
    lean, pitch = rng.normal(0, 0.03), rng.uniform(14, 60)
    colour, thick = _print(rng, tint, 0.4, 1.3), int(rng.choice([1, 1, 2]))
    _comb(out, lean, pitch, colour, start=rng.uniform(0, pitch), thick=thick, bold=0)
    if rng.random() < 0.5:
        x = int(width * rng.choice([rng.uniform(0.04, 0.2), rng.uniform(0.8, 0.96)]))
        red = (min(255.0, 0.95 * float(tint[0])), 0.6 * float(tint[1]), 0.6 * float(tint[2]))
        for k in range(int(rng.integers(1, 3))):
            cv2.line(out, (x + 4 * k, 0), (x + 4 * k + int(lean * -height), height), red, 1, cv2.LINE_AA)
    if rng.random() < 0.2:
        x, shade = int(width * rng.uniform(0.01, 0.06)), int(rng.integers(40, 140))
        for y in np.arange(rng.uniform(0, 90), height, rng.uniform(60, 200)):
            cv2.circle(out, (x, int(y)), int(rng.integers(5, 12)), (shade, shade, shade), -1, cv2.LINE_AA)


def _dots(rng: Rng, out: Image, tint: NDArray[np.float64]) -> None:
    pitch, colour = rng.uniform(14, 45), _print(rng, 0.75 * tint, 0.6, 1.2)
    lean, radius = rng.normal(0, 0.03), int(rng.choice([1, 1, 2]))
    for y in np.arange(rng.uniform(0, pitch), out.shape[0], pitch):
        for x in np.arange(rng.uniform(0, pitch) * 0, out.shape[1], pitch):
            cv2.circle(out, (int(x - lean * y), int(y + lean * x)), radius, colour, -1)


def _book(rng: Rng, out: Image, tint: NDArray[np.float64]) -> None:
    """Print columns of small text, grey blocks and rules round a free place, as on a page of a book."""
    height, width = out.shape[:2]
    shade = tuple(float(v) for v in tint * rng.uniform(0.2, 0.5))
    size = rng.uniform(5, 15)
    columns = int(rng.integers(1, 3))
    free = sorted(rng.uniform(0, 1, 2) * height)
    if free[1] - free[0] < 0.45 * height:
        free = [0.15 * height, 0.8 * height]
    for c in range(columns):
        left, right = width * (c + 0.06) / columns, width * (c + 0.94) / columns
        for y in np.arange(size, height, 2.0 * size):
            if free[0] < y < free[1]:
                continue
            x = left
            while x < right:
                run = size * rng.uniform(1, 5)
                cv2.line(
                    out, (int(x), int(y)), (int(min(x + run, right)), int(y)), shade, max(1, int(size * 0.4))
                )
                x += run + size * 0.7


def paper(rng: Rng, height: int, width: int) -> Image:
    """Lay a printed paper, (H, W, 3): squares mostly, lines, dots, a book page."""
    out, tint = _sheet(rng, height, width)
    kind = rng.choice(4, p=[0.55, 0.2, 0.1, 0.15])
    (_grid, _ruled, _dots, _book)[kind](rng, out, tint)
    return out
