"""Where the arrows of loads and reactions stand: pushing on their joint or pulling at it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cli.sheets.candidates import Frame
from cli.sheets.marks import Mark, quad
from cli.sheets.overlaps import overlap_depths
from cli.sheets.scene import Scene, SceneArrow
from cli.sheets.sizes import Sizes
from cli.sheets.symbols import arrow, support_depth, support_hulls

__all__ = ["PlacedArrow", "place_arrows"]

Array = NDArray[np.float64]

_LATER = 0.25
"""Cost of each place down the list, in units of overlap."""
_INWARD = 0.4
"""Cost of standing inside the truss: a load on a bottom joint hangs from it, where there is room."""
_ALONGSIDE = math.cos(math.radians(28))
"""An arrow this close to the direction of a member at its own joint hides it. One that comes in at a wider
angle grazes it near the joint at most, as arrows in any textbook do."""


@dataclass(frozen=True, eq=False)
class PlacedArrow:
    """One arrow with its place."""

    shown: SceneArrow
    tail: Array
    """(2,) x, y."""
    tip: Array
    """(2,) x, y."""
    outer: Array
    """(2,) the end that is farther from the joint, where its label goes."""
    outward: Array
    """(2,) unit vector from the joint to the outer end."""
    reaction: bool

    def marks(self, sizes: Sizes) -> tuple[Mark, ...]:
        """Return the arrow as strokes and shapes."""
        tail, tip = (float(self.tail[0]), float(self.tail[1])), (float(self.tip[0]), float(self.tip[1]))
        return arrow(tail, tip, sizes.arrow, slashed=self.reaction)

    def hull(self, sizes: Sizes) -> Array:
        """Return a rectangle (4, 2) that holds it."""
        return quad(self.tail, self.tip, sizes.arrow.head_width * (1.1 if self.reaction else 1.0))


def place_arrows(scene: Scene, sizes: Sizes, at: Array, members: Array, *, frame: Frame) -> list[PlacedArrow]:
    """Give every load and reaction its place.

    Pushing (tip at the joint) comes first, as textbooks draw it; pulling is taken where pushing would run
    along a member, through a support or into an arrow that already stands there.

    Parameters
    ----------
    scene : Scene
        Loads and reactions.
    sizes : Sizes
        Lengths.
    at : (N, 2) float
        Joints in the drawing.
    members : (M, 4, 2) float
        Members as rectangles.
    frame : Frame
        What arrows should stay within: the picture.
    """
    taken: list[Array] = []
    for item in scene.supports:
        joint = (float(at[item.joint, 0]), float(at[item.joint, 1]))
        taken.extend(support_hulls(item.kind, joint, item.normal, sizes.symbol))
    middle = at.mean(axis=0)
    placed: list[PlacedArrow] = []
    for reaction, shown in [(False, load) for load in scene.loads] + [
        (True, item) for item in scene.reactions
    ]:
        options = _options(scene, sizes, at, shown, reaction=reaction)
        drawn = np.array([*members, *taken]) if len(members) or taken else np.empty((0, 4, 2))
        prices = [
            _price(option, _in_the_way(option, scene, at, drawn), frame, sizes)
            + sizes.unit * (_LATER * rank + _INWARD * (option.outward @ (at[shown.joint] - middle) < 0))
            for rank, option in enumerate(options)
        ]
        best = options[int(np.argmin(prices))]
        placed.append(best)
        taken.append(best.hull(sizes))
    return placed


def _options(
    scene: Scene, sizes: Sizes, at: Array, shown: SceneArrow, *, reaction: bool
) -> list[PlacedArrow]:
    """Return the places to try, the best-liked first: push, pull, then both a step farther out."""
    joint = at[shown.joint]
    towards = np.array(shown.direction)
    options = []
    for step in (0.0, 1.0):
        for outward in (-towards, towards):
            start = sizes.joint + 1.6 * sizes.line + step * sizes.arrow_length * 1.05
            for item in scene.supports:
                # An arrow on the ground's side starts where the symbol ends.
                if item.joint == shown.joint and float(outward @ item.normal) < -0.5:
                    start = max(start, support_depth(item.kind, sizes.symbol) + 2 * sizes.line)
            near, far = joint + outward * start, joint + outward * (start + sizes.arrow_length)
            pushes = outward is not towards
            tail, tip = (far, near) if pushes else (near, far)
            options.append(PlacedArrow(shown, tail, tip, far, outward, reaction))
    return options


def _in_the_way(option: PlacedArrow, scene: Scene, at: Array, drawn: Array) -> Array:
    """Leave out of what is drawn (members first) those that the arrow meets at its joint at an angle."""
    counts = np.ones(len(drawn), dtype=bool)
    joint = option.shown.joint
    for row, member in enumerate(scene.members):
        if joint in (member.start, member.end):
            away = at[member.end if joint == member.start else member.start] - at[joint]
            counts[row] = away @ option.outward > _ALONGSIDE * np.hypot(*away)
    return drawn[counts]


def _price(option: PlacedArrow, drawn: Array, frame: Frame, sizes: Sizes) -> float:
    """Return what stands in the way: overlap depth in pixels, and how far the arrow leaves the frame."""
    hull = option.hull(sizes)
    depth = overlap_depths(np.repeat(hull[None], len(drawn), axis=0), drawn)
    crowd = float(depth.sum()) + sizes.unit * float((depth > 0).sum())
    low, high = hull.min(axis=0), hull.max(axis=0)
    left, top, right, bottom = frame
    outside = max(0.0, left - low[0], top - low[1], high[0] - right, high[1] - bottom)
    return float(crowd + 0.4 * outside)
