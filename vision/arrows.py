"""Arrows that end or start at a joint: from the maps of heads and shafts to marks at settled joints.

A peak of the head map is a tip. From it, rays are cast all round through the map of shafts; the ray with
the longest unbroken shaft is the arrow, and its far end the tail. The settled joint that is nearest to
either end has the arrow. The picture was looked at several times: an arrow counts as one however many looks
show it, and it is the surer the more of them do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.chances import chance
from vision.channels import HEAD, SHAFT
from vision.maps import Maps
from vision.peaks import find_peaks
from vision.reading import SeenArrow

__all__ = ["ArrowSettings", "find_arrows"]

Points = NDArray[np.float64]


@dataclass(frozen=True)
class ArrowSettings:
    """What is an arrow. Lengths in cells of a map (4 px) where nothing else is said."""

    least_head: float = 0.3
    """Height of a tip in one look. Lower only costs time; what is offered is decided at the end."""
    least_shaft: float = 0.3
    """A cell of shaft. Members reach 0.2 to 0.3 where they are upright."""
    start: float = 3.0
    """From the tip to where the shaft must have begun: a filled head hides that much of it."""
    gap: float = 3.0
    """Gap in a shaft that ends it; halved, a shaft crossed by a dimension line falls apart."""
    shortest: float = 3.0
    """Shorter shafts are heads without one: corners of letters, ticks."""
    longest: float = 0.6
    """Length of an arrow as a part of the drawing's larger side."""
    turn: float = np.deg2rad(5)
    """Radians between rays; the direction is the weighted mean of the best ray and its neighbours."""
    reach: float = 0.12
    """From the arrow's end to its joint, as a part of the drawing's larger side. Doubled, nothing more is
    found and arrows of other sketches are drawn in."""
    same_way: float = np.deg2rad(25)
    """Radians: arrows at one joint that lie nearer to one line than this, and on the same ink, are one."""
    passing: float = 2.0
    """From a ray to a joint that ends it: an arrow does not run through a joint, a member behind it does."""
    least_confidence: float = 0.9
    """Arrows less sure than this are not offered: a wrong suggestion costs more than none, and what is wrong
    below it is mostly an arrow read tail for head."""


@dataclass(frozen=True)
class _Candidate:
    """An arrow in one look, in pixels of the picture."""

    joint: int
    tail: tuple[float, float]
    head: tuple[float, float]
    strength: float
    """0 to 1: geometric mean of the tip's height and the mean shaft."""
    look: int

    @property
    def way(self) -> Points:
        """Unit vector."""
        return np.asarray(np.subtract(self.head, self.tail) / max(self.length, 1e-9))

    @property
    def length(self) -> float:
        """From tail to head."""
        return float(np.hypot(*np.subtract(self.head, self.tail)))

    @property
    def middle(self) -> Points:
        """Halfway."""
        return np.add(self.head, self.tail) / 2


def find_arrows(
    looks: Sequence[Maps], joints: Points, *, settings: ArrowSettings | None = None
) -> tuple[SeenArrow, ...]:
    """Find the arrows at settled joints.

    Parameters
    ----------
    looks
        Maps of the picture, at several sizes and of several parts.
    joints : (N, 2) float
        Settled joints, pixels of the picture.
    settings : ArrowSettings, optional

    Returns
    -------
    tuple of SeenArrow
        By joint, then the surest first.
    """
    s = settings or ArrowSettings()
    if len(joints) < 2:
        return ()
    span = float(np.ptp(joints, axis=0).max())
    candidates = [
        candidate for row, maps in enumerate(looks) for candidate in _in_one_look(row, maps, joints, span, s)
    ]
    found: list[SeenArrow] = []
    for group in _same_arrows(candidates, s):
        first = max(group, key=lambda one: one.strength)
        possible = sum(_inside(maps, first.head) for maps in looks)
        share = len({one.look for one in group if one.way @ first.way > 0}) / max(possible, 1)
        confidence = float(chance(_ARROW, (first.strength, min(share, 1.0))))
        if confidence >= s.least_confidence:
            x, y = (float(v) for v in first.way)
            found.append(SeenArrow(first.joint, (x, y), confidence, first.tail, first.head))
    return tuple(sorted(found, key=lambda one: (one.joint, -one.confidence)))


_ARROW = (-11.2, 17.0, 3.5)
"""Log odds that an arrow is one: at nothing, for each unit of strength, and of the share of looks with it.

Fitted on made pages of the tuning seeds."""


def _in_one_look(row: int, maps: Maps, joints: Points, span: float, s: ArrowSettings) -> list[_Candidate]:
    """Find the arrows of one look that end or start near a joint."""
    tips, height = find_peaks(maps.values[HEAD], least=s.least_head)
    near = s.reach * span
    found = []
    for tip, high in zip(tips, height, strict=True):
        longest = s.longest * span * maps.cells_per_pixel
        ray = _best_ray(maps.values[SHAFT], tip, maps.to_cells(joints), longest, s)
        if ray is None:
            continue
        head, tail = maps.to_picture(np.stack([tip, ray.tail]))
        apart = np.hypot(*(joints[:, None] - np.stack([head, tail])).transpose(2, 0, 1))
        joint, end = np.unravel_index(int(apart.argmin()), apart.shape)
        if apart[joint, end] > near:
            continue
        found.append(
            _Candidate(
                int(joint),
                (float(tail[0]), float(tail[1])),
                (float(head[0]), float(head[1])),
                float(np.sqrt(high * ray.mean)),
                row,
            )
        )
    return found


@dataclass(frozen=True)
class _Ray:
    tail: Points
    """(2,) cells."""
    mean: float
    """Mean shaft from the tip to the tail, 0 to 1."""


def _best_ray(
    shaft: NDArray[np.float32], tip: Points, joints: Points, longest: float, s: ArrowSettings
) -> _Ray | None:
    """Find the ray from the tip along which most shaft lies, cells; None where there is none."""
    step = 0.5
    t = np.arange(step, max(longest, s.shortest), step)
    angle = np.arange(0, 2 * np.pi, s.turn)
    x = (tip[0] + np.cos(angle)[:, None] * t).astype(np.float32)
    y = (tip[1] + np.sin(angle)[:, None] * t).astype(np.float32)
    seen = cv2.remap(shaft, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT)
    on = seen >= s.least_shaft
    # A run ends where nothing has been seen for `gap`; the last place seen before it is the tail.
    last = np.where(on, t, -np.inf)
    last = np.maximum.accumulate(last, axis=1)
    last[:, 0] = np.where(on[:, 0], t[0], 0.0)
    last = np.maximum.accumulate(np.maximum(last, 0.0), axis=1)
    allowed = np.where(last > 0, s.gap, s.start)
    broken = t - last > allowed
    running = ~np.logical_or.accumulate(broken, axis=1)
    end = np.where(running & on, t, 0.0).max(1)
    mass = np.where(t <= end[:, None], seen, 0).sum(1)
    best = int(mass.argmax())
    if end[best] < s.shortest:
        return None
    beside = np.arange(best - 2, best + 3)
    weight = np.where(t <= end[best], seen[beside % len(angle)], 0).sum(1) ** 4
    turned = s.turn * float((beside * weight).sum() / weight.sum())
    way = np.array([np.cos(turned), np.sin(turned)])
    along, off = (joints - tip) @ way, np.abs((joints - tip) @ np.array([-way[1], way[0]]))
    on_ray = (off < s.passing) & (along > s.shortest) & (along < end[best])
    length = float(along[on_ray].min(initial=end[best]))
    return _Ray(tip + length * way, float(seen[best][t <= length].mean()))


def _same_arrows(candidates: list[_Candidate], s: ArrowSettings) -> list[list[_Candidate]]:
    """Put together what several looks show of one arrow, the strongest leading."""
    groups: list[list[_Candidate]] = []
    for one in sorted(candidates, key=lambda one: -one.strength):
        for group in groups:
            if group[0].joint == one.joint and _on_the_same_ink(group[0], one, s):
                group.append(one)
                break
        else:
            groups.append([one])
    return groups


def _on_the_same_ink(one: _Candidate, other: _Candidate, s: ArrowSettings) -> bool:
    """Tell whether two candidates are one arrow, or one and what was taken for its opposite."""
    apart = np.hypot(*(one.middle - other.middle))
    return bool(abs(one.way @ other.way) > np.cos(s.same_way) and apart < max(one.length, other.length) / 2)


def _inside(maps: Maps, point: tuple[float, float]) -> bool:
    """Tell whether a point of the picture lies in the part that was looked at."""
    x, y = maps.to_cells(np.array([point]))[0]
    rows, columns = maps.values.shape[1:]
    return bool(0 <= x <= columns - 1 and 0 <= y <= rows - 1)
