"""Further drawings in the picture that look like trusses, beside the one that was read.

The line maps of the whole picture are cut where nothing is seen; what hangs together, holds several joints
and is no part of what was read is a drawing of its own. It is named by where it is, so that a person can have
it read instead.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.channels import JOINT
from vision.maps import Maps
from vision.peaks import find_peaks
from vision.reading import OtherDrawing

__all__ = ["OtherSettings", "find_others"]

Points = NDArray[np.float64]


@dataclass(frozen=True)
class OtherSettings:
    """What is a drawing of its own. Lengths in cells of a map (4 px) where nothing else is said."""

    least_line: float = 0.5
    """Height of a line map from which a cell is on a line."""
    least_joint: float = 0.5
    """Heat of a joint."""
    least_joints: int = 3
    """A triangle is the smallest truss; letters and tables rarely have as many joints in the maps."""
    least_extent: float = 0.15
    """Larger side, as a part of that of the drawing that was read: smaller ones are symbols."""
    shared: float = 0.2
    """Part of its cells that may lie on the drawing that was read, where the two touch."""
    whole: float = 0.98
    """Part of the farthest reach of all looks from which one shows the whole picture: its edge is rounded to
    cells."""
    near: float = 4.0
    """From a member that was read to the cells of its own line."""


def find_others(
    looks: Sequence[Maps],
    joints: Points,
    members: Sequence[tuple[int, int]],
    *,
    settings: OtherSettings | None = None,
) -> tuple[OtherDrawing, ...]:
    """Find further drawings.

    Parameters
    ----------
    looks
        Maps of the picture; the finest that shows the whole of it is used.
    joints : (N, 2) float
        Of the drawing that was read, pixels of the picture.
    members
        Pairs of rows of `joints`.
    settings : OtherSettings, optional

    Returns
    -------
    tuple of OtherDrawing
        The largest first.
    """
    s = settings or OtherSettings()
    whole = [maps for maps in looks if maps.origin == (0, 0)]
    if not whole or not len(joints):
        return ()
    # Looks at a part can begin at 0, 0 too: the whole picture is what reaches farthest.
    reach = max(max(maps.values.shape[1:]) / maps.zoom for maps in whole)
    maps = max(
        (maps for maps in whole if max(maps.values.shape[1:]) / maps.zoom > s.whole * reach),
        key=lambda maps: maps.zoom,
    )
    lines = (maps.lines.max(0) >= s.least_line).astype(np.uint8)
    lines = cv2.morphologyEx(lines, cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8))
    count, label = cv2.connectedComponents(lines, connectivity=8)
    own = np.zeros(lines.shape, np.uint8)
    at = maps.to_cells(joints)
    for a, b in members:
        start, end = (tuple(np.rint(at[row]).astype(int).tolist()) for row in (a, b))
        cv2.line(own, start, end, 1, round(2 * s.near))
    peaks, _ = find_peaks(maps.values[JOINT], least=s.least_joint)
    hold = np.zeros(count, int)
    if len(peaks):
        x, y = np.rint(peaks).astype(int).T
        near = cv2.dilate(label.astype(np.float32), np.ones((3, 3), np.uint8)).astype(int)
        hold = np.bincount(
            near[np.clip(y, 0, label.shape[0] - 1), np.clip(x, 0, label.shape[1] - 1)], minlength=count
        )
    least = s.least_extent * float(np.ptp(joints, axis=0).max())
    found = []
    for part in range(1, count):
        here = label == part
        if hold[part] < s.least_joints or own[here].mean() > s.shared:
            continue
        rows, columns = np.nonzero(here)
        corners = np.array([[columns.min(), rows.min()], [columns.max(), rows.max()]], float)
        (left, top), (right, bottom) = maps.to_picture(corners).tolist()
        if max(right - left, bottom - top) >= least:
            found.append(OtherDrawing((left, top, right, bottom), int(hold[part])))
    return tuple(sorted(found, key=lambda other: -_area(other)))


def _area(other: OtherDrawing) -> float:
    left, top, right, bottom = other.box
    return (right - left) * (bottom - top)
