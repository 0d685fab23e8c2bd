"""What paper and files do to a wild picture: writing that shows through, creases, small files blown up."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.grounds import clouds

__all__ = ["blown_up", "creased", "shine_through"]

Rng = np.random.Generator
Image = NDArray[np.uint8]

_COARSE = 3
"""Folds are laid out so many times smaller and blown up."""
_KEPT = 11.0
"""Pixels that short members keep in a coarse file; with fewer not even a person tells them apart."""


def shine_through(rng: Rng, ground: Image, written: Image) -> Image:
    """Let what was drawn on the back of the sheet (`written`, on the same ground) show through, mirrored."""
    blur = float(rng.uniform(0.6, 3.0))
    back = written[:, ::-1] if rng.random() < 0.7 else written
    bare = ground[:, ::-1] if back is not written else ground
    soft = cv2.GaussianBlur(cv2.subtract(bare, back), (0, 0), blur)
    light = cv2.GaussianBlur(cv2.subtract(back, bare), (0, 0), blur)
    part = float(rng.uniform(0.04, 0.26))
    out = cv2.addWeighted(ground, 1.0, soft, -part, 0.0)
    return np.asarray(cv2.addWeighted(out, 1.0, light, part, 0.0), np.uint8)


def creased(rng: Rng, picture: Image) -> Image:
    """Shade a sheet as if it had been folded or crumpled, and bend what is printed on it."""
    height, width = picture.shape[:2]
    high, wide = height // _COARSE + 1, width // _COARSE + 1
    ys, xs = np.mgrid[0:high, 0:wide].astype(np.float32) * np.float32(_COARSE)
    size = max(height, width)
    field = clouds(rng, high, wide, rng.uniform(2, 7)) * rng.uniform(0, 0.006) * size
    for _ in range(int(rng.integers(0, 4))):
        turn, at = rng.uniform(0, np.pi), rng.uniform(0, 1, 2) * (width, height)
        off = (xs - at[0]) * np.float32(np.cos(turn)) + (ys - at[1]) * np.float32(np.sin(turn))
        soft = rng.uniform(0.002, 0.12) * size
        field = field + rng.choice([-1, 1]) * rng.uniform(0.002, 0.01) * size * np.exp(-np.abs(off) / soft)
    slope_x, slope_y = np.gradient(field.astype(np.float32), float(_COARSE))
    light = 1 + np.clip(rng.uniform(0.3, 1.6) * (slope_x + slope_y), -0.35, 0.3)
    shift = cv2.resize(field.astype(np.float32), (width, height), interpolation=cv2.INTER_LINEAR)
    across, down = np.arange(width, dtype=np.float32), np.arange(height, dtype=np.float32)[:, None]
    bent = cv2.remap(
        picture, across + shift, down + 0.7 * shift, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT
    )
    gain = cv2.resize((128 * light).astype(np.uint8), (width, height), interpolation=cv2.INTER_LINEAR)
    return np.asarray(cv2.multiply(bent, cv2.merge([gain] * 3), scale=1 / 128), np.uint8)


def blown_up(rng: Rng, picture: Image, *, finest: float) -> Image:
    """Make a picture as coarse as a small, hard compressed file, and perhaps sharpen it as phones do.

    `finest` is the length of the short members, pixels: they keep a few pixels in the small file.
    """
    height, width = picture.shape[:2]
    part = min(max(rng.uniform(0.14, 0.6), _KEPT / max(finest, 1.0)), 1.0)
    small = cv2.resize(
        picture, (max(64, int(width * part)), max(64, int(height * part))), interpolation=cv2.INTER_AREA
    )
    # The file keeps three channels in any order.
    _, code = cv2.imencode(".jpg", small, [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(18, 80))])
    small = np.asarray(cv2.imdecode(code, cv2.IMREAD_COLOR), np.uint8)
    way = (cv2.INTER_LINEAR, cv2.INTER_CUBIC, cv2.INTER_NEAREST)[rng.choice(3, p=[0.45, 0.45, 0.1])]
    out = cv2.resize(small, (width, height), interpolation=way)
    if rng.random() < 0.4:
        out = cv2.addWeighted(out, 2.0, cv2.GaussianBlur(out, (0, 0), rng.uniform(1, 4)), -1.0, 0.0)
    return np.asarray(out, np.uint8)
