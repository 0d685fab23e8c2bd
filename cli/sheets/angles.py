"""Angles of members with the level: an arc, its degrees, and the level that they are measured from."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cli.sheets.easel import Easel
from cli.sheets.labels import Places
from cli.sheets.marks import Stroke, Text, quad, text_box
from cli.sheets.palette import GRID, PALE_INK

__all__ = ["Corner", "draw_angle"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Corner:
    """Where an angle is."""

    joint: Array
    """(2,) x and y of the joint, y DOWN."""
    side: float
    """1 to the right of the joint, -1 to its left."""
    up: float
    """1 above the level, -1 below it."""
    angle: float
    """Radians, 0 to a quarter turn."""
    radius: float
    """Of the arc."""


def draw_angle(easel: Easel, corner: Corner, words: str, *, level: bool) -> None:
    """Draw an angle.

    Parameters
    ----------
    easel : Easel
        Where to.
    corner : Corner
        Where it is.
    words : str
        Its degrees.
    level : bool
        Draw the level too.
    """
    sizes, side, up = easel.sizes, corner.side, corner.up
    turn = np.linspace(0.0, corner.angle, 13)
    arc = corner.joint + corner.radius * np.column_stack([side * np.cos(turn), -up * np.sin(turn)])
    easel.draw(
        [Stroke(arc, 0.6 * sizes.line, PALE_INK)],
        [quad(one, other, sizes.line) for one, other in zip(arc[:-1:3], arc[3::3], strict=True)],
    )
    if level:
        reach = np.array([[sizes.joint + sizes.line, 0.0], [corner.radius + 1.2 * sizes.unit, 0.0]])
        line = corner.joint + side * reach
        easel.draw([Stroke(line, 0.5 * sizes.line, GRID)], [quad(line[0], line[1], sizes.line)])
    text = Text(words, 0, 0, 0.9 * sizes.text, PALE_INK)
    easel.write(text, _inside(text, corner))


def _inside(text: Text, corner: Corner) -> Places:
    """Return places for degrees: just outside the arc between its legs, then round about on a leader line."""
    side, up, angle, radius = corner.side, corner.up, corner.angle, corner.radius
    wide, high = (float(extent) for extent in np.ptp(text_box(text, pad=0.1), axis=0))
    turn = angle * np.array([0.5, 0.4, 0.6, 0.3, 0.7])
    turns = np.concatenate([turn] * 4)
    out = np.repeat([0.12, 0.6, 1.2, 2.0], len(turn)) * text.size
    towards = np.column_stack([side * np.cos(turns), -up * np.sin(turns)])
    reach = radius + out + np.abs(towards) @ np.array([wide / 2, high / 2])
    inside = corner.joint + towards * reach[:, None]
    around = np.arange(24) * (2 * math.pi / 24)
    compass = np.column_stack([np.cos(around), np.sin(around)])
    bisector = np.array([side * math.cos(angle / 2), -up * math.sin(angle / 2)])
    anchor = corner.joint + radius * bisector
    rings = np.concatenate([anchor + compass * (ring_ * text.size) for ring_ in (2.2, 3.2, 4.6, 6.4, 9.0)])
    price = np.repeat([3.0, 3.6, 4.4, 5.4, 7.0], len(around))
    return Places(
        wide,
        high,
        np.concatenate([inside, rings]),
        np.zeros(len(inside) + len(rings)),
        np.concatenate([out / text.size + 2 * np.abs(turns / angle - 0.5), price]),
        np.concatenate([np.full((len(inside), 2), np.nan), np.broadcast_to(anchor, rings.shape)]),
    )
