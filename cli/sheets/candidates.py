"""Where each label could stand: along and beside its member, round its joint, at the outer end of its arrow.

Every place has a cost of taste, about 1 for an em away from where a careful person would write it. Places
that leave the drawing are not offered, unless all do.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cli.sheets.labels import Places
from cli.sheets.marks import Text, text_box

__all__ = ["PLATE", "Frame", "around_arrow", "around_joint", "beside_member", "standing"]

Array = NDArray[np.float64]
Frame = tuple[float, float, float, float]
"""Left, top, right, bottom that labels stay within."""

PLATE = 0.07
"""How much wider than its text a label's plate is on every side, in ems."""
_PAD = PLATE + 0.06
"""Room kept round a label, in ems: the plate and a little air, so that two plates never touch."""
_ALONG = np.array([0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.2, 0.8])
"""Shares of a member's length at which its label may sit, the middle first."""
_MIDDLE_THIRD = 1 / 6
"""Shares from the middle of a member that are its middle third, where a label is surely its own."""
_OFF_MIDDLE = 0.5
"""Cost of leaving the middle third."""
_STEEP = math.radians(72)
"""Steeper members count as upright."""
_STEEP_LEVEL = 0.9
"""Cost of a level label beside an upright member: it reads well, but lies along other members."""
_SHORT_WORDS = 1.5
"""Labels no wider than so many of their heights, as "0" is, stand level beside upright members at no cost."""
_LEVEL = math.radians(8)
"""Flatter members are level to the eye; a level label would look like a slip."""
_RINGS = np.array([1.5, 2.2, 3.0, 4.0, 5.2, 6.6, 8.2, 10.0])
"""Distances of labels on leader lines, in ems."""
_LEADER = 2.4
"""Cost of needing a leader line at all."""
_SHORTEST_LEADER = 0.5
"""Ems; a shorter line would not be seen."""
_TURNS = np.arange(24) * (2 * math.pi / 24)
_COMPASS = np.column_stack([np.cos(_TURNS), np.sin(_TURNS)])


@dataclass(frozen=True)
class _Box:
    """Room that a label takes, with the air round it."""

    wide: float
    high: float

    @staticmethod
    def of(text: Text) -> _Box:
        wide, high = np.ptp(text_box(replace(text, x=0.0, y=0.0, angle=0.0), pad=_PAD), axis=0)
        return _Box(float(wide), float(high))

    def reach(self, towards: Array) -> Array:
        """Return half the extent of the level label in directions (..., 2)."""
        half: Array = np.abs(towards) @ np.array([self.wide / 2, self.high / 2])
        return half


def standing(text: Text, places: Places, row: int) -> Text:
    """Return the text where a place puts it."""
    turned = replace(text, x=0.0, y=0.0, angle=float(places.angle[row]))
    shift = places.middle[row] - text_box(turned, pad=_PAD).mean(axis=0)
    return replace(turned, x=float(shift[0]), y=float(shift[1]))


def _collect(
    box: _Box, frame: Frame, parts: list[tuple[Array, Array | float, Array, Array | None]]
) -> Places:
    """Join parts, each middles, angle, taste and where its leader line ends, and keep what stays inside."""
    middle = np.concatenate([part[0] for part in parts])
    angle = np.concatenate([np.broadcast_to(part[1], len(part[0])) for part in parts])
    taste = np.concatenate([part[2] for part in parts])
    anchor = np.concatenate(
        [np.full((len(part[0]), 2), np.nan) if part[3] is None else part[3] for part in parts]
    )
    places = Places(box.wide, box.high, middle, angle, taste, anchor)
    low, high = np.array(frame[:2]), np.array(frame[2:])
    boxes = places.boxes
    over = np.maximum(low - boxes, 0).max(axis=(1, 2)) + np.maximum(boxes - high, 0).max(axis=(1, 2))
    return places.only(np.nonzero(over == 0)[0] if (over == 0).any() else np.array([int(np.argmin(over))]))


def beside_member(text: Text, start: Array, end: Array, *, line: float, gap: float, frame: Frame) -> Places:
    """Return the places for a member's label: along it on both sides, level beside it, on leader lines.

    Parameters
    ----------
    text : Text
        Words and style.
    start, end : (2,) float
        Of the member.
    line : float
        Width of the member as drawn.
    gap : float
        Room between line and label.
    frame : Frame
        What labels stay within.
    """
    along = end - start
    length = float(np.hypot(*along))
    along = along / length if length > 0 else np.array([1.0, 0.0])
    if along[0] < 0 or (along[0] < 1e-9 and along[1] > 0):
        along, start = -along, end
    # Text runs to the right; on an upright member it climbs.
    slope = math.atan2(along[1], along[0])
    across = np.array([-along[1], along[0]])
    box = _Box.of(text)

    share, side = (grid.ravel() for grid in np.meshgrid(_ALONG, [-1.0, 1.0], indexing="ij"))
    on_line = start + np.outer(share * length, along)
    taste = 3.0 * np.abs(share - 0.5) + np.where(side * across[1] > 0, 0.12, 0.0)
    taste = taste + np.where(np.abs(share - 0.5) > _MIDDLE_THIRD, _OFF_MIDDLE, 0.0)
    over = np.maximum(0.0, box.wide - length * (1 - 2 * np.abs(share - 0.5))) / text.size
    steep, short_words = abs(slope) > _STEEP, box.wide <= _SHORT_WORDS * box.high
    turned = on_line + np.outer(side * (line / 2 + gap + box.high / 2), across)
    parts: list[tuple[Array, Array | float, Array, Array | None]] = [
        (turned, slope, taste + 0.8 * over + (0.6 if steep and short_words else 0.0), None)
    ]
    if abs(slope) > _LEVEL:
        level = on_line + np.outer(side * (line / 2 + gap + box.reach(across)), across)
        upright = 0.0 if short_words else _STEEP_LEVEL
        parts.append((level, 0.0, taste + (upright if steep else 1.1), None))

    anchor = start + along * (length / 2)
    ring, turn = (grid.ravel() for grid in np.meshgrid(_RINGS, np.arange(len(_TURNS)), indexing="ij"))
    away = _COMPASS[turn] * (ring * text.size)[:, None]
    short = np.maximum(np.abs(away) - np.array([box.wide, box.high]) / 2, 0)
    long_enough = np.hypot(short[:, 0], short[:, 1]) >= _SHORTEST_LEADER * text.size
    off = _LEADER + 0.55 * ring + 0.5 * np.abs(_COMPASS[turn] @ along)
    middles = (anchor + away)[long_enough]
    parts.append((middles, 0.0, off[long_enough], np.broadcast_to(anchor, middles.shape)))
    return _collect(box, frame, parts)


def around_joint(
    text: Text,
    joint: Array,
    *,
    radius: float,
    neighbours: list[Array],
    middle_of_truss: Array,
    frame: Frame,
) -> Places:
    """Return the places for a joint's name, the widest gap between its members and the outside first.

    Parameters
    ----------
    text : Text
        Words and style.
    joint : (2,) float
        Its place.
    radius : float
        From the joint to the near edge of its name.
    neighbours : list of (2,) float
        Joints at the other ends of its members.
    middle_of_truss : (2,) float
        Names like to stand away from it.
    frame : Frame
        What labels stay within.
    """
    box = _Box.of(text)
    away = _unit(joint - middle_of_truss)
    gap = np.full(len(_COMPASS), math.pi)
    for other in neighbours:
        gap = np.minimum(gap, np.arccos(np.clip(_COMPASS @ _unit(other - joint), -1, 1)))
    dislike = 0.5 * np.maximum(0.0, 1 - gap / (math.pi / 2)) + 0.35 * (1 - _COMPASS @ away)
    parts: list[tuple[Array, Array | float, Array, Array | None]] = []
    for ring, price, led in (
        (0.0, 0.0, False),
        (0.35, 0.6, False),
        (0.8, 1.4, False),
        (1.4, 2.4, True),
        (2.2, 3.6, True),
    ):
        reach = radius + ring * text.size + box.reach(_COMPASS)
        middles = joint + _COMPASS * reach[:, None]
        parts.append((middles, 0.0, price + dislike, np.broadcast_to(joint, middles.shape) if led else None))
    return _collect(box, frame, parts)


def around_arrow(
    text: Text,
    near: Array,
    outer: Array,
    *,
    outward: Array,
    half_width: float,
    gap: float,
    frame: Frame,
) -> Places:
    """Return the places for an arrow's label: beyond its outer end, beside its shaft, on leader lines.

    Parameters
    ----------
    text : Text
        Words and style.
    near, outer : (2,) float
        Ends of the arrow, the one at the joint first.
    outward : (2,) float
        Unit vector from the joint along the arrow.
    half_width : float
        Half the width of the arrow's head.
    gap : float
        Room between arrow and label.
    frame : Frame
        What labels stay within.
    """
    box = _Box.of(text)
    across = np.array([-outward[1], outward[0]])
    slide = np.array([0.0, 0.8, -0.8]) * text.size
    beyond = outer + outward * (gap + float(box.reach(outward))) + np.outer(slide, across)
    share, side = (
        grid.ravel() for grid in np.meshgrid([0.85, 0.65, 0.45, 0.25, 1.0], [1.0, -1.0], indexing="ij")
    )
    beside = near + np.outer(share, outer - near)
    beside = beside + np.outer(side * (half_width + gap + float(box.reach(across))), across)
    ring, turn = (
        grid.ravel() for grid in np.meshgrid([1.0, 1.8, 2.8, 4.0], np.arange(len(_TURNS)), indexing="ij")
    )
    towards = _COMPASS[turn]
    off = np.array(_LEADER + ring, dtype=float)
    led = outer + towards * (ring * text.size + box.reach(towards))[:, None]
    return _collect(
        box,
        frame,
        [
            (beyond, 0.0, np.array([0.0, 0.4, 0.4]), None),
            (beside, 0.0, 0.45 + 0.8 * np.abs(share - 0.85), None),
            (led, 0.0, off, np.broadcast_to(outer, led.shape)),
        ],
    )


def _unit(vector: Array) -> Array:
    return vector / max(float(np.hypot(*vector)), 1e-9)
