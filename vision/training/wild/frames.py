"""Plane frames that people build: girders with every common web, roofs, brackets, towers."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from vision.training.wild.shapes import Shape, truss

__all__ = ["frame"]

Rng = np.random.Generator
Points = NDArray[np.float64]
Pairs = list[tuple[int, int]]

_MOST_JOINTS = 22
"""More joints than this no one builds by hand on a table."""


def _shape(at: Points, pairs: Pairs, runs: tuple[tuple[int, ...], ...]) -> Shape:
    """Turn y down and scale the longer side to 1."""
    at = at * (1, -1)
    at = at - at.min(0)
    return Shape(at / float(at.max()), tuple(sorted({(min(p), max(p)) for p in pairs})), runs)


def _depths(rng: Rng, x: Points, rise: float) -> Points:
    """Heights of a top chord over places 0 to 1 along the span; the ends stay above nothing."""
    kind = rng.random()
    if kind < 0.55:
        return np.full(len(x), rise)
    if kind < 0.85:
        return rise * (rng.uniform(0.35, 0.7) + rng.uniform(0.8, 2.0) * x * (1 - x))
    return rise * (1 - rng.uniform(0.0, 0.6) * x)


def _warren(rng: Rng) -> Shape:
    """Make a row of triangles: the commonest model of all; with posts or without."""
    n = int(rng.choice([2, 2, 3, 3, 4, 5, 6, 7]))
    rise = rng.uniform(0.3, 1.25) / n
    low = np.column_stack([np.arange(n + 1) / n, np.zeros(n + 1)])
    x = (np.arange(n) + 0.5) / n
    high = np.column_stack([x, _depths(rng, x, rise)])
    k = n + 1
    pairs: Pairs = [(i, i + 1) for i in range(n)] + [(k + i, k + i + 1) for i in range(n - 1)]
    pairs += [p for i in range(n) for p in ((i, k + i), (k + i, i + 1))]
    at = np.vstack([low, high])
    if rng.random() < 0.12:  # the short chord below
        at = at * (1, -1)
    return _shape(at, pairs, (tuple(range(n + 1)), tuple(range(k, k + n))))


def _panels(rng: Rng) -> Shape:
    """Make a girder of panels with sloped or upright ends: posts with diagonals either way, crossed, or K."""
    n = int(rng.integers(2, 8))
    rise = rng.uniform(0.32, 1.4) / n
    x = np.arange(n + 1) / n
    sloped = n > 2 and rng.random() < 0.6
    tops = np.arange(1, n) if sloped else np.arange(n + 1)
    high = np.column_stack([x[tops], _depths(rng, x[tops], rise)])
    at = np.vstack([np.column_stack([x, np.zeros(n + 1)]), high])
    k = {int(i): n + 1 + row for row, i in enumerate(tops)}
    pairs: Pairs = [(i, i + 1) for i in range(n)]
    pairs += [(k[i], k[i + 1]) for i in range(n) if i in k and i + 1 in k]
    if sloped:
        pairs += [(0, k[1]), (n, k[n - 1])]
    posts = rng.random() < 0.92
    pairs += [(i, top) for i, top in k.items() if posts or i in {0, n}]
    way = rng.choice(["in", "out", "same", "cross", "some"], p=[0.3, 0.25, 0.1, 0.2, 0.15])
    for i in range(n):
        if i not in k or i + 1 not in k:
            continue
        rising = {"in": i >= n / 2, "out": i < n / 2, "same": True}.get(str(way), rng.random() < 0.5)
        both = way == "cross" or (way == "some" and rng.random() < 0.35)
        if both or rising:
            pairs.append((i, k[i + 1]))
        if both or not rising:
            pairs.append((i + 1, k[i]))
    if rng.random() < 0.15:  # the deck runs over the girder
        at = at * (1, -1)
    return _shape(at, pairs, (tuple(range(n + 1)), tuple(k.values())))


def _gable(rng: Rng) -> Shape:
    """Make a triangle: king post, queen posts, and finer webs."""
    n = int(rng.choice([2, 2, 4, 4, 6]))
    rise = rng.uniform(0.15, 0.55)
    x = np.arange(n + 1) / n
    inner = np.arange(1, n)
    roof = np.column_stack([x[inner], rise * (1 - np.abs(2 * x[inner] - 1))])
    at = np.vstack([np.column_stack([x, np.zeros(n + 1)]), roof])
    k = {i: n + i for i in range(1, n)}
    pairs: Pairs = [(i, i + 1) for i in range(n)] + [(k[i], k[i + 1]) for i in range(1, n - 1)]
    pairs += [(0, k[1]), (n, k[n - 1])] + [(i, k[i]) for i in range(1, n)]
    inward = rng.random() < 0.5
    for i in range(1, n - 1):
        left = i < n // 2
        pairs.append((i, k[i + 1]) if left == inward else (i + 1, k[i]))
    return _shape(at, pairs, (tuple(range(n + 1)), (0, *(k[i] for i in range(1, n // 2 + 1)))))


def _bow(rng: Rng) -> Shape:
    """Make a bow or lens: a curved chord, or two, that meet the other one sharply at both ends."""
    n = int(rng.integers(3, 9))
    x = np.arange(n + 1) / n
    arc = 4 * x * (1 - x)
    up, down = rng.uniform(0.08, 0.35), rng.uniform(0.03, 0.2) * (rng.random() < 0.35)
    low = np.column_stack([x, -down * arc])
    high = np.column_stack([x[1:-1], up * arc[1:-1]])
    at = np.vstack([low, high])
    k = {i: n + i for i in range(1, n)}
    pairs: Pairs = [(i, i + 1) for i in range(n)] + [(k[i], k[i + 1]) for i in range(1, n - 1)]
    pairs += [(0, k[1]), (n, k[n - 1])] + [(i, k[i]) for i in range(1, n)]
    crossed = rng.random() < 0.25
    for i in range(1, n - 1):
        left = i + 0.5 < n / 2
        if left or crossed:
            pairs.append((i, k[i + 1]))
        if not left or crossed:
            pairs.append((i + 1, k[i]))
    if rng.random() < 0.25:
        at = at * (1, -1)
    return _shape(at, pairs, (tuple(range(n + 1)), (0, *k.values(), n)))


def _bracket(rng: Rng) -> Shape:
    """Make a bracket, jib or tower: a narrow strip of panels, standing or reaching out."""
    n = int(rng.integers(2, 7))
    x = np.arange(n + 1) / n
    wide = rng.uniform(0.7, 1.3) / n
    taper = rng.uniform(0.2, 1.0)
    half = wide * (1 - (1 - taper) * x)
    low = np.column_stack([x, np.zeros(n + 1)])
    high = np.column_stack([x, half])
    k = n + 1
    pairs: Pairs = [(i, i + 1) for i in range(n)] + [(k + i, k + i + 1) for i in range(n)]
    pairs += [(i, k + i) for i in range(n + 1)]
    zigzag = rng.random() < 0.6
    pairs += [(i, k + i + 1) if zigzag and i % 2 == 0 else (i + 1, k + i) for i in range(n)]
    at = np.vstack([low, high])
    if rng.random() < 0.6:
        at = at[:, ::-1].copy()
    return _shape(at, pairs, (tuple(range(n + 1)), tuple(range(k, k + n + 1))))


def frame(rng: Rng) -> Shape:
    """Make a plane frame of few enough joints to be built of sticks; its longer side is 1, y down."""
    makers: tuple[Callable[[Rng], Shape], ...] = (
        _warren, _panels, _gable, _bow, _bracket, truss,
    )  # fmt: skip

    for _ in range(30):
        shape = makers[rng.choice(6, p=[0.29, 0.25, 0.13, 0.1, 0.07, 0.16])](rng)
        if len(shape.at) <= _MOST_JOINTS and np.ptp(shape.at, axis=0).min() > 0.08:
            return shape
    return Shape(np.array([[0, 0.5], [1, 0.5], [0.5, 0.0]]), ((0, 1), (1, 2), (0, 2)))
