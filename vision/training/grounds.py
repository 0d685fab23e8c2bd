"""What is drawn on: paper of every kind, boards, screens, and the table around the sheet."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.camera import Camera
from vision.training.noise import cut, slow_field
from vision.training.photos import Album
from vision.training.planes import laid_over, thrice, tinted
from vision.training.sketch import Ink, Sketch

__all__ = ["Sheet", "blend", "lay_ground", "surface"]

Picture = NDArray[np.float32]
"""(H, W, 3), 0 to 255."""


@dataclass(frozen=True)
class Sheet:
    """The sheet or board as it lies: its kind and its edges in units of the drawing."""

    kind: str
    box: tuple[float, float, float, float]
    """Left, top, right, bottom."""
    pitch: float = 0.08
    """Distance of ruled lines or squares."""


def blend(picture: Picture, mask: NDArray[np.float32], colour: tuple[float, float, float]) -> Picture:
    """Return the picture with a colour laid over it where mask (H, W), 0 to 1, says."""
    return laid_over(picture, mask, np.array(colour, np.float32))


def _tint(rng: np.random.Generator, base: tuple[float, float, float], spread: float) -> NDArray[np.float32]:
    common = rng.normal(0, spread)
    return np.clip(np.array(base) + common + rng.normal(0, spread * 0.35, 3), 5, 250).astype(np.float32)


def surface(rng: np.random.Generator, kind: str, height: int, width: int) -> Picture:
    """Return a flat picture (height, width, 3) of `wood`, `desk`, `cloth`, `stone` or `smooth` stuff."""
    grain_size = max(1.0, max(height, width) / 1400)
    if kind in {"wood", "desk"}:
        colours = [(196, 158, 112), (150, 106, 66), (222, 196, 156), (110, 78, 52), (176, 142, 104)]
        base = _tint(rng, colours[int(rng.integers(len(colours)))], 10)
        wood = cut(rng, "wood", height, width, scale=grain_size * rng.uniform(1, 3))
        if rng.random() < 0.3:
            wood = np.ascontiguousarray(cut(rng, "wood", width, height, scale=grain_size * 2).T)
        return tinted(base, wood * rng.uniform(2, 9))
    if kind == "cloth":
        base = _tint(rng, (rng.uniform(30, 220), rng.uniform(30, 220), rng.uniform(30, 220)), 5)
        weave = cut(rng, "weave", height, width, scale=grain_size * rng.uniform(0.8, 2))
        return tinted(base, weave * rng.uniform(2, 7))
    if kind == "stone":
        base = _tint(rng, (150, 148, 144), 40)
        clouds = cut(rng, "clouds", height, width, scale=grain_size)
        grain = cut(rng, "grain", height, width, scale=grain_size)
        return tinted(base, clouds * rng.uniform(4, 18) + grain * rng.uniform(2, 10))
    # smooth: a wall, a table top, a screen behind
    level = rng.uniform(40, 245)
    base = _tint(rng, (level, level, level), 12)
    return tinted(base, slow_field(rng, height, width) * rng.uniform(1, 8))


def _lines(
    sheet: Sheet, *, across: bool, up: bool, rng: np.random.Generator, width: float, ink: int
) -> Sketch:
    sketch = Sketch([Ink((0, 0, 0)), Ink((0, 0, 0))])
    left, top, right, bottom = sheet.box
    pitch = sheet.pitch
    wide = int(np.clip((right - left) / 0.25, 4, 24))
    if across:
        for y in np.arange(top + pitch * rng.uniform(0.2, 1), bottom, pitch)[:160]:
            xs = np.linspace(left, right, wide)
            sketch.line(np.column_stack([xs, np.full(wide, y)]), width, part="other", ink=ink)
    if up:
        for x in np.arange(left + pitch * rng.uniform(0.2, 1), right, pitch)[:160]:
            ys = np.linspace(top, bottom, wide)
            sketch.line(np.column_stack([np.full(wide, x), ys]), width, part="other", ink=ink)
    return sketch


def _cover(sketch: Sketch, camera: Camera, rng: np.random.Generator) -> NDArray[np.float32]:
    return sketch.masks(camera, rng=rng).other.astype(np.float32) / np.float32(255)


def _ruling(picture: Picture, sheet: Sheet, camera: Camera, rng: np.random.Generator) -> Picture:
    kind = sheet.kind
    strength = rng.uniform(0.15, 0.75)
    blues = [(120, 160, 205), (150, 150, 160), (110, 170, 150), (170, 150, 190), (90, 120, 190)]
    colour = blues[int(rng.integers(len(blues)))]
    if kind in {"ruled", "yellow"}:
        picture = blend(
            picture,
            _cover(_lines(sheet, across=True, up=False, rng=rng, width=0.002, ink=0), camera, rng) * strength,
            colour,
        )
        if rng.random() < 0.7:
            left, top, right, bottom = sheet.box
            margin = Sketch([Ink((0, 0, 0))])
            x = left + (right - left) * rng.uniform(0.05, 0.16)
            ys = np.linspace(top, bottom, 12)
            margin.line(np.column_stack([np.full(12, x), ys]), 0.003, part="other")
            picture = blend(picture, _cover(margin, camera, rng) * strength, (225, 110, 120))
        return picture
    if kind == "squared":
        lines = _lines(sheet, across=True, up=True, rng=rng, width=0.0018, ink=0)
        picture = blend(picture, _cover(lines, camera, rng) * strength, colour)
        if rng.random() < 0.2:  # graph paper with heavier lines
            heavy = Sheet(kind, sheet.box, sheet.pitch * 5)
            lines = _lines(heavy, across=True, up=True, rng=rng, width=0.003, ink=0)
            picture = blend(picture, _cover(lines, camera, rng) * strength, colour)
        return picture
    # dots on squares or triangles
    left, top, right, bottom = sheet.box
    pitch = max(sheet.pitch, (right - left) / 60)
    dots = Sketch([Ink((0, 0, 0))])
    slanted = rng.random() < 0.5
    for k, y in enumerate(np.arange(top, bottom, pitch * (0.866 if slanted else 1.0))[:70]):
        shift = pitch / 2 if slanted and k % 2 else 0.0
        xs = np.arange(left + shift, right, pitch)
        for x in xs[:70]:
            dots.line(np.array([[x, y], [x + 0.0005, y]]), 0.005, part="other")
    return blend(picture, _cover(dots, camera, rng) * strength, colour)


def _paper(rng: np.random.Generator, kind: str, height: int, width: int) -> Picture:
    bases = {"yellow": (243, 231, 150), "kraft": (196, 164, 124)}
    base = _tint(rng, bases.get(kind, (240, 239, 234)), 6)
    if kind not in bases and rng.random() < 0.07:  # coloured paper
        base = np.clip(base * rng.uniform(0.7, 1.05, 3), 60, 255).astype(np.float32)
    grain = cut(rng, "grain", height, width, scale=max(1.0, width / 1400))
    picture = tinted(base, grain * rng.uniform(0.2, 1.6))
    if rng.random() < 0.35:  # creases and waves catch the light
        clouds = cut(rng, "clouds", height, width, scale=max(1.0, width / 1400))
        picture = picture + thrice(clouds * rng.uniform(1, 6))
    return picture


def _wipes(rng: np.random.Generator, height: int, width: int, coarse: float) -> NDArray[np.float32]:
    """Return the smears of a cloth, drawn in one direction or another over the whole board."""
    side = int(np.hypot(height, width)) + 2
    field = cut(rng, "wipes", side, side, scale=coarse)
    turn = cv2.getRotationMatrix2D((side / 2, side / 2), rng.normal(0, 35), 1.0)
    turn[0, 2] -= (side - width) / 2
    turn[1, 2] -= (side - height) / 2
    return np.asarray(cv2.warpAffine(field, turn, (width, height), borderMode=cv2.BORDER_REFLECT), np.float32)


def _board(rng: np.random.Generator, kind: str, height: int, width: int) -> Picture:
    coarse = max(1.0, width / 1200) * rng.uniform(0.8, 2.0)
    wipes = _wipes(rng, height, width, coarse) * rng.uniform(0.1, 1.0)
    clouds = cut(rng, "clouds", height, width, scale=max(1.0, width / 1200))
    if kind == "whiteboard":
        base = _tint(rng, (226, 229, 231), 10)
        return tinted(base, wipes * rng.uniform(0.3, 3.0) + clouds * rng.uniform(0.5, 4.0))
    colours = [(44, 62, 54), (38, 42, 44), (52, 84, 70), (30, 34, 40), (60, 100, 86)]
    base = _tint(rng, colours[int(rng.integers(len(colours)))], 8)
    dust = np.maximum(wipes, -1) * rng.uniform(2, 8) + clouds * rng.uniform(2, 9)
    tooth = cut(rng, "tooth", height, width, scale=max(1.0, width / 1200))
    dust = dust + tooth * rng.uniform(0.5, 3)
    return tinted(base, dust)


def _screen(rng: np.random.Generator, kind: str, height: int, width: int) -> Picture:
    level = rng.uniform(15, 45) if kind == "dark screen" else rng.uniform(238, 255)
    return np.full((height, width, 3), level, np.float32)


def lay_ground(
    sheet: Sheet, camera: Camera, *, rng: np.random.Generator, album: Album | None = None
) -> Picture:
    """Return the picture of the bare sheet, ruled if it is, with the table around it where that shows.

    With an album the table may be a photograph.
    """
    height, width = camera.height, camera.width
    kind = sheet.kind
    if kind in {"whiteboard", "blackboard"}:
        picture = _board(rng, kind, height, width)
    elif kind in {"tablet", "dark screen"}:
        picture = _screen(rng, kind, height, width)
    else:
        picture = _paper(rng, kind, height, width)
    if kind in {"ruled", "yellow", "squared", "dotted"} or (kind == "tablet" and rng.random() < 0.4):
        ruled = Sheet("squared", sheet.box, sheet.pitch) if kind == "tablet" else sheet
        picture = _ruling(picture, ruled, camera, rng)
    left, top, right, bottom = sheet.box
    edge = np.concatenate(
        [
            np.linspace([left, top], [right, top], 9),
            np.linspace([right, top], [right, bottom], 9),
            np.linspace([right, bottom], [left, bottom], 9),
            np.linspace([left, bottom], [left, top], 9),
        ]
    )
    pixels = camera.to_pixels(edge)
    frame = np.array([[0, 0], [width, 0], [width, height], [0, height]])
    contour = np.clip(pixels, -20000, 20000).astype(np.float32)
    if all(cv2.pointPolygonTest(contour, (float(x), float(y)), False) > 0 for x, y in frame):
        return picture
    mask = np.zeros((height, width), np.uint8)
    cv2.fillPoly(mask, [np.round(np.clip(pixels, -20000, 20000) * 16).astype(np.int32)], 255, cv2.LINE_AA, 4)
    on = mask.astype(np.float32) / np.float32(255)
    if album is not None and album.chance(0.45):
        around = album.view(height, width, surfaces=0.6).astype(np.float32)
    else:
        kind = str(rng.choice(["wood", "wood", "cloth", "stone", "smooth", "smooth"]))
        around = surface(rng, kind, height, width)
    # The sheet throws a soft shadow on what it lies on.
    depth = max(1.0, width / 250) * rng.uniform(0.3, 2.0)
    offset = rng.normal(0, depth, 2)
    moved = cv2.warpAffine(on, np.array([[1, 0, offset[0]], [0, 1, offset[1]]]), (width, height))
    shade = np.asarray(cv2.GaussianBlur(moved, (0, 0), depth), dtype=np.float32)
    around *= thrice(np.asarray(1 - np.float32(0.45) * shade, np.float32))
    return np.asarray(around + (picture - around) * thrice(on), dtype=np.float32)
