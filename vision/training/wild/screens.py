"""Screens to draw on: a flat page in a program's window, with bars of tools, swatches and scroll bars."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["screen"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Colour = tuple[float, float, float]

_PAGES = (
    (255, 255, 255),
    (250, 248, 240),
    (30, 30, 32),
    (0, 0, 0),
    (18, 30, 46),
    (240, 240, 244),
    (44, 62, 50),
)
"""White, cream, dark, black, navy, grey and green pages, RGB."""


def _shade(rng: Rng, base: Colour, apart: float) -> Colour:
    """Return a grey or tint `apart` grey levels from a colour, towards the middle of the scale."""
    way = -1 if float(np.mean(base)) > 127 else 1
    r, g, b = np.clip(np.array(base) + way * apart + rng.normal(0, 4, 3), 0, 255).tolist()
    return float(r), float(g), float(b)


def _page_print(rng: Rng, out: Image, page: Colour) -> None:
    """Print squares, dots or lines on a page, perfectly even."""
    height, width = out.shape[:2]
    pitch, colour = int(rng.integers(12, 64)), _shade(rng, page, rng.uniform(12, 60))
    kind = rng.choice(["squares", "dots", "lines"], p=[0.55, 0.3, 0.15])
    if kind == "dots":
        radius = int(rng.choice([1, 1, 2]))
        for y in range(pitch // 2, height, pitch):
            for x in range(pitch // 2, width, pitch):
                cv2.circle(out, (x, y), radius, colour, -1, cv2.LINE_AA)
        return
    bold = int(rng.choice([0, 0, 5]))
    for k, y in enumerate(range(0, height, pitch)):
        out[y : y + 1 + int(bold > 0 and k % bold == 0)] = colour
    if kind == "squares":
        for k, x in enumerate(range(0, width, pitch)):
            out[:, x : x + 1 + int(bold > 0 and k % bold == 0)] = colour


def _icon(rng: Rng, out: Image, at: tuple[int, int], size: int, colour: Colour) -> None:
    """Draw one sign of a tool: a ring, a square, a line, an arrow, a swatch, a letter."""
    x, y = at
    half, thick = max(2, size // 3), max(1, size // 14)
    kind = int(rng.integers(7))
    low, high = (x - half, y - half), (x + half, y + half)
    if kind == 0:
        cv2.circle(out, at, half, colour, thick, cv2.LINE_AA)
    elif kind == 1:
        cv2.rectangle(out, low, high, colour, thick)
    elif kind == 2:
        cv2.line(out, (x - half, y + half), (x + half, y - half), colour, thick, cv2.LINE_AA)
    elif kind == 3:
        cv2.arrowedLine(out, (x + half, y), (x - half, y), colour, thick, cv2.LINE_AA, 0, 0.5)
    elif kind == 4:
        r, g, b = rng.uniform(0, 255, 3).tolist()
        cv2.circle(out, at, half, (r, g, b), -1, cv2.LINE_AA)
    elif kind == 5:
        for k in (-1, 0, 1):
            cv2.line(out, (x - half, y + k * half // 2), (x + half, y + k * half // 2), colour, thick)
    else:
        letter = str(rng.choice(list("ATBIU+?")))
        cv2.putText(
            out, letter, (x - half, y + half), cv2.FONT_HERSHEY_SIMPLEX, size / 45, colour, thick, cv2.LINE_AA
        )


def _bar(rng: Rng, out: Image, side: int, deep: int) -> None:
    """Put a bar of tools along one side (0 top, 1 left, 2 bottom, 3 right), `deep` pixels."""
    height, width = out.shape[:2]
    grey = float(rng.choice([245, 235, 210, 60, 35]))
    base: Colour = (grey, grey, min(255.0, grey + float(rng.uniform(0, 15))))
    sign, edge = _shade(rng, base, rng.uniform(90, 160)), _shade(rng, base, 35)
    if side in {0, 2}:
        top = 0 if side == 0 else height - deep
        cv2.rectangle(out, (0, top), (width, top + deep), base, -1)
        line = deep if side == 0 else height - deep
        cv2.line(out, (0, line), (width, line), edge, 1)
        long, middle = width, top + deep // 2
    else:
        left = 0 if side == 1 else width - deep
        cv2.rectangle(out, (left, 0), (left + deep, height), base, -1)
        line = deep if side == 1 else width - deep
        cv2.line(out, (line, 0), (line, height), edge, 1)
        long, middle = height, left + deep // 2
    step = max(8, int(deep * rng.uniform(1.0, 1.8)))
    along = int(rng.uniform(0, 0.3) * long) + step
    for _ in range(int(rng.integers(3, 16))):
        _icon(rng, out, (along, middle) if side in {0, 2} else (middle, along), deep, sign)
        along += step
        if along > long - step:
            break


def screen(rng: Rng, height: int, width: int) -> Image:
    """Show a page on a screen, (H, W, 3), as a screenshot has it: flat, sharp, perhaps with tools around."""
    base = np.array(_PAGES[int(rng.integers(len(_PAGES)))], float) + rng.normal(0, 3, 3)
    r, g, b = np.clip(base, 0, 255).tolist()
    out = np.empty((height, width, 3), np.uint8)
    out[:] = (r, g, b)
    if rng.random() < 0.5:
        _page_print(rng, out, (r, g, b))
    if rng.random() < 0.7:
        for side in rng.permutation(4)[: int(rng.integers(1, 4))]:
            _bar(rng, out, int(side), int(rng.uniform(0.03, 0.08) * max(height, width)))
    if rng.random() < 0.3:
        y, run = int(rng.uniform(0.1, 0.7) * height), int(rng.uniform(0.08, 0.25) * height)
        cv2.rectangle(out, (width - 9, y), (width - 3, y + run), _shade(rng, (r, g, b), 70), -1)
    return out
