"""What members are made of and how one is painted: wood, dowels, straws, card, metal, printed parts."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["VIVID", "Stock", "choose_stock", "fill", "paint_member", "shade", "thin_line"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]
Colour = tuple[float, float, float]

_SHIFT = 4

VIVID = (
    (0, 140, 220), (245, 120, 20), (165, 205, 50), (250, 210, 20), (230, 40, 60), (240, 80, 160),
    (60, 60, 60), (240, 240, 240), (20, 150, 90), (120, 60, 160), (15, 60, 150),
)  # fmt: skip
"""Colours of straws, tubes and sticks as they are sold."""

_ROUND, _FLAT, _METAL = "round", "flat", "metal"

_KINDS: dict[str, tuple[str, tuple[float, float], float]] = {
    # kind: family, width in spans, chance
    "craft": (_FLAT, (0.018, 0.055), 0.15),
    "strip": (_FLAT, (0.006, 0.026), 0.13),
    "ply": (_FLAT, (0.014, 0.045), 0.06),
    "card": (_FLAT, (0.012, 0.04), 0.07),
    "dowel": (_ROUND, (0.007, 0.024), 0.08),
    "straw": (_ROUND, (0.008, 0.028), 0.16),
    "paper": (_ROUND, (0.014, 0.038), 0.05),
    "spaghetti": (_ROUND, (0.003, 0.008), 0.06),
    "skewer": (_ROUND, (0.004, 0.01), 0.05),
    "printed": (_FLAT, (0.008, 0.032), 0.06),
    "holes": (_METAL, (0.015, 0.036), 0.05),
    "bar": (_METAL, (0.005, 0.022), 0.04),
    "section": (_METAL, (0.008, 0.03), 0.04),
    "double": (_FLAT, (0.012, 0.035), 0.05),
    "laced": (_METAL, (0.012, 0.035), 0.02),
}


@dataclass(frozen=True)
class Stock:
    """What the members of one model are made of; widths in spans."""

    kind: str
    family: str
    """`round`, `flat` or `metal`."""
    width: float
    palette: tuple[Colour, ...]
    overrun: float
    """How far ends run past their joints, in widths; negative stops short."""
    uneven: float
    """Scatter of the overrun, in widths."""
    misfit: float
    """Scatter of an end beside its joint, in widths."""
    sleeve: float
    """Part of the length at either end that is thicker and darker; 0 for none."""
    stripes: float
    """Chance that a round member is striped."""


def shade(colour: Colour, factor: float) -> Colour:
    """Make a colour lighter or darker."""
    r, g, b = colour
    return (
        min(255.0, max(0.0, r * factor)),
        min(255.0, max(0.0, g * factor)),
        min(255.0, max(0.0, b * factor)),
    )


def _colours(rng: Rng, kind: str, family: str) -> tuple[Colour, ...]:
    """Choose a palette: woods, papers, metals, or what is sold in bright colours."""
    many = int(rng.choice([1, 1, 2, 3, 4]))
    if kind in {"craft", "strip", "ply", "dowel", "skewer", "double"} and rng.random() < 0.85:
        base = np.array([226, 190, 142]) * rng.uniform(0.45, 1.12) * rng.uniform(0.93, 1.07, 3)
        some = [base + rng.normal(0, 7, 3) for _ in range(3)]
    elif kind in {"spaghetti", "paper", "card"} and rng.random() < 0.75:
        base = np.array([240, 222, 168] if kind == "spaghetti" else [232, 228, 220]) * rng.uniform(0.6, 1.05)
        base = (
            np.array([190, 150, 105]) * rng.uniform(0.8, 1.2)
            if kind == "card" and rng.random() < 0.4
            else base
        )
        some = [base + rng.normal(0, 4, 3) for _ in range(2)]
    elif family == _METAL and rng.random() < 0.7:
        some = [np.full(3, rng.uniform(30, 225)) + rng.normal(0, 6, 3)]
    elif rng.random() < 0.7:
        some = [np.array(VIVID[rng.integers(len(VIVID))]) * rng.uniform(0.6, 1.05) for _ in range(many)]
    else:
        some = [rng.uniform(10, 250, 3) for _ in range(many)]
    return tuple((float(c[0]), float(c[1]), float(c[2])) for c in np.clip(some, 0, 255))


def choose_stock(rng: Rng, shortest: float, *, steel: bool = False) -> Stock:
    """Choose a material; `shortest` is the shortest member in spans, `steel` asks for a real bridge's."""
    names = list(_KINDS)
    chances = np.array([_KINDS[k][2] for k in names])
    kind = str(rng.choice(names, p=chances / chances.sum()))
    if steel:
        kind = str(rng.choice(["section", "section", "bar", "strip", "laced", "double"]))
    family, (low, high), _ = _KINDS[kind]
    width = float(
        min(
            np.exp(rng.uniform(np.log(low), np.log(high))), (0.22 if rng.random() < 0.12 else 0.17) * shortest
        )
    )
    lapped = (family == _FLAT and kind not in {"printed", "double"}) or kind in {
        "dowel",
        "skewer",
        "spaghetti",
    }
    overrun = rng.uniform(0.0, 0.6)
    if lapped and rng.random() < 0.45:
        overrun = rng.uniform(0.4, 2.2)
    elif rng.random() < 0.3:
        overrun = -rng.uniform(0.0, 0.8)
    return Stock(
        kind,
        family,
        width,
        _colours(rng, kind, family),
        float(overrun),
        float(rng.choice([0.0, 0.15, 0.5])),
        float(rng.choice([0.0, 0.0, 0.12, 0.3])) if not steel else 0.0,
        float(rng.uniform(0.06, 0.2)) if kind == "straw" and rng.random() < 0.5 else 0.0,
        float(rng.choice([0.0, 0.5, 1.0])) if kind == "straw" and rng.random() < 0.4 else 0.0,
    )


def fill(picture: Image, outline: Points, colour: Colour) -> None:
    """Fill a polygon (K, 2) in pixels."""
    # Far outside the picture the fixed-point numbers of OpenCV would overflow.
    points = np.clip(np.round(outline * (1 << _SHIFT)), -500_000, 500_000).astype(np.int32)
    cv2.fillPoly(picture, [points], colour, cv2.LINE_AA, _SHIFT)


def thin_line(picture: Image, path: Points, colour: Colour, width: float = 1.0) -> None:
    """Draw a line along a path (K, 2) in pixels."""
    points = np.clip(np.round(path * (1 << _SHIFT)), -500_000, 500_000).astype(np.int32)
    cv2.polylines(
        picture, [points.reshape(-1, 1, 2)], False, colour, max(1, round(width)), cv2.LINE_AA, _SHIFT
    )


@dataclass(frozen=True, eq=False)
class _Ribbon:
    """A member in the picture: its middle line, its side, its half width at every point."""

    path: Points
    side: Points
    half: Points

    def across(self, part: float) -> Points:
        """Return the line at a part of the half width aside, (K, 2)."""
        return self.path + self.side * (self.half * part)[:, None]

    def band(self, low: float, high: float) -> Points:
        """Return the outline between two parts of the half width."""
        return np.concatenate([self.across(low), self.across(high)[::-1]])

    def piece(self, start: float, end: float, wide: float = 1.0) -> Points:
        """Return the outline of a piece from one part of the length to another."""
        t = np.linspace(0, 1, len(self.path))
        ends = np.array([start, end])
        middle = np.stack([np.interp(ends, t, self.path[:, k]) for k in (0, 1)], 1)
        reach = self.side[0] * np.interp(ends, t, self.half)[:, None] * wide
        return np.concatenate([middle - reach, (middle + reach)[::-1]])


def _ribbon(path: Points, half: Points) -> _Ribbon:
    run = path[-1] - path[0]
    unit = run / max(float(np.hypot(*run)), 1e-6)
    return _Ribbon(path, np.tile(np.array([-unit[1], unit[0]]), (len(path), 1)), half)


def _round(rng: Rng, picture: Image, ribbon: _Ribbon, stock: Stock, colour: Colour) -> None:
    """Paint a round member: dark at the edges, a streak of light."""
    width = 2 * float(ribbon.half.mean())
    fill(picture, ribbon.band(-1, 1), shade(colour, 0.68 if width > 4 else 0.9))
    if width > 2.5:
        fill(picture, ribbon.band(-0.75, 0.7), shade(colour, 0.88))
        fill(picture, ribbon.band(-0.55, 0.3), colour)
    if stock.stripes and rng.random() < stock.stripes:
        length = float(np.hypot(*(ribbon.path[-1] - ribbon.path[0])))
        count = int(np.clip(length / max(2.2 * width, 5), 2, 40))
        other = shade(stock.palette[-1], 1.0) if len(stock.palette) > 1 else (245.0, 245.0, 245.0)
        for k in range(count):
            fill(picture, ribbon.piece((k + 0.1) / count, (k + 0.55) / count), other)
    if width > 4 and stock.kind not in {"paper", "spaghetti"}:
        fill(picture, ribbon.band(-0.42, -0.15), shade(colour, 1.3))
    if stock.kind == "paper" and width > 6:
        for k in range(1, 5):
            quad = ribbon.piece(k / 5, min(1.0, k / 5 + 0.06))
            thin_line(picture, quad[[0, 2]], shade(colour, 0.8))


def _flat(rng: Rng, picture: Image, ribbon: _Ribbon, stock: Stock, colour: Colour) -> None:
    """Paint a flat member: an edge in shade, grain, knots, the fold of a card."""
    width = 2 * float(ribbon.half.mean())
    lit = rng.choice([-1, 1])
    fill(picture, ribbon.band(-1, 1), colour)
    if width < 3:
        return
    if stock.kind == "card":
        fill(picture, ribbon.band(0.1 * lit, lit), shade(colour, rng.uniform(0.7, 0.9)))
    elif stock.kind == "strip" and rng.random() < 0.7:
        fill(picture, ribbon.band(0.35 * lit, lit), shade(colour, rng.uniform(0.6, 0.85)))
    elif stock.kind in {"craft", "strip", "ply"} and width > 5:
        for _ in range(int(rng.integers(1, 5))):
            thin_line(picture, ribbon.across(rng.uniform(-0.8, 0.8)), shade(colour, rng.uniform(0.82, 1.1)))
        if rng.random() < 0.15:
            at = ribbon.piece(*(rng.uniform(0.1, 0.9) + np.array([0, 0.02]))).mean(0)
            centre = np.round(at * 16).astype(int).tolist()
            cv2.circle(picture, tuple(centre), int(width * 3), shade(colour, 0.6), -1, cv2.LINE_AA, 4)
    edge = 0.35 if stock.kind == "ply" else rng.uniform(0.5, 0.85)
    thin_line(picture, ribbon.across(-lit), shade(colour, rng.uniform(0.8, 1.15)))
    thin_line(picture, ribbon.across(lit), shade(colour, edge), max(1.0, 0.08 * width))


def _pair(rng: Rng, picture: Image, ribbon: _Ribbon, stock: Stock, colour: Colour) -> None:
    """Paint two thin members side by side with a gap: held apart by blocks, or by lacing."""
    width = 2 * float(ribbon.half.mean())
    rail = rng.uniform(0.35, 0.65)
    dark = shade(colour, 0.6)
    length = float(np.hypot(*(ribbon.path[-1] - ribbon.path[0])))
    count = int(np.clip(length / max(1.3 * width, 3), 2, 26))
    if stock.kind == "laced" and width > 3:
        t = np.linspace(0, 1, count + 1)[:, None]
        zigzag = np.where(np.arange(count + 1) % 2 == 0, 0.8, -0.8)[:, None]
        reach = ribbon.side[0] * ribbon.half.mean()
        path = ribbon.path[0] + t * (ribbon.path[-1] - ribbon.path[0])
        thin_line(picture, path + zigzag * reach, shade(colour, 0.85), max(1, 0.12 * width))
        if rng.random() < 0.5:
            thin_line(picture, path - zigzag * reach, shade(colour, 0.85), max(1, 0.12 * width))
    elif rng.random() < 0.7:
        for k in range(1, int(rng.integers(1, 4))):
            fill(picture, ribbon.piece(k / 4, k / 4 + min(0.1, width / max(length, 1))), dark)
    for low, high in ((-1.0, -1.0 + rail), (1.0 - rail, 1.0)):
        fill(picture, ribbon.band(low, high), colour)
        if width > 5:
            thin_line(picture, ribbon.across(high), dark)


def _rounded(picture: Image, ribbon: _Ribbon, colour: Colour) -> None:
    """Round both ends of a craft stick."""
    for at, half in ((ribbon.path[0], ribbon.half[0]), (ribbon.path[-1], ribbon.half[-1])):
        centre = np.round(at * 16).astype(int).tolist()
        cv2.circle(picture, tuple(centre), max(1, int(half * 16)), colour, -1, cv2.LINE_AA, 4)


def _metal(rng: Rng, picture: Image, ribbon: _Ribbon, stock: Stock, colour: Colour) -> None:
    """Paint a strip with a row of holes, a bar, or a section with two flanges."""
    width = 2 * float(ribbon.half.mean())
    fill(picture, ribbon.band(-1, 1), colour)
    if width < 2.5:
        return
    light = shade(colour, 1.0 if rng.random() < 0.3 else rng.uniform(1.15, 1.6))
    dark = shade(colour, rng.uniform(0.4, 0.8))
    length = float(np.hypot(*(ribbon.path[-1] - ribbon.path[0])))
    if stock.kind == "section":
        fill(picture, ribbon.band(-0.6, 0.6), dark)
        thin_line(picture, ribbon.across(-0.95), light)
    elif stock.kind == "bar":
        fill(picture, ribbon.band(-0.5, 0.0), light)
    thin_line(picture, ribbon.across(1.0), dark)
    if stock.kind == "holes" and width > 4:
        count = int(np.clip(length / (1.5 * width), 2, 30))
        for k in range(count):
            at = ribbon.path[0] + (ribbon.path[-1] - ribbon.path[0]) * (k + 0.5) / count
            centre = np.round(at * 16).astype(int).tolist()
            cv2.circle(picture, tuple(centre), int(width * 16 * 0.22), dark, -1, cv2.LINE_AA, 4)


def _sleeves(picture: Image, ribbon: _Ribbon, stock: Stock, colour: Colour) -> None:
    """Paint the thicker, darker ends by which some straws hold to their connectors."""
    dark = shade(colour, 0.72)
    for start, end in ((0.0, stock.sleeve), (1 - stock.sleeve, 1.0)):
        fill(picture, ribbon.piece(start, end, 1.18), dark)
        if ribbon.half.mean() > 2.5:
            fill(picture, ribbon.piece(start, end, 0.35), colour)


def paint_member(
    rng: Rng, picture: Image, path: Points, half: Points, *, stock: Stock, colour: Colour
) -> None:
    """Paint one member along a path in pixels.

    Parameters
    ----------
    path : NDArray
        (K, 2) its middle line, ends included.
    half : NDArray
        (K,) half its width in pixels.
    """
    if stock.kind == "skewer" and len(path) == 2 and rng.random() < 0.6:  # pointed, as cocktail sticks are
        part = np.array([0.0, 0.06, 0.94, 1.0])[:, None]
        path, half = path[0] + part * (path[1] - path[0]), np.interp(part[:, 0], [0, 1], half)
        half = half * np.array([rng.choice([0.2, 1.0]), 1.0, 1.0, 0.2])
    ribbon = _ribbon(path, np.maximum(half, 0.55))
    painter = {_ROUND: _round, _FLAT: _flat, _METAL: _metal}[stock.family]
    if stock.kind in {"double", "laced"}:
        painter = _pair
    painter(rng, picture, ribbon, stock, colour)
    if stock.kind == "craft":
        _rounded(picture, ribbon, colour)
    if stock.sleeve:
        _sleeves(picture, ribbon, stock, colour)
