"""Pictures of what each stage of the reading saw, drawn only when somebody keeps them."""

from __future__ import annotations

from typing import Protocol

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.channels import FAR, HEAD, JOINT, OTHER, PIN, ROLLER, SHAFT
from vision.contrast import WorkPicture
from vision.maps import Maps
from vision.reading import Reading
from vision.refine import Placed
from vision.segments import cluster_ends, find_segments
from vision.sizes import Sighting

__all__ = ["Keep", "keep_maps", "keep_placing", "keep_reading", "keep_strokes"]

Rgb = NDArray[np.uint8]
Colour = tuple[int, int, int]

_FADED = 0.45
"""Part of the photograph's contrast left under what is drawn on it."""
_JOINTS, _MEMBERS, _SUPPORTS, _ARROWS = (214, 39, 40), (31, 90, 180), (20, 140, 60), (190, 90, 0)
_QUIET = (120, 120, 120)
_FINE = 4
"""Sub-pixel bits given to OpenCV's drawing."""
_SURE_RADIUS = 2.0
"""Standard errors shown round a placed joint."""


class Keep(Protocol):
    """Something that keeps pictures of the stages for looking at."""

    def picture(self, stage_name: str, array: NDArray[np.generic]) -> None:
        """Take the picture of one stage, (H, W) or (H, W, 3)."""


def keep_maps(keep: Keep, seen: Sighting) -> None:
    """Keep what the network sees in the look that is used: joints, members, symbols, other ink; 0 to 1."""
    maps = seen.maps.values
    keep.picture("maps joints", maps[JOINT])
    keep.picture("maps members", seen.maps.lines.max(0))
    symbols = np.stack([np.maximum(maps[PIN], maps[ROLLER]), maps[SHAFT], maps[HEAD]], 2)
    keep.picture("maps supports shafts heads", symbols)
    keep.picture("maps other and behind", np.maximum(maps[OTHER], maps[FAR]))


def keep_strokes(keep: Keep, work: WorkPicture, contrast: NDArray[np.float32], stroke_width: float) -> None:
    """Keep the ink, its straight segments and the clusters of their ends."""
    keep.picture("ink", contrast)
    segments = find_segments(contrast, stroke_width=stroke_width)
    canvas = _faded(work.rgb)
    for row, (start, end) in enumerate(segments):
        _line(canvas, start, end, _hue(row), 2)
    keep.picture("segments", canvas)
    canvas = _faded(work.rgb)
    for start, end in segments:
        _line(canvas, start, end, _QUIET, 1)
    for cluster in cluster_ends(segments, stroke_width=stroke_width):
        radius = cluster.radius + stroke_width
        colour = _JOINTS if cluster.ends > 1 else _QUIET
        _ring(canvas, np.array(cluster.at), radius, colour)
    keep.picture("endpoint clusters", canvas)


def keep_placing(keep: Keep, work: WorkPicture, seen: Sighting, proposed: NDArray[np.float64]) -> None:
    """Keep the joints and members that were settled, and the drawing that was chosen."""
    structure = seen.structure
    canvas = _faded(work.rgb)
    for at, heat in zip(proposed, structure.heat, strict=True):
        _ring(canvas, at, 5 + 8 * float(heat), _JOINTS)
    keep.picture("joints", canvas)
    canvas = _faded(work.rgb)
    for (a, b), mean in zip(structure.members, structure.mean, strict=True):
        _line(canvas, proposed[a], proposed[b], _MEMBERS, 1 + round(3 * float(mean)))
    keep.picture("members", canvas)
    canvas = _faded(work.rgb)
    for look in seen.tried:
        _part(canvas, look.maps, work)
    for a, b in structure.members:
        _line(canvas, proposed[a], proposed[b], _MEMBERS, 2)
    _ring_round(canvas, proposed)
    keep.picture("chosen drawing", canvas)


def keep_reading(keep: Keep, work: WorkPicture, reading: Reading, placed: Placed) -> None:
    """Keep the end: joints on the ink within two standard errors, members, supports and arrows."""
    canvas = _faded(work.rgb)
    for a, b in reading.members:
        _line(canvas, placed.joints[a], placed.joints[b], _MEMBERS, 2)
    for at, error in zip(placed.joints, placed.px_error, strict=True):
        _ring(canvas, at, _SURE_RADIUS * float(error) + 1, _JOINTS)
    for support in reading.supports:
        at = placed.joints[support.joint]
        _ring(canvas, at, 14, _SUPPORTS)
        way = np.array(support.normal or (0.0, 0.0))
        _line(canvas, at, at - 30 * way, _SUPPORTS, 2)
        word = f"{support.kind} {support.confidence:.2f}"
        place = (round(float(at[0])) + 16, round(float(at[1])) + 22)
        cv2.putText(canvas, word, place, cv2.FONT_HERSHEY_SIMPLEX, 0.5, _SUPPORTS, 1, cv2.LINE_AA)
    for arrow in reading.arrows:
        tail, head = (work.from_photograph(np.array(end)) for end in (arrow.tail, arrow.head))
        ends = [tuple(np.rint(end).astype(int).tolist()) for end in (tail, head)]
        cv2.arrowedLine(canvas, ends[0], ends[1], _ARROWS, 2, cv2.LINE_AA, tipLength=0.2)
    keep.picture("refined", canvas)


def _faded(rgb: Rgb) -> Rgb:
    return np.asarray(255 - (255 - rgb.astype(np.float32)) * _FADED, np.uint8)


def _hue(row: int) -> Colour:
    """Return colours that differ from one row to the next."""
    pixel = np.array([[[row * 67 % 180, 220, 190]]], np.uint8)
    red, green, blue = np.asarray(cv2.cvtColor(pixel, cv2.COLOR_HSV2RGB))[0, 0].tolist()
    return red, green, blue


def _line(
    canvas: Rgb, start: NDArray[np.float64], end: NDArray[np.float64], colour: Colour, wide: int
) -> None:
    a, b = (tuple(np.rint(point * 2**_FINE).astype(int).tolist()) for point in (start, end))
    cv2.line(canvas, a, b, colour, max(wide, 1), cv2.LINE_AA, _FINE)


def _ring(canvas: Rgb, at: NDArray[np.float64], radius: float, colour: Colour) -> None:
    centre = tuple(np.rint(at * 2**_FINE).astype(int).tolist())
    cv2.circle(canvas, centre, round(radius * 2**_FINE), colour, 2, cv2.LINE_AA, _FINE)


def _ring_round(canvas: Rgb, joints: NDArray[np.float64]) -> None:
    """Frame the drawing that was chosen."""
    low, high = joints.min(0) - 8, joints.max(0) + 8
    corners = [tuple(np.rint(corner).astype(int).tolist()) for corner in (low, high)]
    cv2.rectangle(canvas, corners[0], corners[1], _JOINTS, 2, cv2.LINE_AA)


def _part(canvas: Rgb, maps: Maps, work: WorkPicture) -> None:
    """Frame the part of the picture that a look saw."""
    rows, columns = maps.values.shape[1:]
    corners = work.from_photograph(maps.to_picture(np.array([[0.0, 0.0], [columns - 1.0, rows - 1.0]])))
    low, high = (tuple(np.rint(corner).astype(int).tolist()) for corner in corners)
    cv2.rectangle(canvas, low, high, _QUIET, 1, cv2.LINE_AA)
