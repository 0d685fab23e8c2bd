"""Fields of noise, made once and cut from for every page: grain, clouds, wipes and fibres."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["cut", "slow_field"]

SIDE = 1536
"""Pixels of a stored field; cuts are turned, mirrored and scaled so that no two pages share a texture."""

Field = NDArray[np.float32]


@cache
def _stored(kind: str) -> Field:
    rng = np.random.default_rng(sum(map(ord, kind)))
    white = rng.standard_normal((SIDE, SIDE), dtype=np.float32)
    if kind == "grain":
        field = cv2.GaussianBlur(white, (0, 0), 0.8) + 0.6 * cv2.GaussianBlur(white[::-1].copy(), (0, 0), 2.0)
    elif kind == "white":
        field = white
    elif kind == "clouds":
        field = np.zeros((SIDE, SIDE), np.float32)
        for octave in range(2, 8):
            small = rng.standard_normal((2**octave, 2**octave), dtype=np.float32)
            big = cv2.resize(small, (SIDE, SIDE), interpolation=cv2.INTER_CUBIC)
            field += np.asarray(big, dtype=np.float32) * 0.6**octave
    elif kind == "wipes":  # smears of a cloth or a sponge: long, and nearly one way
        field = np.asarray(cv2.blur(cv2.GaussianBlur(white, (0, 0), 2.0), (240, 1)), dtype=np.float32)
        field += 0.7 * np.asarray(cv2.GaussianBlur(cv2.blur(white[::-1].copy(), (90, 3)), (0, 0), 1.2))
    elif kind == "wood":
        rows = np.cumsum(rng.standard_normal((SIDE, 1)).astype(np.float32), axis=0)
        wave = cv2.GaussianBlur(rng.standard_normal((SIDE, SIDE), dtype=np.float32), (0, 0), 40)
        field = np.sin(rows * 0.8 + wave * 60 * 0.6 + np.linspace(0, 70, SIDE, dtype=np.float32)[:, None])
        field = field + 2 * np.asarray(cv2.blur(white, (160, 1))) * 3
    elif kind == "weave":
        y, x = np.mgrid[0:SIDE, 0:SIDE].astype(np.float32)
        field = np.sin(x * 0.9) * np.sin(y * 0.9) + 0.4 * white
    else:  # tooth: what chalk and pencil leave bare
        field = np.asarray(cv2.GaussianBlur(white, (0, 0), 1.1), dtype=np.float32)
        field = field + 0.5 * np.asarray(cv2.GaussianBlur(white[:, ::-1].copy(), (0, 0), 2.2)) * 2
    field = np.asarray(field, dtype=np.float32)
    normal: Field = (field - field.mean()) / field.std()
    return normal


def cut(rng: np.random.Generator, kind: str, height: int, width: int, *, scale: float = 1.0) -> Field:
    """Return a piece (height, width) of a field with mean 0 and deviation about 1.

    Kinds are `white`, `grain`, `clouds`, `wipes`, `wood`, `weave` and `tooth`; a `scale` above 1 is coarser.
    """
    field = _stored(kind)
    high, wide = (min(SIDE, max(8, int(np.ceil(v / scale)))) for v in (height, width))
    top, left = int(rng.integers(SIDE - high + 1)), int(rng.integers(SIDE - wide + 1))
    piece = field[top : top + high, left : left + wide]
    if rng.random() < 0.5:
        piece = piece[::-1]
    if rng.random() < 0.5:
        piece = piece[:, ::-1]
    if piece.shape != (height, width):
        big = cv2.resize(np.ascontiguousarray(piece), (width, height), interpolation=cv2.INTER_LINEAR)
        return np.asarray(big, dtype=np.float32)
    return np.ascontiguousarray(piece)


def slow_field(rng: np.random.Generator, height: int, width: int, *, knots: int = 4) -> Field:
    """Return a smooth field (height, width), mean about 0, deviation about 1: a few hills and hollows."""
    small = rng.standard_normal((knots, knots), dtype=np.float32)
    return np.asarray(cv2.resize(small, (width, height), interpolation=cv2.INTER_CUBIC), dtype=np.float32)
