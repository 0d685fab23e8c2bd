"""What holds the members of a model together at a joint: discs, plates, pins, glue, balls and tape."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from vision.training.paint import Colour, Photo, Points, any_colour, paint_patch, shade
from vision.training.pens import arc
from vision.training.sticks import BRIGHT, DULL, Material

__all__ = ["paint_joint"]


@dataclass(frozen=True, eq=False)
class _Spot:
    """Where a joint is and what a length in the model is there."""

    photo: Photo
    flat: Points
    """(2, 2) what one unit to the right and one down is in pixels, in rows."""
    centre: Points
    toward: Points
    """(2,) pixels: the joint's size in the direction of the light."""
    size: float

    def ring(self, radius: float) -> Points:
        """Return a circle of the model's plane in pixels."""
        return np.asarray(arc(np.zeros(2), radius, (0, 2 * np.pi), steps=28) @ self.flat + self.centre)


def _disc(spot: _Spot, base: Colour, rng: np.random.Generator) -> None:
    size = spot.size
    paint_patch(spot.photo, spot.ring(size) - spot.toward * 0.12, shade(base, 0.5))
    paint_patch(spot.photo, spot.ring(size), base)
    paint_patch(spot.photo, spot.ring(size * rng.uniform(0.5, 0.75)), shade(base, 0.8))
    if rng.random() < 0.7:
        paint_patch(spot.photo, spot.ring(size * rng.uniform(0.15, 0.42)), any_colour(rng, (*BRIGHT, *DULL)))


def _ball(spot: _Spot, base: Colour, _: np.random.Generator) -> None:
    for part, factor in ((1.0, 0.62), (0.86, 0.85), (0.62, 1.02), (0.3, 1.2)):
        outline = spot.ring(spot.size * part) + spot.toward * (1 - part) * 0.55
        paint_patch(spot.photo, outline, shade(base, factor))


def _outline(rng: np.random.Generator, radius: float) -> Points:
    """Return the outline of a plate about 0, 0: round, square, many-cornered or cut anyhow."""
    kind = rng.random()
    if kind < 0.3:
        return arc(np.zeros(2), radius, (0, 2 * np.pi), steps=28)
    if kind < 0.6:
        wide, high = radius * rng.uniform(0.7, 1.4), radius * rng.uniform(0.6, 1.1)
        turn = float(rng.choice([0.0, rng.uniform(-0.5, 0.5)]))
        corners = np.array([[-wide, -high], [wide, -high], [wide, high], [-wide, high]])
        return np.asarray(corners @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]))
    count = int(rng.integers(3, 8))
    angles = np.linspace(0, 2 * np.pi, count, endpoint=False) + rng.uniform(-0.25, 0.25, count)
    spread = rng.uniform(0.75, 1.2, count) * radius
    return np.column_stack([np.cos(angles), np.sin(angles)]) * spread[:, None]


def _plate(spot: _Spot, base: Colour, rng: np.random.Generator) -> None:
    outline = _outline(rng, spot.size) @ spot.flat + spot.centre
    paint_patch(spot.photo, outline - spot.toward * 0.05, shade(base, 0.55))
    paint_patch(spot.photo, outline, base)
    if rng.random() < 0.5:
        paint_patch(spot.photo, spot.ring(spot.size * 0.13), shade(base, 0.45))


def _pin(spot: _Spot, base: Colour, _: np.random.Generator) -> None:
    paint_patch(spot.photo, spot.ring(spot.size) - spot.toward * 0.15, (40, 36, 32))
    paint_patch(spot.photo, spot.ring(spot.size), base)
    paint_patch(spot.photo, spot.ring(spot.size * 0.45) + spot.toward * 0.25, shade(base, 1.3, 20))


def _glue(spot: _Spot, _: Colour, rng: np.random.Generator) -> None:
    blob = arc(np.zeros(2), spot.size, (0, 2 * np.pi), steps=20) * (1 + rng.normal(0, 0.18, (20, 1)))
    paint_patch(spot.photo, blob @ spot.flat + spot.centre, (222, 214, 190))
    paint_patch(spot.photo, spot.ring(spot.size * 0.3) + spot.toward * 0.3, (250, 250, 245))


def _tape(spot: _Spot, base: Colour, rng: np.random.Generator) -> None:
    turn = rng.uniform(0, np.pi)
    corners = np.array([[-1.5, -0.8], [1.5, -0.8], [1.5, 0.8], [-1.5, 0.8]]) * spot.size
    turned = corners @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    paint_patch(spot.photo, turned @ spot.flat + spot.centre, base)


_PAINTERS: dict[str, Callable[[_Spot, Colour, np.random.Generator], None]] = {
    "disc": _disc,
    "ball": _ball,
    "plate": _plate,
    "pin": _pin,
    "glue": _glue,
    "tape": _tape,
}


def paint_joint(
    photo: Photo, flat: Points, centre: Points, material: Material, *, rng: np.random.Generator, light: float
) -> None:
    """Paint the joint of a material, if it has one to see.

    Parameters
    ----------
    flat
        (2, 2) what one unit of the model to the right and one down is in pixels, in rows.
    centre
        (2,) pixels.
    light
        Radians: where in the picture the light comes from.
    """
    painter = _PAINTERS.get(material.joint)
    if painter is None:
        return
    colours = material.joint_colours
    base = shade(colours[int(rng.integers(len(colours)))], rng.uniform(0.9, 1.08))
    toward = np.array([np.cos(light), np.sin(light)]) * material.joint_size * float(np.hypot(*flat[0]))
    painter(_Spot(photo, flat, centre, toward, material.joint_size), base, rng)
