"""The trusses that get drawn, by the name of their family."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from vision.training.bridges import cantilever, double_warren, k_truss, overhang, parallel, tower, warren
from vision.training.irregular import graph, hub, irregular
from vision.training.roofs import posts, roof
from vision.training.shape import Shape

__all__ = ["SHAPES", "make_shape"]


_MAKERS: dict[str, Callable[[np.random.Generator, str], Shape]] = {
    "triangle": posts,
    "king-post": posts,
    "queen-post": posts,
    "pratt": parallel,
    "howe": parallel,
    "parker": parallel,
    "bowstring": parallel,
    "x-braced": parallel,
    "warren": warren,
    "warren-verticals": warren,
    "double-warren": double_warren,
    "fink": roof,
    "fan": roof,
    "scissors": roof,
    "north-light": roof,
    "gambrel": roof,
    "k-truss": k_truss,
    "cantilever": cantilever,
    "tapered-cantilever": cantilever,
    "overhang": overhang,
    "tower": tower,
    "irregular": irregular,
    "hub": hub,
    "graph": graph,
}

SHAPES: tuple[str, ...] = tuple(_MAKERS)
"""Names of the shapes that `make_shape` knows."""


def make_shape(rng: np.random.Generator, name: str) -> Shape:
    """Return one truss of a named shape, with proportions, supports and loads by chance.

    Joints come in no particular order; the longest extent is 1.

    Raises
    ------
    KeyError
        If the shape is not one of `SHAPES`.
    """
    shape = _MAKERS[name](rng, name)
    joints = shape.joints - shape.joints.min(axis=0)
    if name not in {"graph", "irregular"}:
        # Teachers draw with care but never to scale: each joint strays a little.
        stray = float(rng.choice([0.0, 0.004, 0.012]))
        joints = joints + rng.normal(0, stray, joints.shape) * np.ptp(joints, axis=0).max()
        stretch = rng.uniform(0.75, 1.35)
        joints = joints * [stretch, 1.0]
    return replace(shape, joints=joints / np.ptp(joints, axis=0).max())
