"""From what was read in a photograph to a model that nobody has confirmed."""

from __future__ import annotations

import math
import os
from pathlib import Path

from cli.model.file import Model
from cli.model.parts import JointEntry, LoadEntry, MemberEntry, PictureEntry, SupportEntry, UnitsEntry
from cli.names import letters, picture_turn, reading_order
from cli.translate.rounding import rounded
from vision.photo import Photo
from vision.reading import Reading, SeenSupport

__all__ = ["model_of", "picture_name", "picture_path"]

PX_DECIMALS = 2
"""Hundredths of a pixel are kept: a joint is read to a tenth at best."""
CONFIDENCE_DECIMALS = 3
"""Thousandths are kept: nobody can tell chances apart by less."""
ASKEW = math.radians(25)
"""A roller that pushes this near to straight up or straight aside is taken to do so."""


def model_of(
    reading: Reading, photo: Photo, *, model_folder: Path, units: UnitsEntry, title: str | None = None
) -> Model:
    """Return the model file of what was read, unconfirmed.

    Parameters
    ----------
    reading
        Joints, members and symbols in pixels.
    photo
        The picture they were read from.
    model_folder
        Folder of the model file: the picture is named as seen from there.
    units
        Of the numbers that the person will put in.
    title
        What the truss is called.
    """
    order = reading_order(reading.joints, reading.members)
    name = {row: letters(rank) for rank, row in enumerate(order)}
    rank = {row: place for place, row in enumerate(order)}
    members = sorted(
        (min(rank[start], rank[end]), max(rank[start], rank[end]), float(confidence))
        for (start, end), confidence in zip(reading.members, reading.member_confidence, strict=True)
    )
    return Model(
        title=title,
        confirmed=False,
        units=units,
        picture=PictureEntry(
            file=picture_name(photo.path, model_folder),
            sha256=photo.sha256,
            width=photo.width,
            height=photo.height,
        ),
        joints=tuple(
            JointEntry(
                name=name[row],
                px=rounded(reading.joints[row], PX_DECIMALS),
                px_error=round(float(reading.px_error[row]), PX_DECIMALS),
                confidence=_confidence(reading.joint_confidence[row]),
            )
            for row in order
        ),
        members=tuple(
            MemberEntry(joints=(letters(start), letters(end)), confidence=_confidence(confidence))
            for start, end, confidence in members
        ),
        supports=tuple(
            SupportEntry(
                joint=name[seen.joint],
                kind="pin" if seen.kind == "pin" else "roller",
                normal=_normal(seen, picture_turn(reading.joints, reading.members)),
                confidence=_confidence(seen.confidence),
            )
            for seen in sorted(reading.supports, key=lambda seen: rank[seen.joint])
        ),
        loads=tuple(
            LoadEntry(
                joint=name[seen.joint],
                px_direction=rounded(seen.direction, CONFIDENCE_DECIMALS),
                confidence=_confidence(seen.confidence),
            )
            for seen in sorted(reading.arrows, key=lambda seen: rank[seen.joint])
        ),
    )


def _normal(seen: SeenSupport, turn: float) -> tuple[float, float] | None:
    """Return which way a roller seen in the picture pushes in the plane; None is straight up, or not told.

    Surfaces are level or upright unless they are plainly neither: a photograph is held askew by some degrees.
    """
    if seen.kind == "pin" or seen.normal is None:
        return None
    x, y = seen.normal
    right = x * math.cos(turn) + y * math.sin(turn)
    up = x * math.sin(turn) - y * math.cos(turn)
    for way in ((0.0, 1.0), (1.0, 0.0), (-1.0, 0.0), (0.0, -1.0)):
        if way[0] * right + way[1] * up > math.cos(ASKEW):
            return None if way == (0.0, 1.0) else way
    return rounded((right, up), CONFIDENCE_DECIMALS)


def picture_name(picture: Path, model_folder: Path) -> str:
    """Return the picture's path as seen from the model file's folder, with forward slashes on any system."""
    try:
        return Path(os.path.relpath(picture.resolve(), model_folder.resolve())).as_posix()
    except ValueError:
        return picture.resolve().as_posix()  # on another drive there is no way from here to there


def picture_path(model: Model, model_folder: Path) -> Path | None:
    """Return where the picture of a model is, None when it has none."""
    return None if model.picture is None else model_folder / model.picture.file


def _confidence(share: float) -> float:
    return round(float(share), CONFIDENCE_DECIMALS)
