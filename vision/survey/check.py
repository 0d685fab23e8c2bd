"""What is handed to the survey, checked once at the door."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from vision.errors import JointDataError, LevelError
from vision.survey.constraints import Floats
from vision.survey.settings import SurveySettings

__all__ = ["checked_joints", "checked_level", "checked_members", "checked_names", "nearest_pair"]

Pair = tuple[int, int]


def checked_joints(joints: ArrayLike, px_error: ArrayLike) -> tuple[Floats, Floats]:
    """Return joints (N, 2) and errors (N,) as arrays.

    Raises
    ------
    JointDataError
        Wrong shapes, fewer than two joints, or numbers that no picture has.
    """
    try:
        px, errors = np.array(joints, dtype=float), np.array(px_error, dtype=float)
    except (TypeError, ValueError):
        raise JointDataError(
            "The joints are not a table of numbers.", "Give x and y in pixels for each joint."
        ) from None
    if px.ndim != 2 or px.shape[1] != 2 or errors.shape != (len(px),):
        raise JointDataError(
            f"The joints have shape {px.shape} and their errors {errors.shape}.",
            "Give x and y for each joint, and one error.",
        )
    if len(px) < 2:
        raise JointDataError("There are fewer than two joints.", "Mark the joints of the truss first.")
    return px, errors


def checked_names(
    names: Sequence[str] | None, px: Floats, errors: Floats, settings: SurveySettings
) -> tuple[str, ...]:
    """Return a name for each joint, and refuse joints that no picture has, by name.

    Raises
    ------
    JointDataError
        Too few names; a joint or error that is not a number; two joints on one point.
    """
    if names is None:
        names = [str(row) for row in range(len(px))]
    if len(names) != len(px):
        raise JointDataError(f"There are {len(px)} joints and {len(names)} names.", "Name every joint once.")
    lost = np.flatnonzero(~(np.abs(px) <= settings.largest_px).all(axis=1))
    if len(lost):
        raise JointDataError(f"Joint {names[lost[0]]} has no place in the picture.", "Mark that joint again.")
    odd = np.flatnonzero(~((errors >= 0) & (errors <= settings.largest_px)))
    if len(odd):
        raise JointDataError(
            f"The pixel error of joint {names[odd[0]]} is not a length.", "Give 0 or more pixels."
        )
    first, second, gap = nearest_pair(px)
    if gap < settings.coincident_px:
        raise JointDataError(
            f"Joints {names[first]} and {names[second]} lie on one point of the picture.",
            "Remove one of them, or move it.",
        )
    return tuple(names)


def nearest_pair(points: Floats) -> tuple[int, int, float]:
    """Return the two rows of points, (N, 2), that lie nearest each other, and how far apart they are."""
    gaps = np.linalg.norm(points[:, None] - points, axis=2) + np.diag(np.full(len(points), np.inf))
    first, second = divmod(int(gaps.argmin()), len(points))
    return first, second, float(gaps[first, second])


def checked_members(members: Sequence[Pair], names: Sequence[str]) -> tuple[Pair, ...]:
    """Return the members.

    Raises
    ------
    JointDataError
        A member without two different joints.
    """
    for start, end in members:
        if not (0 <= start < len(names) and 0 <= end < len(names)):
            raise JointDataError(f"Member {start}-{end} ends at a joint that is not there.", "Draw it again.")
        if start == end:
            raise JointDataError(f"A member runs from joint {names[start]} to itself.", "Remove it.")
    return tuple((int(start), int(end)) for start, end in members)


def checked_level(level: Pair, names: Sequence[str]) -> Pair:
    """Return the two joints named as level.

    Raises
    ------
    LevelError
        They are not two different joints of the reading.
    """
    first, second = level
    if not (0 <= first < len(names) and 0 <= second < len(names)):
        raise LevelError("Level names a joint that is not there.", "Name two joints of the reading.")
    if first == second:
        raise LevelError(f"Level names joint {names[first]} twice.", "Name two different joints.")
    return first, second
