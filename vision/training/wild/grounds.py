"""Grounds for wild pictures: paper, boards, tables, plain colours, rough textures."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.photos import Album

__all__ = ["clouds", "framed", "ground", "ink_colour", "photographed_ground"]

Rng = np.random.Generator
Image = NDArray[np.uint8]


def clouds(rng: Rng, height: int, width: int, cells: float) -> NDArray[np.float32]:
    """Return smooth noise of about -1 to 1, (H, W), with `cells` bumps along the longer side."""
    step = max(height, width) / max(cells, 1.0)
    small = rng.uniform(-1, 1, (max(2, int(height / step) + 1), max(2, int(width / step) + 1)))
    return np.asarray(
        cv2.resize(small.astype(np.float32), (width, height), interpolation=cv2.INTER_CUBIC), np.float32
    )


def _flat(rng: Rng, height: int, width: int, colour: NDArray[np.float64], rough: float) -> Image:
    """Fill with one colour, unevenly lit and a little mottled."""
    light = 1 + rng.uniform(0, 0.25) * clouds(rng, height, width, rng.uniform(1, 3))
    light += rough * clouds(rng, height, width, rng.uniform(20, 200))
    out: Image = np.clip(light[..., None] * colour.astype(np.float32), 0, 255).astype(np.uint8)
    return out


def _paper(rng: Rng, height: int, width: int) -> Image:
    tint = 255 * (1 - rng.uniform(0, 0.35) * rng.uniform(0.3, 1, 3) * np.array([0.6, 0.7, 1.0]))
    return _flat(rng, height, width, tint * rng.uniform(0.55, 1.0), rng.uniform(0, 0.03))


def _lined(rng: Rng, height: int, width: int) -> Image:
    """Ruled, squared or dotted paper; the lines may be strong."""
    out = _paper(rng, height, width)
    pitch = rng.uniform(14, 80)
    ratio = rng.choice([1.0, 1.0, rng.uniform(0.6, 1.6)])
    base = out.reshape(-1, 3).mean(0)
    colour = tuple(float(v) for v in base * rng.uniform(0.45, 0.9, 3))
    thick = int(rng.choice([1, 1, 2, 3]))
    style = rng.integers(4)
    ys = np.arange(rng.uniform(0, pitch), height, pitch)
    xs = np.arange(rng.uniform(0, pitch), width, pitch * ratio)
    if style == 0:
        for y in ys:
            for x in xs:
                cv2.circle(out, (int(x), int(y)), thick, colour, -1)
        return out
    lean = rng.normal(0, 6)
    for y in ys:
        cv2.line(out, (0, int(y)), (width, int(y + lean)), colour, thick, cv2.LINE_AA)
    if style > 1:
        for x in xs:
            cv2.line(out, (int(x), 0), (int(x - lean), height), colour, thick, cv2.LINE_AA)
    return out


def _board(rng: Rng, height: int, width: int) -> Image:
    """Green, black or blue board with wiped chalk."""
    colour = rng.uniform(15, 95) * rng.uniform(0.5, 1.2, 3)
    out = _flat(rng, height, width, colour, rng.uniform(0.02, 0.15))
    if rng.random() < 0.6:
        wiped = np.clip(clouds(rng, height, width, rng.uniform(2, 10)), 0, 1) * rng.uniform(10, 60)
        grain = cv2.resize(
            rng.random((height // 3 + 1, width // int(rng.integers(3, 40)) + 1)).astype(np.float32),
            (width, height),
        )
        out = np.asarray(cv2.add(out, np.repeat((wiped * grain).astype(np.uint8)[..., None], 3, 2)), np.uint8)
    return out


def _wood(rng: Rng, height: int, width: int) -> Image:
    """Grain along one axis: tables, floors, cardboard, cloth."""
    colour = rng.uniform(60, 230) * rng.uniform(0.6, 1.0, 3) * np.array([1.0, 0.85, 0.65])
    fine = rng.uniform(-1, 1, (height, max(2, int(rng.uniform(3, 30))))).astype(np.float32)
    if rng.random() < 0.5:
        fine = rng.uniform(-1, 1, (max(2, int(rng.uniform(3, 30))), width)).astype(np.float32)
    grain = cv2.resize(fine, (width, height), interpolation=cv2.INTER_LINEAR)
    light = 1 + rng.uniform(0.02, 0.25) * grain + 0.15 * clouds(rng, height, width, 4)
    out: Image = np.clip(light[..., None] * colour.astype(np.float32), 0, 255).astype(np.uint8)
    return out


def _plain(rng: Rng, height: int, width: int) -> Image:
    return _flat(rng, height, width, rng.uniform(0, 255, 3), rng.uniform(0, 0.2))


def _mottled(rng: Rng, height: int, width: int) -> Image:
    """Blend two colours through noise of several sizes, like grass, stone or a carpet."""
    mix = clouds(rng, height, width, rng.uniform(2, 8)) + clouds(rng, height, width, rng.uniform(30, 300))
    mix = np.clip(0.5 + rng.uniform(0.1, 0.5) * mix, 0, 1)[..., None]
    first, second = rng.uniform(0, 255, (2, 3)).astype(np.float32)
    out: Image = (first * mix + second * (1 - mix)).astype(np.uint8)
    return out


def _room(rng: Rng, height: int, width: int) -> Image:
    """Wall above, table below, some flat things standing about."""
    wall = rng.uniform(90, 255, 3) * rng.uniform(0.7, 1.0)
    if rng.random() < 0.6:
        wall = np.full(3, rng.uniform(120, 255)) + rng.normal(0, 8, 3)
    out = _flat(rng, height, width, wall, 0.01)
    if rng.random() < 0.5:
        cut = int(height * rng.uniform(0.3, 0.9))
        out[cut:] = _wood(rng, height, width)[cut:]
    for _ in range(rng.integers(0, 6)):
        centre = rng.uniform(-0.1, 1.1, 2) * (width, height)
        size = rng.uniform(0.08, 0.5, 2) * (width, height)
        turn = rng.normal(0, 12)
        box = cv2.boxPoints((tuple(centre), tuple(size), float(turn))).astype(np.int32)
        shade = rng.uniform(20, 250, 3) * np.array([1.0, 0.85, 0.7])
        cv2.fillConvexPoly(out, box, tuple(float(v) for v in shade), cv2.LINE_AA)
    return out


_GROUNDS: tuple[tuple[Callable[[Rng, int, int], Image], float], ...] = (
    (_paper, 0.3),
    (_lined, 0.2),
    (_board, 0.16),
    (_wood, 0.08),
    (_plain, 0.08),
    (_mottled, 0.08),
    (_room, 0.1),
)


def ground(rng: Rng, height: int, width: int, *, scene: bool = False) -> Image:
    """Paint a ground, (H, W, 3) uint8; `scene` prefers rooms and tables, where models stand."""
    weights = np.array([w for _, w in _GROUNDS])
    if scene:
        weights = np.array([0.25, 0.02, 0.03, 0.15, 0.1, 0.05, 0.4])
    return _GROUNDS[rng.choice(len(_GROUNDS), p=weights / weights.sum())][0](rng, height, width)


def photographed_ground(album: Album, height: int, width: int) -> Image:
    """Return a photograph that a model stands before: as it is, or above a table of a real surface."""
    rng = album.rng
    out = album.view(height, width)
    if rng.random() < 0.35:
        top = int(height * rng.uniform(0.45, 0.9))
        table = album.view(height - top, width, surfaces=0.9, soft=0.2)
        out = np.vstack([out[:top], table])
        if rng.random() < 0.6:
            edge = int(rng.integers(2, max(3, height // 60)))
            out[top : top + edge] = (out[top : top + edge] * rng.uniform(0.3, 0.8)).astype(np.uint8)
    return np.ascontiguousarray(out)


def framed(album: Album, sheet: Image) -> tuple[Image, tuple[float, float, float, float]]:
    """Lay a sheet on a photographed surface; return the picture and the upright box inside the sheet."""
    rng = album.rng
    height, width = sheet.shape[:2]
    out = album.view(height, width, surfaces=0.6)
    left, right, top, bottom = rng.uniform(-0.01, 0.16, 4) * np.array([width, width, height, height])
    lean = rng.normal(0, 0.012, (4, 2)) * max(height, width)
    straight = np.array([[left, top], [width - right, top], [width - right, height - bottom],
                         [left, height - bottom]])  # fmt: skip
    corners = straight + lean
    mask = np.zeros((height, width), np.uint8)
    cv2.fillPoly(mask, [np.round(corners * 16).astype(np.int32)], 255, cv2.LINE_AA, 4)
    soft = width / 200
    shadow = cv2.GaussianBlur(cv2.resize(mask, (width // 4, height // 4)), (0, 0), soft / 4)
    dark = cv2.resize(shadow, (width, height)).astype(np.float32)[..., None] / 255
    on = mask.astype(np.float32)[..., None] / 255
    around = out * (1 - 0.4 * dark)
    low = np.maximum(corners[[0, 0]].max(0), [corners[3, 0], corners[1, 1]]).clip(0)
    high = np.minimum([corners[1, 0], corners[3, 1]], corners[2]).clip(0, [width, height])
    box = (float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1]))
    return np.ascontiguousarray(around + (sheet - around) * on, dtype=np.uint8), box


def ink_colour(rng: Rng, picture: Image, *, least: float = 58.0) -> tuple[float, float, float]:
    """Choose an ink that stands out from the ground by at least `least` grey levels on average."""
    base = (
        picture[:: max(1, picture.shape[0] // 32), :: max(1, picture.shape[1] // 32)].reshape(-1, 3).mean(0)
    )
    for _ in range(20):
        colour = rng.uniform(0, 255, 3)
        kind = rng.random()
        if kind < 0.45:
            colour = np.full(3, rng.uniform(0, 110)) + rng.normal(0, 12, 3)
        elif kind < 0.6:
            colour = np.full(3, rng.uniform(170, 255)) + rng.normal(0, 10, 3)
        elif kind < 0.75:
            colour = np.array([rng.uniform(0, 90), rng.uniform(0, 110), rng.uniform(90, 220)])
        colour = np.clip(colour, 0, 255)
        if np.abs(colour - base).mean() > least:
            return float(colour[0]), float(colour[1]), float(colour[2])
    dark = 0.0 if base.mean() > 127 else 255.0
    return dark, dark, dark
