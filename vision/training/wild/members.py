"""Members that are more than one stroke: bars with an outline, twin lines, dashes; hinges and plates."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.strokes import Pen, stroke

__all__ = ["draw_bar", "draw_dashes", "draw_hinge", "draw_plate", "draw_twin", "highlight"]

Points = NDArray[np.float64]
Colour = tuple[float, float, float]

_SAME = 60.0
"""Mean difference in grey levels up to which a bar's inside is much like its outline."""
_SHADES = ((255, 245, 120), (255, 160, 170), (160, 225, 255), (175, 245, 170), (255, 200, 120))
"""Highlighters: yellow, pink, blue, green, orange."""


def _round(points: Points) -> NDArray[np.int32]:
    return np.round(points * 16).astype(np.int32)


def _sides(start: Points, end: Points) -> tuple[Points, Points]:
    """Return the unit vectors along a member and across it."""
    run = end - start
    unit = run / max(float(np.hypot(*run)), 1e-6)
    return unit, np.array([-unit[1], unit[0]])


def draw_bar(pen: Pen, start: Points, end: Points, *, broad: float, fill: Colour) -> None:
    """Draw a member as a bar `broad` pixels wide, filled and outlined, as printed figures have them."""
    _, across = _sides(start, end)
    half = across * broad / 2
    outline = np.array([start + half, end + half, end - half, start - half])
    cv2.fillConvexPoly(pen.picture, _round(outline), fill, cv2.LINE_AA, 4)
    told = float(np.abs(np.array(fill) - pen.colour).mean())
    if told < _SAME and pen.rng.random() < 0.5:
        return  # as dark as its outline would be
    line = max(1, round(min(pen.hand.width, 0.3 * broad)))
    closed = _round(np.vstack([outline, outline[:1]])).reshape(-1, 1, 2)
    cv2.polylines(pen.picture, [closed], False, pen.colour, line, cv2.LINE_AA, 4)


def draw_twin(pen: Pen, start: Points, end: Points, *, broad: float) -> None:
    """Draw a member as two lines side by side, `broad` pixels apart."""
    _, across = _sides(start, end)
    thin = replace(pen, hand=replace(pen.hand, again=0.0, wobble=0.5 * pen.hand.wobble))
    for k in (-0.5, 0.5):
        stroke(thin, np.stack([start + across * broad * k, end + across * broad * k]))


def draw_dashes(pen: Pen, start: Points, end: Points) -> None:
    """Draw a member in dashes, or dash and dot."""
    rng = pen.rng
    unit, _ = _sides(start, end)
    length = float(np.hypot(*(end - start)))
    dash = max(rng.uniform(2.5, 7) * pen.hand.width, 5.0)
    gap = dash * rng.uniform(0.4, 1.1)
    at = 0.0
    while at < length:
        stop = min(at + dash, length)
        points = _round(np.stack([start + unit * at, start + unit * stop])).reshape(-1, 1, 2)
        cv2.polylines(pen.picture, [points], False, pen.colour, max(1, round(pen.hand.width)), cv2.LINE_AA, 4)
        at = stop + gap


def draw_hinge(pen: Pen, at: Points, radius: float, *, fill: Colour, square: bool) -> None:
    """Draw a joint over its members: a small filled circle with a rim, perhaps with a dot, or a square."""
    centre, line = _round(at).tolist(), max(1, round(pen.hand.width * 0.8))
    if square:
        turn = pen.rng.normal(0, 0.15)
        corner = 1.2 * radius * np.array([np.cos(turn + np.pi / 4), np.sin(turn + np.pi / 4)])
        side = np.array([-corner[1], corner[0]])
        quad = _round(np.array([at + corner, at + side, at - corner, at - side]))
        cv2.fillConvexPoly(pen.picture, quad, fill, cv2.LINE_AA, 4)
        cv2.polylines(pen.picture, [quad.reshape(-1, 1, 2)], True, pen.colour, line, cv2.LINE_AA, 4)
        return
    cv2.circle(pen.picture, centre, int(radius * 16), fill, -1, cv2.LINE_AA, 4)
    cv2.circle(pen.picture, centre, int(radius * 16), pen.colour, line, cv2.LINE_AA, 4)
    if radius > 5 and pen.rng.random() < 0.3:
        cv2.circle(pen.picture, centre, int(radius * 5), pen.colour, -1, cv2.LINE_AA, 4)


def draw_plate(pen: Pen, at: Points, ways: Points, *, reach: float, broad: float, fill: Colour) -> None:
    """Draw a gusset plate at a joint, `reach` along each member, `ways` (K, 2) unit vectors, with rivets."""
    across = np.stack([-ways[:, 1], ways[:, 0]], 1) * broad
    ends = at + ways * reach
    back = at[None] - ways * broad
    hull = cv2.convexHull(np.concatenate([ends + across, ends - across, back]).astype(np.float32))[:, 0]
    outline = _round(hull.astype(np.float64))
    cv2.fillConvexPoly(pen.picture, outline, fill, cv2.LINE_AA, 4)
    thin = max(1, round(0.6 * pen.hand.width))
    cv2.polylines(pen.picture, [outline.reshape(-1, 1, 2)], True, pen.colour, thin, cv2.LINE_AA, 4)
    if pen.rng.random() < 0.6:
        for way in ways:
            for k in (0.4, 0.8):
                spot = _round(at + way * reach * k).tolist()
                cv2.circle(pen.picture, spot, max(16, int(3 * broad)), pen.colour, -1, cv2.LINE_AA, 4)


def highlight(pen: Pen, start: Points, end: Points, *, broad: float) -> None:
    """Run a highlighter along a member: what is dark below it stays dark."""
    colour = _SHADES[int(pen.rng.integers(len(_SHADES)))]
    points = np.stack([start, end])
    low = np.maximum(np.floor(points.min(0) - broad).astype(int), 0)
    high = np.minimum(np.ceil(points.max(0) + broad).astype(int) + 1, pen.picture.shape[1::-1])
    if (high - low).min() < 2:
        return
    part = pen.picture[low[1] : high[1], low[0] : high[0]]
    veil = np.full_like(part, 255)
    path = _round(points - low).reshape(-1, 1, 2)
    cv2.polylines(veil, [path], False, colour, max(2, round(broad)), cv2.LINE_AA, 4)
    part[:] = cv2.multiply(part, veil, scale=1 / 255)
