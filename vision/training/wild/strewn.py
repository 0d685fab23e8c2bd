"""Things that lie or reach about a model: hands, rulers, clamps, spare sticks of its stock, names."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.clutter import words
from vision.training.wild.stock import VIVID, Stock, fill, paint_member, shade, thin_line
from vision.training.wild.strokes import Hand, Pen, write

__all__ = ["clamp", "hand", "names", "ruler", "spares", "street"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]


def _unit(turn: float) -> tuple[Points, Points]:
    """Return a direction and the one square to it."""
    way = np.array([np.cos(turn), np.sin(turn)])
    return way, np.array([-way[1], way[0]])


def hand(rng: Rng, picture: Image, tip: Points, size: float, *, middle: Points) -> None:
    """Reach a hand into the picture, its fingertips at a place; `size` is the width of a finger.

    It comes from outside: `middle` (2,) is the middle of the model, which the arm mostly leaves free.
    """
    skin = np.array([235, 190, 160]) * rng.uniform(0.35, 1.05) + rng.normal(0, 6, 3)
    colour = (float(skin[0]), float(skin[1]), float(skin[2]))
    out = tip - middle
    way, side = _unit(np.arctan2(out[1], out[0]) + rng.normal(0, 0.6))
    palm = tip + way * size * 4.5
    for k in range(int(rng.integers(2, 6))):
        end = tip + side * size * 1.05 * (k - 1) + way * size * rng.uniform(0, 0.8)
        thin_line(
            picture, np.stack([end, palm + side * size * 0.8 * (k - 1)]), shade(colour, 0.8), size * 1.1
        )
        thin_line(picture, np.stack([end, palm + side * size * 0.8 * (k - 1)]), colour, size * 0.95)
    t = np.arange(16) * np.pi / 8
    blob = (
        palm + way * size * 1.5 + np.outer(np.cos(t), way) * size * 3 + np.outer(np.sin(t), side) * size * 2.3
    )
    fill(picture, blob, colour)
    beyond = palm + way * 1.5 * max(picture.shape)
    thin_line(picture, np.stack([palm, beyond]), colour, size * 3.8)
    if rng.random() < 0.7:  # a sleeve
        tone = rng.uniform(10, 240, 3)
        cuff = palm + way * size * rng.uniform(6, 14)
        cloth = (float(tone[0]), float(tone[1]), float(tone[2]))
        thin_line(picture, np.stack([cuff, beyond]), cloth, size * rng.uniform(5, 8))


def clamp(rng: Rng, picture: Image, at: Points, size: float) -> None:
    """Grip a place with a clamp or peg: two jaws `size` long and a screw or spring."""
    way, side = _unit(rng.uniform(0, 2 * np.pi))
    tone = np.full(3, rng.uniform(20, 200)) if rng.random() < 0.6 else rng.uniform(0, 255, 3)
    colour = (float(tone[0]), float(tone[1]), float(tone[2]))
    for k in (-1, 1):
        jaw = np.stack(
            [at + side * k * 0.25 * size - way * 0.3 * size, at + side * k * 0.4 * size + way * size]
        )
        thin_line(picture, jaw, shade(colour, 1.0 + 0.15 * k), 0.28 * size)
    thin_line(picture, np.stack([at - side * 0.7 * size, at + side * 0.7 * size]) + way * 0.6 * size,
              shade(colour, 0.6), 0.14 * size)  # fmt: skip


def ruler(rng: Rng, picture: Image, start: Points, end: Points, width: float) -> None:
    """Lay a ruler with its marks, a pencil, a knife or a tape from one place to another."""
    run = end - start
    length = max(float(np.hypot(*run)), 1.0)
    way = run / length
    side = np.array([-way[1], way[0]]) * width
    tone = np.array(VIVID[int(rng.integers(len(VIVID)))]) * rng.uniform(0.5, 1.05)
    if rng.random() < 0.6:
        tone = np.array([235, 215, 160]) * rng.uniform(0.6, 1.05)
    colour = (float(tone[0]), float(tone[1]), float(tone[2]))
    fill(picture, np.array([start - side, end - side, end + side, start + side]), colour)
    if rng.random() < 0.5:
        count = int(np.clip(length / max(width, 3), 4, 60))
        for k in range(count):
            p = start + run * k / count - side
            thin_line(picture, np.stack([p, p + side * (0.9 if k % 5 == 0 else 0.5)]), (20.0, 20.0, 20.0))
        return
    thin_line(picture, np.stack([start + side * 0.5, end + side * 0.5]), shade(colour, 0.7), 0.4 * width)
    tip = np.array([end - side, end + way * 3 * width, end + side])
    fill(picture, tip, (225.0, 190.0, 140.0))
    fill(picture, (tip - tip[1]) * 0.35 + tip[1], (30.0, 30.0, 30.0))


def spares(rng: Rng, picture: Image, stock: Stock, span: float, clear: Points) -> None:
    """Leave spare sticks of the model's own stock about, none of them on the joints in `clear` (N, 2)."""
    height, width = picture.shape[:2]
    low, high = clear.min(0), clear.max(0)
    for _ in range(int(rng.integers(1, 9))):
        at, (way, _) = rng.uniform(0, 1, 2) * (width, height), _unit(rng.uniform(0, np.pi))
        reach = way * span * rng.uniform(0.05, 0.3) * rng.choice([0.5, 1.0])
        ends = np.stack([at - reach, at + reach])
        # About the model, not in it: what lies in it could not be told from a member.
        if ((ends > low - 0.05 * span) & (ends < high + 0.05 * span)).all(1).any():
            continue
        half = np.full(2, stock.width * span / 2)
        colour = stock.palette[int(rng.integers(len(stock.palette)))]
        paint_member(rng, picture, ends, half, stock=stock, colour=shade(colour, rng.uniform(0.8, 1.1)))


def names(rng: Rng, picture: Image, at: Points) -> list[NDArray[np.float32]]:
    """Write names by some joints, as a person marks up a photograph; return the boxes of what is written."""
    tone = np.full(3, rng.choice([15.0, 245.0])) if rng.random() < 0.5 else rng.uniform(0, 255, 3)
    span = float(np.ptp(at, axis=0).max())
    size = float(np.clip(span * rng.uniform(0.02, 0.06), 8, 40))
    pen = Pen(
        rng, picture, (float(tone[0]), float(tone[1]), float(tone[2])), Hand(rng.uniform(1, 4), 0, 0, 0)
    )
    middle = at.mean(0)
    found = []
    for k, p in enumerate(at):
        if rng.random() < 0.2:
            continue
        out = p - middle
        spot = p + (out / max(float(np.hypot(*out)), 1.0) + rng.normal(0, 0.3, 2)) * size * rng.uniform(
            1.2, 2.0
        )
        text = chr(65 + k % 26) if rng.random() < 0.7 else words(rng)
        # What hides a joint asks for what nobody can read.
        half = np.array([0.42 * len(text) * size + 4, 0.9 * size])
        if (np.abs(at - spot) < half).all(1).any():
            continue
        if rng.random() < 0.3:  # a paper label
            w = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, size / 22, 1)[0][0] / 2 + 3
            half = np.array([w, 0.8 * size])
            card = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half + spot
            fill(picture, card, (250.0, 250.0, 240.0) if tone.mean() < 128 else (30.0, 30.0, 40.0))
        found.append(write(pen, text, spot, size))
    return found


def street(rng: Rng, picture: Image, at: Points) -> None:
    """Set lamp posts, wires and bushes before a real bridge, whose joints are `at`, (N, 2) pixels."""
    height, width = picture.shape[:2]
    low, high = at.min(0), at.max(0)
    span = float((high - low).max())
    grey = np.full(3, rng.uniform(15, 200)) * rng.uniform(0.9, 1.1, 3)
    tone = (float(grey[0]), float(grey[1]), float(grey[2]))
    for _ in range(int(rng.integers(0, 4))):
        x = rng.uniform(low[0] - 0.2 * span, high[0] + 0.2 * span)
        foot = rng.uniform(high[1], high[1] + 0.5 * span)
        top = np.array([x + rng.normal(0, 2), rng.uniform(low[1] - 0.4 * span, high[1] - 0.1 * span)])
        thick = max(1.0, span * rng.uniform(0.002, 0.012))
        thin_line(picture, np.stack([[x, foot], top]), tone, thick)
        if rng.random() < 0.6:
            arm = top + np.array([rng.choice([-1, 1]) * 0.05 * span, -0.01 * span])
            thin_line(picture, np.stack([top, arm]), tone, thick)
            thin_line(picture, np.stack([arm, arm + np.array([0.015 * span, 0])]), tone, 2.5 * thick)
    for _ in range(int(rng.choice([0, 0, 1, 3]))):
        ends = np.array([[0, rng.uniform(0, 0.6) * height], [width, rng.uniform(0, 0.6) * height]])
        t = np.linspace(0, 1, 16)[:, None]
        sag = np.hstack([0 * t, 4 * t * (1 - t) * rng.uniform(0, 0.1) * height])
        thin_line(picture, ends[0] + t * (ends[1] - ends[0]) + sag, tone, rng.uniform(1, 2.2))
    if rng.random() < 0.5:
        green = np.array([rng.uniform(20, 120), rng.uniform(50, 140), rng.uniform(10, 90)])
        middle = np.array([rng.uniform(0, width), high[1] + rng.uniform(0.05, 0.4) * span])
        for _ in range(int(rng.integers(4, 30))):
            spot = (middle + rng.normal(0, 0.08, 2) * span).astype(int).tolist()
            leaf = (green * rng.uniform(0.6, 1.4)).clip(0, 255).tolist()
            cv2.circle(picture, spot, max(2, int(span * rng.uniform(0.01, 0.05))), leaf, -1)
