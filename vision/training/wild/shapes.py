"""Structures for wild pictures: graphs of nodes, plain trusses, lattices, in units of their own size."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import Delaunay

__all__ = ["Shape", "graph", "truss"]

Rng = np.random.Generator
Points = NDArray[np.float64]
Pairs = list[tuple[int, int]]


@dataclass(frozen=True, eq=False)
class Shape:
    """A structure before it is drawn: y down, its longer side 1."""

    at: Points
    """(N, 2)."""
    pairs: tuple[tuple[int, int], ...]
    runs: tuple[tuple[int, ...], ...] = ()
    """Joints in a row that a hand would draw as one stroke (chords)."""


def _clear_of(at: Points, pairs: Pairs, least: float) -> Pairs:
    """Keep the pairs that pass no third point closer than `least`."""
    kept = []
    for a, b in pairs:
        run = at[b] - at[a]
        length = float(np.hypot(*run))
        if length < 1e-6:
            continue
        t = np.clip(((at - at[a]) @ run) / length**2, 0, 1)
        off = np.hypot(*(at - at[a] - t[:, None] * run).T)
        off[[a, b]] = 9.0
        if off.min() > least:
            kept.append((min(a, b), max(a, b)))
    return sorted(set(kept))


def _apart(rng: Rng, count: int, least: float, aspect: float) -> Points:
    """Scatter points at least `least` from each other by throwing darts."""
    got: list[NDArray[np.float64]] = []
    for _ in range(count * 30):
        p = rng.uniform(0, 1, 2) * (1, aspect)
        if all(np.hypot(*(p - q)) > least for q in got):
            got.append(p)
        if len(got) == count:
            break
    return np.array(got)


def _scattered(rng: Rng, aspect: float) -> tuple[Points, Pairs]:
    """Neighbours in the plane joined at random: sparse or full triangulations, some long crossings."""
    count = int(rng.integers(4, 16))
    at = _apart(rng, count, rng.uniform(0.5, 0.85) / np.sqrt(count) * np.sqrt(aspect), aspect)
    if len(at) < 4:
        at = np.array([[0, 0], [1, 0.1], [0.9, aspect], [0.1, aspect]])
    mesh = Delaunay(at).simplices
    pairs = [(int(t[i]), int(t[(i + 1) % 3])) for t in mesh for i in range(3)]
    keep = rng.uniform(0.4, 1.0)
    chosen = [p for p in set(map(tuple, map(sorted, pairs))) if rng.random() < keep]
    for _ in range(int(rng.integers(0, 4))):
        a, b = rng.choice(len(at), 2, replace=False)
        chosen.append((int(a), int(b)))
    return at, [(int(a), int(b)) for a, b in chosen]


def _tree(rng: Rng, aspect: float) -> tuple[Points, Pairs]:
    """Grow a tree outward from a root."""
    del aspect
    at, pairs = [np.zeros(2)], []
    want = int(rng.integers(4, 20))
    heading = [rng.uniform(0, 2 * np.pi)]
    for _ in range(want * 6):
        parent = int(rng.integers(max(0, len(at) - 5), len(at)))
        turn = heading[parent] + rng.normal(0, 0.8)
        p = at[parent] + rng.uniform(0.7, 1.3) * np.array([np.cos(turn), np.sin(turn)])
        if min(np.hypot(*(p - q)) for q in at) < 0.6:
            continue
        pairs.append((parent, len(at)))
        at.append(p)
        heading.append(turn)
        if len(at) == want:
            break
    return np.array(at), pairs


def _branches(rng: Rng, aspect: float) -> tuple[Points, Pairs]:
    """Fork again and again from a trunk of one or two nodes, as a hand draws a tree."""
    del aspect
    at, pairs, ends = [np.zeros(2)], [], [(0, rng.uniform(0, 2 * np.pi), 1.0)]
    if rng.random() < 0.7:
        ends.append((0, ends[0][1] + np.pi + rng.normal(0, 0.3), 1.0))
    want = int(rng.integers(6, 24))
    while ends and len(at) < want:
        node, heading, step = ends.pop(0)
        forks = int(rng.choice([1, 2, 3], p=[0.3, 0.55, 0.15]))
        spread = rng.uniform(0.5, 1.3)
        for k in range(forks):
            way = heading + spread * (k - (forks - 1) / 2) + rng.normal(0, 0.12)
            p = at[node] + step * rng.uniform(0.75, 1.2) * np.array([np.cos(way), np.sin(way)])
            if min(np.hypot(*(p - q)) for q in at) < 0.45 * step:
                continue
            pairs.append((node, len(at)))
            ends.append((len(at), way, step * rng.uniform(0.75, 1.0)))
            at.append(p)
    return np.array(at), pairs


def _ring(rng: Rng, aspect: float) -> tuple[Points, Pairs]:
    """Make a ring or star, with or without spokes and chords."""
    n = int(rng.integers(3, 10))
    turn = np.sort(rng.uniform(0, 2 * np.pi) + (np.arange(n) + rng.uniform(-0.25, 0.25, n)) * 2 * np.pi / n)
    radius = rng.uniform(0.8, 1.15, n)
    at = np.stack([np.cos(turn) * radius, np.sin(turn) * radius * np.clip(aspect, 0.4, 1)], 1)
    kind = rng.random()
    ring = [(i, (i + 1) % n) for i in range(n)]
    if kind < 0.4:
        pairs = ring if kind < 0.3 else ring[:-1]
        for _ in range(int(rng.integers(0, 4))):
            a, b = rng.choice(n, 2, replace=False)
            pairs.append((int(a), int(b)))
        return at, pairs
    at = np.vstack([at, rng.normal(0, 0.1, 2)])
    spokes = [(i, n) for i in range(n)]
    return at, spokes if kind < 0.7 else spokes + ring


def _cells(rng: Rng, aspect: float) -> tuple[Points, Pairs]:
    """Rows and columns of nodes with some diagonals, jittered."""
    rows, cols = int(rng.integers(2, 4)), int(rng.integers(2, 6))
    ys, xs = np.mgrid[0:rows, 0:cols]
    at = np.stack([xs.ravel() * 1.0, ys.ravel() * rng.uniform(0.6, 1.2) * max(aspect, 0.5)], 1)
    at += rng.normal(0, rng.uniform(0, 0.12), at.shape)
    pairs: Pairs = []
    keep, slant = rng.uniform(0.6, 1.0), rng.uniform(0, 1)
    for r in range(rows):
        for c in range(cols):
            i = r * cols + c
            if c + 1 < cols and rng.random() < keep:
                pairs.append((i, i + 1))
            if r + 1 < rows and rng.random() < keep:
                pairs.append((i, i + cols))
            if r + 1 < rows and c + 1 < cols and rng.random() < slant:
                pairs.append((i, i + cols + 1))
            if r + 1 < rows and c + 1 < cols and rng.random() < slant * 0.5:
                pairs.append((i + 1, i + cols))
    return at, pairs


def _columns(rng: Rng, aspect: float) -> tuple[Points, Pairs]:
    """Set few nodes in two or three loose columns, far apart, joined with many crossings or as a chain."""
    cols, rows = int(rng.integers(2, 4)), int(rng.integers(2, 5))
    at = np.array([(c, r * max(aspect, 0.6)) for c in range(cols) for r in range(rows)], float)
    lift = rng.uniform(-0.4, 0.4, cols).repeat(rows) if rng.random() < 0.5 else np.zeros(len(at))
    at += rng.normal(0, 0.12, at.shape) + np.stack([np.zeros(len(at)), lift], 1)
    if len(at) > 4 and rng.random() < 0.5:
        at = np.delete(at, int(rng.integers(len(at))), axis=0)
    near = np.hypot(*(at[:, None] - at[None]).transpose(2, 0, 1))
    pairs = [p for p in combinations(range(len(at)), 2) if rng.random() < np.exp(-0.55 * near[p])]
    return at, _clear_of(at, pairs, 0.3 * rng.uniform(0.6, 1.0))


def _loosened(rng: Rng, at: Points, pairs: Pairs) -> tuple[Points, Pairs]:
    """Leave a joint one member only, or hang a loose member on: a mechanism, as beginners draw it."""
    if rng.random() < 0.5:
        corner = int(rng.integers(len(at)))
        mine = [p for p in pairs if corner in p]
        lost = {mine[k] for k in rng.permutation(len(mine))[1:].tolist()}
        return at, [p for p in pairs if p not in lost]
    size = float(np.ptp(at, axis=0).max())
    corner = int(rng.integers(len(at)))
    turn = rng.choice([0.0, np.pi / 2, np.pi, -np.pi / 2, rng.uniform(0, 2 * np.pi)])
    tip = at[corner] + size * rng.uniform(0.1, 0.35) * np.array([np.cos(turn), np.sin(turn)])
    ways = np.array([at[q if p == corner else p] - at[corner] for p, q in pairs if corner in {p, q}])
    way = (tip - at[corner]) / float(np.hypot(*(tip - at[corner])))
    close = len(ways) and float((ways @ way / np.hypot(*ways.T)).max()) > np.cos(0.4)
    if close or float(np.hypot(*(at - tip).T).min()) < 0.08 * size:
        return at, pairs
    return np.vstack([at, tip]), [*pairs, (corner, len(at))]


def _tidy(at: Points, pairs: Pairs, runs: Pairs | list[tuple[int, ...]] = ()) -> Shape:  # type: ignore[assignment]
    """Drop points without members and scale the longer side to 1."""
    used = sorted({i for p in pairs for i in p})
    row = {old: new for new, old in enumerate(used)}
    at = at[used]
    at = at - at.min(0)
    at = at / max(float(at.max()), 1e-6)
    kept = tuple((row[a], row[b]) for a, b in pairs)
    return Shape(
        at, kept, tuple(piece for r in runs for piece in _unbroken([row.get(i, -1) for i in r], kept))
    )


def _unbroken(run: list[int], pairs: tuple[tuple[int, int], ...]) -> list[tuple[int, ...]]:
    """Cut a run of joints where a member is missing, so that no stroke runs on without one."""
    pieces = [[run[0]]]
    for a, b in pairwise(run):
        if (min(a, b), max(a, b)) in pairs:
            pieces[-1].append(b)
        else:
            pieces.append([b])
    return [tuple(piece) for piece in pieces if len(piece) > 1]


def graph(rng: Rng) -> Shape:
    """Make a graph of nodes of no particular trade: tree, ring, star, cells, scattered."""
    makers: tuple[Callable[[Rng, float], tuple[Points, Pairs]], ...] = (
        _scattered, _tree, _branches, _ring, _cells, _columns,
    )  # fmt: skip
    for _ in range(20):
        at, pairs = makers[rng.choice(6, p=[0.25, 0.09, 0.2, 0.2, 0.14, 0.12])](rng, rng.uniform(0.35, 1.5))
        size = float(np.ptp(at, axis=0).max())
        pairs = _clear_of(at, pairs, 0.07 * size)
        if len(pairs) >= 2:
            return _tidy(at, pairs)
    return Shape(np.array([[0, 0.8], [1, 0.8], [0.5, 0.0]]), ((0, 1), (1, 2), (0, 2)))


def _profile(rng: Rng, panels: int) -> Points:
    """Heights of the top chord at the panel points."""
    x = np.linspace(0, 1, panels + 1)
    rise = rng.uniform(0.12, 0.5)
    kind = rng.random()
    if kind < 0.4:
        return np.full(panels + 1, rise)
    if kind < 0.6:
        return rise * (1 - np.abs(2 * x - 1))
    if kind < 0.72:
        return rise * (0.35 + 2.6 * x * (1 - x))
    if kind < 0.84:  # nearly straight: a joint where the chord hardly bends is one all the same
        return rise * (1 + rng.uniform(-0.5, 0.8) * 4 * x * (1 - x) * rng.uniform(0.1, 0.5))
    return rise * (1 - x * rng.uniform(0.2, 1.0))


def _chords(rng: Rng) -> tuple[Points, Pairs, list[tuple[int, ...]]]:
    """Two chords and a web: verticals and diagonals, zigzag, crossed, or lattice."""
    n = int(rng.integers(2, 9))
    top = _profile(rng, n)
    x = np.linspace(0, 1, n + 1)
    low = np.stack([x, np.zeros(n + 1)], 1)
    high = np.stack([x, top], 1)
    web = rng.choice(["posts", "zigzag", "crossed", "mixed"], p=[0.4, 0.3, 0.15, 0.15])
    pairs: Pairs = [(i, i + 1) for i in range(n)]
    if web == "zigzag":
        inner = np.stack([(x[:-1] + x[1:]) / 2, (top[:-1] + top[1:]) / 2], 1)
        at = np.vstack([low, inner])
        k = n + 1
        pairs += [(k + i, k + i + 1) for i in range(n - 1)]
        pairs += [p for i in range(n) for p in ((i, k + i), (k + i, i + 1))]
        return at, pairs, [tuple(range(n + 1)), tuple(range(k, k + n))]
    at = np.vstack([low, high])
    k = n + 1
    pairs += [(k + i, k + i + 1) for i in range(n)]
    pairs += [(i, k + i) for i in range(n + 1)]
    for i in range(n):
        side = i < n / 2 if web == "posts" else rng.random() < 0.5
        if web == "crossed" or side:
            pairs.append((i, k + i + 1))
        if web == "crossed" or not side:
            pairs.append((i + 1, k + i))
    flat = np.flatnonzero(top < 0.02)
    for i in flat.tolist():
        pairs = [tuple(int(i) if j == k + i else j for j in p) for p in pairs]  # type: ignore[misc]
    pairs = [p for p in pairs if p[0] != p[1]]
    runs = [tuple(range(n + 1))] if flat.size else [tuple(range(n + 1)), tuple(range(k, k + n + 1))]
    return at, pairs, runs


def truss(rng: Rng) -> Shape:
    """Make a plain truss: chords and a web, a small triangle, or an irregular triangulation."""
    kind = rng.random()
    if kind < 0.2:
        at, pairs = _scattered(rng, rng.uniform(0.4, 0.9))
        pairs = _clear_of(at, pairs, 0.08)
        if len(pairs) >= 3:
            return _tidy(at, pairs)
    if kind < 0.3:
        at = np.array([[0, 0], [1, 0], [rng.uniform(0.2, 0.8), rng.uniform(0.3, 0.8)], [0.5, 0]])
        pairs = [(0, 1), (1, 2), (0, 2)] if rng.random() < 0.5 else [(0, 3), (3, 1), (1, 2), (0, 2), (2, 3)]
    else:
        at, pairs, runs = _chords(rng)
        sag = rng.normal(0, 0.04) if rng.random() < 0.2 else 0.0
        at = at + np.stack([np.zeros(len(at)), sag * 4 * at[:, 0] * (1 - at[:, 0])], 1)
        if rng.random() < 0.25:
            pairs = [p for p in pairs if rng.random() > 0.08]
        if rng.random() < 0.25:
            at, pairs = _loosened(rng, at, pairs)
        at = at * (1, -1)
        if rng.random() < 0.2:
            at = at * (1, -1)
        straight = [] if sag else runs
        return _tidy(at, sorted({(min(p), max(p)) for p in pairs}), straight)
    return _tidy(at * (1, -1), sorted({(min(p), max(p)) for p in pairs}))
