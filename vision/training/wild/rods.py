"""Wild models of rods: one or two planes, of any material, seen from anywhere in front, in any surroundings.

A model is built in space (`space`): a near plane, a far one, ties between them. The truth is the near
plane; the rest is kept apart as far lines. What stands before, between and behind is no part of the truth.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild import strewn, things
from vision.training.wild.clutter import blobs, litter
from vision.training.wild.grounds import clouds
from vision.training.wild.marks import Marks
from vision.training.wild.model import Model, dressed
from vision.training.wild.near_plane import paint_near_plane
from vision.training.wild.scenery import lay_flat, lay_outdoors, lay_room
from vision.training.wild.space import Eye, Space, build, look
from vision.training.wild.stock import shade

__all__ = ["draw_empty", "draw_model"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]


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


def _shadows(model: Model, floor: float, *, lying: bool) -> None:
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


def _reflection(model: Model, floor: float) -> None:
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


def _between(model: Model) -> None:
    """Load the deck: a parcel, a clear box, tins, books between the planes; or anything at all."""
    rng, space = model.rng, model.space
    if rng.random() < 0.12:
        blobs(rng, model.picture, 1)
        return
    for _ in range(int(rng.choice([1, 1, 2]))):
        foot = _place(rng, space, "between") + np.array([0, rng.uniform(-0.03, 0.02), 0])
        room = np.array([rng.uniform(0.1, 0.6), rng.uniform(0.05, 0.4), 0.9 * space.depth])
        things.standing(rng, model.picture, model.eye, foot, room)


def _far_side(model: Model, marks: Marks, *, real: bool) -> None:
    """Paint the far planes and the ties, the deepest first, and what lies on them (more of a real bridge)."""
    rng, space = model.rng, model.space
    tone = rng.uniform(0.7, 1.05)
    every = [(p, model.stock_of(*p)) for p in space.far_pairs] + [(p, model.tie) for p in space.ties]
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
    if rng.random() < (0.6 if real else 0.2):
        things.deck(rng, model.picture, model.eye, space)
    if rng.random() < (0.4 if real else 0.07):
        things.railing(rng, model.picture, model.eye, space)
    if rng.random() < 0.35:
        _between(model)


def _before(model: Model) -> None:
    """Let something small stand or hang before the model; a person can still tell what it covers."""
    rng, space = model.rng, model.space
    kind = rng.random()
    span = float(np.ptp(model.at[: space.near], axis=0).max())
    if kind < 0.35:
        things.hanging(rng, model.picture, model.eye, space.at[int(rng.integers(space.near))])
    elif kind < 0.5:
        strewn.clamp(
            rng, model.picture, model.at[int(rng.integers(space.near))], span * rng.uniform(0.02, 0.06)
        )
    elif kind < 0.7:
        a, b = space.near_pairs[int(rng.integers(len(space.near_pairs)))]
        tip = model.at[a] + (model.at[b] - model.at[a]) * rng.uniform(0.1, 0.9)
        middle = model.at[: space.near].mean(0)
        tip = tip + rng.normal(0, 0.01 * span, 2)
        strewn.hand(rng, model.picture, tip, span * rng.uniform(0.01, 0.022), middle=middle)
    else:
        room = np.array([0.14, rng.uniform(0.06, 0.16), 0.15])
        foot = _place(rng, space, "before") + np.array([rng.normal(0, 0.4), rng.uniform(0.05, 0.35), 0])
        things.standing(rng, model.picture, model.eye, foot, room)


def _strew(model: Model, *, lying: bool) -> None:
    """Leave spare sticks, a ruler or pencil and other litter about, below the model."""
    rng, picture, at = model.rng, model.picture, model.at[: model.space.near]
    span = float(np.ptp(at, axis=0).max())
    if rng.random() < 0.15:
        strewn.spares(rng, picture, model.stock, span, at)
    if rng.random() < (0.2 if lying else 0.06):
        # Beside the model, often along a chord.
        low, high = at.min(0), at.max(0)
        y = (
            high[1] + rng.uniform(0.05, 0.3) * span
            if rng.random() < 0.7
            else low[1] - rng.uniform(0.05, 0.3) * span
        )
        x = low[0] + rng.uniform(-0.3, 0.6) * span
        end = np.array([x + rng.uniform(0.3, 1.2) * span, y + rng.normal(0, 0.06) * span])
        strewn.ruler(rng, picture, np.array([x, y]), end, rng.uniform(0.008, 0.03) * span)
    if lying and rng.random() < 0.15:
        litter(rng, picture)


def _stage(
    rng: Rng,
    picture: Image,
    space: Space,
    box: tuple[float, float, float, float],
    *,
    plan: bool = True,
    kept: bool = False,
) -> _Stage:
    """Choose how the model stands or lies, lay the ground and what is behind and below the model."""
    lying = not space.depth and rng.random() < 0.7
    scene = "as it is"
    if rng.random() < 0.64:
        scene = "lying" if lying else str(rng.choice(["room", "outdoors"], p=[0.76, 0.24]))
    if kept and scene in {"lying", "outdoors"}:
        scene = "as it is"
    eye = look(rng, space, box, lying=lying)
    floor = space.foot + (rng.uniform(0.08, 0.6) if rng.random() < 0.6 else rng.uniform(0.0, 0.03))
    if scene == "lying":
        lay_flat(rng, picture, eye, space, plan=plan)
    elif scene == "outdoors":
        lay_outdoors(rng, picture, eye, space)
    elif scene == "room":
        lay_room(rng, picture, eye, space, floor=floor, fresh=not kept and bool(rng.random() < 0.7))
    if not lying:
        for _ in range(int(rng.choice([0, 0, 1, 2])) * (scene != "outdoors")):
            foot = _place(rng, space, "behind") * (1, 0, 1) + np.array([rng.normal(0, 0.4), floor, 0])
            room = np.array([rng.uniform(0.1, 0.7), rng.uniform(0.1, 0.9), 0.4])
            things.standing(rng, picture, eye, foot, room)
        if rng.random() < 0.5:
            things.supports(rng, picture, eye, space, floor)
    if rng.random() < 0.2:  # only the model is in focus
        k = 2 * int(rng.integers(1, 8)) + 1
        cv2.blur(picture, (k, k), dst=picture)
    return _Stage(scene, lying, eye, floor)


def _front(model: Model, marks: Marks, *, real: bool) -> None:
    """Set what comes before the finished model, and write names by its joints."""
    rng, picture, at = model.rng, model.picture, model.at[: model.space.near]
    if real and rng.random() < 0.4:
        strewn.street(rng, picture, at)
    elif rng.random() < 0.2:
        _before(model)
    if rng.random() < 0.1:
        marks.other += strewn.names(rng, picture, at)


def _weathered(rng: Rng, picture: Image, bare: Image) -> None:
    """Give what was painted over a bare ground grain, stains and dust, as wood and old paint have."""
    height, width = picture.shape[:2]
    grain = rng.uniform(0.02, 0.16) * clouds(rng, height, width, rng.uniform(60, 400))
    stains = rng.uniform(0.0, 0.25) * clouds(rng, height, width, rng.uniform(5, 30))
    light = cv2.convertScaleAbs(grain + stains + 1.0, alpha=128.0)
    painted = cv2.cvtColor(cv2.absdiff(picture, bare), cv2.COLOR_RGB2GRAY) > 0
    light[~painted] = 128
    cv2.multiply(picture, cv2.merge([light] * 3), dst=picture, scale=1 / 128)


def draw_model(
    rng: Rng, picture: Image, box: tuple[float, float, float, float], marks: Marks, *, kept: bool = False
) -> None:
    """Draw one model of rods into a box of the picture and add its truth to `marks`.

    With `kept` the picture's ground, a photograph, stays behind the model.
    """
    space = build(rng)
    stage = _stage(rng, picture, space, box, kept=kept)
    steel = bool(rng.random() < {"outdoors": 0.8, "as it is": 0.2 if kept else 0.0}.get(stage.scene, 0.0))
    model = dressed(rng, picture, space, stage.eye, steel=steel)
    if rng.random() < (0.1 if stage.scene == "outdoors" else 0.5):
        _shadows(model, stage.floor, lying=stage.lying)
    if stage.scene == "room" and rng.random() < 0.12:
        _reflection(model, stage.floor)
    if stage.scene != "outdoors":
        _strew(model, lying=stage.lying)
    bare = picture.copy() if rng.random() < 0.2 else None
    if space.depth:
        _far_side(model, marks, real=steel)
        if rng.random() < 0.15:  # the camera holds the near plane sharp
            cv2.blur(picture, (3, 3), dst=picture)
    elif not stage.lying and rng.random() < 0.1:
        things.railing(rng, picture, stage.eye, space)
    paint_near_plane(model, marks)
    if bare is not None:
        _weathered(rng, picture, bare)
    _front(model, marks, real=steel)


def draw_empty(rng: Rng, picture: Image, box: tuple[float, float, float, float]) -> None:
    """Lay the surroundings of a model that is not there: tables, boxes, decks, railings, spare sticks."""
    space = build(rng)
    # A plan is a drawing of a structure, and would be truth.
    stage = _stage(rng, picture, space, box, plan=False)
    model = dressed(rng, picture, space, stage.eye, steel=False)
    if stage.scene != "outdoors":
        _strew(model, lying=stage.lying)
    if space.depth and rng.random() < 0.3:
        things.deck(rng, picture, stage.eye, space)
    if space.depth and rng.random() < 0.3:
        things.railing(rng, picture, stage.eye, space)
    for _ in range(int(rng.integers(0, 3))):
        _before(model)
