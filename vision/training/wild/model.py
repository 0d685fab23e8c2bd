"""A model in its materials: which stock and joints it has, and how one member or joint is painted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from vision.training.wild.knots import Knot, choose_knot, paint_knot
from vision.training.wild.space import Eye, Pairs, Space
from vision.training.wild.stock import VIVID, Colour, Stock, choose_stock, paint_member, shade
from vision.training.wild.strokes import bowed

__all__ = ["Model", "dressed"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]

_LEAST_CONTRAST = 22.0
"""Mean grey levels between members and ground: with less a person cannot tell them from it."""


@dataclass(frozen=True, eq=False)
class Model:
    """A model with its materials, before it is painted."""

    rng: Rng
    picture: Image
    space: Space
    eye: Eye
    at: Points
    """(N, 2) joints, and places where ties rest, in pixels."""
    span: Points
    """(N,) pixels a span at every joint."""
    stock: Stock
    web: Stock
    """Of what lies between the chords: the same, thinner, or another material."""
    tie: Stock
    knot: Knot
    by_pair: bool
    """Colours go with the member; else by kind of plane."""
    uneven_light: float = 0.0
    """How much lighter or darker members are than each other, as a part of their colour."""

    def stock_of(self, a: int, b: int) -> Stock:
        """Return what a member is made of; the steep ones are the web."""
        rise = abs(self.space.at[a, 1] - self.space.at[b, 1])
        return self.web if rise > 0.5 * abs(self.space.at[a, 0] - self.space.at[b, 0]) else self.stock

    def colour(self, a: int, b: int) -> Colour:
        """Return the colour of a member."""
        palette = self.stock_of(a, b).palette
        # Each piece takes the light in its own way.
        light = 1 + self.uneven_light * (((a * 31 + b * 17) % 13) / 6 - 1)
        row = (a * 7 + b * 3) if self.by_pair else (abs(self.space.at[a, 1] - self.space.at[b, 1]) > 0.05)
        return shade(palette[int(row) % len(palette)], light)

    def paint(self, a: int, b: int, stock: Stock, colour: Colour, *, bow: float = 0.0) -> None:
        """Paint one member: its ends run past the joints, or stop short, as the stock has it."""
        rng = self.rng
        width = stock.width * self.span[[a, b]]
        run = self.at[b] - self.at[a]
        length = max(float(np.hypot(*run)), 1e-6)
        unit = run / length
        over = (stock.overrun + rng.normal(0, stock.uneven, 2)) * width
        over = np.clip(over, -0.25 * length, 0.4 * length)
        miss = rng.normal(0, stock.misfit, 2) * width
        side = np.array([-unit[1], unit[0]])
        start = self.at[a] - unit * over[0] + side * np.clip(miss[0], -0.5 * width[0], 0.5 * width[0])
        end = self.at[b] + unit * over[1] + side * np.clip(miss[1], -0.5 * width[1], 0.5 * width[1])
        path = bowed(start, end, bow, 6) if bow else np.stack([start, end])
        half = np.linspace(width[0], width[1], len(path)) / 2
        paint_member(rng, self.picture, path, half, stock=stock, colour=colour)

    def knots(self, joints: list[int], pairs: Pairs, tone: float) -> None:
        """Paint the connectors of some joints, the farthest first."""
        if self.knot.kind == "none":
            return
        deep = self.eye.deep(self.space.at)
        step = 0.01 * np.eye(3)[:2]
        for i in sorted(joints, key=lambda i: -float(deep[i])):
            others = [b if a == i else a for a, b in pairs if i in {a, b}]
            runs = self.at[others] - self.at[i] if others else np.zeros((0, 2))
            spokes = runs / np.maximum(np.hypot(*runs.T), 1e-6)[:, None]
            frame = (self.eye(self.space.at[i] + step) - self.at[i]) / (0.01 * self.span[i])
            paint_knot(
                self.rng, self.picture, self.knot, at=self.at[i], frame=frame, spokes=spokes,
                span=float(self.span[i]), stock=self.stock, tone=tone,
            )  # fmt: skip


def _soft_kit(rng: Rng, shortest: float, contrast: Callable[[Stock], float]) -> tuple[Stock, Stock, Knot]:
    """Choose soft coloured straws on round connectors with pegs, as building kits have: rods, ties, knots."""
    for _ in range(6):
        many = int(rng.choice([1, 1, 2, 3]))
        picked = [VIVID[int(k)] for k in rng.permutation(len(VIVID))[: many + 2]]
        tones = [shade((float(r), float(g), float(b)), rng.uniform(0.75, 1.08)) for r, g, b in picked]
        width = min(rng.uniform(0.01, 0.024), 0.16 * shortest)
        stock = Stock(
            "straw", "round", width, tuple(tones[:many]),
            overrun=-rng.uniform(0.0, 0.7), uneven=0.1, misfit=0.05,
            sleeve=rng.uniform(0.06, 0.24) * (rng.random() < 0.8), stripes=0.0,
        )  # fmt: skip
        if contrast(stock) > _LEAST_CONTRAST:
            break
    tie = replace(stock, palette=tuple(tones[many:]), width=width * rng.uniform(0.7, 1.2))
    size = min(width * rng.uniform(1.0, 1.9), 0.2 * shortest)
    mixed = tuple(tones[int(k)] for k in rng.integers(0, many + 2, int(rng.choice([1, 1, 2]))))
    return stock, tie, Knot("ring", size, (*mixed, tones[-1]), "round", straight=False, peg=True)


def dressed(rng: Rng, picture: Image, space: Space, eye: Eye, *, steel: bool) -> Model:
    """Choose materials that stand out from the ground."""
    at = eye(space.at)
    pairs = np.array(space.near_pairs)
    runs = space.at[pairs[:, 1]] - space.at[pairs[:, 0]]
    shortest = float(np.linalg.norm(runs, axis=1).min())
    height, width = picture.shape[:2]
    middles = at[pairs].mean(1).astype(int)
    under = picture[middles[:, 1].clip(0, height - 1), middles[:, 0].clip(0, width - 1)].astype(float)

    def contrast(one: Stock) -> float:
        return min(float(np.abs(under - c).mean()) for c in one.palette)

    knot = None
    if not steel and rng.random() < 0.2:
        stock, tie, knot = _soft_kit(rng, shortest, contrast)
    else:
        for _ in range(6):
            stock = choose_stock(rng, shortest, steel=steel)
            if contrast(stock) > _LEAST_CONTRAST:
                break
        tie = stock
    web = stock
    if rng.random() < 0.15:
        web = replace(stock, width=stock.width * rng.uniform(0.3, 0.8))
    elif rng.random() < 0.12:
        other = choose_stock(rng, shortest, steel=steel)
        if contrast(other) > _LEAST_CONTRAST:
            web = other
    if knot is None and rng.random() < 0.4:
        tie = choose_stock(rng, shortest, steel=steel)
        tie = replace(tie, width=min(tie.width, stock.width * rng.uniform(0.4, 1.2)))
    elif knot is None and rng.random() < 0.4:
        tie = replace(stock, width=stock.width * rng.uniform(0.4, 1.0), palette=stock.palette[::-1])
    knot = knot or choose_knot(rng, stock, shortest)
    return Model(
        rng, picture, space, eye, at, eye.size(space.at), stock, web, tie, knot,
        by_pair=bool(rng.random() < 0.4), uneven_light=float(rng.choice([0.0, 0.08, 0.2])),
    )  # fmt: skip
