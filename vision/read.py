"""From a photograph to a `Reading`: the stages in order, each of which can keep its picture."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from vision.errors import NoTrussError
from vision.ink import Ink, find_ink, work_picture
from vision.joints import Candidates, find_joints
from vision.photo import Photo
from vision.reading import Reading
from vision.refine import Placed, place_joints
from vision.segments import Strokes, trace
from vision.settings import JointSettings, ReadSettings, RefineSettings
from vision.symbols import Mark, find_marks, without_letters, without_marks

__all__ = ["Keep", "read_photo"]

_PASSES = 2
"""The second time without round letters that were taken for marks of joints."""
_LEAST_MEMBERS = 3
"""A triangle is the smallest truss."""


class Keep(Protocol):
    """Something that keeps pictures of the stages for looking at."""

    def picture(self, stage_name: str, array: NDArray[np.generic]) -> None:
        """Take the picture of one stage, (H, W) or (H, W, 3)."""


def read_photo(photo: Photo, *, settings: ReadSettings | None = None, keep: Keep | None = None) -> Reading:
    """Read joints and members from a photograph.

    Parameters
    ----------
    photo
        Any upright photograph of a truss, drawn or built.
    settings
        Tolerances of every stage.
    keep
        Is given the picture of each stage: `ink`, `members`, `marks`.

    Returns
    -------
    Reading
        Joints in pixels of the photograph, members, and how sure each is.

    Raises
    ------
    NoTrussError
        Nothing like a truss is in the picture; the error says what was seen.
    """
    chosen = settings or ReadSettings()
    work = work_picture(photo.rgb, chosen.ink)
    ink = find_ink(work, chosen.ink)
    marks = find_marks(ink, chosen.symbols)
    for _ in range(_PASSES):
        lines, letters = without_letters(
            without_marks(ink.mask, marks, ink.stroke_width), ink.stroke_width, chosen.symbols
        )
        strokes = trace(lines, ink.stroke_width, chosen.joints)
        found = find_joints(strokes, marks, ink.stroke_width, chosen.joints, chosen.symbols)
        if not found.doubtful:
            break
        marks = tuple(mark for mark in marks if mark not in found.doubtful)
    if keep is not None:
        keep.picture("ink", ink.mask)
        keep.picture("strokes", lines)
    if not _is_truss(found, chosen.joints):
        raise NoTrussError(str(photo.path), _what_was_seen(ink, strokes, marks, letters))
    prior = np.array([_prior_error(mark, ink.stroke_width, chosen.refine) for mark in found.marks])
    aim = np.array([0.0 if mark is None else chosen.refine.aim * mark.radius for mark in found.marks])
    placed = place_joints(
        ink.evidence,
        found.joints,
        found.members,
        prior_error=prior,
        aim_error=aim,
        stroke_width=ink.stroke_width,
        settings=chosen.refine,
    )
    return _reading(photo, work.scale, found, placed, _remarks(ink, found, letters))


def _is_truss(found: Candidates, settings: JointSettings) -> bool:
    """Tell a truss from a table, a chart or a tiled floor: it is made of triangles, and not of hundreds."""
    if len(found.members) < _LEAST_MEMBERS or len(found.joints) > settings.most_joints:
        return False
    if found.marked or found.triangulated() >= settings.triangulated:
        return True
    # Where all diagonals cross, as in a double Warren truss, no three members close a triangle.
    return found.crossings >= 2 and found.oblique() >= settings.oblique


def _prior_error(mark: Mark | None, stroke_width: float, settings: RefineSettings) -> float:
    """Give how well a joint is known before its members' ink is followed, in working pixels."""
    if mark is None:
        return settings.meeting_widths * stroke_width
    share = settings.dot_error if mark.filled else settings.circle_error
    return max(share * mark.radius, settings.least_error)


def _reading(
    photo: Photo, scale: float, found: Candidates, placed: Placed, remarks: tuple[str, ...]
) -> Reading:
    member_confidence = np.array([0.3 if axis is None else axis.covered for axis in placed.axes])
    touching: list[list[float]] = [[] for _ in found.joints]
    for (a, b), confidence in zip(found.members, member_confidence, strict=True):
        touching[a].append(float(confidence))
        touching[b].append(float(confidence))
    joint_confidence = np.array([np.mean(around) if around else 0.0 for around in touching])
    # Pixel centres: a working pixel covers 1 / scale photograph pixels, from -0.5 on.
    at = (placed.joints + 0.5) / scale - 0.5
    return Reading(
        width=photo.width,
        height=photo.height,
        joints=at,
        px_error=placed.px_error / scale,
        joint_confidence=joint_confidence,
        members=found.members,
        member_confidence=member_confidence,
        remarks=remarks,
    )


def _remarks(ink: Ink, found: Candidates, letters: int) -> tuple[str, ...]:
    said = []
    if ink.ruled:
        said.append("The lines of ruled or squared paper were left out.")
    if found.crossings:
        said.append(
            f"{_count(found.crossings, 'crossing')} of two members read without a joint; "
            "add a joint where the members are fixed to each other."
        )
    if found.loose:
        said.append(f"{_count(found.loose, 'loose stroke end')} left out: arrows, dimension lines or gaps.")
    if found.signs:
        said.append(f"{_count(found.signs, 'small part')} on a single joint left out, like a support sign.")
    if letters:
        said.append(f"{_count(letters, 'small mark')} left out, like letters and numbers.")
    return tuple(said)


def _what_was_seen(ink: Ink, strokes: Strokes, marks: tuple[Mark, ...], letters: int) -> str:
    if not ink.mask.any():
        return "an empty page"
    parts = [_count(len(strokes.edges), "stroke")]
    if marks:
        parts.append(_count(len(marks), "circle or dot", "circles or dots"))
    if letters:
        parts.append(_count(letters, "small mark") + " like letters")
    return ", ".join(parts) + ", but no strokes that form triangles"


def _count(number: int, one: str, many: str | None = None) -> str:
    return f"1 {one}" if number == 1 else f"{number} {many or one + 's'}"
