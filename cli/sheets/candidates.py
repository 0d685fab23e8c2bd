"""Where each label could stand: along and beside its member, round its joint, at the outer end of its arrow.

Every place has a cost of taste, about 1 for an em away from where a careful person would write it. Places
that leave the drawing are not offered.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cli.sheets.labels import Candidate
from cli.sheets.marks import Text, text_box

__all__ = ["PLATE", "Place", "around_arrow", "around_joint", "beside_member"]

Array = NDArray[np.float64]

_ALONG = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.2, 0.8)
"""Shares of a member's length at which its label may sit, the middle first."""
_STEEP = math.radians(58)
"""Steeper members take level labels when there is room: few people read text that climbs the wall."""
_LEVEL = math.radians(8)
"""Flatter members are level to the eye; a level label would look like a slip."""
_RINGS = (1.5, 2.2, 3.0, 4.0, 5.2, 6.6, 8.2, 10.0)
"""Distances of labels on leader lines, in ems."""
_LEADER = 2.4
"""Cost of needing a leader line at all."""
PLATE = 0.07
"""How much wider than its text a label's plate is on every side, in ems."""
_PAD = PLATE + 0.06
"""Room kept round a label, in ems: the plate and a little air, so that two plates never touch."""


@dataclass(frozen=True, eq=False)
class Place:
    """A label standing at one of its candidate places."""

    text: Text
    candidate: Candidate


def _place(text: Text, taste: float, leader: Array | None = None) -> Place:
    return Place(text, Candidate(text_box(text, pad=_PAD), taste, leader))


def _inside(places: list[Place], frame: tuple[float, float, float, float]) -> list[Place]:
    """Keep the places within left, top, right, bottom; if none is, keep the one that leaves least."""
    low, high = np.array(frame[:2]), np.array(frame[2:])
    over = [
        float(
            np.maximum(low - place.candidate.box, 0).max() + np.maximum(place.candidate.box - high, 0).max()
        )
        for place in places
    ]
    kept = [place for place, out in zip(places, over, strict=True) if out == 0]
    return kept or [places[int(np.argmin(over))]]


def _level_reach(text: Text, towards: Array) -> float:
    """Return half the extent of a level label in a direction."""
    box = text_box(replace(text, x=0.0, y=0.0, angle=0.0), pad=_PAD)
    return float((np.abs(towards) * np.ptp(box, axis=0) / 2).sum())


def _centred(text: Text, middle: Array, angle: float) -> Text:
    """Put the middle of the text's box at a point."""
    turned = replace(text, x=0.0, y=0.0, angle=angle)
    shift = middle - text_box(turned, pad=_PAD).mean(axis=0)
    return replace(turned, x=float(shift[0]), y=float(shift[1]))


def beside_member(
    text: Text, start: Array, end: Array, *, line: float, gap: float, frame: tuple[float, float, float, float]
) -> list[Place]:
    """Return the places for a member's label.

    Parameters
    ----------
    text : Text
        Words and style; its place is set here.
    start, end : (2,) float
        Of the member.
    line : float
        Width of the member as drawn.
    gap : float
        Room between line and label.
    frame : tuple of float
        Left, top, right, bottom that labels stay within.
    """
    along = end - start
    length = float(np.hypot(*along))
    if length == 0:
        along, length = np.array([1.0, 0.0]), 1.0
    along = along / length
    if along[0] < 0 or (along[0] < 1e-9 and along[1] > 0):
        along, start = -along, end
    # Text runs to the right; on an upright member it climbs.
    slope = math.atan2(along[1], along[0])
    across = np.array([-along[1], along[0]])
    box = text_box(replace(text, x=0.0, y=0.0, angle=0.0), pad=_PAD)
    wide, high = (float(extent) for extent in np.ptp(box, axis=0))
    places = []
    for share in _ALONG:
        on_line = start + along * (length * share)
        for side in (-1.0, 1.0):
            below = 0.12 if side * across[1] > 0 else 0.0
            off_middle = 3.0 * abs(share - 0.5)
            turned_taste = off_middle + below + (0.9 if abs(slope) > _STEEP else 0.0)
            turned_taste += 0.8 * max(0.0, wide - length * (1 - 2 * abs(share - 0.5))) / text.size
            middle = on_line + across * side * (line / 2 + gap + high / 2)
            places.append(_place(_centred(text, middle, slope), turned_taste))
            if abs(slope) > _LEVEL:
                reach = _level_reach(text, across)
                middle = on_line + across * side * (line / 2 + gap + reach)
                level_taste = off_middle + below + (0.0 if abs(slope) > _STEEP else 0.7)
                places.append(_place(_centred(text, middle, 0.0), level_taste))
    places.extend(_on_leaders(text, start + along * (length / 2), across))
    return _inside(places, frame)


def _on_leaders(text: Text, anchor: Array, across: Array) -> list[Place]:
    """Return level places round an anchor, each tied to it by a line from the nearest point of its edge."""
    places = []
    for ring in _RINGS:
        for turn in np.arange(24) * (2 * math.pi / 24):
            towards = np.array([math.cos(turn), math.sin(turn)])
            middle = anchor + towards * (ring * text.size)
            label = _centred(text, middle, 0.0)
            box = text_box(label, pad=_PAD)
            low, high = box.min(axis=0), box.max(axis=0)
            nearest = np.clip(anchor, low, high)
            if float(np.hypot(*(nearest - anchor))) < 0.5 * text.size:
                continue
            aslant = 0.5 * abs(float(towards @ np.array([across[1], -across[0]])))
            places.append(_place(label, _LEADER + 0.55 * ring + aslant, np.array([nearest, anchor])))
    return places


def around_joint(
    text: Text,
    joint: Array,
    *,
    radius: float,
    neighbours: list[Array],
    middle_of_truss: Array,
    frame: tuple[float, float, float, float],
) -> list[Place]:
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
    frame : tuple of float
        Left, top, right, bottom that labels stay within.
    """
    away = joint - middle_of_truss
    away = away / max(float(np.hypot(*away)), 1e-9)
    rays = [(other - joint) / max(float(np.hypot(*(other - joint))), 1e-9) for other in neighbours]
    places = []
    for ring, price in ((0.0, 0.0), (0.35, 0.6), (0.8, 1.4), (1.4, 2.4), (2.2, 3.6)):
        for turn in np.arange(24) * (2 * math.pi / 24):
            towards = np.array([math.cos(turn), math.sin(turn)])
            open_angle = min(
                (math.acos(float(np.clip(towards @ ray, -1, 1))) for ray in rays), default=math.pi
            )
            taste = (
                price + 0.5 * max(0.0, 1 - open_angle / (math.pi / 2)) + 0.35 * (1 - float(towards @ away))
            )
            reach = radius + ring * text.size + _level_reach(text, towards)
            label = _centred(text, joint + towards * reach, 0.0)
            leader = None
            if ring > 1:
                box = text_box(label, pad=_PAD)
                leader = np.array([np.clip(joint, box.min(axis=0), box.max(axis=0)), joint])
            places.append(_place(label, taste, leader))
    return _inside(places, frame)


def around_arrow(
    text: Text,
    near: Array,
    outer: Array,
    *,
    outward: Array,
    half_width: float,
    gap: float,
    frame: tuple[float, float, float, float],
) -> list[Place]:
    """Return the places for an arrow's label: beyond its outer end, then beside its shaft.

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
    frame : tuple of float
        Left, top, right, bottom that labels stay within.
    """
    across = np.array([-outward[1], outward[0]])
    places = [
        _place(
            _centred(text, outer + outward * (gap + _level_reach(text, outward)) + across * slide, 0.0), taste
        )
        for slide, taste in ((0.0, 0.0), (0.8 * text.size, 0.4), (-0.8 * text.size, 0.4))
    ]
    for share in (0.85, 0.65, 0.45, 0.25, 1.0):
        for side in (1.0, -1.0):
            reach = half_width + gap + _level_reach(text, across)
            middle = near + (outer - near) * share + across * (side * reach)
            places.append(_place(_centred(text, middle, 0.0), 0.45 + 0.8 * abs(share - 0.85)))
    for ring in (1.0, 1.8, 2.8, 4.0):
        for turn in np.arange(16) * (2 * math.pi / 16):
            towards = np.array([math.cos(turn), math.sin(turn)])
            middle = outer + towards * (ring * text.size + _level_reach(text, towards))
            label = _centred(text, middle, 0.0)
            box = text_box(label, pad=_PAD)
            leader = np.array([np.clip(outer, box.min(axis=0), box.max(axis=0)), outer])
            places.append(_place(label, _LEADER + ring, leader))
    return _inside(places, frame)
