"""Where models stand and bridges span: studios, rooms, shelves, brick, mats, newspaper, rivers and sky."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.grounds import clouds
from vision.training.wild.space import Eye, Space
from vision.training.wild.stock import VIVID, fill, shade, thin_line

__all__ = ["lay_flat", "lay_outdoors", "lay_room"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]
Colour = tuple[float, float, float]


def _paint_over(picture: Image, colour: Points, rough: float, rng: Rng) -> None:
    """Fill the picture with one colour, unevenly lit."""
    height, width = picture.shape[:2]
    light = 1 + rng.uniform(0, 0.2) * clouds(rng, height // 4, width // 4, rng.uniform(1, 3))
    light += rough * clouds(rng, height // 4, width // 4, rng.uniform(20, 120))
    small = np.clip(light[..., None] * colour.astype(np.float32), 0, 255).astype(np.uint8)
    cv2.resize(small, (width, height), dst=picture, interpolation=cv2.INTER_LINEAR)


def _gradient(picture: Image, top: Points, bottom: Points, until: int) -> None:
    """Blend two colours downwards, from the first row to row `until`."""
    if until < 2:
        return
    t = np.linspace(0, 1, until)[:, None]
    rows = np.clip(top * (1 - t) + bottom * t, 0, 255).astype(np.uint8)
    picture[:until] = rows[:, None]


def _bricks(rng: Rng, picture: Image) -> None:
    """Lay bricks or tiles all over."""
    height, width = picture.shape[:2]
    high = rng.uniform(0.02, 0.09) * height
    long = high * rng.uniform(1.0, 3.2)
    base = picture[height // 2, width // 2].astype(float)
    joint = tuple(float(v) for v in np.clip(base * rng.uniform(0.6, 1.35), 0, 255))
    offset = 0.5 if rng.random() < 0.75 else 0.0
    thick = int(rng.integers(1, 4))
    for row in range(int(height / high) + 1):
        y = row * high
        cv2.line(picture, (0, int(y)), (width, int(y)), joint, thick)
        for x in np.arange((row % 2) * offset * long, width, long):
            cv2.line(picture, (int(x), int(y)), (int(x), int(y + high)), joint, thick)
            if rng.random() < 0.25:
                tone = tuple(float(v) for v in np.clip(base * rng.uniform(0.8, 1.15), 0, 255))
                cv2.rectangle(picture, (int(x) + thick, int(y) + thick), (int(x + long) - thick,
                              int(y + high) - thick), tone, -1)  # fmt: skip


def _shelf(rng: Rng, picture: Image) -> None:
    """Hang shelves of books and boxes on the wall."""
    height, width = picture.shape[:2]
    for _ in range(int(rng.integers(1, 4))):
        y, x, end = (
            rng.uniform(0.1, 0.7) * height,
            rng.uniform(-0.2, 0.6) * width,
            rng.uniform(0.5, 1.2) * width,
        )
        board = rng.uniform(40, 240)
        cv2.rectangle(
            picture,
            (int(x), int(y)),
            (int(end), int(y + height * 0.02)),
            (board, board * 0.9, board * 0.75),
            -1,
        )
        while x < end:
            w, h = rng.uniform(0.008, 0.05) * width, rng.uniform(0.05, 0.17) * height
            if rng.random() < 0.8:
                c = np.array(VIVID[int(rng.integers(len(VIVID)))]) * rng.uniform(0.3, 1.0)
                cv2.rectangle(picture, (int(x), int(y - h)), (int(x + w * 0.95), int(y)), c.tolist(), -1)
            x += w * rng.uniform(1.0, 1.3)


def _window(rng: Rng, picture: Image) -> None:
    """Set a window with panes, a picture frame or a board into the wall."""
    height, width = picture.shape[:2]
    low = rng.uniform(-0.1, 0.6, 2) * (width, height)
    size = rng.uniform(0.2, 0.6, 2) * (width, height)
    a, b = low.astype(int).tolist(), (low + size).astype(int).tolist()
    cv2.rectangle(picture, a, b, rng.uniform(20, 255, 3).tolist(), -1)
    frame = np.full(3, rng.uniform(20, 250)) * rng.uniform(0.85, 1.0, 3)
    thick = int(rng.integers(2, 14))
    for k in range(int(rng.integers(2, 5)) + 1):
        x = int(low[0] + size[0] * k / max(1, int(rng.integers(1, 4))))
        if x <= b[0]:
            cv2.line(picture, (x, a[1]), (x, b[1]), frame.tolist(), thick)
    for y in (a[1], int(low[1] + size[1] * rng.uniform(0.3, 0.7)), b[1]):
        cv2.line(picture, (a[0], y), (b[0], y), frame.tolist(), thick)


def _cables(rng: Rng, picture: Image) -> None:
    """Let a cable or string hang across the wall, or a pole stand there."""
    height, width = picture.shape[:2]
    tone = np.full(3, rng.uniform(10, 240)).tolist()
    for _ in range(int(rng.integers(1, 4))):
        a, b = rng.uniform(0, 1, 2) * (width, height), rng.uniform(0, 1, 2) * (width, height)
        t = np.linspace(0, 1, 14)[:, None]
        path = a + (b - a) * t + [0, rng.uniform(0, 0.3) * height] * (4 * t * (1 - t))
        thin_line(picture, path, (tone[0], tone[1], tone[2]), rng.uniform(1, 6))


def _floor(rng: Rng, picture: Image, eye: Eye, floor: float, wall: float) -> None:
    """Lay a table or floor in perspective, up to the wall."""
    far = rng.uniform(2, 6)
    near = 0.75 * eye.away
    quad = np.array(
        [[-far, floor, wall], [1 + far, floor, wall], [1 + far, floor, -near], [-far, floor, -near]]
    )
    colour = rng.uniform(50, 245) * np.array([1.0, rng.uniform(0.7, 1.0), rng.uniform(0.5, 1.0)])
    tone = (float(colour[0]), float(colour[1]), float(colour[2]))
    fill(picture, eye(quad), tone)
    kind = rng.random()
    if kind < 0.4:  # planks
        step = rng.uniform(0.05, 0.5)
        for x in np.arange(-far, 1 + far, step):
            path = np.array([[x, floor, wall], [x, floor, -near]]) if rng.random() < 0.97 else None
            if path is not None:
                thin_line(picture, eye(path), shade(tone, 0.75), 1)
    elif kind < 0.55:  # tiles
        step = rng.uniform(0.1, 0.5)
        for v in np.arange(-far, 1 + far, step):
            thin_line(picture, eye(np.array([[v, floor, wall], [v, floor, -near]])), shade(tone, 0.7), 1)
        for v in np.arange(-near, wall, step):
            thin_line(picture, eye(np.array([[-far, floor, v], [1 + far, floor, v]])), shade(tone, 0.7), 1)
    if rng.random() < 0.4:  # the front edge of the table
        edge = -rng.uniform(0.1, 0.8)
        face = np.array(
            [[-far, floor, edge], [1 + far, floor, edge], [1 + far, floor + 2, edge], [-far, floor + 2, edge]]
        )
        fill(picture, eye(face), shade(tone, rng.uniform(0.3, 0.8)))


def lay_room(rng: Rng, picture: Image, eye: Eye, space: Space, *, floor: float, fresh: bool) -> None:
    """Lay a room behind a standing model: a wall with what hangs on it, and a table to the wall.

    Parameters
    ----------
    floor : float
        Level of the table in space.
    fresh : bool
        Paint the wall anew; else the picture's ground stays as the wall.
    """
    if fresh and rng.random() < 0.22:  # a studio: paper from the wall to below the model, without an edge
        pale = np.full(3, rng.uniform(170, 255)) + rng.normal(0, 5, 3)
        _gradient(picture, pale, pale * rng.uniform(0.75, 1.2), len(picture))
        return
    if fresh:
        wall = np.full(3, rng.uniform(60, 255)) if rng.random() < 0.6 else rng.uniform(20, 255, 3)
        _paint_over(picture, wall + rng.normal(0, 6, 3), rng.uniform(0, 0.04), rng)
        if rng.random() < 0.12:
            _bricks(rng, picture)
        for what, chance in ((_window, 0.22), (_shelf, 0.2), (_cables, 0.18)):
            if rng.random() < chance:
                what(rng, picture)
        if rng.random() < 0.3:
            k = int(rng.integers(1, 9)) * 2 + 1
            cv2.blur(picture, (k, k), dst=picture)
    if rng.random() < 0.75:
        _floor(rng, picture, eye, floor, space.depth + rng.uniform(0.15, 3.0))


def _drawing_below(rng: Rng, picture: Image, eye: Eye, space: Space) -> None:
    """Draw the plan that a model is built upon: its lines run along the members and past them."""
    tone = np.full(3, rng.uniform(20, 170)) * np.array([1.0, 1.0, rng.uniform(1.0, 1.4)])
    colour = (float(tone[0]), float(tone[1]), float(min(255, tone[2])))
    aside = rng.normal(0, 0.006, 3) * (1, 1, 0)
    at = space.at + aside
    width = rng.uniform(1, 2.5)
    for a, b in space.near_pairs:
        over = (at[b] - at[a]) * rng.uniform(0, 0.12)
        thin_line(picture, eye(np.stack([at[a] - over, at[b] + over])), colour, width)
    low, high = at.min(0), at.max(0)
    for k, y in enumerate((high[1] + 0.08, high[1] + 0.14)):
        thin_line(picture, eye(np.array([[low[0], y, 0], [high[0], y, 0]])), colour, width)
        for x in np.unique(np.round(at[: space.near, 0], 2))[:: k + 1]:
            thin_line(picture, eye(np.array([[x, y - 0.012, 0], [x, y + 0.012, 0]])), colour, width)
            if rng.random() < 0.7:
                spot = eye(np.array([x + 0.02, y - 0.01, 0])).astype(int).tolist()
                cv2.putText(picture, str(int(rng.integers(1, 400))), spot, cv2.FONT_HERSHEY_SIMPLEX,
                            max(0.25, eye.scale * 0.0007), colour, 1, cv2.LINE_AA)  # fmt: skip


def _mat(rng: Rng, picture: Image, eye: Eye) -> None:
    """Rule a cutting mat or squared sheet below the model, in its perspective."""
    base = picture[::40, ::40].reshape(-1, 3).mean(0)
    line = np.clip(base * rng.uniform(0.6, 1.0) if base.mean() > 120 else base + rng.uniform(25, 110), 0, 255)
    colour = (float(line[0]), float(line[1]), float(line[2]))
    step = rng.uniform(0.025, 0.12)
    bold = int(rng.choice([5, 10]))
    for k, v in enumerate(np.arange(-0.6, 1.6, step)):
        width = 2 if k % bold == 0 else 1
        thin_line(picture, eye(np.array([[v, -0.8, 0], [v, 1.6, 0]])), colour, width)
        thin_line(picture, eye(np.array([[-0.6, v, 0], [1.6, v, 0]])), colour, width)
    if rng.random() < 0.3:
        thin_line(picture, eye(np.array([[-0.3, 1.2, 0], [1.3, -0.4, 0]])), colour, 1)


def _newspaper(rng: Rng, picture: Image, eye: Eye) -> None:
    """Spread a newspaper: columns of rows of ink, headings, grey pictures."""
    ink = float(rng.uniform(30, 140))
    columns, step = int(rng.integers(2, 6)), rng.uniform(0.012, 0.03)
    edges = np.linspace(-0.5, 1.5, columns + 1)
    for left, right in zip(edges[:-1], edges[1:] - 0.04, strict=True):
        y = -0.7
        while y < 1.5:
            kind = rng.random()
            if kind < 0.03:
                quad = np.array([[left, y, 0], [right, y, 0], [right, y + 0.2, 0], [left, y + 0.2, 0]])
                fill(picture, eye(quad), (ink + 60,) * 3)
                y += 0.23
                continue
            tall = 3 if kind < 0.06 else 1
            end = left + (right - left) * rng.uniform(0.7, 1.0)
            thin_line(
                picture, eye(np.array([[left, y, 0], [end, y, 0]])), (ink,) * 3, tall * eye.scale * step * 0.3
            )
            y += step * tall * 1.3


def lay_flat(rng: Rng, picture: Image, eye: Eye, space: Space, *, plan: bool) -> None:
    """Lay a ground in the plane of a lying model: mat, newspaper, sheet; `plan` allows its drawing below."""
    _paint_over(picture, rng.uniform(20, 255, 3) if rng.random() < 0.4 else np.full(3, rng.uniform(60, 250)),
                rng.uniform(0, 0.05), rng)  # fmt: skip
    kind = rng.random()
    if kind < 0.35:
        _mat(rng, picture, eye)
    elif kind < 0.5:
        _newspaper(rng, picture, eye)
    elif kind < 0.65:
        sheet = np.array([[-0.15, -0.2, 0], [1.2, -0.2, 0], [1.2, 1.0, 0], [-0.15, 1.0, 0]])
        fill(
            picture, eye(sheet + rng.normal(0, 0.05, (4, 3)) * (1, 1, 0)), (float(rng.uniform(200, 255)),) * 3
        )
    if plan and rng.random() < 0.4:
        _drawing_below(rng, picture, eye, space)


def _ridge(rng: Rng, width: int, level: float, rough: float) -> Points:
    """Return a rough skyline across the picture, (K, 2), closed below."""
    x = np.linspace(-5, width + 5, 40)
    y = level + np.cumsum(rng.normal(0, rough, 40))
    y += (level - y.mean()) + rng.normal(0, rough * 2, 40)
    return np.vstack([np.stack([x, y], 1), [[width + 5, 9999], [-5, 9999]]])


def lay_outdoors(rng: Rng, picture: Image, eye: Eye, space: Space) -> None:
    """Lay a valley for a real bridge: sky, hills, trees, houses, water, banks, abutments."""
    height, width = picture.shape[:2]
    day = rng.uniform(0.5, 1.0)
    top = np.array([rng.uniform(60, 190), rng.uniform(120, 205), rng.uniform(190, 255)]) * day
    if rng.random() < 0.35:
        top = np.full(3, rng.uniform(140, 250)) * day
    _gradient(picture, top, np.array([240.0, 240, 240]) * day * rng.uniform(0.7, 1.0), height)
    if rng.random() < 0.6:
        puffs = np.clip(clouds(rng, height // 4, width // 4, rng.uniform(2, 8)), 0, 1) * rng.uniform(10, 90)
        bright = cv2.resize(puffs, (width, height)).astype(np.uint8)
        cv2.add(picture, cv2.merge([bright, bright, bright]), dst=picture)
    line = float(eye(np.array([0.5, space.foot, 0]))[1])
    level = line + rng.normal(0.0, 0.15) * height
    for _ in range(int(rng.integers(1, 4))):
        green = np.array([rng.uniform(30, 130), rng.uniform(60, 150), rng.uniform(20, 110)]) * day
        fill(picture, _ridge(rng, width, level, rng.uniform(1, 0.02 * height)), tuple(green.tolist()))
        for _ in range(int(rng.integers(0, 40))):
            at = np.array([rng.uniform(0, width), level + rng.normal(0, 0.03) * height])
            tone = tuple((green * rng.uniform(0.6, 1.25)).clip(0, 255).tolist())
            cv2.circle(picture, at.astype(int).tolist(), int(rng.uniform(0.008, 0.05) * width), tone, -1)
        level += rng.uniform(0.02, 0.12) * height
    if rng.random() < 0.3:
        for _ in range(int(rng.integers(1, 6))):
            x, w, h = rng.uniform(0, width), rng.uniform(0.03, 0.15) * width, rng.uniform(0.05, 0.3) * height
            c = rng.uniform(60, 230, 3).tolist()
            cv2.rectangle(picture, (int(x), int(level - h)), (int(x + w), int(level)), c, -1)
    if rng.random() < 0.65:
        start = int(np.clip(level + rng.uniform(0, 0.15) * height, 1, height - 1))
        water = np.array([rng.uniform(40, 150), rng.uniform(70, 160), rng.uniform(80, 180)]) * day
        rows = clouds(rng, height, 24, 60)
        wave = cv2.resize(rows, (width, height))[start:, :, None]
        picture[start:] = np.clip(water * (1 + 0.18 * wave), 0, 255).astype(np.uint8)
    elif rng.random() < 0.6:
        rough = clouds(rng, height // 2, width // 2, 150)
        grain = cv2.resize(rough, (width, height))[..., None]
        low = int(np.clip(level, 0, height))
        picture[low:] = np.clip(picture[low:] * (1 + 0.25 * grain[low:]), 0, 255).astype(np.uint8)
