"""What is drawn but is no member: circles and dots that mark joints, and letters, which are left out.

A joint mark is either a hole in the ink that is nearly an ellipse (an open circle, with the name in it or
not; circles left a little open are closed first), or a blob thicker than crossing strokes can be (a filled
dot, a disc, a gusset). Small patches of ink that are neither marks nor straight are letters.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.ink import Ink
from vision.settings import SymbolSettings

__all__ = ["Mark", "find_marks", "without_letters", "without_marks"]

_CLOSINGS = (0.0, 2.0, 4.0, 7.0)
"""Gaps in a drawn circle that are closed, in stroke widths, smallest first."""
_CLEARANCE = 1.2
"""Stroke widths around a mark that belong to its outline."""


@dataclass(frozen=True)
class Mark:
    """A circle or dot that marks a joint, as an ellipse in working pixels."""

    x: float
    y: float
    radius_major: float
    """To the middle of the outline of a circle, to the edge of a dot."""
    radius_minor: float
    degrees: float
    """Of the major axis from x towards y (clockwise on the picture)."""
    filled: bool
    """True for a dot."""

    @property
    def radius(self) -> float:
        """Mean of the two radii."""
        return (self.radius_major + self.radius_minor) / 2

    def reach(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Give the distance from the centre in units of the outline: 1 on it, for points (N, 2)."""
        angle = np.deg2rad(self.degrees)
        away = np.atleast_2d(points) - (self.x, self.y)
        along = away @ (np.cos(angle), np.sin(angle))
        across = away @ (-np.sin(angle), np.cos(angle))
        return np.asarray(np.hypot(along / self.radius_major, across / self.radius_minor))


def find_marks(ink: Ink, settings: SymbolSettings) -> tuple[Mark, ...]:
    """Find circles and dots that may mark joints, the open circles first.

    Returns
    -------
    tuple of Mark
        No two of them overlap: of an outline and the dot within, the outline stays.
    """
    if not ink.mask.any():
        return ()
    largest = settings.largest_mark * max(ink.mask.shape)
    found: list[Mark] = []
    for mark in _patches(ink, settings):
        if mark.radius <= largest:
            _add(found, mark)
    _, ground, sizes, _ = cv2.connectedComponentsWithStats((~ink.mask).astype(np.uint8), connectivity=4)
    for gap in _CLOSINGS:
        for mark in _holes(_closed(ink.mask, gap * ink.stroke_width), ink.stroke_width, settings):
            inside = ground[round(mark.y), round(mark.x)]
            # Only an outline left open needs closing; closing a closed one rounds the corners of a triangle.
            shut = 0.4 < sizes[inside, cv2.CC_STAT_AREA] / (np.pi * mark.radius**2) < 3
            if mark.radius <= largest and not (gap and shut) and _is_ring(ink, mark, settings):
                _add(found, mark)
    for mark in _blobs(ink, settings):
        if mark.radius <= largest:
            _add(found, mark)
    return tuple(found)


def without_marks(mask: NDArray[np.bool_], marks: tuple[Mark, ...], stroke_width: float) -> NDArray[np.bool_]:
    """Give the ink (H, W) with marks and their outlines taken away, so that members end at them."""
    left = mask.astype(np.uint8)
    for mark in marks:
        widen = _CLEARANCE * stroke_width
        axes = (2 * (mark.radius_major + widen), 2 * (mark.radius_minor + widen))
        cv2.ellipse(left, ((mark.x, mark.y), axes, mark.degrees), 0, -1)
    return left > 0


def without_letters(
    mask: NDArray[np.bool_], stroke_width: float, settings: SymbolSettings
) -> tuple[NDArray[np.bool_], int]:
    """Leave out patches of ink (H, W) that are small and not straight.

    Returns
    -------
    mask, count
        What is left, and how many patches with the extent of a letter were left out.
    """
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    limit = settings.letter * max(mask.shape)
    keep = np.ones(count, bool)
    keep[0] = False
    letters = 0
    extent = np.hypot(stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT])
    for label in np.flatnonzero(extent < 1.5 * limit):
        if label == 0:
            continue
        x, y, w, h = stats[label, :4]
        if extent[label] > 2.5 * stroke_width:
            patch = (labels[y : y + h, x : x + w] == label).astype(np.uint8)
            points = cv2.findNonZero(patch)
            (_, sides, _) = cv2.minAreaRect(np.asarray(points))
            long, short = float(max(sides)) + 1, float(min(sides)) + 1
            # A straight stroke is as wide as the pen; a letter is as wide as itself.
            if long / short >= settings.straightness and short < 2.5 * stroke_width:
                continue
            if long > limit:
                continue
            letters += 1
        keep[label] = False
    return keep[labels], letters


def _closed(mask: NDArray[np.bool_], gap: float) -> NDArray[np.uint8]:
    ink = mask.astype(np.uint8)
    if gap == 0:
        return ink
    size = int(gap) | 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    return np.asarray(cv2.morphologyEx(ink, cv2.MORPH_CLOSE, disc), np.uint8)


def _holes(ink: NDArray[np.uint8], stroke_width: float, settings: SymbolSettings) -> list[Mark]:
    contours, tree = cv2.findContours(ink, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    if tree is None:
        return []
    limit = 2 * settings.largest_mark * max(ink.shape)
    marks = []
    for contour, (_, _, _, parent) in zip(contours, tree[0], strict=True):
        if parent < 0 or len(contour) < 8 or max(cv2.boundingRect(contour)[2:]) > 2 * limit:
            continue
        mark = _ellipse(contour, settings.roundness, filled=False)
        if (
            mark is None
            or cv2.contourArea(contour) > settings.triangle * cv2.minEnclosingTriangle(contour)[0]
        ):
            continue
        if mark.radius_minor > settings.hole_widths * stroke_width:
            # The contour runs along the ink's inner edge; the circle was drawn half a stroke further out.
            marks.append(_grown(mark, stroke_width / 2))
    return marks


def _is_ring(ink: Ink, mark: Mark, settings: SymbolSettings) -> bool:
    """Tell a drawn circle from a gap between strokes: ink all along the outline, mostly ground around it."""
    on_it = _ink_along(ink.mask, mark, 0.6 * ink.stroke_width)
    around = _ink_along(ink.mask, _grown(mark, 2.2 * ink.stroke_width), 0.0)
    return on_it >= settings.ring_inked and around <= settings.ring_clear


def _ink_along(mask: NDArray[np.bool_], mark: Mark, slack: float) -> float:
    """Give the share of an ellipse's outline, 0 to 1, that has ink within `slack` pixels across it."""
    turn = np.linspace(0, 2 * np.pi, 72, endpoint=False)
    angle = np.deg2rad(mark.degrees)
    inked = np.zeros(len(turn), bool)
    for shift in np.arange(-slack, slack + 1):
        along = (mark.radius_major + shift) * np.cos(turn)
        across = (mark.radius_minor + shift) * np.sin(turn)
        x = np.round(mark.x + along * np.cos(angle) - across * np.sin(angle)).astype(int)
        y = np.round(mark.y + along * np.sin(angle) + across * np.cos(angle)).astype(int)
        inside = (x >= 0) & (y >= 0) & (x < mask.shape[1]) & (y < mask.shape[0])
        inked[inside] |= mask[y[inside], x[inside]]
    return float(inked.mean())


def _patches(ink: Ink, settings: SymbolSettings) -> list[Mark]:
    """Find separate patches with a round outline: circles left open or drawn twice, scribbled dots."""
    largest = 2.4 * settings.largest_mark * max(ink.mask.shape)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(ink.mask.astype(np.uint8), connectivity=8)
    marks = []
    for label in range(1, count):
        x, y, w, h, area = stats[label]
        if not 3 * ink.stroke_width < max(w, h) < largest:
            continue
        patch = (labels[y : y + h, x : x + w] == label).astype(np.uint8)
        points = np.asarray(cv2.findNonZero(patch)) + np.array([x, y])
        hull = cv2.convexHull(points.astype(np.int32))
        mark = _ellipse(hull, settings.roundness, filled=False)
        if mark is None or mark.radius_minor < ink.stroke_width:
            continue
        full = area / (np.pi * mark.radius_major * mark.radius_minor)
        if full > settings.dot_fullness:
            marks.append(Mark(mark.x, mark.y, mark.radius_major, mark.radius_minor, mark.degrees, True))
            continue
        away = points.reshape(-1, 2) - (mark.x, mark.y)
        outline = mark.reach(points.reshape(-1, 2).astype(np.float64)) > settings.outline
        sectors = np.floor(np.arctan2(away[outline, 1], away[outline, 0]) * 12 / np.pi)
        if len(np.unique(sectors)) >= settings.closed_sectors:
            marks.append(_grown(mark, -ink.stroke_width / 2))
    return marks


def _blobs(ink: Ink, settings: SymbolSettings) -> list[Mark]:
    # Scribbled dots have pinholes: fill holes smaller than a stroke before looking for thickness.
    solid = ink.mask.astype(np.uint8)
    ground = (~ink.mask).astype(np.uint8)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(ground, connectivity=4)
    pinhole = stats[:, cv2.CC_STAT_AREA] < (settings.pinhole_widths * ink.stroke_width) ** 2
    solid[pinhole[labels] & ~ink.mask] = 1
    size = int(2 * settings.dot_widths * ink.stroke_width) + 3
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    thick = cv2.morphologyEx(solid, cv2.MORPH_OPEN, disc)
    contours, _ = cv2.findContours(thick, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    found = (
        _ellipse(contour, settings.dot_roundness, filled=True) for contour in contours if len(contour) >= 8
    )
    return [mark for mark in found if mark is not None]


def _ellipse(contour: NDArray[Any], roundness: float, *, filled: bool) -> Mark | None:
    """Give the ellipse with the moments of the contour's inside, if the inside is nearly that ellipse."""
    moments = cv2.moments(contour)
    area = moments["m00"]
    if area < 4:
        return None
    x, y = moments["m10"] / area, moments["m01"] / area
    spread = np.array([[moments["mu20"], moments["mu11"]], [moments["mu11"], moments["mu02"]]]) / area
    values, vectors = np.linalg.eigh(spread)
    minor, major = 2 * np.sqrt(np.maximum(values, 0.05))
    if major > 2.2 * minor:
        return None
    degrees = float(np.degrees(np.arctan2(vectors[1, 1], vectors[0, 1])))
    mark = Mark(x, y, float(major), float(minor), degrees, filled)
    left, top, wide, high = cv2.boundingRect(contour)
    rows, columns = np.mgrid[top - 1 : top + high + 1, left - 1 : left + wide + 1]
    places = np.column_stack([columns.ravel(), rows.ravel()]).astype(np.float64)
    inside = (mark.reach(places) <= 1).reshape(rows.shape)
    drawn = np.zeros(rows.shape, np.uint8)
    cv2.drawContours(drawn, [contour - (left - 1, top - 1)], 0, 1, -1)
    both, either = inside & (drawn > 0), inside | (drawn > 0)
    overlap = float(both.sum()) / max(float(either.sum()), 1.0)
    return mark if overlap >= roundness else None


def _grown(mark: Mark, by: float) -> Mark:
    return Mark(mark.x, mark.y, mark.radius_major + by, mark.radius_minor + by, mark.degrees, mark.filled)


def _add(found: list[Mark], mark: Mark) -> None:
    if all(np.hypot(mark.x - old.x, mark.y - old.y) > mark.radius + old.radius for old in found):
        found.append(mark)
