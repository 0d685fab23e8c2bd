"""The map from the plane of the truss to the picture under perspective.

A homography takes x, y to u / w, v / w, with u, v and w linear in x, y: eight numbers h, row by row of

    u = h0 x + h1 y + h2
    v = h3 x + h4 y + h5
    w = h6 x + h7 y + 1

Points are moved to their centre and scaled to size 1 on both sides first, so that w is near 1 among them and
the eight numbers are of like size.

References
----------
R. Hartley, A. Zisserman, Multiple View Geometry, 2nd ed., Cambridge 2003: normalised direct linear transform
(algorithm 4.2), refinement of the reprojection error (section 4.5), covariance (section 5.2).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vision.survey.constraints import Floats

__all__ = ["Homography", "estimate", "nearness", "plane_points", "projected", "spread_of"]

# Least singular value over the largest, of equations scaled to size 1: below this, points do not fix a view.
_DEGENERATE = 1e-7
# Bound on the Gauss-Newton steps that follow the linear solution.
_STEPS = 30
# Largest change of a number of the view, scaled to size 1: smaller steps are rounding.
_STEP_DONE = 1e-14


@dataclass(frozen=True, eq=False)
class Homography:
    """A view of the plane, and how it follows the points that fixed it."""

    numbers: Floats
    """(8,) h."""
    gain: Floats
    """(8, 2K) derivative of h with respect to the picture points u0, v0, u1, v1, ..."""

    @property
    def matrix(self) -> Floats:
        """(3, 3), plane to picture."""
        return np.append(self.numbers, 1.0).reshape(3, 3)


def spread_of(points: Floats) -> float:
    """Return the root mean square distance of the points from their centre, per direction."""
    return float(np.sqrt(np.mean((points - points.mean(axis=0)) ** 2)))


def estimate(plane: Floats, picture: Floats, weights: Floats) -> Homography | None:
    """Return the homography of least weighted squares in the picture.

    Parameters
    ----------
    plane, picture : (K, 2) float
        Four or more points, centred and of size about 1; y up on both sides.
    weights : (K,) float
        Inverse squares of the picture errors, of mean about 1.

    Returns
    -------
    Homography or None
        None when the points do not fix a view: too many lie on one line, in the plane or in the picture.
    """
    x, y = plane.T
    u, v = picture.T
    zero, one = np.zeros_like(x), np.ones_like(x)
    equations = np.concatenate(
        [
            np.column_stack([x, y, one, zero, zero, zero, -u * x, -u * y, -u]),
            np.column_stack([zero, zero, zero, x, y, one, -v * x, -v * y, -v]),
        ]
    )
    _, sizes, directions = np.linalg.svd(equations)
    least = directions[-1]
    if sizes[7] < _DEGENERATE * sizes[0] or abs(least[8]) < _DEGENERATE:
        return None
    h = least[:8] / least[8]
    if _is_flat(h):
        return None
    root = np.sqrt(np.repeat(weights, 2))[:, None]
    for _ in range(_STEPS):
        slope = root * _by_numbers(h, plane)
        missed = root[:, 0] * (picture - projected(h, plane)).ravel()
        step, _, rank, _ = np.linalg.lstsq(slope, missed, rcond=_DEGENERATE)
        if rank < 8:
            return None
        h = h + step
        if np.abs(step).max() < _STEP_DONE:
            break
    if _is_flat(h):
        return None
    slope = root * _by_numbers(h, plane)
    return Homography(h, np.asarray(np.linalg.pinv(slope) * root.T))


def projected(h: Floats, plane: Floats) -> Floats:
    """Return the picture points, (K, 2), of points in the plane."""
    w = _depth(h, plane)
    return np.asarray((plane @ np.array([h[0:2], h[3:5]]).T + h[[2, 5]]) / w[:, None])


def nearness(view: Homography, picture: Floats) -> Floats:
    """Return how near each picture point is to the camera, (N,), in shares of w.

    1 about the centre of the points that fixed the view, 0 on the horizon, negative beyond it.
    """
    back = np.linalg.inv(view.matrix)
    return np.asarray(picture @ back[2, :2] + back[2, 2])


def plane_points(view: Homography, picture: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the points of the plane under points of the picture, none on the horizon, with derivatives.

    Returns
    -------
    at : (N, 2) float
        In the plane.
    by_point : (N, 2, 2) float
        Derivative of each with respect to its own picture point.
    by_view : (N, 2, 8) float
        Derivative of each with respect to the numbers of the view.
    """
    back = np.linalg.inv(view.matrix)
    at = (picture @ back[:2, :2].T + back[:2, 2]) / nearness(view, picture)[:, None]
    by_point = np.asarray(np.linalg.inv(_by_place(view.numbers, at)), dtype=float)
    by_view = -by_point @ _by_numbers(view.numbers, at).reshape(-1, 2, 8)
    return at, by_point, by_view


def _is_flat(h: Floats) -> bool:
    """Return whether the plane is seen as a line."""
    matrix = np.append(h, 1.0)
    return bool(abs(np.linalg.det(matrix.reshape(3, 3))) < _DEGENERATE * np.linalg.norm(matrix) ** 3)


def _depth(h: Floats, plane: Floats) -> Floats:
    return np.asarray(plane @ h[6:8] + 1.0)


def _by_place(h: Floats, plane: Floats) -> Floats:
    """Return the derivative of `projected` with respect to the plane, (K, 2, 2)."""
    w = _depth(h, plane)[:, None, None]
    seen = projected(h, plane)[:, :, None]
    return np.asarray((np.array([h[0:2], h[3:5]]) - seen * h[6:8]) / w)


def _by_numbers(h: Floats, plane: Floats) -> Floats:
    """Return the derivative of `projected` with respect to h, (2K, 8), points first then u before v."""
    w = _depth(h, plane)
    seen = projected(h, plane)
    slope = np.zeros((len(plane), 2, 8))
    slope[:, 0, 0:2] = slope[:, 1, 3:5] = plane / w[:, None]
    slope[:, 0, 2] = slope[:, 1, 5] = 1.0 / w
    slope[:, :, 6:8] = -seen[:, :, None] * (plane / w[:, None])[:, None, :]
    return slope.reshape(-1, 8)
