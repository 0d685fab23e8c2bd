"""Wild models of rods: one or two planes, of any material, seen from anywhere in front, in any surroundings.

A model is built in space (`space`): a near plane, a far one, ties between them. The truth is the near
plane; the rest is kept apart as far lines. What stands before, between and behind is no part of the truth.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from vision.training.wild import things
from vision.training.wild.clutter import blobs, litter
from vision.training.wild.knots import Knot, choose_knot, paint_knot
from vision.training.wild.marks import Marks
from vision.training.wild.scenery import lay_flat, lay_outdoors, lay_room
from vision.training.wild.space import Eye, Pairs, Space, build, look
from vision.training.wild.stock import Colour, Stock, choose_stock, paint_member, shade
from vision.training.wild.strokes import bowed

__all__ = ["draw_model"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]

_LEAST_CONTRAST = 22.0
"""Mean grey levels between members and ground: with less a person cannot tell them from it."""
_BOW = 0.012
"""A member that bows by more than this part of its length is labelled along its bow."""


@dataclass(frozen=True, eq=False)
class _Stage:
    """Where a model is photographed."""

    scene: str
    """`room`, `outdoors`, `lying`, or `as it is` for a ground that was there before."""
    lying: bool
    """Flat on its ground; else standing."""
    eye: Eye
    floor: float
    """Level of the table in space."""


@dataclass(frozen=True, eq=False)
class _Model:
    """A model with its materials, before it is painted."""

    rng: Rng
    picture: Image
    space: Space
    eye: Eye
    at: Points
    """(N, 2) joints in pixels."""
    span: Points
    """(N,) pixels a span at every joint."""
    stock: Stock
    tie: Stock
    knot: Knot
    by_pair: bool
    """Colours go with the member; else by kind of plane."""

    def colour(self, a: int, b: int) -> Colour:
        """Return the colour of a member."""
        palette = self.stock.palette
        row = (a * 7 + b * 3) if self.by_pair else (abs(self.space.at[a, 1] - self.space.at[b, 1]) > 0.05)
        return palette[int(row) % len(palette)]

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


def _dressed(rng: Rng, picture: Image, space: Space, eye: Eye, *, steel: bool) -> _Model:
    """Choose materials that stand out from the ground."""
    at = eye(space.at)
    pairs = np.array(space.near_pairs)
    runs = space.at[pairs[:, 1]] - space.at[pairs[:, 0]]
    shortest = float(np.linalg.norm(runs, axis=1).min())
    height, width = picture.shape[:2]
    middles = at[pairs].mean(1).astype(int)
    under = picture[middles[:, 1].clip(0, height - 1), middles[:, 0].clip(0, width - 1)].astype(float)
    for _ in range(6):
        stock = choose_stock(rng, shortest, steel=steel)
        off = min(float(np.abs(under - c).mean()) for c in stock.palette)
        if off > _LEAST_CONTRAST:
            break
    tie = stock
    if rng.random() < 0.4:
        tie = choose_stock(rng, shortest, steel=steel)
        tie = replace(tie, width=min(tie.width, stock.width * rng.uniform(0.4, 1.2)))
    elif rng.random() < 0.4:
        tie = replace(stock, width=stock.width * rng.uniform(0.4, 1.0), palette=stock.palette[::-1])
    knot = choose_knot(rng, stock, shortest)
    return _Model(
        rng, picture, space, eye, at, eye.size(space.at), stock, tie, knot, bool(rng.random() < 0.4)
    )


def _shadows(model: _Model, floor: float, *, lying: bool) -> None:
    """Cast the shadow of the whole model on the table, or on the ground it lies on."""
    rng, space, eye = model.rng, model.space, model.eye
    flat = space.at.copy()
    if lying:
        flat = flat + np.array([*rng.normal(0, 0.03, 2), 0.0])
        if rng.random() < 0.6:  # it lies close on the ground
            flat = space.at + np.array([*rng.normal(0, 0.6 * model.stock.width, 2), 0.0])
    elif rng.random() < 0.75:
        above = (floor - flat[:, 1])[:, None]
        flat = flat + above * np.array([rng.normal(0, 0.5), 1.0, rng.normal(0.2, 0.5)])
    else:
        wall = space.depth + rng.uniform(0.1, 1.0)
        away = (wall - flat[:, 2])[:, None]
        flat = flat + away * np.array([rng.normal(0, 0.4), rng.uniform(0.0, 0.6), 1.0])
    at = eye(flat)
    every = (*space.near_pairs, *space.far_pairs, *space.ties)
    width = model.stock.width * float(model.span.mean())
    things.shadow(rng, model.picture, [at[[a, b]] for a, b in every], width, hard=bool(rng.random() < 0.35))


def _reflection(model: _Model, floor: float) -> None:
    """Mirror the model in a glossy table."""
    space = model.space
    mirrored = space.at.copy()
    mirrored[:, 1] = 2 * floor - mirrored[:, 1]
    part = model.rng.uniform(0.12, 0.4)
    before = model.picture.copy()
    ghost = replace(model, at=model.eye(mirrored), stock=replace(model.stock, sleeve=0.0, stripes=0.0))
    for a, b in (*space.far_pairs, *space.near_pairs):
        ghost.paint(a, b, ghost.stock, model.colour(a, b))
    mixed = before + (model.picture.astype(np.float32) - before) * part
    model.picture[:] = mixed.astype(np.uint8)


def _place(rng: Rng, space: Space, where: str) -> Points:
    """Choose where something stands: `between` the planes, `behind` or `before` the model."""
    x = rng.uniform(0.05, 0.95)
    z = {
        "between": space.depth * rng.uniform(0.4, 0.6),
        "behind": space.depth + rng.uniform(0.15, 0.9),
        "before": -rng.uniform(0.2, 0.7),
    }[where]
    return np.array([x, space.foot, z])


def _between(model: _Model) -> None:
    """Load the deck: a parcel, a clear box, tins, books between the planes; or anything at all."""
    rng, space = model.rng, model.space
    if rng.random() < 0.12:
        blobs(rng, model.picture, 1)
        return
    for _ in range(int(rng.choice([1, 1, 2]))):
        foot = _place(rng, space, "between") + np.array([0, rng.uniform(-0.03, 0.02), 0])
        room = np.array([rng.uniform(0.1, 0.6), rng.uniform(0.05, 0.4), 0.9 * space.depth])
        things.standing(rng, model.picture, model.eye, foot, room)


def _far_side(model: _Model, marks: Marks) -> None:
    """Paint the far plane and the ties, the deepest first, and what lies on them."""
    rng, space = model.rng, model.space
    tone = rng.uniform(0.7, 1.05)
    every = [(p, model.stock) for p in space.far_pairs] + [(p, model.tie) for p in space.ties]
    deep = model.eye.deep(space.at)
    odd = model.tie.palette[int(rng.integers(len(model.tie.palette)))] if rng.random() < 0.6 else None
    ties = set(space.ties)
    knotted = False
    joints = sorted({i for p in space.far_pairs for i in p if i >= space.near})
    for (a, b), stock in sorted(every, key=lambda e: -float(deep[e[0][0]] + deep[e[0][1]])):
        # The far connectors hold the far members and lie behind what comes nearer.
        if (a, b) in ties and not knotted and rng.random() < 0.7:
            model.knots(joints, space.far_pairs, tone)
            knotted = True
        colour = odd if odd and (a, b) in ties else model.colour(a, b)
        model.paint(a, b, stock, shade(colour, tone))
        marks.far_lines.append(np.concatenate([model.at[a], model.at[b]])[None])
    if not knotted:
        model.knots(joints, space.far_pairs, tone)
    if rng.random() < 0.25:
        things.deck(rng, model.picture, model.eye, space)
    if rng.random() < 0.1:
        things.railing(rng, model.picture, model.eye, space)
    if rng.random() < 0.35:
        _between(model)


def _long_chords(model: _Model) -> dict[tuple[int, int], tuple[int, ...]]:
    """Choose the chords that are one long stick; return the run that each of their members lies in."""
    if model.rng.random() > (0.5 if model.stock.family != "round" else 0.2):
        return {}
    pairs = set(model.space.near_pairs)
    found: dict[tuple[int, int], tuple[int, ...]] = {}
    for run in model.space.runs:
        steps = [(min(p), max(p)) for p in pairwise(run)]
        at = model.space.at[list(run)]
        line = at[-1] - at[0]
        length = max(float(np.linalg.norm(line)), 1e-6)
        off = np.linalg.norm(np.cross(at - at[0], line / length), axis=1).max() if len(run) > 2 else 1.0
        if off < 0.004 and all(p in pairs for p in steps):
            found |= dict.fromkeys(steps, run)
    return found


def _near_side(model: _Model, marks: Marks) -> None:
    """Paint the near plane in some order of layers, and write down its truth."""
    rng, space, at = model.rng, model.space, model.at
    first = len(marks.joints)
    sag = rng.choice([0.0, 0.0, 0.01, 0.025])
    long = _long_chords(model)
    order = [space.near_pairs[int(i)] for i in rng.permutation(len(space.near_pairs))]
    if rng.random() < 0.6:
        order.sort(key=lambda p: (p in long) == (len(order) % 2 == 0))
    done: set[tuple[int, ...]] = set()
    sandwich = bool(long) and rng.random() < 0.25
    for a, b in order:
        bow = float(np.clip(rng.normal(0, sag), -0.05, 0.05)) if (a, b) not in long else 0.0
        run = long.get((a, b))
        if run is None:
            model.paint(a, b, model.stock, model.colour(a, b), bow=bow)
        elif run not in done:
            model.paint(run[0], run[-1], model.stock, model.colour(a, b))
            done.add(run)
        path = bowed(at[a], at[b], bow, 4) if abs(bow) > _BOW else np.stack([at[a], at[b]])
        marks.lines.append(np.hstack([path[:-1], path[1:]]))
    if sandwich:  # a second stick over the web
        for run in sorted(done):
            model.paint(run[0], run[-1], model.stock, shade(model.colour(run[0], run[1]), 1.06))
    model.knots(list(range(space.near)), space.near_pairs, 1.0)
    marks.joints += list(at[: space.near])
    marks.members += [(first + a, first + b) for a, b in space.near_pairs]


def _before(model: _Model) -> None:
    """Let something small stand or hang before the model; a person can still tell what it covers."""
    rng, space = model.rng, model.space
    kind = rng.random()
    span = float(np.ptp(model.at[: space.near], axis=0).max())
    if kind < 0.4:
        things.hanging(rng, model.picture, model.eye, space.at[int(rng.integers(space.near))])
    elif kind < 0.65:
        a, b = space.near_pairs[int(rng.integers(len(space.near_pairs)))]
        tip = model.at[a] + (model.at[b] - model.at[a]) * rng.uniform(0.1, 0.9)
        things.hand(rng, model.picture, tip + rng.normal(0, 0.01 * span, 2), span * rng.uniform(0.01, 0.022))
    else:
        room = np.array([0.14, rng.uniform(0.06, 0.16), 0.15])
        foot = _place(rng, space, "before") + np.array([rng.normal(0, 0.4), rng.uniform(0.05, 0.35), 0])
        things.standing(rng, model.picture, model.eye, foot, room)


def _stage(rng: Rng, picture: Image, space: Space, box: tuple[float, float, float, float]) -> _Stage:
    """Choose how the model stands or lies, lay the ground and what is behind and below the model."""
    lying = not space.depth and rng.random() < 0.7
    scene = "as it is"
    if rng.random() < 0.72:
        scene = "lying" if lying else str(rng.choice(["room", "outdoors"], p=[0.76, 0.24]))
    eye = look(rng, space, box, lying=lying)
    floor = space.foot + (rng.uniform(0.08, 0.6) if rng.random() < 0.6 else rng.uniform(0.0, 0.03))
    if scene == "lying":
        lay_flat(rng, picture, eye, space)
    elif scene == "outdoors":
        lay_outdoors(rng, picture, eye, space)
    elif scene == "room":
        lay_room(rng, picture, eye, space, floor=floor, fresh=bool(rng.random() < 0.7))
    if not lying:
        for _ in range(int(rng.choice([0, 0, 1, 2]))):
            foot = _place(rng, space, "behind") * (1, 0, 1) + np.array([rng.normal(0, 0.4), floor, 0])
            room = np.array([rng.uniform(0.1, 0.7), rng.uniform(0.1, 0.9), 0.4])
            things.standing(rng, picture, eye, foot, room)
        if rng.random() < 0.5:
            things.supports(rng, picture, eye, space, floor)
    return _Stage(scene, lying, eye, floor)


def draw_model(rng: Rng, picture: Image, box: tuple[float, float, float, float], marks: Marks) -> None:
    """Draw one model of rods into a box of the picture and add its truth to `marks`."""
    space = build(rng)
    stage = _stage(rng, picture, space, box)
    steel = stage.scene == "outdoors" and bool(rng.random() < 0.8)
    model = _dressed(rng, picture, space, stage.eye, steel=steel)
    if rng.random() < 0.5:
        _shadows(model, stage.floor, lying=stage.lying)
    if stage.scene == "room" and rng.random() < 0.12:
        _reflection(model, stage.floor)
    if stage.scene == "lying" and rng.random() < 0.25:
        litter(rng, picture)
    if space.depth:
        _far_side(model, marks)
    elif not stage.lying and rng.random() < 0.1:
        things.railing(rng, picture, stage.eye, space)
    _near_side(model, marks)
    if rng.random() < 0.2:
        _before(model)
