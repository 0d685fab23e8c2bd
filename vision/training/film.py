"""From the scene to the file: light, shadows, glare, lens, sensor, compression. No pixel is moved."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.noise import cut, slow_field
from vision.training.planes import scaled, thrice

__all__ = ["Film", "choose_film", "expose"]


@dataclass(frozen=True)
class Film:
    """How the picture was taken. All strengths go from 0 (none) to about 1."""

    uneven: float = 0.2
    """Fall of the light across the picture."""
    shadow: float = 0.0
    """Depth of a hand's or a head's shadow."""
    glare: float = 0.0
    warm: float = 0.0
    """White balance; negative is cold."""
    exposure: float = 1.0
    contrast: float = 1.0
    blur: float = 0.5
    """Standard deviation of the focus blur in thousandths of the picture's longest side."""
    motion: float = 0.0
    """Length of the motion blur in thousandths of the longest side."""
    noise: float = 2.0
    """Grey levels."""
    sharpen: float = 0.0
    coarse: float = 1.0
    """How many times fewer pixels the picture had across before it was enlarged to its size."""
    jpeg: int = 88
    """Quality; 0 keeps the picture as it is."""
    grey: bool = False


def choose_film(rng: np.random.Generator, *, rough: float) -> Film:
    """Return a way of taking the picture; `rough` 0 is a good scan, 1 a bad phone in bad light."""
    return Film(
        uneven=abs(rng.normal(0, 0.3)) * rough,
        shadow=rng.uniform(0.15, 0.6) if rng.random() < 0.25 * rough else 0.0,
        glare=rng.uniform(0.2, 0.9) if rng.random() < 0.12 * rough else 0.0,
        warm=rng.normal(0, 0.05) * (0.3 + rough),
        exposure=float(np.clip(rng.normal(1 - 0.12 * rough, 0.12 * rough), 0.6, 1.25)),
        contrast=float(np.clip(rng.normal(1, 0.12 * rough), 0.6, 1.3)),
        blur=float(np.clip(rng.lognormal(-0.6, 0.6), 0.2, 2.2)) * (0.4 + 0.6 * rough),
        motion=rng.uniform(1, 5) if rng.random() < 0.1 * rough else 0.0,
        noise=abs(rng.normal(0, 4.0)) * rough,
        sharpen=rng.uniform(0.3, 1.2) if rng.random() < 0.3 * rough else 0.0,
        coarse=rng.uniform(1.3, 3.5) if rng.random() < 0.15 * rough else 1.0,
        jpeg=int(rng.integers(45, 96)),
        grey=rng.random() < 0.05,
    )


def _shadow(rng: np.random.Generator, height: int, width: int) -> NDArray[np.float32]:
    """Return a soft-edged blob (a hand, a phone, a head) that comes in from one side, 0 to 1."""
    small = 160
    mask = np.zeros((small, small), np.uint8)
    side = rng.uniform(0, 2 * np.pi)
    middle = np.array([0.5, 0.5]) + 0.5 * np.array([np.cos(side), np.sin(side)]) * rng.uniform(0.5, 1.3)
    count = 14
    angles = np.linspace(0, 2 * np.pi, count, endpoint=False)
    radii = rng.uniform(0.15, 0.55) * (1 + rng.normal(0, 0.25, count))
    points = (middle + np.column_stack([np.cos(angles), np.sin(angles)]) * radii[:, None]) * small
    cv2.fillPoly(mask, [np.round(points).astype(np.int32)], 255)
    soft = cv2.GaussianBlur(mask, (0, 0), rng.uniform(1.0, 12.0))
    big = cv2.resize(soft, (width, height), interpolation=cv2.INTER_CUBIC)
    return np.asarray(big, dtype=np.float32) / np.float32(255)


def _light(film: Film, rng: np.random.Generator, height: int, width: int) -> NDArray[np.float32] | None:
    if not (film.uneven or film.shadow):
        return None
    small_h, small_w = max(8, height // 8), max(8, width // 8)
    y, x = np.mgrid[0:small_h, 0:small_w].astype(np.float32)
    side = rng.uniform(0, 2 * np.pi)
    slope = (x / small_w - 0.5) * np.cos(side) + (y / small_h - 0.5) * np.sin(side)
    corner = (x / small_w - 0.5) ** 2 + (y / small_h - 0.5) ** 2
    light = 1 + film.uneven * (0.9 * slope - 0.5 * corner + 0.12 * slow_field(rng, small_h, small_w))
    if film.shadow:
        light = light * (1 - film.shadow * _shadow(rng, small_h, small_w))
    return np.asarray(cv2.resize(light.astype(np.float32), (width, height)), dtype=np.float32)


def _glare(film: Film, rng: np.random.Generator, height: int, width: int) -> NDArray[np.float32]:
    """Return the light of a lamp mirrored by a shiny board, (H, W, 3)."""
    spot = np.zeros((64, 64), np.float32)
    x, y = rng.uniform(8, 56, 2)
    wide, high = rng.uniform(3, 14, 2)
    cv2.ellipse(spot, (int(x), int(y)), (int(wide), int(high)), rng.uniform(0, 180), 0, 360, 1, -1)
    spot = np.asarray(cv2.GaussianBlur(spot, (0, 0), rng.uniform(1.5, 6)), dtype=np.float32)
    big = cv2.resize(spot, (width, height), interpolation=cv2.INTER_CUBIC)
    return thrice(np.asarray(big, dtype=np.float32) * np.float32(200 * film.glare))


def _smear(picture: NDArray[np.float32], length: int, rng: np.random.Generator) -> NDArray[np.float32]:
    """Blur along one direction, over about `length` pixels."""
    middle = length // 2
    if middle < 1:
        return picture
    kernel = np.zeros((2 * middle + 1, 2 * middle + 1), np.float32)
    angle = rng.uniform(0, np.pi)
    dx, dy = middle * np.cos(angle), middle * np.sin(angle)
    ends = [(round(middle + s * dx), round(middle + s * dy)) for s in (-1, 1)]
    cv2.line(kernel, ends[0], ends[1], 1, 1)
    # Made symmetric, so that the blur does not shift the lines.
    kernel = kernel + kernel[::-1, ::-1]
    return np.asarray(cv2.filter2D(picture, -1, kernel / kernel.sum()), dtype=np.float32)


def _noise(film: Film, rng: np.random.Generator, height: int, width: int) -> NDArray[np.float32]:
    """Return the sensor's noise (H, W, 3): fine in brightness, coarser in colour."""
    fine = cut(rng, "white", height, width) * np.float32(0.8 * film.noise)
    colour = cv2.merge([cut(rng, "white", (height + 1) // 2, (width + 1) // 2) for _ in range(3)])
    big = np.asarray(cv2.resize(colour, (width, height), interpolation=cv2.INTER_LINEAR), dtype=np.float32)
    return np.asarray(big * np.float32(film.noise) + thrice(fine), dtype=np.float32)


def expose(scene: NDArray[np.float32], film: Film, *, rng: np.random.Generator) -> NDArray[np.uint8]:
    """Return the photograph (H, W, 3) uint8 of a scene (H, W, 3), 0 to 255."""
    height, width = scene.shape[:2]
    long = max(height, width)
    light = _light(film, rng, height, width)
    gains = film.exposure * np.array([1 + film.warm, 1.0, 1 - film.warm], np.float32)
    picture = scaled(scene, gains)
    if light is not None:
        picture *= thrice(light)
    if film.contrast != 1:
        picture = (picture - 128) * np.float32(film.contrast) + 128
    if film.glare:
        picture += _glare(film, rng, height, width)
    sigma = film.blur * long / 1000
    if sigma > 0.3:
        picture = np.asarray(cv2.GaussianBlur(picture, (0, 0), sigma), dtype=np.float32)
    if film.motion:
        picture = _smear(picture, int(film.motion * long / 1000), rng)
    if film.noise:
        picture += _noise(film, rng, height, width)
    if film.sharpen:
        soft = cv2.GaussianBlur(picture, (0, 0), max(0.8, long / 900))
        picture += film.sharpen * (picture - soft)
    if film.grey:
        picture = np.repeat(picture.mean(axis=2, keepdims=True), 3, axis=2)
    return _filed(np.clip(picture, 0, 255, out=picture).astype(np.uint8), film)


def _filed(picture: NDArray[np.uint8], film: Film) -> NDArray[np.uint8]:
    """Return the picture as it comes back from a file: fewer pixels, compressed."""
    height, width = picture.shape[:2]
    if film.coarse > 1:
        small = (round(width / film.coarse), round(height / film.coarse))
        picture = np.asarray(cv2.resize(picture, small, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    if film.jpeg:
        bgr = cv2.cvtColor(picture, cv2.COLOR_RGB2BGR)
        _, packed = cv2.imencode(".jpg", bgr, [cv2.IMWRITE_JPEG_QUALITY, film.jpeg])
        bgr = np.asarray(cv2.imdecode(packed, cv2.IMREAD_COLOR), dtype=np.uint8)
        picture = np.asarray(cv2.cvtColor(bgr, cv2.COLOR_BGR2RGB), dtype=np.uint8)
    if film.coarse > 1:
        picture = np.asarray(
            cv2.resize(picture, (width, height), interpolation=cv2.INTER_CUBIC), dtype=np.uint8
        )
    return picture
