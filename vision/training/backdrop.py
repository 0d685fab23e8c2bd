"""Busy scenes behind and around a model: shelves, beams, window bars, foliage, tools and offcuts."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.camera import Camera
from vision.training.noise import cut
from vision.training.paint import Colour, Photo, Points, any_colour, paint_line, paint_patch, shade
from vision.training.photos import Album
from vision.training.props import lay_room
from vision.training.sticks import BRIGHT, DULL, Material, paint_stick

__all__ = ["lay_busy_room", "strew"]

_LEAVES: tuple[Colour, ...] = ((60, 90, 45), (95, 120, 60), (130, 140, 80), (45, 66, 40))


def _bars(photo: Photo, rng: np.random.Generator) -> None:
    """Cross the wall with a grid, a row or a fan of straight bars: windows, fences, racks, scaffolds."""
    height, width = photo.shape[:2]
    colour = any_colour(rng, (*DULL, *BRIGHT))
    thick = max(1, round(max(width, height) * float(np.exp(rng.uniform(np.log(0.002), np.log(0.02))))))
    x0, y0 = rng.uniform(-0.3, 0.8, 2) * [width, height]
    wide, high = rng.uniform(0.2, 1.0, 2) * [width, height]
    pitch = rng.uniform(0.04, 0.25) * width
    slant = float(rng.choice([0.0, 0.0, rng.normal(0, 0.3)]))
    for x in np.arange(x0, x0 + wide, pitch):
        paint_line(photo, np.array([[x, y0], [x + slant * high, y0 + high]]), colour, thick)
        if slant and rng.random() < 0.6:
            paint_line(photo, np.array([[x + slant * high, y0], [x, y0 + high]]), colour, thick)
    for y in np.arange(y0, y0 + high, pitch * rng.uniform(0.6, 2.5)) if rng.random() < 0.6 else ():
        paint_line(photo, np.array([[x0, y], [x0 + wide, y]]), colour, thick)


def _shelf(photo: Photo, rng: np.random.Generator) -> None:
    """Put a board on the wall with books, bottles and boxes on it."""
    height, width = photo.shape[:2]
    x, y = rng.uniform(-0.1, 0.7) * width, rng.uniform(0.05, 0.7) * height
    long, thick = rng.uniform(0.2, 0.8) * width, rng.uniform(0.006, 0.02) * height
    board = any_colour(rng, DULL)
    paint_patch(photo, np.array([[x, y], [x + long, y], [x + long, y + thick], [x, y + thick]]), board)
    at = x
    while at < x + long:
        wide, tall = rng.uniform(0.008, 0.06) * width, rng.uniform(0.04, 0.18) * height
        box = np.array([[at, y - tall], [at + wide, y - tall], [at + wide, y], [at, y]])
        paint_patch(photo, box, any_colour(rng, (*BRIGHT, *DULL), 30.0))
        at += wide * rng.choice([1.05, 1.05, 1.6, 3.0])


def _body(photo: Photo, rng: np.random.Generator) -> None:
    """Stand somebody behind the table: a trunk, a head, an arm."""
    height, width = photo.shape[:2]
    x, size = rng.uniform(0, 1) * width, rng.uniform(0.1, 0.28) * width
    top = rng.uniform(-0.1, 0.45) * height
    cloth = any_colour(rng, (*BRIGHT, *DULL), 30.0)
    trunk = np.array([[-0.5, 0.35], [0.5, 0.35], [0.75, 4.0], [-0.75, 4.0]]) * size + [x, top]
    paint_patch(photo, trunk, cloth)
    turn = np.linspace(0, 2 * np.pi, 24)
    head = np.column_stack([np.cos(turn) * 0.3, np.sin(turn) * 0.38]) * size + [x, top]
    paint_patch(photo, head, any_colour(rng, ((226, 180, 150), (190, 140, 108), (120, 82, 60)), 12.0))


def _foliage(photo: Photo, rng: np.random.Generator) -> None:
    """Cover the wall with leaves or grass: speckle in two greens at several sizes."""
    height, width = photo.shape[:2]
    mix = np.zeros((height, width), np.float32)
    for scale, weight in ((6.0, 1.0), (2.0, 0.7), (1.0, 0.4)):
        mix += np.float32(weight) * cut(rng, "grain", height, width, scale=scale * max(1.0, width / 1000))
    on = np.clip(mix / 2.5 + 0.5, 0, 1)[..., None]
    one, two = np.array(any_colour(rng, _LEAVES)), np.array(any_colour(rng, _LEAVES)) * rng.uniform(0.5, 1.6)
    photo[:] = np.clip(one + (two - one) * on, 0, 255).astype(np.uint8)


def lay_busy_room(
    camera: Camera, floor: float, *, rng: np.random.Generator, album: Album | None = None
) -> NDArray[np.float32]:
    """Return the picture (H, W, 3) of a full room or a yard; `floor` is the table's y in the model.

    What stands at the back may be as sharp as the model: a small camera has both in focus.
    """
    photo = np.clip(lay_room(camera, floor, rng=rng, album=album), 0, 255).astype(np.uint8)
    table = photo.copy()
    if rng.random() < 0.2:
        _foliage(photo, rng)
    for _ in range(int(rng.integers(1, 6))):
        (_bars, _shelf, _body)[int(rng.choice(3, p=[0.5, 0.3, 0.2]))](photo, rng)
    if rng.random() < 0.7:
        soft = camera.width / 1000 * float(np.exp(rng.uniform(np.log(0.4), np.log(8))))
        photo = np.asarray(cv2.GaussianBlur(photo, (0, 0), soft), np.uint8)
    # The table stands in front of the wall again; seen from far away it hides the lower part only.
    edge = camera.to_pixels(np.array([[0.0, floor, 1.5], [1.0, floor, 1.5]]))
    line = np.clip(edge, -4 * camera.width, 4 * camera.width)
    slope = (line[1, 1] - line[0, 1]) / max(float(line[1, 0] - line[0, 0]), 1e-6)
    rows = line[0, 1] + slope * (np.arange(camera.width) - line[0, 0])
    below = np.arange(camera.height)[:, None] >= rows[None]
    if rng.random() < 0.8:
        photo[below] = table[below]
    return photo.astype(np.float32)


def strew(
    photo: Photo,
    material: Material,
    *,
    rng: np.random.Generator,
    light: float,
    size: float,
    clear: Points,
) -> None:
    """Leave tools and offcuts of the model's own stuff about, none across the model.

    Parameters
    ----------
    size
        Pixels that one unit of the model is.
    clear
        (N, 2) pixels to keep clear of: the model's joints.
    """
    height, width = photo.shape[:2]
    half = material.width / 2 * size
    low, high = clear.min(axis=0), clear.max(axis=0)
    for _ in range(int(rng.integers(2, 12))):
        start = rng.uniform(0, 1, 2) * [width, height]
        way = rng.normal(0, 1, 2)
        end = start + way / np.hypot(*way) * size * rng.uniform(0.08, 0.45)
        line = np.linspace(start, end, 5)
        if ((line > low - 2 * half) & (line < high + 2 * half)).all(axis=1).any():
            continue
        if rng.random() < 0.75:
            paint_stick(photo, line, np.full(5, half), material, rng=rng, light=light)
        else:
            tool = any_colour(rng, (*BRIGHT, *DULL))
            paint_line(photo, line, shade(tool, 0.6), max(2, round(2.4 * half)))
            paint_line(photo, line[:3], tool, max(2, round(3.2 * half)))
