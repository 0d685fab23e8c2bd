"""The camera: one exact map from the drawing (and the space behind it) to pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Camera", "aim_camera", "flat_camera"]


@dataclass(frozen=True, eq=False)
class Camera:
    """A pinhole with a lens that bends radially.

    The drawing lies in the plane z = 0 with x to the right and y DOWN, as on the page; z runs away from
    the camera. Units of the drawing are free.

    References
    ----------
    Brown, D. C. (1971), Close-range camera calibration: the two-term radial model, here with the radius
    measured in half diagonals of the picture.
    """

    projection: NDArray[np.float64]
    """(3, 4) from drawing to undistorted pixels, homogeneous."""
    width: int
    height: int
    bend: tuple[float, float] = (0.0, 0.0)
    """Radial terms for the second and the fourth power of the radius; negative is barrel."""

    def to_pixels(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Map points (..., 2) of the plane, or (..., 3) in space, to pixels (..., 2)."""
        p = self.projection
        homogeneous = points[..., :2] @ p[:, :2].T + p[:, 3]
        if points.shape[-1] == 3:
            homogeneous = homogeneous + points[..., 2:] * p[:, 2]
        pixels = homogeneous[..., :2] / homogeneous[..., 2:]
        middle = np.array([(self.width - 1) / 2, (self.height - 1) / 2])
        away = pixels - middle
        r2 = (away**2).sum(axis=-1, keepdims=True) / (self.width**2 + self.height**2) * 4
        r2 = np.minimum(r2, 4.0)  # far outside the frame the polynomial would fold back into it
        bent: NDArray[np.float64] = middle + away * (1 + self.bend[0] * r2 + self.bend[1] * r2 * r2)
        return bent

    def scale_at(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Pixels per unit of the drawing at each point, (...,): the root of the area scale."""
        step = 1e-3
        here = self.to_pixels(points)
        unit = np.zeros(points.shape[-1])
        unit[0] = step
        right = (self.to_pixels(points + unit) - here) / step
        unit[0], unit[1] = 0.0, step
        down = (self.to_pixels(points + unit) - here) / step
        return np.sqrt(np.abs(right[..., 0] * down[..., 1] - right[..., 1] * down[..., 0]))


def flat_camera(width: int, height: int, scale: float, origin: tuple[float, float]) -> Camera:
    """Return the camera of a scanner or a screen: no perspective, no bend.

    `origin` is where the drawing's 0, 0 comes to lie, in pixels.
    """
    projection = np.array([[scale, 0, 0, origin[0]], [0, scale, 0, origin[1]], [0, 0, 0, 1.0]])
    return Camera(projection, width, height)


def aim_camera(
    corners: NDArray[np.float64],
    *,
    width: int,
    height: int,
    fill: float,
    place: tuple[float, float],
    turns: tuple[float, float, float],
    focal: float,
    bend: tuple[float, float] = (0.0, 0.0),
) -> Camera:
    """Aim a camera so that what lies within `corners` takes a wanted part of the picture.

    Parameters
    ----------
    corners
        (K, 2) or (K, 3) points of the drawing that must come into the picture.
    fill
        Largest extent of the corners as a part of the picture's (1: they touch the frame).
    place
        Where in the free room the corners come to lie, each 0 (left, top) to 1.
    turns
        Radians: tilt about the x axis, turn about the y axis, roll in the picture.
    focal
        Focal length in picture widths; small is a strong perspective.
    """
    tilt, turn, roll = turns
    (ct, st), (cn, sn), (cr, sr) = ((np.cos(a), np.sin(a)) for a in (tilt, turn, roll))
    about_x = np.array([[1, 0, 0], [0, ct, -st], [0, st, ct]])
    about_y = np.array([[cn, 0, sn], [0, 1, 0], [-sn, 0, cn]])
    about_z = np.array([[cr, -sr, 0], [sr, cr, 0], [0, 0, 1]])
    rotation = about_z @ about_y @ about_x
    solid = corners if corners.shape[1] == 3 else np.column_stack([corners, np.zeros(len(corners))])
    middle = (solid.min(axis=0) + solid.max(axis=0)) / 2
    size = float(np.ptp(solid, axis=0).max())
    f = focal * width
    turned = (solid - middle) @ rotation.T

    def extent(distance: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        seen = f * turned[:, :2] / (turned[:, 2:] + distance)
        return seen.min(axis=0), seen.max(axis=0)

    # The extent falls nearly as 1/distance, so a few steps of the plain ratio settle it.
    distance = f * size / (fill * width)
    for _ in range(12):
        nearest = 0.55 * size - float(turned[:, 2].min()) * 0.2
        low, high = extent(max(distance, nearest))
        over = float(np.max((high - low) / (fill * np.array([width, height]))))
        distance = max(distance * over, nearest)
    low, high = extent(distance)
    room = np.array([width, height]) - (high - low)
    shift = np.asarray(place) * room - low - np.array([0.5, 0.5])
    inner = np.array([[f, 0, shift[0]], [0, f, shift[1]], [0, 0, 1.0]])
    outer = np.column_stack([rotation, np.array([0.0, 0.0, distance]) - rotation @ middle])
    return Camera(inner @ outer, width, height, bend)
