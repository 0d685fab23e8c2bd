"""Small photographs drawn for tests: seeded wobble, shadow, blur and noise, with exact truth."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from vision import Photo

__all__ = ["DRAWN", "Drawn", "Sheet", "draw", "photo_of"]

RIGHT, DOWN = np.array([1.0, 0.0]), np.array([0.0, 1.0])
_FINE = 4
"""Sub-pixel bits given to OpenCV's drawing functions."""


@dataclass(frozen=True)
class Sheet:
    """How a truss is put on paper and photographed."""

    paper: tuple[int, int, int] = (236, 233, 224)
    pen: tuple[int, int, int] = (40, 42, 60)
    pen_width: int = 5
    wobble: float = 1.0
    """Pixels, standard deviation of the hand."""
    squares: int = 0
    """Pixels between the lines of squared paper; 0 for plain."""
    circles: int = 0
    """Radius of an open circle at every joint; 0 for none."""
    dots: int = 0
    """Radius of a filled dot at every joint; 0 for none."""
    gap: float = 0.0
    """Pixels by which each member stops short of its joints."""
    shadow: float = 0.35
    """How much darker the darkest corner is."""
    signs: bool = False
    """Support triangles with hatching, a load arrow, names, a dimension line."""


@dataclass(frozen=True, eq=False)
class Drawn:
    """A picture with its truth."""

    rgb: NDArray[np.uint8]
    joints: NDArray[np.float64]
    members: tuple[tuple[int, int], ...]


@dataclass(frozen=True, eq=False)
class _Plan:
    joints: tuple[tuple[float, float], ...]
    members: tuple[tuple[int, int], ...]
    supports: tuple[int, ...] = field(default=())


DRAWN: dict[str, _Plan] = {
    "triangle": _Plan(((200, 700), (1000, 700), (560, 240)), ((0, 1), (1, 2), (0, 2)), (0, 1)),
    "warren": _Plan(
        ((120, 640), (420, 640), (720, 640), (1020, 640), (270, 380), (570, 380), (870, 380)),
        ((0, 1), (1, 2), (2, 3), (4, 5), (5, 6), (0, 4), (4, 1), (1, 5), (5, 2), (2, 6), (6, 3)),
        (0, 3),
    ),
    "pratt": _Plan(
        ((100, 640), (350, 640), (600, 640), (850, 640), (1100, 640), (350, 360), (600, 360), (850, 360)),
        (
            (0, 1),
            (1, 2),
            (2, 3),
            (3, 4),
            (5, 6),
            (6, 7),
            (0, 5),
            (1, 5),
            (5, 2),
            (2, 6),
            (2, 7),
            (3, 7),
            (7, 4),
        ),
        (0, 4),
    ),
    "double warren": _Plan(
        tuple((120 + 240 * k, y) for y in (650, 380) for k in range(5)),
        (
            *((k, k + 1) for k in range(4)),
            *((k, k + 1) for k in range(5, 9)),
            *((k, k + 6) for k in range(4)),
            *((k + 1, k + 5) for k in range(4)),
            (0, 5),
            (4, 9),
        ),
        (0, 4),
    ),
    "crossed panel": _Plan(
        ((200, 700), (900, 700), (900, 250), (200, 250)),
        ((0, 1), (1, 2), (2, 3), (0, 3), (0, 2), (1, 3)),
        (0, 1),
    ),
}
"""Trusses in pixels of a 1200 x 900 picture."""


def draw(name: str, seed: int = 1, sheet: Sheet | None = None) -> Drawn:
    """Draw one of the trusses in `DRAWN` as a hand would, and photograph it."""
    plan, sheet = DRAWN[name], sheet or Sheet()
    rng = np.random.default_rng(seed)
    canvas = np.empty((900, 1200, 3), np.uint8)
    canvas[:] = sheet.paper
    if sheet.squares:
        tint = tuple(int(v) for v in np.asarray(sheet.paper) * (0.84, 0.9, 0.95))
        for x in range(sheet.squares // 2, 1200, sheet.squares):
            cv2.line(canvas, (x, 0), (x, 899), tint, 2)
        for y in range(sheet.squares // 2, 900, sheet.squares):
            cv2.line(canvas, (0, y), (1199, y), tint, 2)
    joints = np.array(plan.joints, float) + rng.uniform(-6, 6, (len(plan.joints), 2))
    for a, b in plan.members:
        _stroke(canvas, joints[a], joints[b], rng, sheet, short=sheet.gap + max(sheet.circles, 0))
    for x, y in joints:
        centre = (round(x * 2**_FINE), round(y * 2**_FINE))
        if sheet.circles:
            cv2.circle(canvas, centre, sheet.circles << _FINE, sheet.pen, sheet.pen_width, cv2.LINE_AA, _FINE)
        if sheet.dots:
            cv2.circle(canvas, centre, sheet.dots << _FINE, sheet.pen, -1, cv2.LINE_AA, _FINE)
    if sheet.signs:
        _signs(canvas, joints, plan.supports, rng, sheet)
    picture = cv2.GaussianBlur(canvas, (0, 0), 1.0).astype(np.float64)
    x, y = np.meshgrid(np.linspace(0, 1, 1200), np.linspace(0, 1, 900))
    light = 1 - sheet.shadow * (0.6 * x + 0.4 * y)
    light -= 0.15 * sheet.shadow / (1 + np.exp((0.45 - x - 0.3 * y) * 60))
    picture = picture * light[..., None] + rng.normal(0, 3, picture.shape)
    return Drawn(np.clip(picture, 0, 255).astype(np.uint8), joints, plan.members)


def photo_of(drawn: Drawn) -> Photo:
    """Give the picture as a loaded photograph."""
    return Photo(rgb=drawn.rgb, path=Path("drawn.png"), sha256="0" * 64)


def _stroke(
    canvas: NDArray[np.uint8],
    start: NDArray[np.float64],
    end: NDArray[np.float64],
    rng: np.random.Generator,
    sheet: Sheet,
    *,
    short: float = 0.0,
) -> None:
    length = float(np.hypot(*(end - start)))
    along = (end - start) / length
    places = np.linspace(short, length - short, max(int(length / 12), 3))
    # A hand's wander is smooth: noise averaged over about a tenth of the stroke.
    width = max(len(places) // 10, 1)
    kernel = np.ones(width) / np.sqrt(width)
    wander = np.convolve(rng.normal(0, sheet.wobble, len(places) + width), kernel, "valid")[: len(places)]
    points = start + places[:, None] * along + wander[:, None] * (-along[1], along[0])
    fixed = np.round(points * 2**_FINE).astype(np.int32)
    cv2.polylines(canvas, [fixed], False, sheet.pen, sheet.pen_width, cv2.LINE_AA, _FINE)


def _signs(
    canvas: NDArray[np.uint8],
    joints: NDArray[np.float64],
    supports: tuple[int, ...],
    rng: np.random.Generator,
    sheet: Sheet,
) -> None:
    for row in supports:
        foot = joints[row]
        left, right = foot - 28 * RIGHT + 48 * DOWN, foot + 28 * RIGHT + 48 * DOWN
        for start, end in (
            (foot, left),
            (foot, right),
            (left, right),
            (left - 20 * RIGHT, right + 20 * RIGHT),
        ):
            _stroke(canvas, start, end, rng, sheet)
        for step in range(-40, 41, 16):
            _stroke(
                canvas,
                foot + (step + 6) * RIGHT + 50 * DOWN,
                foot + (step - 6) * RIGHT + 64 * DOWN,
                rng,
                sheet,
            )
    top = joints[joints[:, 1].argmin()]
    _stroke(canvas, top - 110 * DOWN, top - 12 * DOWN, rng, sheet)
    for side in (-14, 14):
        _stroke(canvas, top - 12 * DOWN, top + side * RIGHT - 36 * DOWN, rng, sheet)
    for index, (x, y) in enumerate(joints):
        place = (int(x) + 18, int(y) - 18)
        cv2.putText(canvas, chr(65 + index), place, cv2.FONT_HERSHEY_SIMPLEX, 1.0, sheet.pen, 2, cv2.LINE_AA)
    left, right = joints[:, 0].min(), joints[:, 0].max()
    low = joints[:, 1].max() + 130
    _stroke(canvas, np.array([left, low]), np.array([right, low]), rng, sheet)
    for x in (left, right):
        _stroke(canvas, np.array([x, low - 14]), np.array([x, low + 14]), rng, sheet)
    middle = (int((left + right) / 2) - 40, int(low) - 12)
    cv2.putText(canvas, "6.0 m", middle, cv2.FONT_HERSHEY_SIMPLEX, 1.0, sheet.pen, 2, cv2.LINE_AA)
