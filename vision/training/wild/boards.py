"""Boards as they hang in classrooms: dust, swipes, frames, trays, magnets; and what wiping leaves."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.grounds import clouds

__all__ = ["board", "dusted", "half_wiped", "smeared", "swipes"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]
Colour = tuple[float, float, float]

_COARSE = 4
"""Soft things are painted so many times smaller and blown up."""
_DARK = ((38, 70, 52), (44, 62, 56), (30, 32, 34), (45, 48, 50), (28, 48, 70), (60, 84, 66), (20, 40, 32))
"""Green, black and blue boards, RGB."""


def _triple(colour: NDArray[np.float64]) -> Colour:
    r, g, b = np.clip(colour, 0, 255).tolist()
    return float(r), float(g), float(b)


def swipes(rng: Rng, height: int, width: int, count: int, *, broad: float) -> Image:
    """Paint soft curved swipes of an eraser or a sleeve, (H, W) 0 to 255; `broad`: part of the width."""
    h, w = height // _COARSE + 1, width // _COARSE + 1
    mask = np.zeros((h, w), np.uint8)
    for _ in range(count):
        start, turn = rng.uniform(-0.1, 1.1, 2) * (w, h), rng.normal(0, 0.7) + np.pi * rng.integers(2)
        t = np.linspace(0, 1, 9)[:, None]
        way = np.array([np.cos(turn), np.sin(turn)])
        bow = np.array([-way[1], way[0]]) * rng.normal(0, 0.25)
        path = start + rng.uniform(0.15, 0.9) * w * (t * way + 4 * t * (1 - t) * bow)
        thick = max(2, int(broad * w * rng.uniform(0.5, 1.5)))
        shade = int(rng.integers(90, 256))
        cv2.polylines(mask, [np.round(path).astype(np.int32)], False, shade, thick, cv2.LINE_AA)
    mask = np.asarray(cv2.GaussianBlur(mask, (0, 0), rng.uniform(0.8, 5)), np.uint8)
    return np.asarray(cv2.resize(mask, (width, height), interpolation=cv2.INTER_LINEAR), np.uint8)


def _streaks(rng: Rng, height: int, width: int) -> Image:
    """Fine streaks in one direction, (H, W) 0 to 255: what a dry sponge leaves."""
    long, fine = int(rng.integers(12, 70)), int(rng.integers(2, 4))
    size = (
        (width // long + 2, height // fine + 2)
        if rng.random() < 0.7
        else (width // fine + 2, height // long + 2)
    )
    noise = rng.integers(0, 256, (size[1], size[0]), dtype=np.uint8)
    out = cv2.resize(noise, (width, height), interpolation=cv2.INTER_LINEAR)
    if rng.random() < 0.6:
        turn = cv2.getRotationMatrix2D((width / 2, height / 2), float(rng.normal(0, 25)), 1.45)
        out = cv2.warpAffine(out, turn, (width, height), borderMode=cv2.BORDER_REFLECT)
    return np.asarray(out, np.uint8)


def _frame(rng: Rng, out: Image) -> None:
    """Put the board's border, its tray with chalk or pens, and the wall beside it into the picture."""
    height, width = out.shape[:2]
    wall = _triple(rng.uniform(60, 245) * rng.uniform(0.8, 1.05, 3))
    rail = _triple(rng.uniform(40, 220) * np.array([1.0, rng.uniform(0.7, 1), rng.uniform(0.45, 1)]))
    size = max(height, width)
    thick = max(2, int(size * rng.uniform(0.006, 0.035)))
    for side in rng.permutation(4)[: int(rng.integers(1, 4))]:
        depth = rng.uniform(0.01, 0.13) * (height if side % 2 == 0 else width)
        lean = rng.normal(0, 0.012) * size
        far = float(size + 20)
        edge = {
            0: ((-10.0, depth - lean), (far, depth + lean), (far, -far), (-10.0, -far)),
            2: (
                (-10.0, height - depth - lean),
                (far, height - depth + lean),
                (far, 2 * far),
                (-10.0, 2 * far),
            ),
            1: ((depth - lean, -10.0), (depth + lean, far), (-far, far), (-far, -10.0)),
            3: ((width - depth - lean, -10.0), (width - depth + lean, far), (2 * far, far), (2 * far, -10.0)),
        }[int(side)]
        quad = np.round(edge).astype(np.int32)
        cv2.fillPoly(out, [quad], wall, cv2.LINE_AA)
        cv2.line(out, quad[0].tolist(), quad[1].tolist(), rail, thick, cv2.LINE_AA)
        if side == 2 and rng.random() < 0.6:
            for _ in range(int(rng.integers(1, 6))):
                x = rng.uniform(0, width)
                y = height - depth - thick * 0.6
                run = size * rng.uniform(0.01, 0.07)
                ends = np.round([[x, y], [x + run, y + rng.normal(0, 2)]]).astype(int).tolist()
                shade = _triple(rng.uniform(30, 255, 3))
                cv2.line(
                    out, ends[0], ends[1], shade, max(2, int(0.3 * thick * rng.uniform(1, 3))), cv2.LINE_AA
                )


def _magnets(rng: Rng, out: Image) -> None:
    """Stick magnets, and perhaps a sheet of paper, to a board."""
    height, width = out.shape[:2]
    if rng.random() < 0.4:
        box = (tuple((rng.uniform(0, 1, 2) * (width, height)).tolist()),
               tuple((rng.uniform(0.08, 0.25, 2) * width).tolist()), float(rng.normal(0, 5)))  # fmt: skip
        cv2.fillConvexPoly(out, cv2.boxPoints(box).astype(np.int32), _triple(rng.uniform(200, 255, 3)))
    for _ in range(int(rng.integers(1, 5))):
        at = (rng.uniform(0, 1, 2) * (width, height)).astype(int).tolist()
        cv2.circle(out, at, int(rng.integers(4, 15)), _triple(rng.uniform(0, 255, 3)), -1, cv2.LINE_AA)


def _scratches(rng: Rng, out: Image) -> None:
    """Leave fine scratches and remains of old strokes on a board."""
    height, width = out.shape[:2]
    base = out[::32, ::32].reshape(-1, 3).mean(0)
    for _ in range(int(rng.integers(5, 50))):
        at, turn = rng.uniform(0, 1, 2) * (width, height), rng.uniform(0, np.pi)
        run = float(np.exp(rng.uniform(np.log(8), np.log(0.25 * width)))) * np.array(
            [np.cos(turn), np.sin(turn)]
        )
        shade = base + rng.choice([-1, 1, 1]) * rng.uniform(6, 45)
        cv2.line(
            out, at.astype(int).tolist(), (at + run).astype(int).tolist(), _triple(shade), 1, cv2.LINE_AA
        )


def board(rng: Rng, height: int, width: int) -> Image:
    """Paint a chalk board or a whiteboard, (H, W, 3): uneven light, dust, swipes, border, tray, magnets."""
    white = rng.random() < 0.35
    base = np.array(_DARK[int(rng.integers(len(_DARK)))]) * rng.uniform(0.6, 1.7) + rng.normal(0, 6, 3)
    if white:
        base = rng.uniform(150, 250) * rng.uniform(0.9, 1.0, 3)
    light = 1 + rng.uniform(0.03, 0.3) * clouds(
        rng, height // _COARSE + 1, width // _COARSE + 1, rng.uniform(1, 4)
    )
    small = np.clip(light[..., None] * base.astype(np.float32), 0, 255).astype(np.uint8)
    out = np.asarray(cv2.resize(small, (width, height), interpolation=cv2.INTER_LINEAR), np.uint8)
    dust = swipes(rng, height, width, int(rng.integers(0, 9)), broad=rng.uniform(0.03, 0.25))
    if rng.random() < 0.5:
        cloud = np.clip(140 * clouds(rng, height // 8 + 1, width // 8 + 1, rng.uniform(2, 9)) + 60, 0, 255)
        soft = cv2.resize(cloud.astype(np.uint8), (width, height), interpolation=cv2.INTER_LINEAR)
        dust = np.asarray(cv2.max(dust, soft), np.uint8)
    if rng.random() < 0.75:
        dust = np.asarray(cv2.multiply(dust, _streaks(rng, height, width), scale=1 / 255), np.uint8)
    strength = rng.uniform(0.02, 0.14) if white else rng.uniform(0.08, 0.5)
    shares = strength * rng.uniform(0.85, 1.0, 3)
    veil = cv2.merge([cv2.convertScaleAbs(dust, alpha=float(s)) for s in shares])
    out = np.ascontiguousarray(cv2.subtract(out, veil) if white else cv2.add(out, veil))
    if rng.random() < 0.4:
        _scratches(rng, out)
    if rng.random() < 0.45:
        _frame(rng, out)
    if rng.random() < 0.12:
        _magnets(rng, out)
    return out


def dusted(rng: Rng, picture: Image) -> Image:
    """Draw a dry sponge over a drawing: streaks of dust, or of wet, lie on ink and ground alike."""
    height, width = picture.shape[:2]
    mask = swipes(rng, height, width, int(rng.integers(1, 5)), broad=rng.uniform(0.04, 0.2))
    if rng.random() < 0.8:
        mask = np.asarray(cv2.multiply(mask, _streaks(rng, height, width), scale=1 / 255), np.uint8)
    mean = picture[::32, ::32].reshape(-1, 3).mean(0)
    dark = bool(mean.mean() < 128)
    shade = np.clip(mean + (1 if dark != (rng.random() < 0.2) else -1) * rng.uniform(20, 110), 0, 255)
    veil = np.empty_like(picture)
    veil[:] = shade
    return _blend(
        picture, veil, np.asarray(cv2.convertScaleAbs(mask, alpha=float(rng.uniform(0.1, 0.45))), np.uint8)
    )


def half_wiped(rng: Rng, written: Image, bare: Image) -> Image:
    """Return what is left of a drawing (`written` on `bare`) after a careless wipe, faint and smeared.

    Most of the ink goes, at most a third of its contrast stays; specks of it may stand as they were.
    """
    height, width = bare.shape[:2]
    # Always softened: what is faint and sharp is a pencil's, not a sponge's.
    way, soft, share = int(rng.integers(1, 14)), float(rng.uniform(0.8, 3.0)), float(rng.uniform(0.05, 0.33))
    kernel = (2 * way + 1, 1) if rng.random() < 0.7 else (1, 2 * way + 1)
    drawn_out = rng.random() < 0.7
    out = bare
    for ink, sign in ((cv2.subtract(bare, written), -1), (cv2.subtract(written, bare), 1)):
        left = cv2.GaussianBlur(ink, (0, 0), soft)
        left = cv2.blur(left, kernel) if drawn_out else left
        out = np.asarray(cv2.addWeighted(out, 1.0, left, sign * share, 0.0), np.uint8)
    if rng.random() < 0.35:
        cells = clouds(rng, height // _COARSE + 1, width // _COARSE + 1, rng.uniform(25, 70))
        specks = (255 * np.clip(3 * (cells - rng.uniform(0.35, 0.6)), 0, 1)).astype(np.uint8)
        out = _blend(out, written, np.asarray(cv2.resize(specks, (width, height)), np.uint8))
    return out


def _blend(under: Image, over: Image, mask: Image) -> Image:
    """Lay `over` on `under` where `mask`, (H, W) 0 to 255, says so."""
    full = cv2.merge([mask] * 3)
    return np.asarray(
        cv2.add(
            cv2.multiply(over, full, scale=1 / 255), cv2.multiply(under, cv2.bitwise_not(full), scale=1 / 255)
        ),
        np.uint8,
    )


def smeared(rng: Rng, picture: Image, bare: Image) -> Image:
    """Let a sleeve go over a drawing: along some swipes its ink is smeared and paler, never gone."""
    height, width = picture.shape[:2]
    mask = swipes(rng, height, width, int(rng.integers(1, 4)), broad=rng.uniform(0.03, 0.12))
    way = int(rng.integers(3, 16))
    soft = cv2.blur(picture, (2 * way + 1, 1) if rng.random() < 0.6 else (1, 2 * way + 1))
    keep = float(rng.uniform(0.35, 0.7))
    worn = cv2.addWeighted(cv2.addWeighted(picture, 0.5, soft, 0.5, 0.0), keep, bare, 1 - keep, 0.0)
    return _blend(picture, np.asarray(worn, np.uint8), mask)
