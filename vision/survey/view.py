"""The joints as they would be seen square on, and how their errors come through.

Without a view the picture is taken as it is. Known points or a known rectangle give a homography, which takes
the perspective away and brings length units.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vision.errors import ViewError
from vision.survey.constraints import Floats
from vision.survey.given import KnownPoints, KnownRectangle, View
from vision.survey.homography import estimate, nearness, plane_points, spread_of
from vision.survey.settings import SurveySettings

__all__ = ["SquareOn", "square_on"]


@dataclass(frozen=True, eq=False)
class SquareOn:
    """Joints seen square on, y up, in pixels without a view and in length units with one."""

    at: Floats
    """(N, 2)."""
    gain: Floats
    """(2N, P) derivative with respect to the P picture numbers behind it: those of the joints, then those of
    the rectangle's corners. y is up in these too; their errors do not mind."""
    errors: Floats
    """(P,) standard errors of the picture numbers, pixels."""
    magnification: Floats
    """(N,) how much longer a small stretch is here than in the picture, about each joint."""


def square_on(
    px: Floats, px_error: Floats, view: View | None, *, names: Sequence[str], settings: SurveySettings
) -> SquareOn:
    """Take the perspective away.

    Parameters
    ----------
    px : (N, 2) float
        Pixels, x right, y DOWN. Here y turns up, and nowhere else.
    px_error : (N,) float
        Standard errors in pixels.
    view : View or None
        What is known of the plane.
    names : sequence of str
        Names of the joints for errors.
    settings : SurveySettings
        Its `smallest_px_error` and `horizon` apply.

    Raises
    ------
    ViewError
        The view is not fixed by what is given.
    """
    up = _y_up(px)
    errors = np.repeat(px_error, 2)
    count = len(px)
    if view is None:
        return SquareOn(up, np.eye(2 * count), errors, np.ones(count))
    if isinstance(view, KnownPoints):
        rows = _checked_points(view, names)
        plane, sight = np.asarray(view.at, dtype=float), up[rows]
        sight_errors = px_error[rows]
        columns = np.column_stack([2 * rows, 2 * rows + 1]).ravel()
    else:
        plane, sight = _checked_rectangle(view)
        sight_errors = np.full(4, view.px_error)
        errors = np.append(errors, np.full(8, view.px_error))
        columns = np.arange(2 * count, 2 * count + 8)
    return _through_view(up, errors, _Sight(plane, sight, sight_errors, columns), names, settings)


@dataclass(frozen=True, eq=False)
class _Sight:
    """Points of the plane and where they are seen."""

    plane: Floats
    picture: Floats
    errors: Floats
    columns: np.ndarray[tuple[int], np.dtype[np.intp]]
    """Where the picture numbers of these points stand among all."""


def _through_view(
    up: Floats, errors: Floats, sight: _Sight, names: Sequence[str], settings: SurveySettings
) -> SquareOn:
    plane_centre, plane_size = sight.plane.mean(axis=0), spread_of(sight.plane)
    centre, size = sight.picture.mean(axis=0), spread_of(sight.picture)
    if not plane_size > 0 or not size > 0:
        raise ViewError("The known points fall on one point.", "Give four that stand well apart.")
    picture = (sight.picture - centre) / size
    weights = np.maximum(sight.errors, settings.smallest_px_error) ** -2.0
    view = estimate((sight.plane - plane_centre) / plane_size, picture, weights / weights.mean())
    if view is None:
        raise ViewError(
            "The known points do not fix the view: too many of them lie on one line.",
            "Give at least four, no three of them on a line.",
        )
    if np.linalg.det(view.matrix) < 0 or not (nearness(view, picture) > 0).all():
        raise ViewError(
            "No camera in front of the truss could see the known points like this.",
            "Check that no two of them are exchanged and that y is given upwards.",
        )
    joints = (up - centre) / size
    beyond = np.flatnonzero(nearness(view, joints) < settings.horizon)
    if len(beyond):
        raise ViewError(
            f"Joint {names[beyond[0]]} lies on or beyond the horizon of this view.",
            "Check the known points or the corners: one of them is likely out of place.",
        )
    at, by_point, by_view = plane_points(view, joints)
    gain = np.zeros((2 * len(up), len(errors)))
    gain[:, sight.columns] = by_view.reshape(-1, 8) @ view.gain
    for row, block in enumerate(by_point):
        gain[2 * row : 2 * row + 2, 2 * row : 2 * row + 2] += block
    scale = plane_size / size
    magnification = np.sqrt(np.abs(np.linalg.det(by_point))) * scale
    return SquareOn(at * plane_size + plane_centre, gain * scale, errors, magnification)


def _y_up(px: Floats) -> Floats:
    return np.asarray(px * [1.0, -1.0])


def _checked_points(view: KnownPoints, names: Sequence[str]) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    rows = np.asarray(view.joints)
    at = np.asarray(view.at, dtype=float)
    if len(set(view.joints)) < len(view.joints):
        raise ViewError("A joint is given two known positions.", "Give each joint one position.")
    if not all(0 <= row < len(names) for row in view.joints):
        raise ViewError("A known position names a joint that is not there.", "Name a joint of the reading.")
    if at.shape != (len(rows), 2) or not np.isfinite(at).all():
        raise ViewError("A known position is not two numbers.", "Give x and y for each joint.")
    if len(rows) < 4:
        raise ViewError(
            f"Only {len(rows)} known positions are given.",
            "Give at least four, no three of them on a line; or give a length instead.",
        )
    return rows


def _checked_rectangle(view: KnownRectangle) -> tuple[Floats, Floats]:
    """Return the corners in the plane and in the picture, y up in both."""
    corners = np.asarray(view.corners, dtype=float)
    if corners.shape != (4, 2) or not np.isfinite(corners).all():
        raise ViewError("The rectangle needs four corners.", "Mark its corners, clockwise from the top left.")
    if not (0 < view.width < np.inf and 0 < view.height < np.inf):
        raise ViewError("The rectangle's size is not a length.", "Give its width and height, above zero.")
    if not 0 <= view.px_error < np.inf:
        raise ViewError("The corners' error is not a length in pixels.", "Give 0 or more.")
    seen = _y_up(corners)
    edges = np.roll(seen, -1, axis=0) - seen
    after = np.roll(edges, -1, axis=0)
    if not (edges[:, 0] * after[:, 1] - edges[:, 1] * after[:, 0] < 0).all():
        raise ViewError(
            "The four corners are not those of a rectangle seen by a camera.",
            "Mark them clockwise, starting at the top left.",
        )
    width, height = view.width, view.height
    return np.array([[0.0, height], [width, height], [width, 0.0], [0.0, 0.0]]), seen
