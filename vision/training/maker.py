"""The front door of the page maker."""

from __future__ import annotations

import zlib
from dataclasses import replace

import numpy as np

from vision.training.built import choose_build, make_built_page, make_empty_room
from vision.training.drawn import make_drawn_page, make_empty_page
from vision.training.lattice import choose_lattice_build, lattice_shape
from vision.training.look import choose_look
from vision.training.page import Page
from vision.training.photos import Album
from vision.training.scene import random_scene
from vision.training.shapes import SHAPES, make_shape

__all__ = ["FAMILIES", "make_page"]

FAMILIES = (
    "printed",
    "pen",
    "pencil",
    "ruled",
    "squared",
    "whiteboard",
    "blackboard",
    "tablet",
    "circled",
    "clutter",
    "crossings",
    "sticks",
    "rods",
    "none",
    "lattice",
)
"""The manners in which pages are made; of `none` are the pictures without a truss. New ones come last, so$
that pages of the older ones stay as they are."""

_BUILT = {"sticks", "rods", "lattice"}

_CROSSED = ("x-braced", "double-warren")


def make_page(
    seed: int,
    *,
    family: str | None = None,
    size: int = 1024,
    fonts: bool = True,
    photographs: bool = False,
) -> Page:
    """Make one photographed page and its truth.

    Parameters
    ----------
    seed
        The same seed, family and size give the same page.
    family
        One of `FAMILIES`; None chooses by chance.
    size
        Pixels of the longest side.
    fonts
        Use handwriting fonts where they were fetched. Without them the page is the same on every machine.
    photographs
        Stand some pages before photographs where they were fetched, as training does.

    Raises
    ------
    KeyError
        If the family is not one of `FAMILIES`.
    """
    if family is not None and family not in FAMILIES:
        raise KeyError(family)
    rng = np.random.default_rng([seed, zlib.crc32((family or "").encode())])
    if family is None:
        family = FAMILIES[int(rng.integers(len(FAMILIES)))]
    album = Album(seed) if photographs else None
    if family == "none":
        return _page_without_truss(seed, rng, size=size, fonts=fonts, album=album)
    if family == "crossings":
        name = str(rng.choice(_CROSSED))
    elif family == "lattice":
        shape = lattice_shape(rng)
        build = choose_lattice_build(rng, size=size, members=len(shape.members))
        return make_built_page(seed, shape, family, replace(build, album=album), rng=rng, fonts=fonts)
    elif family == "circled":
        name = str(rng.choice(["graph", "graph", "graph", *SHAPES]))
    else:
        name = str(rng.choice([s for s in SHAPES if s not in {"graph", *_CROSSED}]))
    shape = make_shape(rng, name)
    if family in {"sticks", "rods"}:
        build = choose_build(rng, family, size=size, members=len(shape.members))
        return make_built_page(seed, shape, family, replace(build, album=album), rng=rng)
    clutter = rng.uniform(0.5, 1.0) if family == "clutter" else rng.uniform(0.0, 0.3)
    busy = rng.uniform(0.0, 0.4) if name == "graph" else rng.uniform(0.2, 1.0)
    scene = random_scene(rng, shape, busy=busy, clutter=clutter)
    look = choose_look(rng, family, size=size, joints=len(shape.joints), fonts=fonts)
    return make_drawn_page(seed, scene, family, replace(look, album=album), rng=rng)


def _page_without_truss(
    seed: int, rng: np.random.Generator, *, size: int, fonts: bool, album: Album | None
) -> Page:
    if rng.random() < 0.3:
        build = choose_build(rng, str(rng.choice(["sticks", "rods"])), size=size, members=8)
        return make_empty_room(seed, "none", replace(build, album=album), rng=rng)
    drawn = [f for f in FAMILIES if f not in {*_BUILT, "none"}]
    look = choose_look(rng, str(rng.choice(drawn)), size=size, joints=6, fonts=fonts)
    return make_empty_page(seed, "none", replace(look, album=album), rng=rng)
