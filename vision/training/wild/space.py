"""A model in space and the eye that sees it: near plane, far plane, what ties them together."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from vision.training.wild.frames import frame

__all__ = ["Eye", "Space", "build", "look"]

Rng = np.random.Generator
Points = NDArray[np.float64]
Pairs = tuple[tuple[int, int], ...]

_LEVEL = 0.06
"""Joints within this part of the height lie at one level."""


@dataclass(frozen=True, eq=False)
class Space:
    """A model in space: x right, y down, z away from the camera; its span is 1."""

    at: Points
    """(N, 3)."""
    near: int
    """The first `near` rows are joints of the near plane."""
    near_pairs: Pairs
    far_pairs: Pairs
    """Members of the far plane."""
    ties: Pairs
    """Floor beams, struts and laterals between the planes."""
    runs: tuple[tuple[int, ...], ...]
    """Chords of the near plane, as rows of joints."""
    depth: float
    """Distance of the planes; 0 of a single one."""
    rests: tuple[int, ...] = ()
    """Rows of places on near chords where ties end that meet no joint."""

    @property
    def foot(self) -> float:
        """The lowest level of the near plane (largest y)."""
        return float(self.at[: self.near, 1].max())


@dataclass(frozen=True, eq=False)
class Eye:
    """A camera: turns about the model's middle, then perspective."""

    turn: Points
    """(3, 3) rotation."""
    middle: Points
    """(3,) what it looks at."""
    away: float
    """Distance of the eye from there, in spans."""
    scale: float
    """Pixels a span at the middle."""
    shift: Points
    """(2,) pixels."""

    def deep(self, points: Points) -> Points:
        """Return the depth of points (N, 3) behind the middle, (N,)."""
        return np.asarray((np.asarray(points) - self.middle) @ self.turn[2])

    def __call__(self, points: Points) -> Points:
        """Project points (..., 3) to pixels (..., 2); what lies behind the eye is kept just before it."""
        p = (np.asarray(points, np.float64) - self.middle) @ self.turn.T
        part = self.away / np.maximum(self.away + p[..., 2], 0.12 * self.away)
        return np.asarray(p[..., :2] * part[..., None] * self.scale + self.shift)

    def size(self, points: Points) -> Points:
        """Return pixels a span at points (N, 3), (N,)."""
        return np.asarray(
            self.scale * self.away / np.maximum(self.away + self.deep(points), 0.12 * self.away)
        )


def _laterals(rng: Rng, shape_pairs: Pairs, height: Points, twin: dict[int, int]) -> set[tuple[int, int]]:
    """Brace floor and top between the planes: one diagonal a panel, or both."""
    found = set()
    chance, both = rng.uniform(0.3, 1.0), rng.random() < 0.35
    floor, roof = rng.random() < 0.8, rng.random() < 0.6
    for k, (a, b) in enumerate(shape_pairs):
        level = abs(height[a] - height[b]) < _LEVEL and twin[a] != a and twin[b] != b
        wanted = floor if (height[a] + height[b]) / 2 < 0.5 else roof
        if not (level and wanted and rng.random() < chance):
            continue
        if both or k % 2:
            found.add((a, twin[b]))
        if both or not k % 2:
            found.add((b, twin[a]))
    return found


def _sway(rng: Rng, shape_pairs: Pairs, x: Points, twin: dict[int, int]) -> set[tuple[int, int]]:
    """Brace upright between the planes, at posts."""
    found = set()
    for a, b in shape_pairs:
        if abs(x[a] - x[b]) < 0.02 and twin[a] != a and twin[b] != b and rng.random() < 0.6:
            found.add((a, twin[b]))
            if rng.random() < 0.6:
                found.add((b, twin[a]))
    return found


def _rests(
    rng: Rng, shape_pairs: Pairs, height: Points, twin: dict[int, int]
) -> list[tuple[int, int, float]]:
    """Choose places on the chords, beside a joint or amid a panel, where ties end that meet no joint."""
    found = []
    beside, chance = rng.random() < 0.6, rng.uniform(0.2, 1.0)
    for a, b in shape_pairs:
        if abs(height[a] - height[b]) > _LEVEL or twin[a] == a or twin[b] == b or rng.random() > chance:
            continue
        where = [rng.uniform(0.06, 0.2), 1 - rng.uniform(0.06, 0.2)] if beside else [rng.uniform(0.35, 0.65)]
        found += [(a, b, part) for part in where if rng.random() < 0.7]
    return found


def _with_rests(rng: Rng, space: Space, twin: dict[int, int], height: Points) -> Space:
    """Add ties that end on the chords away from the joints: more floor beams, braces held beside a joint."""
    places = _rests(rng, space.near_pairs, height, twin)
    if not places:
        return space
    near = [space.at[a] + part * (space.at[b] - space.at[a]) for a, b, part in places]
    far = [space.at[twin[a]] + part * (space.at[twin[b]] - space.at[twin[a]]) for a, b, part in places]
    first, count = len(space.at), len(places)
    across = {(first + k, first + count + k) for k in range(count)}
    if rng.random() < 0.5 and count > 1:  # slanting from one chord to the other
        across = {(first + k, first + count + k + 1) for k in range(count - 1)}
    return replace(
        space,
        at=np.vstack([space.at, near, far]),
        ties=(*space.ties, *sorted(across)),
        rests=tuple(range(first, first + count)),
    )


def _ranks(rng: Rng, flat: Points, pairs: Pairs, runs: tuple[tuple[int, ...], ...]) -> Space:
    """Set three or more equal planes behind each other, as roof trusses stand, with purlins between."""
    n, count = len(flat), int(rng.integers(3, 6))
    step = rng.uniform(0.08, 0.4)
    at = np.vstack([flat + np.array([0, 0, step * k]) for k in range(count)])
    far = tuple((n * k + a, n * k + b) for k in range(1, count) for a, b in pairs)
    held = [i for i in range(n) if rng.random() < rng.uniform(0.4, 1.0)]
    ties = tuple((n * k + i, n * (k + 1) + i) for k in range(count - 1) for i in held)
    return Space(at, n, pairs, far, ties, runs, step * (count - 1))


def build(rng: Rng, *, single: float = 0.25) -> Space:
    """Build one plane, two, two that lean together and share their top joints, or ranks of many.

    Parameters
    ----------
    single : float
        Chance of one plane alone.
    """
    shape = frame(rng)
    n = len(shape.at)
    flat = np.column_stack([shape.at, np.zeros(n)])
    rest = 1 - single
    kinds = ["one", "two", "leaning", "ranks"]
    planes = rng.choice(kinds, p=[single, 0.63 * rest, 0.3 * rest, 0.07 * rest])
    if planes == "one":
        return Space(flat, n, shape.pairs, (), (), shape.runs, 0.0)
    if planes == "ranks":
        return _ranks(rng, flat, shape.pairs, shape.runs)
    depth = float(np.exp(rng.uniform(np.log(0.06), np.log(0.6))))
    back = flat + np.array([0, 0, depth])
    height = 1 - (shape.at[:, 1] - shape.at[:, 1].min()) / max(np.ptp(shape.at[:, 1]), 1e-6)
    twin = {i: n + i for i in range(n)}
    if planes == "leaning":
        meet = rng.random() < 0.7
        lean = np.outer(height, (0, 0, depth / 2 * (1.0 if meet else rng.uniform(0.2, 0.8))))
        flat, back = flat + lean, back - lean
        if meet:
            twin = {i: i if height[i] > 0.97 else n + i for i in range(n)}
    elif rng.random() < 0.15:  # built by hand: the far plane is never quite the near one's copy
        back = back + rng.normal(0, 0.008, back.shape)
    ties = {(i, twin[i]) for i in range(n) if twin[i] != i and rng.random() < 0.92}
    if rng.random() < 0.12:
        ties = {p for p in ties if height[p[0]] < _LEVEL or rng.random() < 0.2}
    if rng.random() < 0.6:
        ties |= _laterals(rng, shape.pairs, height, twin)
    if rng.random() < 0.15:
        ties |= _sway(rng, shape.pairs, shape.at[:, 0], twin)
    far = {(min(twin[a], twin[b]), max(twin[a], twin[b])) for a, b in shape.pairs} - set(shape.pairs)
    space = Space(
        np.vstack([flat, back]), n, shape.pairs, tuple(sorted(far)), tuple(sorted(ties)), shape.runs, depth
    )
    return _with_rests(rng, space, twin, height) if rng.random() < 0.3 else space


def _rotation(yaw: float, pitch: float, roll: float) -> Points:
    """Turn about the upright, then the level, then the viewing axis."""
    c, s = np.cos(yaw), np.sin(yaw)
    first = np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])
    c, s = np.cos(pitch), np.sin(pitch)
    second = np.array([[1, 0, 0], [0, c, -s], [0, s, c]])
    c, s = np.cos(roll), np.sin(roll)
    return np.asarray(np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]) @ second @ first)


def look(rng: Rng, space: Space, box: tuple[float, float, float, float], *, lying: bool) -> Eye:
    """Place the eye so that the model fills a box (x, y, width, height) of the picture.

    Two planes seen straight on would cover each other, and nobody photographs them so; single ones may be.
    """
    if lying:
        turns = (rng.normal(0, 0.15), rng.normal(0.1, 0.3), rng.normal(0, 0.15))
    elif space.depth:
        pitch = rng.uniform(0.0, 0.6) if rng.random() < 0.92 else -rng.uniform(0.05, 0.35)
        turns = (rng.normal(0, 0.35), pitch, rng.normal(0, 0.03 if rng.random() < 0.8 else 0.14))
    else:
        turns = (rng.normal(0, 0.3), rng.normal(0.12, 0.2), rng.normal(0, 0.03))
    yaw, pitch, roll = (float(np.clip(t, -0.85, 0.85)) for t in turns)
    turn, middle = _rotation(yaw, pitch, roll), space.at.mean(0)
    # Seen from below only perspective tells which plane is the near one: then the eye comes close.
    away = float(rng.uniform(1.3, 2.4 if pitch < 0 and space.depth else 5.0))
    bare = Eye(turn, middle, away, 1.0, np.zeros(2))(space.at)
    x, y, width, height = box
    low, high = bare.min(0), bare.max(0)
    spread = np.maximum(high - low, 1e-3)
    scale = float(min(width / spread[0], height / spread[1]))
    return Eye(
        turn, middle, away, scale, np.array([x + width / 2, y + height / 2]) - (low + high) / 2 * scale
    )
