"""From a photograph to a `Reading`: the network looks, its maps are decoded, the ink has the last word."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from vision.arrows import find_arrows
from vision.channels import FAR, OTHER, STRIDE
from vision.contrast import WorkPicture, find_contrast, measure_stroke, work_picture
from vision.errors import NoTrussError
from vision.maps import Maps
from vision.others import find_others
from vision.photo import Photo
from vision.reading import OtherDrawing, Reading
from vision.refine import Placed, place_joints
from vision.settings import ReadSettings
from vision.sizes import Sighting, sight
from vision.stages import Keep, keep_maps, keep_placing, keep_reading, keep_strokes
from vision.supports import find_supports
from vision.sureness import joint_sureness, member_sureness

__all__ = ["read_photo", "read_sighting"]

_SEEN = 0.5
"""Height of a map where it says yes rather than no."""
_FAR_PART = 0.2
"""Far lines are named from this part of the near ones' area on."""
_WRITTEN_PART = 0.005
"""Of the picture: writing that covers more is named."""


def read_photo(photo: Photo, *, settings: ReadSettings | None = None, keep: Keep | None = None) -> Reading:
    """Read joints and members from a photograph.

    Parameters
    ----------
    photo
        Any upright photograph of a truss, drawn or built.
    settings
        Tolerances of every stage.
    keep
        Is given the picture of each stage: the network's maps, the ink with its segments and the clusters of
        their ends, joints, members, the chosen drawing, and the end. Needs scikit-image and shapely.

    Returns
    -------
    Reading
        Joints in pixels of the photograph, members, and how sure each is.

    Raises
    ------
    NoTrussError
        Nothing like a truss is in the picture; the error says what was seen.
    """
    s = settings or ReadSettings()
    return read_sighting(photo, sight(photo.rgb, settings=s.sizes), settings=s, keep=keep)


def read_sighting(
    photo: Photo, seen: Sighting, *, settings: ReadSettings | None = None, keep: Keep | None = None
) -> Reading:
    """Go on from what the network saw in a photograph; parameters and errors are those of `read_photo`."""
    s = settings or ReadSettings()
    structure = seen.structure
    if keep is not None:
        keep_maps(keep, seen)
    if len(structure.members) < s.least_members or structure.confidence < s.least_confidence:
        raise NoTrussError(str(photo.path), _what_was_seen(seen))
    work = work_picture(photo.rgb, s.contrast)
    proposed = work.from_photograph(structure.joints)
    cell = STRIDE / seen.maps.zoom * work.scale
    contrast = find_contrast(work, proposed, structure.members, s.contrast)
    width = measure_stroke(contrast, proposed, structure.members, slack=cell, settings=s.contrast)
    if keep is not None:
        keep_strokes(keep, work, contrast, width)
        keep_placing(keep, work, seen, proposed)
    placed = place_joints(
        contrast,
        proposed,
        structure.members,
        prior_error=np.full(len(proposed), s.refine.map_error * cell),
        stroke_width=width,
        settings=s.refine,
    )
    reading = _reading(photo, work, seen, placed, s)
    if keep is not None:
        keep_reading(keep, work, reading, placed)
    return reading


def _reading(
    photo: Photo, work: WorkPicture, seen: Sighting, placed: Placed, settings: ReadSettings
) -> Reading:
    structure = seen.structure
    joint_confidence = joint_sureness(structure)
    member_confidence = member_sureness(structure)
    at = work.to_photograph(placed.joints)
    looks = [look.maps for look in seen.tried]
    others = find_others(looks, at, structure.members, settings=settings.others)
    return Reading(
        width=photo.width,
        height=photo.height,
        joints=at,
        px_error=placed.px_error / work.scale,
        joint_confidence=joint_confidence,
        members=structure.members,
        member_confidence=member_confidence,
        supports=find_supports(photo.rgb, looks, at, settings=settings.supports),
        arrows=find_arrows(looks, at, settings=settings.arrows),
        others=others,
        remarks=_remarks(seen, at, others),
    )


def _remarks(
    seen: Sighting, joints: NDArray[np.float64], others: tuple[OtherDrawing, ...]
) -> tuple[str, ...]:
    said = []
    members = seen.structure.members
    crossings = _crossings(joints, members)
    if crossings:
        said.append(
            f"{_count(crossings, 'crossing')} of two members read without a joint; "
            "add a joint where the members are fixed to each other."
        )
    if _behind(seen.maps):
        said.append("Members behind the near truss were left out; only the near truss was read.")
    if seen.structure.aside and not others:
        said.append("Something smaller that looks like a further truss was left out.")
    said += [_other(other, joints) for other in others]
    return tuple(said)


def _other(other: OtherDrawing, joints: NDArray[np.float64]) -> str:
    """Say where another drawing is, as seen from the one that was read."""
    (left, top), (right, bottom) = joints.min(0), joints.max(0)
    sides = {
        "left": left - other.box[2],
        "right": other.box[0] - right,
        "above": top - other.box[3],
        "below": other.box[1] - bottom,
    }
    side = max(sides, key=lambda name: float(sides[name]))
    where = f"to the {side}" if side in {"left", "right"} else side
    if sides[side] < 0:
        where = "within the same part of the picture"
    return (
        f"Another drawing that looks like a truss, of about {other.joints} joints, lies {where}. "
        "It was left out; to read it, cut the picture to it."
    )


def _crossings(joints: NDArray[np.float64], members: tuple[tuple[int, int], ...]) -> int:
    """Count pairs of members that cross between their ends."""

    def side(a: int, b: int, c: int) -> float:
        ab, ac = joints[b] - joints[a], joints[c] - joints[a]
        return float(ab[0] * ac[1] - ab[1] * ac[0])

    return sum(
        not {a, b} & {c, d} and side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
        for (a, b), (c, d) in combinations(members, 2)
    )


def _behind(maps: Maps) -> bool:
    """Tell whether a rear truss shows: as far lines at least a fifth of the length of the near ones."""
    far, near = (maps.values[FAR] > _SEEN).sum(), (maps.lines.max(0) > _SEEN).sum()
    return bool(far > _FAR_PART * near)


def _what_was_seen(seen: Sighting) -> str:
    parts = []
    if len(seen.structure.joints):
        joints, members = len(seen.structure.joints), len(seen.structure.members)
        parts.append(f"{_count(joints, 'place')} where strokes may meet, {_count(members, 'stroke')} between")
    if (seen.maps.values[OTHER] > _SEEN).mean() > _WRITTEN_PART:
        parts.append("writing or tables")
    if not parts:
        return "nothing that looks like joints and members"
    return "; ".join(parts)


def _count(number: int, one: str, many: str | None = None) -> str:
    return f"1 {one}" if number == 1 else f"{number} {many or one + 's'}"
