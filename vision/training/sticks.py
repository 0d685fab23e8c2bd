"""What models are built of: craft sticks, strips, card, straws, tubes and rods."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vision.training.paint import Colour, Photo, Points, any_colour, paint_patch, ribbon, shade
from vision.training.pens import arc

__all__ = ["BRIGHT", "DULL", "Material", "choose_material", "paint_stick"]

WOODS: tuple[Colour, ...] = (
    (222, 190, 142),
    (205, 168, 118),
    (233, 208, 168),
    (190, 146, 98),
    (150, 104, 66),
)
BRIGHT: tuple[Colour, ...] = (
    (16, 116, 206), (238, 96, 30), (150, 205, 40), (215, 40, 50), (240, 200, 40), (130, 60, 160),
    (30, 160, 90), (240, 130, 180), (235, 235, 230), (40, 40, 44), (90, 190, 220),
)  # fmt: skip
DULL: tuple[Colour, ...] = (
    (230, 228, 220), (200, 196, 186), (165, 130, 92), (90, 92, 96), (150, 152, 156), (60, 58, 56),
)  # fmt: skip
LEAST_DETAIL = 2.5
"""Half width in pixels below which the grain of wood and the fine shades of a tube are left out."""


@dataclass(frozen=True)
class Material:
    """What members are made of. Lengths are in units of the model (about 1 long)."""

    kind: str
    """`craft` (flat, round ends), `strip` (square wood), `card` (folded), `straw`, `tube` or `rod`."""
    width: float
    colours: tuple[Colour, ...]
    """A member takes one of these."""
    overlap: float = 0.0
    """How far a member runs past its joints; negative stops short."""
    sleeve: float = 0.0
    """Part of the length, at each end, that a connector's sleeve covers."""
    bow: float = 0.0
    """Sag of a member in parts of its length."""
    stripes: float = 0.0
    """Chance that a member is a striped straw."""
    joint: str = "none"
    """`disc`, `plate`, `pin`, `glue`, `ball`, `tape` or `none`."""
    joint_size: float = 0.03
    """Radius."""
    joint_colours: tuple[Colour, ...] = ((60, 60, 60),)
    smooth: float = 0.0
    """Shine of a round member, 0 to 1."""


def choose_material(rng: np.random.Generator, kind: str) -> Material:
    """Return a material of a kind, with the joints that go with it."""
    many = int(rng.choice([1, 1, 1, 2, 3]))
    bow = abs(rng.normal(0, 0.006)) if rng.random() < 0.4 else 0.0
    if kind in {"craft", "strip"}:
        wood = rng.random() < 0.85
        colours = tuple(any_colour(rng, WOODS if wood else BRIGHT) for _ in range(1 if wood else many))
        width = rng.uniform(0.028, 0.06) if kind == "craft" else rng.uniform(0.012, 0.034)
        joint = str(rng.choice(["plate", "plate", "pin", "glue", "none", "pin"]))
        past = rng.uniform(0.3, 1.2) if kind == "craft" else rng.uniform(-0.2, 0.5)
        size = width * (rng.uniform(0.15, 0.3) if joint in {"pin", "glue"} else rng.uniform(0.9, 2.4))
        plates = (*DULL, *WOODS) if rng.random() < 0.7 else BRIGHT
        return Material(
            kind,
            width,
            colours,
            past * width,
            bow=bow * 0.4,
            joint=joint,
            joint_size=size,
            joint_colours=(any_colour(rng, plates),),
        )
    if kind == "card":
        width = rng.uniform(0.02, 0.05)
        joint = str(rng.choice(["plate", "plate", "pin"]))
        return Material(
            kind,
            width,
            (any_colour(rng, (*DULL, *BRIGHT)),),
            overlap=0.2 * width,
            joint=joint,
            joint_size=width * (1.3 if joint == "plate" else 0.25),
            joint_colours=(any_colour(rng, DULL),),
        )
    width = rng.uniform(0.011, 0.028) if kind != "rod" else rng.uniform(0.006, 0.014)
    joint = str(rng.choice(["disc", "disc", "disc", "ball", "tape", "none"]))
    colours = tuple(any_colour(rng, BRIGHT if kind != "tube" else DULL) for _ in range(many))
    hubs = tuple(any_colour(rng, BRIGHT) for _ in range(int(rng.choice([1, 1, 2]))))
    if rng.random() < 0.35:
        hubs = colours[:1]
    return Material(
        kind,
        width,
        colours,
        overlap=0.0 if joint in {"disc", "ball"} else width * rng.uniform(-0.2, 0.6),
        sleeve=rng.uniform(0.04, 0.14) if joint == "disc" and rng.random() < 0.4 else 0.0,
        bow=bow,
        stripes=0.5 if kind == "straw" and rng.random() < 0.15 else 0.0,
        joint=joint,
        joint_size=max(width * rng.uniform(0.7, 1.7), 0.01),
        joint_colours=hubs,
        smooth=rng.uniform(0.1, 0.7),
    )


def _round_end(centre: Points, along: Points, half: float) -> Points:
    angle = float(np.arctan2(along[1], along[0]))
    return arc(centre, half, (angle - np.pi / 2, angle + np.pi / 2), steps=12)


def _craft(photo: Photo, line: Points, half: Points, base: Colour, lit: float) -> None:
    first, last = line[1] - line[0], line[-1] - line[-2]
    for size, colour in ((1.0, shade(base, 0.7)), (0.9, base)):
        band = ribbon(line, half * size)
        count = len(line)
        outline = np.concatenate(
            [
                band[:count],
                _round_end(line[-1], last, float(half[-1]) * size)[::-1],
                band[count:],
                _round_end(line[0], -first, float(half[0]) * size)[::-1],
            ]
        )
        shift = 0.0 if size == 1.0 else lit * float(half[0]) * 0.07
        across = np.array([-first[1], first[0]]) / max(float(np.hypot(*first)), 1e-9)
        paint_patch(photo, outline + across * shift, colour)


def _grain(photo: Photo, line: Points, half: Points, base: Colour, rng: np.random.Generator) -> None:
    if float(half.max()) < LEAST_DETAIL:
        return
    count = len(line)
    for _ in range(int(rng.integers(2, 8))):
        where = rng.uniform(-0.8, 0.75)
        start = int(rng.integers(0, count - 2))
        stop = int(rng.integers(start + 2, count + 1))
        part = (where, where + rng.uniform(0.03, 0.12))
        thin = ribbon(line[start:stop], half[start:stop], part=part)
        paint_patch(photo, thin, shade(base, rng.uniform(0.84, 1.08)))


_ROUND = ((-1.0, 1.0, 0.62), (-0.75, 0.92, 0.82), (-0.4, 0.85, 1.0), (0.05, 0.7, 1.12), (0.3, 0.55, 1.25))
"""From the dark edge to the shine of a round member: from and to across it, and its shade."""


def _tube(photo: Photo, line: Points, half: Points, base: Colour, *, lit: float, smooth: float) -> None:
    for low, high, factor in _ROUND if float(half.max()) > LEAST_DETAIL else _ROUND[1:4:2]:
        lift = 40 * smooth if factor > 1.2 else 0.0
        paint_patch(photo, ribbon(line, half, part=(low * lit, high * lit)), shade(base, factor, lift))


def paint_stick(
    photo: Photo,
    line: Points,
    half: Points,
    material: Material,
    *,
    rng: np.random.Generator,
    light: float,
    colour: Colour | None = None,
) -> None:
    """Paint one member.

    Parameters
    ----------
    line
        (K, 2) pixels, K at least 3, along its middle from end to end.
    half
        (K,) half its width in pixels.
    light
        Radians: where in the picture the light comes from.
    colour
        None takes one of the material's.
    """
    way = line[-1] - line[0]
    length = float(np.hypot(*way))
    if length < 1:
        return
    base = material.colours[int(rng.integers(len(material.colours)))] if colour is None else colour
    base = shade(base, rng.uniform(0.92, 1.06))
    across = np.array([-way[1], way[0]])
    lit = 1.0 if across @ np.array([np.cos(light), np.sin(light)]) > 0 else -1.0
    half = np.maximum(half, 0.6)
    if material.kind == "craft":
        _craft(photo, line, half, base, lit)
        _grain(photo, line, half, base, rng)
    elif material.kind == "strip":
        paint_patch(photo, ribbon(line, half), shade(base, 0.62))
        paint_patch(photo, ribbon(line, half, part=(lit, -0.45 * lit)), base)
        _grain(photo, line, half * 0.5, base, rng)
    elif material.kind == "card":
        paint_patch(photo, ribbon(line, half, part=(-1, 0.1)), shade(base, 0.9 - 0.15 * lit))
        paint_patch(photo, ribbon(line, half, part=(0.1, 1)), shade(base, 0.9 + 0.15 * lit))
    else:
        _tube(photo, line, half, base, lit=lit, smooth=material.smooth)
    if material.stripes and rng.random() < material.stripes:
        for t in np.arange(0.05, 0.95, max(4 * float(half[0]) / length, 0.02)):
            at = line[0] + way * t
            paint_patch(
                photo, ribbon(np.stack([at, at + way * float(half[0]) / length]), half[:2]), (245, 245, 240)
            )
    if material.sleeve:
        for end, inner, wide in ((line[0], line[1], half[:2]), (line[-1], line[-2], half[-2:])):
            toward = (inner - end) / max(float(np.hypot(*(inner - end))), 1e-9)
            cover = np.stack([end, end + toward * material.sleeve * length])
            paint_patch(photo, ribbon(cover, wide * 1.12), shade(base, 0.6))
