"""Where the joints of a model are in the plane.

It is decided in this order, and only here:

1. Every joint has `px` and the model has dimensions, a view, or joints without `at`: the survey places them
   all, with their errors. A given `at` is then only the record of an earlier survey; a disagreement is said.
2. Otherwise every joint must have `at`, which is used as it stands, without errors.

A picture without any length still has forces, since they do not depend on scale unless a load is given by
length: the distance between the two joints farthest apart then counts as 1, and that is said.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cli.errors import FaultsError
from cli.model.file import Model
from cli.scale_check import far_apart
from cli.translate.rounding import rounded
from vision.errors import NoPlacementError
from vision.survey import Dimension, KnownPoints, KnownRectangle, Placement, survey

__all__ = ["Placed", "has_length", "place", "with_places"]

PX_ERROR_UNKNOWN = 1.0
"""Pixels. Standard error of a joint that a person put into the file without one: a careful click."""
PLACE_DIGITS = 6
"""Digits kept of the truss's size when the survey's result is written into a file."""
LEVEL_TAKEN = "Level was taken from the chord"
"""How the survey begins the remark that nobody named what is level."""
LEVEL_ENOUGH = math.radians(3.0)
"""A picture turned by less was level to the eye: to call the level of a confirmed one in question is noise.
Turned by more, a chord that slopes on purpose may have been laid level, which changes forces."""
STALE_SHARE = 0.005
"""An `at` this share of the truss's size away from the survey's is called out: rounding never reaches it."""

NO_LENGTH_FOR_WEIGHT = (
    "A load along the deck and self-weight need true lengths, and nothing says how long the truss is: "
    "give one length."
)


@dataclass(frozen=True, eq=False)
class Placed:
    """Where the joints are in the plane."""

    at: NDArray[np.float64]
    """(N, 2) length units, x right, y up."""
    covariance: NDArray[np.float64] | None
    """(2N, 2N) squared length units, ordered x0, y0, x1, y1, ...; None where nothing is known of errors."""
    remarks: tuple[str, ...]
    """Sentences for the person."""


def place(model: Model) -> Placed:
    """Return where the joints of a model are in the plane.

    Raises
    ------
    SurveyError
        When the dimensions contradict each other or do not fit the drawing.
    FaultsError
        When some joints have a place in the plane and others only one in the picture, or two lengths are
        so far apart that no placement fits both.
    """
    in_picture = all(joint.px is not None for joint in model.joints)
    in_plane = all(joint.at is not None for joint in model.joints)
    if in_picture and model.joints and (model.dimensions or model.view or not in_plane):
        return _surveyed(model)
    if not in_plane:
        raise FaultsError(tuple(_faults_of_places(model)))
    at = np.array([joint.at for joint in model.joints], dtype=float).reshape(-1, 2)
    return Placed(at=at, covariance=None, remarks=tuple(_disagreeing_dimensions(model, at)))


def has_length(model: Model) -> bool:
    """Say whether lengths in the plane are true ones: without any, a picture has only its shape."""
    if all(joint.at is not None for joint in model.joints) and not (model.dimensions or model.view):
        return True
    if any(joint.px is None for joint in model.joints):
        return True  # the places are used as they stand
    return model.view is not None or any(entry.kind != "angle" for entry in model.dimensions)


def _faults_of_places(model: Model) -> Iterator[str]:
    for row, joint in enumerate(model.joints):
        if joint.at is None:
            yield (
                f'joints[{row}]: joint {joint.name} has no "at", and not every joint has "px": '
                f'give {joint.name} its place "at": [x, y].'
            )


def _surveyed(model: Model) -> Placed:
    row = model.rows
    px = np.array([joint.px for joint in model.joints], dtype=float)
    given = tuple(
        Dimension(entry.kind, row[entry.start], row[entry.end], entry.value) for entry in model.dimensions
    )
    remarks: list[str] = []
    if not has_length(model):
        if model.deck_loads or model.self_weight:
            raise FaultsError((NO_LENGTH_FOR_WEIGHT,))
        start, end = _farthest(px)
        given = (*given, Dimension("along", start, end, 1.0))
        remarks.append(
            f"No length is known, so the distance from {model.names[start]} to {model.names[end]} counts as "
            f"1 {model.units.length}. Forces do not depend on it; give one length to get true lengths."
        )
    try:
        placement = _placement(model, px, given)
    except NoPlacementError:
        slip = far_apart(model)
        if slip is None:
            raise
        raise FaultsError((slip,)) from None
    return Placed(
        at=placement.at,
        covariance=placement.covariance,
        remarks=(*remarks, *_worth_saying(model, px, placement), *_stale_places(model, placement.at)),
    )


def _worth_saying(model: Model, px: NDArray[np.float64], placement: Placement) -> Iterator[str]:
    """Leave out, once a person has confirmed the model, that level came from a chord that is level anyway."""
    level_anyway = model.confirmed and abs(_turned(px, placement.at)) < LEVEL_ENOUGH
    for remark in placement.remarks:
        if not (level_anyway and remark.startswith(LEVEL_TAKEN)):
            yield remark


def _turned(px: NDArray[np.float64], at: NDArray[np.float64]) -> float:
    """Return by how much the picture (N, 2), y down, was turned to lie as its places (N, 2) do, radians."""
    drawn, placed = (points - points.mean(axis=0) for points in (px * (1.0, -1.0), at))
    across, up = (drawn * placed).sum(), (drawn[:, 0] * placed[:, 1] - drawn[:, 1] * placed[:, 0]).sum()
    return math.atan2(up, across)


def _placement(model: Model, px: NDArray[np.float64], given: tuple[Dimension, ...]) -> Placement:
    row = model.rows
    return survey(
        px,
        [PX_ERROR_UNKNOWN if joint.px_error is None else joint.px_error for joint in model.joints],
        [(row[member.joints[0]], row[member.joints[1]]) for member in model.members],
        dimensions=given,
        view=_view(model),
        level=None if model.level is None else (row[model.level[0]], row[model.level[1]]),
        names=model.names,
    )


def _view(model: Model) -> KnownPoints | KnownRectangle | None:
    if model.view is None:
        return None
    if model.view.rectangle is not None:
        rectangle = model.view.rectangle
        return KnownRectangle(np.array(rectangle.corners), rectangle.width, rectangle.height)
    known = model.view.known or ()
    return KnownPoints(
        tuple(model.rows[point.joint] for point in known), np.array([point.at for point in known])
    )


def _farthest(px: NDArray[np.float64]) -> tuple[int, int]:
    apart = np.linalg.norm(px[:, None] - px, axis=2)
    start, end = np.unravel_index(int(apart.argmax()), apart.shape)
    return int(start), int(end)


def _size(at: NDArray[np.float64]) -> float:
    return float(np.ptp(at, axis=0).max(initial=0.0))


def _stale_places(model: Model, at: NDArray[np.float64]) -> Iterator[str]:
    """Say once which places in the file the survey does not keep: somebody may have edited them in vain."""
    away = np.array(
        [
            0.0 if joint.at is None else np.hypot(*(place - joint.at))
            for joint, place in zip(model.joints, at, strict=True)
        ]
    )
    stale = np.flatnonzero(away > STALE_SHARE * _size(at))
    if not stale.size:
        return
    farthest = int(stale[away[stale].argmax()])
    others = [model.names[row] for row in stale if row != farthest]
    nor = f", nor is that of joint{'s' * (len(others) > 1)} {', '.join(others)}" if others else ""
    (x, y), (was_x, was_y) = at[farthest], model.joints[farthest].at or (0.0, 0.0)
    yield (
        f"Joint {model.names[farthest]} is placed at {x:.6g}, {y:.6g} by the picture and the dimensions; its "
        f'"at" in the file ({was_x:.6g}, {was_y:.6g}) is not used{nor}. To use what is in the file, remove '
        "the dimensions and the view from it."
    )


def _disagreeing_dimensions(model: Model, at: NDArray[np.float64]) -> Iterator[str]:
    """Say which dimensions do not fit the places that are used as they stand."""
    for entry in model.dimensions:
        across, up = at[model.rows[entry.end]] - at[model.rows[entry.start]]
        if entry.kind == "angle":
            found, slack = abs(np.degrees(np.arctan2(up, across))), np.degrees(STALE_SHARE)
            found = min(found, 180 - found)
        else:
            found = {"across": abs(across), "up": abs(up), "along": np.hypot(across, up)}[entry.kind]
            slack = STALE_SHARE * _size(at)
        if abs(found - entry.value) > slack:
            yield (
                f"The dimension {entry.kind} {entry.start} {entry.end} {entry.value:g} does not fit the "
                f'places of its joints, which give {found:.6g}; the places ("at") are used.'
            )


def with_places(model: Model, at: NDArray[np.float64]) -> Model:
    """Return the model with the survey's result in it, for a person to read; see the top of this module."""
    size = _size(at)
    decimals = PLACE_DIGITS - 1 - (int(np.floor(np.log10(size))) if size > 0 else 0)
    joints = tuple(
        joint.model_copy(update={"at": rounded(place_of, decimals)})
        for joint, place_of in zip(model.joints, at, strict=True)
    )
    return model.model_copy(update={"joints": joints})
