"""Sticks, straws, tubes and strips, and what holds them together at a joint, painted straight into a picture."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.pens import arc

__all__ = ["Material", "choose_material", "paint_joint", "paint_patch", "paint_stick"]

Points = NDArray[np.float64]
Photo = NDArray[np.uint8]
Colour = tuple[float, float, float]

SHIFT = 4
FAR = 30000.0


@dataclass(frozen=True)
class Material:
    """What members are made of. Lengths are in units of the model (about 1 long)."""

    kind: str
    """`craft` (flat, round ends), `strip` (square wood), `straw`, `tube` (rolled paper), `card` (folded) or `rod`."""
    width: float
    colours: tuple[Colour, ...]
    """A member takes one of these."""
    overlap: float = 0.0
    """How far a member runs past its joints."""
    sleeve: float = 0.0
    """Part of the length, at each end, that a connector's sleeve covers."""
    joint: str = "none"
    """`disc`, `plate`, `pin`, `glue`, `ball`, `tape` or `none`."""
    joint_size: float = 0.03
    """Radius."""
    joint_colours: tuple[Colour, ...] = ((60, 60, 60),)
    smooth: float = 0.0
    """Shine of a round member."""


_WOODS: tuple[Colour, ...] = ((222, 190, 142), (205, 168, 118), (233, 208, 168), (190, 146, 98), (214, 180, 138))
_BRIGHT: tuple[Colour, ...] = (
    (16, 116, 206), (238, 96, 30), (150, 205, 40), (215, 40, 50), (240, 200, 40), (130, 60, 160),
    (30, 160, 90), (240, 130, 180), (235, 235, 230), (40, 40, 44), (90, 190, 220),
)  # fmt: skip
_DULL: tuple[Colour, ...] = ((230, 228, 220), (200, 196, 186), (165, 130, 92), (90, 92, 96), (150, 152, 156))


def _any(rng: np.random.Generator, colours: tuple[Colour, ...], spread: float = 14.0) -> Colour:
    base = np.array(colours[int(rng.integers(len(colours)))]) + rng.normal(0, spread) + rng.normal(0, spread / 3, 3)
    r, g, b = np.clip(base, 8, 248)
    return float(r), float(g), float(b)


def choose_material(rng: np.random.Generator, kind: str) -> Material:
    """Return a material of a kind, with the joints that go with it."""
    many = int(rng.choice([1, 1, 1, 2, 3]))
    if kind in {"craft", "strip"}:
        wood = rng.random() < 0.85
        colours = tuple(_any(rng, _WOODS if wood else _BRIGHT) for _ in range(1 if wood else many))
        width = rng.uniform(0.028, 0.06) if kind == "craft" else rng.uniform(0.012, 0.032)
        joint = str(rng.choice(["plate", "plate", "pin", "glue", "none", "pin"]))
        overlap = width * (rng.uniform(0.3, 1.2) if kind == "craft" else rng.uniform(-0.2, 0.5))
        size = width * (rng.uniform(0.15, 0.3) if joint in {"pin", "glue"} else rng.uniform(0.9, 2.4))
        plates = (*_DULL, *_WOODS) if rng.random() < 0.7 else _BRIGHT
        return Material(
            kind, width, colours, overlap, joint=joint, joint_size=size, joint_colours=(_any(rng, plates),)
        )
    if kind == "card":
        width = rng.uniform(0.02, 0.05)
        joint = str(rng.choice(["plate", "plate", "pin"]))
        colours = (_any(rng, (*_DULL, *_BRIGHT)),)
        return Material(
            kind, width, colours, 0.2 * width, joint=joint, joint_size=width * 1.3, joint_colours=(_any(rng, _DULL),)
        )
    width = rng.uniform(0.011, 0.028) if kind != "rod" else rng.uniform(0.006, 0.014)
    joint = str(rng.choice(["disc", "disc", "disc", "ball", "tape", "none"]))
    colours = tuple(_any(rng, _BRIGHT if kind != "tube" else _DULL) for _ in range(many))
    hubs = tuple(_any(rng, _BRIGHT) for _ in range(int(rng.choice([1, 1, 2]))))
    if rng.random() < 0.35:
        hubs = colours[:1]
    return Material(
        kind,
        width,
        colours,
        overlap=0.0 if joint in {"disc", "ball"} else width * rng.uniform(-0.2, 0.6),
        sleeve=rng.uniform(0.04, 0.12) if joint == "disc" and rng.random() < 0.4 else 0.0,
        joint=joint,
        joint_size=max(width * rng.uniform(0.8, 1.6), 0.011),
        joint_colours=hubs,
        smooth=rng.uniform(0.1, 0.7),
    )


def _fixed(points: Points) -> NDArray[np.int32]:
    return np.round(np.clip(points, -FAR, FAR) * (1 << SHIFT)).astype(np.int32)


def _shade(colour: Colour, factor: float, lift: float = 0.0) -> Colour:
    r, g, b = (float(np.clip(c * factor + lift, 0, 255)) for c in colour)
    return r, g, b


def paint_patch(photo: Photo, points: Points, colour: Colour) -> None:
    """Fill a polygon (K, 2) of pixels."""
    cv2.fillPoly(photo, [_fixed(points)], colour, cv2.LINE_AA, SHIFT)


def _strip(a: Points, b: Points, wa: float, wb: float, shift: float = 0.0) -> Points:
    """Corners of a strip whose half widths at its ends are wa and wb, moved sideways by part `shift` of them."""
    along = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
    across = np.array([-along[1], along[0]])
    return np.stack(
        [a + across * wa * (shift + 1), b + across * wb * (shift + 1), b + across * wb * (shift - 1), a + across * wa * (shift - 1)]
    )


def _narrow(a: Points, b: Points, wa: float, wb: float, low: float, high: float) -> Points:
    """Corners of the part of a strip between two parts of its width, each -1 to 1."""
    along = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
    across = np.array([-along[1], along[0]])
    return np.stack([a + across * wa * high, b + across * wb * high, b + across * wb * low, a + across * wa * low])


def _round_end(centre: Points, along: Points, half: float) -> Points:
    angle = float(np.arctan2(along[1], along[0]))
    return arc(centre, half, (angle - np.pi / 2, angle + np.pi / 2), steps=12)


def paint_stick(
    photo: Photo,
    ends: Points,
    half: tuple[float, float],
    material: Material,
    *,
    rng: np.random.Generator,
    light: float,
    colour: Colour | None = None,
) -> None:
    """Paint one member.

    Parameters
    ----------
    ends
        (2, 2) pixels, where the member itself ends.
    half
        Half its width at either end, in pixels.
    light
        Radians: where in the picture the light comes from.
    """
    a, b = ends
    length = float(np.hypot(*(b - a)))
    if length < 1:
        return
    base = material.colours[int(rng.integers(len(material.colours)))] if colour is None else colour
    base = _shade(base, rng.uniform(0.92, 1.06))
    along = (b - a) / length
    across = np.array([-along[1], along[0]])
    lit = float(np.sign(across @ np.array([np.cos(light), np.sin(light)])) or 1.0)
    wa, wb = (max(0.6, w) for w in half)
    if material.kind == "craft":
        outline = np.concatenate([_round_end(b, along, wb), _round_end(a, -along, wa)])
        paint_patch(photo, outline, _shade(base, 0.72))
        inner = np.concatenate([_round_end(b - along, along, wb * 0.9), _round_end(a + along, -along, wa * 0.9)])
        paint_patch(photo, inner + across * lit * wa * 0.08, base)
        _grain(photo, (a, b), (wa, wb), base, rng)
    elif material.kind == "strip":
        paint_patch(photo, _strip(a, b, wa, wb), _shade(base, 0.62))
        paint_patch(photo, _narrow(a, b, wa, wb, *sorted((lit * 1.0, -lit * 0.45))), base)
        _grain(photo, (a, b), (wa * 0.6, wb * 0.6), base, rng)
    elif material.kind == "card":
        paint_patch(photo, _narrow(a, b, wa, wb, -1, 0.1), _shade(base, 0.75 if lit > 0 else 1.05))
        paint_patch(photo, _narrow(a, b, wa, wb, 0.1, 1), _shade(base, 1.05 if lit > 0 else 0.75))
    else:
        steps = ((-1.0, 1.0, 0.62), (-0.75, 0.92, 0.82), (-0.4, 0.85, 1.0), (0.05, 0.7, 1.12), (0.3, 0.55, 1.25))
        for low, high, factor in steps if max(wa, wb) > 2 else steps[1:4:2]:
            lift = 40 * material.smooth if factor > 1.2 else 0.0
            paint_patch(photo, _narrow(a, b, wa, wb, *sorted((low * lit, high * lit))), _shade(base, factor, lift))
        if material.kind == "straw" and rng.random() < 0.15:
            for t in np.arange(0.05, 0.95, 4 * wa / length):
                p = a + along * length * t
                paint_patch(photo, _strip(p, p + along * wa, wa, wa), (245, 245, 240))
    if material.sleeve:
        for p, q, w in ((a, b, wa), (b, a, wb)):
            paint_patch(photo, _strip(p, p + (q - p) * material.sleeve, w * 1.15, w * 1.05), _shade(base, 0.6))


def _grain(photo: Photo, ends: tuple[Points, Points], half: tuple[float, float], base: Colour, rng: np.random.Generator) -> None:
    if max(half) < 3:
        return
    a, b = ends
    for _ in range(int(rng.integers(2, 7))):
        where = rng.uniform(-0.8, 0.8)
        s, t = np.sort(rng.uniform(0, 1, 2))
        thin = _narrow(a + (b - a) * s, a + (b - a) * t, half[0], half[1], where, where + rng.uniform(0.03, 0.12))
        paint_patch(photo, thin, _shade(base, rng.uniform(0.86, 1.07)))


def _plate(rng: np.random.Generator, radius: float) -> Points:
    """Outline of a gusset plate about 0, 0: round, square, many-cornered or cut anyhow."""
    kind = rng.random()
    if kind < 0.3:
        return arc(np.zeros(2), radius, (0, 2 * np.pi), steps=28)
    if kind < 0.6:
        wide, high = radius * rng.uniform(0.7, 1.4), radius * rng.uniform(0.6, 1.1)
        corners = np.array([[-wide, -high], [wide, -high], [wide, high], [-wide, high]])
        turn = rng.choice([0.0, rng.uniform(-0.5, 0.5)])
        return np.asarray(corners @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]))
    count = int(rng.integers(3, 8))
    angles = np.sort(np.linspace(0, 2 * np.pi, count, endpoint=False) + rng.uniform(-0.25, 0.25, count))
    spread = rng.uniform(0.75, 1.2, count) * radius
    return np.column_stack([np.cos(angles), np.sin(angles)]) * spread[:, None]


def paint_joint(
    photo: Photo,
    flat: NDArray[np.float64],
    centre: Points,
    material: Material,
    *,
    rng: np.random.Generator,
    light: float,
) -> None:
    """Paint what holds members together.

    Parameters
    ----------
    flat
        (2, 2) what one unit of the model to the right and one down is in pixels, in rows.
    centre
        (2,) pixels.
    """
    size = material.joint_size
    colours = material.joint_colours
    base = _shade(colours[int(rng.integers(len(colours)))], rng.uniform(0.9, 1.08))
    toward = np.array([np.cos(light), np.sin(light)]) * size * float(np.hypot(*flat[0]))

    def ring(radius: float) -> Points:
        return np.asarray(arc(np.zeros(2), radius, (0, 2 * np.pi), steps=28) @ flat + centre)

    if material.joint == "disc":
        paint_patch(photo, ring(size) - toward * 0.12, _shade(base, 0.5))
        paint_patch(photo, ring(size), base)
        paint_patch(photo, ring(size * 0.62), _shade(base, 0.8))
        if rng.random() < 0.7:
            paint_patch(photo, ring(size * rng.uniform(0.2, 0.42)), _any(rng, (*_BRIGHT, *_DULL)))
    elif material.joint == "ball":
        for part, factor in ((1.0, 0.62), (0.86, 0.85), (0.62, 1.02), (0.3, 1.2)):
            paint_patch(photo, ring(size * part) + toward * (1 - part) * 0.55, _shade(base, factor))
    elif material.joint == "plate":
        outline = _plate(rng, size) @ flat + centre
        paint_patch(photo, outline - toward * 0.05, _shade(base, 0.55))
        paint_patch(photo, outline, base)
        if rng.random() < 0.5:
            paint_patch(photo, ring(size * 0.13), _shade(base, 0.45))
    elif material.joint == "pin":
        paint_patch(photo, ring(size) - toward * 0.15, (40, 36, 32))
        paint_patch(photo, ring(size), base)
        paint_patch(photo, ring(size * 0.45) + toward * 0.25, _shade(base, 1.3, 20))
    elif material.joint == "glue":
        blob = arc(np.zeros(2), size, (0, 2 * np.pi), steps=20) * (1 + rng.normal(0, 0.18, (20, 1)))
        paint_patch(photo, blob @ flat + centre, (222, 214, 190))
        paint_patch(photo, ring(size * 0.3) + toward * 0.3, (250, 250, 245))
    elif material.joint == "tape":
        turn = rng.uniform(0, np.pi)
        corners = np.array([[-1.5, -0.8], [1.5, -0.8], [1.5, 0.8], [-1.5, 0.8]]) * size
        corners = corners @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        paint_patch(photo, corners @ flat + centre, _shade(base, 1.0))
