"""Photographs that stand behind and beside made pictures: real rooms, things and surfaces, none of a truss.

`python -m vision.training.fetch_photos` fetches them; without them every picture is as it was. An `Album`
draws its own chance, so that whether they are there moves nothing else.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["PHOTO_FOLDER", "Album", "photographs"]

PHOTO_FOLDER = Path(__file__).parent / "photos"
"""Where `python -m vision.training.fetch_photos` puts photographs; may be absent."""

Rng = np.random.Generator
Image = NDArray[np.uint8]

_TILE = 420
"""A surface whose longer side is below this many pixels is a tile, and is laid side by side."""
_LEAST_PART = 0.4
"""A crop is at least this part of a photograph's side: less would be enlarged until nothing can be told."""


@cache
def photographs(kind: str) -> tuple[Image, ...]:
    """Return the fetched photographs of a kind, `scenes` or `surfaces`, decoded once; none is needed.

    Call it before worker processes are forked: they then share the pixels.
    """
    folder = PHOTO_FOLDER / kind
    found = []
    for path in sorted(folder.glob("*.jpg")) if folder.is_dir() else ():
        picture = cv2.imread(str(path), cv2.IMREAD_COLOR_RGB)
        if picture is not None:
            found.append(np.asarray(picture, np.uint8))
    return tuple(found)


def _tiled(picture: Image, times: int) -> Image:
    """Lay a tile side by side, every other one mirrored, so that no seam shows."""
    row = np.hstack([picture, picture[:, ::-1]] * ((times + 1) // 2))[:, : picture.shape[1] * times]
    return np.ascontiguousarray(
        np.vstack([row, row[::-1]] * ((times + 1) // 2))[: picture.shape[0] * times], dtype=np.uint8
    )


def _cropped(rng: Rng, picture: Image, height: int, width: int) -> Image:
    """Cut a part of the wanted proportions out and bring it to size."""
    tall, wide = picture.shape[:2]
    scale = min(tall / height, wide / width) * float(rng.uniform(_LEAST_PART, 1.0))
    h, w = max(2, int(height * scale)), max(2, int(width * scale))
    top, left = int(rng.integers(0, tall - h + 1)), int(rng.integers(0, wide - w + 1))
    part = picture[top : top + h, left : left + w]
    way = cv2.INTER_AREA if scale > 1 else cv2.INTER_LINEAR
    return np.asarray(cv2.resize(part, (width, height), interpolation=way), np.uint8)


def _defocused(picture: Image, blur: float) -> Image:
    """Blur by a standard deviation in pixels, on a smaller picture where it is large."""
    height, width = picture.shape[:2]
    shrink = max(1, int(blur / 2))
    small = cv2.resize(
        picture, (max(2, width // shrink), max(2, height // shrink)), interpolation=cv2.INTER_AREA
    )
    small = cv2.GaussianBlur(small, (0, 0), blur / shrink)
    return np.asarray(cv2.resize(small, (width, height), interpolation=cv2.INTER_LINEAR), np.uint8)


def _toned(rng: Rng, picture: Image, *, fade: float, towards: NDArray[np.float64]) -> Image:
    """Light a picture anew, and fade it towards a colour."""
    gain = rng.uniform(0.6, 1.25) * (1 + rng.normal(0, 0.05, 3))
    curve = 255 * (np.arange(256)[:, None] / 255) ** rng.uniform(0.75, 1.4) * gain
    curve = np.clip(curve, 0, 255) * (1 - fade) + towards * fade
    table = np.clip(curve, 0, 255).astype(np.uint8).reshape(1, 256, 3)
    return np.asarray(cv2.LUT(picture, table), np.uint8)


class Album:
    """Photographs for one made picture, chosen and cropped by a seed."""

    def __init__(self, seed: int, *, open_: bool = True) -> None:
        self.rng = np.random.default_rng([seed, 61_507])
        self.open = open_

    def chance(self, part: float) -> bool:
        """Return True in this part of the cases; never without photographs, or shut."""
        return self.open and bool(photographs("scenes")) and self.rng.random() < part

    def _any(self, surfaces: float) -> Image:
        kind = "surfaces" if photographs("surfaces") and self.rng.random() < surfaces else "scenes"
        stock = photographs(kind)
        picture = stock[int(self.rng.integers(len(stock)))]
        if max(picture.shape[:2]) < _TILE:
            picture = _tiled(picture, int(self.rng.integers(1, 4)))
        if self.rng.random() < 0.5:
            picture = picture[:, ::-1]
        if kind == "surfaces" and self.rng.random() < 0.5:
            picture = np.ascontiguousarray(picture.transpose(1, 0, 2))
        return picture

    def view(self, height: int, width: int, *, surfaces: float = 0.35, soft: float = 0.4) -> Image:
        """Return a part of a photograph, (height, width, 3) uint8.

        Parameters
        ----------
        height, width
            Pixels.
        surfaces
            Chance of a surface (wood, stone, cloth) instead of a scene.
        soft
            Chance that it is out of focus.
        """
        rng = self.rng
        picture = _toned(
            rng, _cropped(rng, self._any(surfaces), height, width), fade=0.0, towards=np.zeros(3)
        )
        if rng.random() < soft:
            picture = _defocused(picture, max(height, width) * float(np.exp(rng.uniform(-6.9, -4.0))))
        if rng.random() < 0.08:
            picture = np.repeat(
                np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), np.uint8)[..., None], 3, 2
            )
        return picture

    def faded(self, height: int, width: int) -> Image:
        """Return a pale or dark photograph of low contrast, to be drawn on, (height, width, 3) uint8."""
        rng = self.rng
        towards = np.full(3, rng.choice([rng.uniform(190, 255), rng.uniform(10, 60)])) + rng.normal(0, 10, 3)
        picture = _cropped(rng, self._any(0.7), height, width)
        return _toned(rng, picture, fade=float(rng.uniform(0.6, 0.92)), towards=towards)
