"""What holds members together at a joint: rings, plates, balls, glue, lashings, tape, bolts."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.stock import VIVID, Stock, fill, shade, thin_line

__all__ = ["Knot", "choose_knot", "paint_knot"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]
Colour = tuple[float, float, float]

_BY_FAMILY: dict[str, dict[str, float]] = {
    "round": {"ring": 0.3, "disc": 0.1, "ball": 0.16, "hub": 0.1, "none": 0.1, "glue": 0.08, "tape": 0.06,
              "lash": 0.06, "plate": 0.04},
    "flat": {"none": 0.2, "plate": 0.2, "glue": 0.12, "pin": 0.12, "bolt": 0.1, "tape": 0.07, "lash": 0.07,
             "disc": 0.04, "staple": 0.05, "ring": 0.03},
    "metal": {"plate": 0.42, "bolt": 0.3, "none": 0.18, "pin": 0.1},
}  # fmt: skip


@dataclass(frozen=True)
class Knot:
    """The joints of one model."""

    kind: str
    size: float
    """Radius in spans."""
    colours: tuple[Colour, ...]
    outline: str
    """Of plates: `hull`, `round`, `square`, `many`."""
    straight: bool
    """Plates stand square; else each is turned as it came."""
    peg: bool
    """A peg sticks out of rings and discs."""


def choose_knot(rng: Rng, stock: Stock, shortest: float) -> Knot:
    """Choose how the members of a stock are joined; `shortest` is the shortest member in spans."""
    table = _BY_FAMILY[stock.family]
    kind = str(rng.choice(list(table), p=np.array(list(table.values())) / sum(table.values())))
    part = rng.uniform(0.75, 2.2) * stock.width
    if kind in {"ball", "ring", "disc", "hub"}:
        part = max(part, rng.uniform(0.008, 0.022))
    if kind in {"pin", "bolt"}:
        part = rng.uniform(0.18, 0.42) * stock.width
    # Large round connectors leave little of short members to be seen; plates reach beyond their size.
    most = {"plate": 0.19, "tape": 0.19, "hub": 0.2}.get(kind, 0.33 if rng.random() < 0.25 else 0.22)
    size = float(min(part * (1.8 if rng.random() < 0.12 else 1.0), most * shortest))
    tone = stock.palette[int(rng.integers(len(stock.palette)))]
    if kind == "glue":
        some = [tone, (235.0, 230.0, 215.0), (200.0, 170.0, 110.0)]
    elif rng.random() < 0.35:
        some = [shade(tone, rng.uniform(0.55, 1.25))]
    else:
        bright = [VIVID[int(rng.integers(len(VIVID)))] for _ in range(int(rng.choice([1, 1, 2])))]
        some = [shade((float(r), float(g), float(b)), rng.uniform(0.6, 1.05)) for r, g, b in bright]
    return Knot(
        kind, size, tuple(some), str(rng.choice(["hull", "hull", "round", "square", "many"])),
        bool(rng.random() < 0.5), bool(rng.random() < 0.5),
    )  # fmt: skip


def _circle(picture: Image, at: Points, radius: float, colour: Colour) -> None:
    centre = np.clip(np.round(at * 16), -500_000, 500_000).astype(int).tolist()
    cv2.circle(picture, tuple(centre), max(8, int(radius * 16)), colour, -1, cv2.LINE_AA, 4)


@dataclass(frozen=True, eq=False)
class _Place:
    """One joint in the picture."""

    at: Points
    """(2,) pixels."""
    frame: Points
    """(2, 2) where a unit to the right and a unit down in the plane of the frame come to lie, per pixel."""
    spokes: Points
    """(K, 2) unit vectors along the members."""
    size: float
    """Radius of the knot, pixels."""
    width: float
    """Width of the members, pixels."""

    def disc(self, radius: float, count: int = 20, turn: float = 0.0) -> Points:
        """Return the outline of a regular polygon lying in the plane."""
        t = turn + np.arange(count) * 2 * np.pi / count
        return np.asarray(self.at + np.stack([np.cos(t), np.sin(t)], 1) @ self.frame * radius)


def _ring(rng: Rng, picture: Image, place: _Place, knot: Knot, colour: Colour) -> None:
    """Paint a round connector, with a hole or without, and perhaps the peg through it."""
    thick = np.array([0.0, rng.uniform(0.0, 0.25) * place.size])
    fill(picture, place.disc(place.size) + thick, shade(colour, 0.6))
    fill(picture, place.disc(place.size), colour)
    if place.size > 4:
        fill(picture, place.disc(place.size * 0.8) - thick * 0.3, shade(colour, 1.12))
    if knot.kind == "ring":
        inner = shade(colour, float(rng.choice([0.35, 0.5, 1.6])))
        if rng.random() < 0.3:
            inner = tuple(float(v) for v in VIVID[int(rng.integers(len(VIVID)))])  # type: ignore[assignment]
        fill(picture, place.disc(place.size * rng.uniform(0.25, 0.5)), inner)
    if knot.peg:
        way = rng.normal(0, 1, 2)
        tip = place.at + way / np.hypot(*way) * place.size * rng.uniform(0.6, 2.2)
        thin_line(picture, np.stack([place.at, tip]), shade(knot.colours[-1], 1.1), 0.35 * place.width)


def _ball(rng: Rng, picture: Image, place: _Place, knot: Knot, colour: Colour) -> None:
    """Paint a ball of clay, a gumdrop, a marshmallow: round, or pressed out of shape."""
    radius = place.size * rng.uniform(0.85, 1.2)
    if rng.random() < 0.5:
        t = np.linspace(0, 2 * np.pi, 18, endpoint=False)
        r = radius * (1 + rng.uniform(0, 0.22) * np.sin(t * rng.integers(2, 4) + rng.uniform(0, 6)))
        outline = place.at + np.stack([np.cos(t) * r, np.sin(t) * r * rng.uniform(0.8, 1.1)], 1)
        fill(picture, outline, shade(colour, 0.75))
        fill(picture, (outline - place.at) * 0.75 + place.at - radius * 0.12, colour)
    else:
        _circle(picture, place.at, radius, shade(colour, 0.7))
        _circle(picture, place.at - radius * 0.14, radius * 0.78, colour)
    if radius > 4 and knot.straight:
        _circle(picture, place.at - radius * 0.35, radius * 0.22, shade(colour, 1.5))


def _plate_outline(rng: Rng, place: _Place, knot: Knot) -> Points:
    reach = place.size * rng.uniform(1.2, 2.1)
    if knot.outline == "round":
        return place.disc(reach * 0.85, 24)
    if knot.outline == "square":
        turn = np.pi / 4 if knot.straight else rng.uniform(0, np.pi)
        long = np.array([rng.uniform(0.8, 1.2), 0.85])
        return np.asarray(place.at + (place.disc(reach, 4, turn) - place.at) * long)
    if knot.outline == "many":
        return place.disc(reach, int(rng.integers(5, 9)), rng.uniform(0, np.pi))
    sides = np.stack([-place.spokes[:, 1], place.spokes[:, 0]], 1) * place.width * 0.6
    tips = place.at + place.spokes * reach
    points = np.vstack([tips + sides, tips - sides, place.at + rng.normal(0, place.size * 0.4, (3, 2))])
    return np.asarray(cv2.convexHull(points.astype(np.float32)).reshape(-1, 2), np.float64)


def _plate(rng: Rng, picture: Image, place: _Place, knot: Knot, colour: Colour) -> None:
    """Paint a gusset plate, with rivets or without."""
    outline = _plate_outline(rng, place, knot)
    # Set on by hand: the middle of a plate is not quite the joint.
    outline = outline + rng.normal(0, 0.08 * place.size, 2)
    fill(picture, outline + np.array([0.0, max(1.0, 0.1 * place.size)]), shade(colour, 0.6))
    fill(picture, outline, colour)
    if place.size > 5 and rng.random() < 0.6:
        thin_line(picture, np.vstack([outline, outline[:1]]), shade(colour, rng.uniform(0.55, 1.3)))
    if place.size > 4 and knot.peg:
        dots = shade(colour, float(rng.choice([0.4, 1.5])))
        for spoke in place.spokes:
            for step in (0.55, 1.0):
                _circle(picture, place.at + spoke * place.size * step, max(1.0, 0.13 * place.width), dots)


def _glue(rng: Rng, picture: Image, place: _Place, knot: Knot, colour: Colour) -> None:
    """Let glue ooze out beside the joint."""
    del knot
    for _ in range(int(rng.integers(1, 4))):
        at = place.at + rng.normal(0, 0.45 * place.size, 2)
        tone = shade(colour, rng.uniform(0.8, 1.15))
        _circle(picture, at, rng.uniform(0.2, 0.55) * place.size, tone)


def _wraps(rng: Rng, picture: Image, place: _Place, knot: Knot, colour: Colour) -> None:
    """Lash with string, wire or a rubber band; or wrap tape round; or drive staples."""
    if knot.kind == "tape":
        for spoke in place.spokes[rng.random(len(place.spokes)) < 0.7]:
            turn = rng.normal(0, 0.4)
            c, s = np.cos(turn), np.sin(turn)
            along = np.array([c * spoke[0] - s * spoke[1], s * spoke[0] + c * spoke[1]])
            side = np.array([-along[1], along[0]])
            a, b = along * place.size * rng.uniform(0.9, 1.6), side * place.width * rng.uniform(0.5, 0.9)
            centre = place.at + rng.normal(0, 0.1 * place.size, 2)
            fill(
                picture,
                centre + np.array([a + b, a - b, -a - b, -a + b]),
                shade(colour, rng.uniform(0.9, 1.1)),
            )
        return
    count = int(rng.integers(3, 8)) if knot.kind == "lash" else 2
    length = place.width * (rng.uniform(0.7, 1.1) if knot.kind == "lash" else 0.4)
    for _ in range(count):
        turn = rng.choice([0.7, -0.7, 2.3, 0.0]) + rng.normal(0, 0.15)
        way = np.array([np.cos(turn), np.sin(turn)]) * length
        at = place.at + rng.normal(0, 0.18 * place.width, 2)
        thin_line(picture, np.stack([at - way, at + way]), shade(colour, rng.uniform(0.7, 1.2)),
                  max(1.0, 0.1 * place.width))  # fmt: skip


def _bolt(rng: Rng, picture: Image, place: _Place, knot: Knot, colour: Colour) -> None:
    """Paint the head of a pin, screw or bolt, its shadow and its glint."""
    radius = max(1.2, place.size)
    _circle(
        picture, place.at + rng.normal(0, 0.05 * place.width, 2) + 0.3 * radius, radius, (40.0, 38.0, 36.0)
    )
    if knot.kind == "bolt":
        fill(picture, place.disc(radius * 1.15, 6, rng.uniform(0, 1)), shade(colour, 0.8))
    else:
        _circle(picture, place.at, radius, colour)
    if radius > 2.5:
        _circle(picture, place.at - radius * 0.3, radius * 0.3, shade(colour, 1.6))


def _hub(rng: Rng, picture: Image, place: _Place, knot: Knot, colour: Colour) -> None:
    """Paint a connector with a stub along every member, or a star with stubs all round."""
    spokes = place.spokes
    if knot.straight:
        turn = np.arange(8) * np.pi / 4
        spokes = np.stack([np.cos(turn), np.sin(turn)], 1) @ place.frame
    for spoke in spokes:
        side = np.array([-spoke[1], spoke[0]]) * place.width * 0.62
        tip = place.at + spoke * place.size * (1.4 if knot.straight else 1.9)
        fill(
            picture, np.array([place.at + side, tip + side, tip - side, place.at - side]), shade(colour, 0.85)
        )
    _circle(picture, place.at, place.size * rng.uniform(0.7, 1.0), colour)
    if knot.peg:
        _circle(picture, place.at, place.size * 0.35, shade(colour, 0.4))


_PAINTERS = {
    "ring": _ring, "disc": _ring, "ball": _ball, "plate": _plate, "glue": _glue, "tape": _wraps,
    "lash": _wraps, "staple": _wraps, "pin": _bolt, "bolt": _bolt, "hub": _hub,
}  # fmt: skip


def paint_knot(
    rng: Rng,
    picture: Image,
    knot: Knot,
    *,
    at: Points,
    frame: Points,
    spokes: Points,
    span: float,
    stock: Stock,
    tone: float = 1.0,
) -> None:
    """Paint what holds the members together at one joint.

    Parameters
    ----------
    at : NDArray
        (2,) the joint in pixels.
    frame : NDArray
        (2, 2) rows: where a unit right and a unit down in the frame's plane come to lie, for one pixel each.
    spokes : NDArray
        (K, 2) unit vectors along the members there.
    span : float
        Pixels a span at the joint.
    tone : float
        Makes the colours darker behind.
    """
    painter = _PAINTERS.get(knot.kind)
    if painter is None or (len(spokes) == 0 and knot.kind in {"plate", "tape", "hub"}):
        return
    colour = shade(knot.colours[int(rng.integers(len(knot.colours)))], tone)
    place = _Place(at, frame, spokes, max(1.5, knot.size * span), stock.width * span)
    painter(rng, picture, place, knot, colour)
