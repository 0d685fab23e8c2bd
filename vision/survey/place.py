"""The survey itself: its stages in order."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from vision.errors import ContradictionError, JointDataError, LevelError, ScaleMissingError
from vision.survey.constraints import Conditions, Floats, difference, linear, unit_row
from vision.survey.dimensions import check_dimension, condition, drawn_length, say
from vision.survey.fit import Drawing, fit, sensitivity, settle, slack_directions
from vision.survey.given import Dimension
from vision.survey.level import find_chord
from vision.survey.placement import FreeJoint, Placement
from vision.survey.settings import SurveySettings

__all__ = ["survey"]

Pair = tuple[int, int]


def survey(
    joints: ArrayLike,
    px_error: ArrayLike,
    members: Sequence[Pair],
    *,
    dimensions: Sequence[Dimension] = (),
    level: Pair | None = None,
    names: Sequence[str] | None = None,
    settings: SurveySettings | None = None,
) -> Placement:
    """Place the joints of a reading in the plane.

    Parameters
    ----------
    joints : (N, 2) float
        x, y in pixels of the upright picture, x right, y down.
    px_error : (N,) float
        Standard error of each joint in pixels, the same in both directions.
    members : sequence of (int, int)
        Rows of `joints`.
    dimensions : sequence of Dimension
        What is written; it holds exactly.
    level : (int, int), optional
        Two joints that lie level. Without them the longest near-level straight chord does, said in a remark.
    names : sequence of str, optional
        Names of the joints for remarks and errors; row numbers otherwise.
    settings : SurveySettings, optional
        Tolerances.

    Returns
    -------
    Placement
        Joints in length units, y up, the left joint of the level pair at the origin.

    Raises
    ------
    SurveyError
        One of its kinds, see `vision.errors`; its sentence says what to do.
    """
    settings = settings or SurveySettings()
    px, errors = _checked(joints, px_error, members, settings)
    names = names or [str(row) for row in range(len(px))]
    for dimension in dimensions:
        check_dimension(dimension, names)
    remarks: list[str] = []

    centre = px.mean(axis=0)
    spread = float(np.sqrt(np.mean((px - centre) ** 2)))
    drawing = Drawing(
        (px - centre) * [1.0, -1.0] / spread,  # the one place where y turns from down to up
        _weights(errors, settings),
    )
    if level is None:
        pair, remark = _chord(drawing.at, tuple(members), names, settings)
        remarks.append(remark)
    else:
        pair = _level_pair(drawing.at, level)
    upright, turn = _turned_level(drawing.at, pair)
    unit = _unit(dimensions, upright)

    count = len(px)
    size = 2 * count + 4
    conditions = Conditions.join(
        (
            linear(unit_row(2 * pair[0], size), 0.0),
            linear(unit_row(2 * pair[0] + 1, size), 0.0),
            linear(difference(*pair, size)[1], 0.0),
            *(condition(dimension, upright, size, unit) for dimension in dimensions),
        ),
        size,
    )
    shift = upright[pair[0]]
    start = np.concatenate([(upright - shift).ravel(), turn, -shift])
    start, met = settle(conditions, start)
    if not met:
        raise ContradictionError(
            tuple(say(dimension, names) for dimension in dimensions), tuple(range(len(dimensions)))
        )
    z = fit(drawing, conditions, start)
    to_plane = sensitivity(drawing, conditions, z) * (unit / spread)
    flip = np.tile([1.0, -1.0], count)
    spread_out = to_plane * flip * np.repeat(errors, 2)
    return Placement(
        at=z[: 2 * count].reshape(-1, 2) * unit,
        covariance=spread_out @ spread_out.T,
        free=_free(conditions, z, count),
        remarks=tuple(remarks),
    )


def _checked(
    joints: ArrayLike, px_error: ArrayLike, members: Sequence[Pair], settings: SurveySettings
) -> tuple[Floats, Floats]:
    px = np.asarray(joints, dtype=float)
    errors = np.asarray(px_error, dtype=float)
    if px.ndim != 2 or px.shape[1:] != (2,) or errors.shape != px.shape[:1]:
        raise JointDataError(
            f"The joints have shape {px.shape} and their errors {errors.shape}.",
            "Give joints (N, 2) and one error for each.",
        )
    if len(px) < 2:
        raise JointDataError("There are fewer than two joints.", "Mark the joints of the truss first.")
    if not (np.isfinite(px).all() and np.isfinite(errors).all() and (errors >= 0).all()):
        raise JointDataError(
            "A joint or its error is not a number, or an error is negative.", "Mark that joint again."
        )
    if not all(0 <= end < len(px) for pair in members for end in pair):
        raise JointDataError("A member ends at a joint that is not there.", "Draw that member again.")
    gaps = np.linalg.norm(px[:, None] - px, axis=2) + np.diag(np.full(len(px), np.inf))
    if gaps.min() < settings.coincident_px:
        first, second = np.unravel_index(int(gaps.argmin()), gaps.shape)
        raise JointDataError(
            f"Joints {first} and {second} lie on one point of the picture.", "Remove one of them."
        )
    return px, errors


def _weights(errors: Floats, settings: SurveySettings) -> Floats:
    weights = np.maximum(errors, settings.smallest_px_error) ** -2.0
    return np.asarray(weights / weights.mean())


def _level_pair(at: Floats, level: Pair) -> Pair:
    """Return the named pair, left joint first."""
    first, second = level
    if first == second or not all(0 <= end < len(at) for end in level):
        raise LevelError("Level needs two different joints of the reading.", "Name two joints.")
    return (first, second) if at[first, 0] <= at[second, 0] else (second, first)


def _chord(
    at: Floats, members: tuple[Pair, ...], names: Sequence[str], settings: SurveySettings
) -> tuple[Pair, str]:
    """Return the chord that gives level, and a remark on it."""
    pair = find_chord(at, members, settings)
    if pair is None:
        raise LevelError("No member is near level.", "Name two joints that lie level.")
    return pair, (
        f"Level was taken from the chord {names[pair[0]]}-{names[pair[1]]}. "
        "Name two other joints if that is not level."
    )


def _turned_level(at: Floats, pair: Pair) -> tuple[Floats, Floats]:
    """Return the drawing turned so that the pair lies level, left end first, and the similarity's (a, b)."""
    across, up = (at[pair[1]] - at[pair[0]]) / np.linalg.norm(at[pair[1]] - at[pair[0]])
    turn = np.array([across, -up])
    return at @ np.array([[across, -up], [up, across]]), turn


def _unit(dimensions: Sequence[Dimension], at: Floats) -> float:
    """Return length units to one unit of the drawing: the middle one of what the dimensions say."""
    scales = [
        dimension.value / drawn
        for dimension in dimensions
        if dimension.value > 0 and (drawn := drawn_length(dimension, at)) > 0
    ]
    if not scales:
        raise ScaleMissingError
    return float(np.median(scales))


def _free(conditions: Conditions, z: Floats, count: int) -> tuple[FreeJoint, ...]:
    """Return the joints that the conditions alone do not place."""
    open_ = slack_directions(conditions.gradient(z))[: 2 * count]
    loose = (np.abs(open_).max(axis=1, initial=0.0) > 1e-7).reshape(-1, 2)
    return tuple(
        FreeJoint(row, across=bool(across), up=bool(up))
        for row, (across, up) in enumerate(loose)
        if across or up
    )
