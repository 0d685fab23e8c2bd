"""What stands around a built model: wall and table, boxes and books, rulers, cups, a hand."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.camera import Camera
from vision.training.grounds import surface
from vision.training.noise import cut
from vision.training.paint import Colour, Photo, Points, paint_line, paint_patch, shade
from vision.training.photos import Album
from vision.training.planes import thrice

__all__ = ["lay_room", "paint_box", "paint_prop"]

_BOXES: tuple[Colour, ...] = (
    (186, 140, 96), (176, 128, 84), (205, 170, 130), (90, 96, 110), (160, 60, 50), (50, 80, 120),
    (225, 222, 214), (120, 86, 60), (60, 110, 80),
)  # fmt: skip
_SKINS: tuple[Colour, ...] = (
    (226.0, 180.0, 150.0), (190.0, 140.0, 108.0), (120.0, 82.0, 60.0), (241.0, 205.0, 180.0),
)  # fmt: skip


def _busy_wall(camera: Camera, rng: np.random.Generator) -> NDArray[np.float32]:
    """Return a wall of bricks or tiles, or one with shelves, windows and pictures on it, out of focus."""
    height, width = camera.height, camera.width
    photo = np.clip(surface(rng, "smooth", height, width), 0, 255).astype(np.uint8)
    if rng.random() < 0.4:
        r, g, b = rng.uniform(60, 220, 3).tolist()
        high = height * rng.uniform(0.03, 0.12)
        wide = high * rng.uniform(1.0, 3.0)
        for row, y in enumerate(np.arange(0, height, high)):
            for x in np.arange(-wide / 2 * (row % 2), width, wide):
                box = np.array([[x, y], [x + wide, y], [x + wide, y + high], [x, y + high]])
                box += (box.mean(axis=0) - box) * 0.06
                paint_patch(photo, box, shade((r, g, b), rng.uniform(0.85, 1.1)))
    else:
        for _ in range(int(rng.integers(5, 40))):
            x, y = rng.uniform(-0.1, 1, 2) * [width, height]
            wide, high = rng.uniform(0.02, 0.35, 2) * max(width, height)
            box = np.array([[x, y], [x + wide, y], [x + wide, y + high], [x, y + high]])
            r, g, b = (rng.uniform(30, 230) + rng.normal(0, 25, 3)).tolist()
            if rng.random() < 0.6:
                paint_patch(photo, box, (r, g, b))
            else:
                paint_line(photo, box, (r, g, b), int(width * rng.uniform(0.002, 0.015)), closed=True)
    soft = cv2.GaussianBlur(photo, (0, 0), width / 1000 * rng.uniform(0.8, 10))
    return np.asarray(soft, dtype=np.float32)


def lay_room(
    camera: Camera, floor: float, *, rng: np.random.Generator, album: Album | None = None
) -> NDArray[np.float32]:
    """Return the picture (H, W, 3) of an empty wall and table top; `floor` is the table's y in the model.

    With an album either may be a photograph.
    """
    height, width = camera.height, camera.width
    if album is not None and album.chance(0.45):
        wall = album.view(height, width, surfaces=0.15, soft=0.6).astype(np.float32)
    elif rng.random() < 0.3:
        wall = _busy_wall(camera, rng)
    else:
        kind = str(rng.choice(["smooth", "smooth", "smooth", "stone", "cloth", "wood"]))
        wall = surface(rng, kind, height, width)
    if rng.random() < 0.3:  # a studio: one sheet behind and below
        return wall
    edge = camera.to_pixels(np.array([[x, floor, rng.uniform(0.6, 3.0)] for x in (-4.0, 5.0)]))
    if album is not None and album.chance(0.4):
        table = album.view(height, width, surfaces=0.85, soft=0.1).astype(np.float32)
    else:
        table = surface(rng, str(rng.choice(["wood", "smooth", "cloth", "stone"])), height, width)
    mask = np.zeros((height, width), np.uint8)
    (x0, y0), (x1, y1) = edge[edge[:, 0].argsort()]
    slope = (y1 - y0) / max(x1 - x0, 1e-6)
    left, right = y0 - slope * x0, y0 + slope * (width - x0)
    outline = np.array([[0, left], [width, right], [width, height], [0, height]])
    cv2.fillPoly(mask, [np.round(np.clip(outline, -20000, 20000) * 16).astype(np.int32)], 255, cv2.LINE_AA, 4)
    on = thrice(mask.astype(np.float32) / np.float32(255))
    return np.asarray(wall + (table - wall) * on, dtype=np.float32)


def _faces(low: Points, high: Points) -> list[tuple[Points, Points]]:
    """Six faces of a box as corners (4, 3) and outward direction (3,)."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    quads = [
        ([[x0, y0, z0], [x1, y0, z0], [x1, y1, z0], [x0, y1, z0]], [0, 0, -1]),
        ([[x0, y0, z1], [x1, y0, z1], [x1, y1, z1], [x0, y1, z1]], [0, 0, 1]),
        ([[x0, y0, z0], [x1, y0, z0], [x1, y0, z1], [x0, y0, z1]], [0, -1, 0]),
        ([[x0, y1, z0], [x1, y1, z0], [x1, y1, z1], [x0, y1, z1]], [0, 1, 0]),
        ([[x0, y0, z0], [x0, y1, z0], [x0, y1, z1], [x0, y0, z1]], [-1, 0, 0]),
        ([[x1, y0, z0], [x1, y1, z0], [x1, y1, z1], [x1, y0, z1]], [1, 0, 0]),
    ]
    return [(np.array(q, dtype=float), np.array(n, dtype=float)) for q, n in quads]


def paint_box(photo: Photo, camera: Camera, low: Points, high: Points, *, rng: np.random.Generator) -> None:
    """Paint a box (corners (3,) of the model's space), with the marks of a carton on it sometimes."""
    base = np.array(_BOXES[0] if rng.random() < 0.5 else _BOXES[int(rng.integers(len(_BOXES)))])
    base = np.clip(base + rng.normal(0, 12), 20, 245)
    eye = -np.linalg.inv(camera.projection[:, :3]) @ camera.projection[:, 3]
    carton = rng.random() < 0.6
    before = photo.copy()
    for corners, out in _faces(low, high):
        if (eye - corners[0]) @ out <= 0:
            continue
        shade = {(0, -1): 1.12, (0, 1): 0.5}.get((int(out[0]), int(out[1])), 0.78 if out[0] else 0.92)
        colour = np.clip(base * shade, 0, 255)
        quad = camera.to_pixels(corners)
        paint_patch(photo, quad, (float(colour[0]), float(colour[1]), float(colour[2])))
        edge = (float(colour[0] * 0.7), float(colour[1] * 0.7), float(colour[2] * 0.7))
        thick = max(1, camera.width // 700)
        paint_line(photo, quad, edge, thick, closed=True)
        if carton and out[1] == -1:
            middle = (corners[0] + corners[1]) / 2, (corners[2] + corners[3]) / 2
            across = (corners[1] - corners[0]) * 0.07
            tape = camera.to_pixels(
                np.stack([middle[0] - across, middle[0] + across, middle[1] + across, middle[1] - across])
            )
            light = np.clip(colour * 1.12 + 12, 0, 255)
            paint_patch(photo, tape, (float(light[0]), float(light[1]), float(light[2])))
            paint_line(photo, camera.to_pixels(np.stack(middle)), edge, thick)
    changed = (photo != before).any(axis=2)
    rough = cut(rng, "grain", *photo.shape[:2], scale=max(1.0, camera.width / 900)) * rng.uniform(1, 5)
    textured = np.clip(photo.astype(np.float32) + thrice(rough), 0, 255).astype(np.uint8)
    photo[changed] = textured[changed]


def paint_prop(photo: Photo, *, rng: np.random.Generator, spot: tuple[float, float], size: float) -> None:
    """Paint one thing that lies about, about `size` pixels long, at a spot (x, y) in pixels."""
    kind = str(rng.choice(["ruler", "pencil", "cup", "block", "hand", "tape"]))
    angle = rng.uniform(-0.6, 0.6)
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    at = np.array(spot)
    r, g, b = rng.uniform(20, 240, 3)

    def put(points: list[tuple[float, float]], colour: Colour) -> None:
        paint_patch(photo, np.array(points, dtype=float) * size @ turn + at, colour)

    if kind == "ruler":
        wood = (224.0, 196.0, 130.0) if rng.random() < 0.5 else (float(r), float(g), float(b))
        put([(-0.5, -0.05), (0.5, -0.05), (0.5, 0.05), (-0.5, 0.05)], wood)
        for k, x in enumerate(np.linspace(-0.48, 0.48, 31)):
            deep = 0.035 if k % 5 == 0 else 0.02
            put([(x, -0.05), (x + 0.004, -0.05), (x + 0.004, -0.05 + deep), (x, -0.05 + deep)], (40, 40, 40))
    elif kind == "pencil":
        put([(-0.4, -0.02), (0.35, -0.02), (0.35, 0.02), (-0.4, 0.02)], (float(r), float(g), float(b)))
        put([(0.35, -0.02), (0.42, 0.0), (0.35, 0.02)], (225, 190, 140))
        put([(0.4, -0.006), (0.42, 0.0), (0.4, 0.006)], (30, 30, 30))
    elif kind == "cup":
        put([(-0.16, -0.25), (0.16, -0.25), (0.12, 0.2), (-0.12, 0.2)], (float(r), float(g), float(b)))
        put(
            [(0.05, -0.25), (0.16, -0.25), (0.12, 0.2), (0.04, 0.2)],
            (float(r * 0.8), float(g * 0.8), float(b * 0.8)),
        )
    elif kind == "block":
        put([(-0.2, -0.15), (0.2, -0.15), (0.2, 0.15), (-0.2, 0.15)], (float(r), float(g), float(b)))
    elif kind == "tape":
        around = np.linspace(0, 2 * np.pi, 30)
        for radius, colour in (
            (0.2, (float(r), float(g), float(b))),
            (0.12, (205.0, 190.0, 165.0)),
            (0.1, (70.0, 66.0, 60.0)),
        ):
            put([(radius * np.cos(t), radius * np.sin(t)) for t in around], colour)
    else:
        skin = _SKINS[int(rng.integers(len(_SKINS)))]
        dark = (skin[0] * 0.85, skin[1] * 0.85, skin[2] * 0.85)
        # A palm from beyond the frame's edge, four fingers and a thumb.
        put([(-0.9, -0.2), (-0.1, -0.22), (0.05, -0.1), (0.05, 0.18), (-0.1, 0.24), (-0.9, 0.22)], skin)
        for k, (reach, y) in enumerate(((0.36, -0.16), (0.46, -0.05), (0.42, 0.06), (0.3, 0.16))):
            t = np.linspace(-np.pi / 2, np.pi / 2, 8)
            tip = [(reach + 0.05 * np.cos(a), y + 0.05 * np.sin(a)) for a in t]
            put([(0.0, y - 0.05), *tip, (0.0, y + 0.05)], skin if k % 2 else dark)
