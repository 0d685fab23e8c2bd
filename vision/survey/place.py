"""The survey itself: its stages in order."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from vision.errors import NoPlacementError
from vision.survey.camber import bent_chords
from vision.survey.check import checked_joints, checked_level, checked_members, checked_names, nearest_pair
from vision.survey.conflict import reconcile
from vision.survey.constraints import PEN, Conditions, Floats
from vision.survey.dimensions import check_dimension
from vision.survey.fit import Drawing, fit, sensitivity
from vision.survey.frame import Frame, known_frame, level_frame
from vision.survey.given import Dimension, KnownPoints, KnownRectangle, View
from vision.survey.homography import spread_of
from vision.survey.level import find_chord
from vision.survey.placement import FreeJoint, Placement
from vision.survey.remarks import (
    OutOfScale,
    on_cambered_chords,
    on_directions,
    on_doubtful_slopes,
    on_held_slopes,
    on_level,
    on_rounding,
    on_scale,
    on_the_drawing,
    on_turning,
)
from vision.survey.settings import SurveySettings
from vision.survey.settle import fixes, open_directions, settle
from vision.survey.statements import Statement
from vision.survey.straighten import straighten
from vision.survey.view import square_on

__all__ = ["survey"]

Pair = tuple[int, int]


def survey(
    joints: ArrayLike,
    px_error: ArrayLike,
    members: Sequence[Pair],
    *,
    dimensions: Sequence[Dimension] = (),
    view: View | None = None,
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
        What is written; it holds exactly, whatever the drawing shows.
    view : KnownPoints or KnownRectangle, optional
        What takes the perspective away; without it the picture counts as taken square on.
    level : (int, int), optional
        Two joints that lie level, in either order. Without them the longest near-level straight chord does,
        said in a remark; known points bring their own level.
    names : sequence of str, optional
        Names of the joints for remarks and errors; row numbers otherwise.
    settings : SurveySettings, optional
        Tolerances.

    Returns
    -------
    Placement
        Joints in length units, y up, the left joint of the level pair at the origin; with known points, in
        their axes.

    Raises
    ------
    SurveyError
        One of its kinds, see `vision.errors`; its sentence says what to do.
    """
    settings = settings or SurveySettings()
    px, px_errors = checked_joints(joints, px_error)
    names = checked_names(names, px, px_errors, settings)
    members = checked_members(members, names)
    for dimension in dimensions:
        check_dimension(dimension, names)
    if level is not None:
        level = checked_level(level, names)

    seen = square_on(px, px_errors, view, names=names, settings=settings)
    centre, size = seen.at.mean(axis=0), spread_of(seen.at)
    near = np.maximum(px_errors, settings.smallest_px_error) * seen.magnification / size
    drawing = Drawing(
        (seen.at - centre) / size,
        weights=(np.median(near) / near) ** 2,
        stretch_weight=settings.stretch_weight,
    )

    chord = None
    if isinstance(view, KnownPoints):
        frame = known_frame(drawing.at, size, centre)
    else:
        chord = find_chord(drawing.at, members, settings) if level is None else None
        scale = size if isinstance(view, KnownRectangle) else None
        frame = level_frame(drawing.at, level or chord, dimensions, scale)
    statements = _statements(frame, dimensions, view, level, names)

    conditions, z = reconcile(frame.fixed, statements, frame.start)
    remarks: list[str] = []
    turned_by_dimensions = False
    if level is None and not isinstance(view, KnownPoints):
        wished = Conditions.join((conditions, frame.level_wish(chord)), frame.size)
        levelled = settle(wished, z)
        remarks.append(on_level(chord, names, held=levelled.met))
        if levelled.met:
            conditions, z = wished, levelled.z
        turned_by_dimensions = not levelled.met
    z = fit(drawing, conditions, z)
    upright = z[:-PEN].reshape(-1, 2) if turned_by_dimensions else frame.upright
    dimensioned = z
    bent = bent_chords(z[:-PEN].reshape(-1, 2), members, settings)
    straightened: list[Pair] = []
    while True:  # a member straightened may bring its neighbour near; every round adds conditions, so it ends
        straight = straighten(members, conditions, z, upright=upright, bent=bent, settings=settings)
        z = fit(drawing, straight.conditions, straight.z)
        straightened += straight.made
        if straight.conditions is conditions:
            break
        conditions = straight.conditions

    at = _swept(z[:-PEN].reshape(-1, 2) * frame.unit + frame.origin, settings.dust_share)
    by_joint = sensitivity(drawing, conditions, z) * (frame.unit / size)
    spread = by_joint @ seen.gain * seen.errors
    remarks += [
        *on_turning(frame, settings),
        *on_scale(view, dimensions),
        *on_directions(dimensions, frame, near, names, settings.unsure_sigmas),
        *on_rounding(dimensions, at, frame.unit, names),
        *on_held_slopes(straight.held, names),
        *on_doubtful_slopes(straight.nearly, names),
        *on_cambered_chords(straight.cambered, names),
        *on_the_drawing(
            _shown(drawing, dimensioned), _shown(drawing, z), straightened, names=names, settings=settings
        ),
    ]
    _check_apart(at, frame.unit * settings.coincident_share, names)
    return Placement(at, spread @ spread.T, _free(conditions, z), tuple(remarks))


def _swept(at: Floats, dust_share: float) -> Floats:
    """Return the coordinates with those that are zero but for rounding made exactly so."""
    return np.where(np.abs(at) <= dust_share * np.abs(at).max(), 0.0, at)


def _shown(drawing: Drawing, z: Floats) -> OutOfScale:
    return OutOfScale(z[-PEN:], np.hypot(*drawing.missed_by(z).T))


def _check_apart(at: Floats, least: float, names: Sequence[str]) -> None:
    """Refuse a placement in which two joints fall on one point."""
    first, second, gap = nearest_pair(at)
    if gap < least:
        raise NoPlacementError(
            f"The dimensions put joints {names[first]} and {names[second]} on one point.",
            "Correct the dimensions between them.",
        )


def _statements(
    frame: Frame,
    dimensions: Sequence[Dimension],
    view: View | None,
    level: Pair | None,
    names: Sequence[str],
) -> tuple[Statement, ...]:
    """Return everything the person said."""
    said = [frame.dimension(place, dimension, names) for place, dimension in enumerate(dimensions)]
    if level is not None:
        said.append(frame.level(level, names))
    if isinstance(view, KnownPoints):
        said += [
            frame.known(joint, at, names)
            for joint, at in zip(view.joints, np.asarray(view.at, dtype=float), strict=True)
        ]
    return tuple(said)


def _free(conditions: Conditions, z: Floats) -> tuple[FreeJoint, ...]:
    """Return the joints that the conditions alone do not place."""
    count = len(z) - PEN
    loose = ~fixes(open_directions(conditions, z), np.eye(count, len(z))).reshape(-1, 2)
    return tuple(
        FreeJoint(row, across=bool(across), up=bool(up))
        for row, (across, up) in enumerate(loose)
        if across or up
    )
