"""Lattice bridges of wood or metal: many crossing members, gussets, two planes, a full room behind."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from vision.training.built import Build, choose_build
from vision.training.paint import any_colour
from vision.training.shape import Shape, at_ends, chain, shape_of, some_pulls
from vision.training.shapes import make_shape
from vision.training.sticks import DULL, Material

__all__ = ["choose_lattice_build", "lattice_shape"]

_METALS = ((120, 126, 132), (70, 76, 84), (150, 60, 44), (60, 96, 80), (190, 194, 198), (44, 44, 48))
"""Grey, dark and painted metal."""
_KNOWN = ("pratt", "howe", "warren", "warren-verticals", "k-truss", "parker", "bowstring", "x-braced")


def lattice_shape(rng: np.random.Generator) -> Shape:
    """Return a bridge with crossed panels, or one of the known bridges."""
    if rng.random() < 0.4:
        return make_shape(rng, str(rng.choice(_KNOWN)))
    panels = int(rng.integers(3, 9))
    rise = rng.uniform(0.6, 1.5)
    leaning = rng.random() < 0.5
    top = list(range(1, panels)) if leaning else list(range(panels + 1))
    joints = [(float(i), 0.0) for i in range(panels + 1)] + [(float(i), rise) for i in top]
    row = {i: panels + 1 + k for k, i in enumerate(top)}
    members = [*chain(list(range(panels + 1))), *chain(list(row.values()))]
    if leaning:
        members += [(0, row[1]), (panels, row[panels - 1])]
    if rng.random() < 0.7:
        members += [(i, row[i]) for i in top]
    elif not leaning:
        members += [(0, row[0]), (panels, row[panels])]
    crossed = rng.choice(["all", "some", "middle"])
    for i in range(panels):
        if i not in row or i + 1 not in row:
            continue
        both = crossed == "all" or (crossed == "some" and rng.random() < 0.5)
        both = both or (crossed == "middle" and abs(i + 0.5 - panels / 2) < 1)
        first = (i, row[i + 1]) if i + 0.5 > panels / 2 else (i + 1, row[i])
        members.append(first)
        if both:
            members.append((i + 1, row[i]) if first[0] == i else (i, row[i + 1]))
    shape = shape_of("lattice", joints, members, at_ends(0, panels), some_pulls(rng, list(range(1, panels))))
    at = shape.joints + rng.normal(0, float(rng.choice([0.0, 0.01])), shape.joints.shape) * panels / 4
    return replace(shape, joints=(at - at.min(axis=0)) / np.ptp(at, axis=0).max())


def _metal(rng: np.random.Generator) -> Material:
    width = rng.uniform(0.008, 0.026)
    paint = any_colour(rng, _METALS)
    plate = paint if rng.random() < 0.6 else any_colour(rng, DULL)
    return Material(
        str(rng.choice(["strip", "rod", "card"])),
        width,
        (paint,),
        overlap=width * rng.uniform(-0.2, 0.6),
        joint=str(rng.choice(["plate", "plate", "pin", "none"])),
        joint_size=width * rng.uniform(0.8, 2.2),
        joint_colours=(plate,),
        smooth=rng.uniform(0.1, 0.6),
    )


def choose_lattice_build(rng: np.random.Generator, *, size: int, members: int) -> Build:
    """Return how a lattice bridge is built and photographed; `size` is the longest side in pixels."""
    build = choose_build(rng, "sticks" if rng.random() < 0.75 else "rods", size=size, members=members)
    if rng.random() < 0.3:
        metal = _metal(rng)
        crowd = min(1.0, 2.4 / np.sqrt(members))
        build = replace(
            build,
            material=replace(
                metal,
                width=metal.width * crowd,
                joint_size=metal.joint_size * crowd,
                overlap=metal.overlap * crowd,
            ),
        )
    return replace(
        build,
        standing=rng.random() < 0.75,
        planes=2 if rng.random() < 0.85 else 1,
        depth=float(np.exp(rng.uniform(np.log(0.07), np.log(0.5)))),
        busy=rng.random() < 0.75,
        noted=rng.random() < 0.4,
    )
