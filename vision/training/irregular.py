"""Trusses of no family: grown triangles, hubs of many bars, rings, trees and nets."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vision.training.shape import Pair, Pull, Shape, at_ends, chain, shape_of, some_pulls

__all__ = ["graph", "hub", "irregular"]


def irregular(rng: np.random.Generator, name: str) -> Shape:
    """Grow triangles outwards: each new joint is tied to the two ends of an outer bar."""
    joints = [(0.0, 0.0), (1.0, 0.0), (0.5 + rng.uniform(-0.2, 0.2), rng.uniform(0.6, 1.0))]
    members: list[Pair] = [(0, 1), (1, 2), (0, 2)]
    outer: list[tuple[int, int, int]] = [(0, 1, 2), (1, 2, 0), (0, 2, 1)]
    wanted = int(rng.integers(4, 13))
    for _ in range(80):
        if len(joints) >= wanted:
            break
        a, b, inside = outer[int(rng.integers(len(outer)))]
        pa, pb, pi = np.array(joints[a]), np.array(joints[b]), np.array(joints[inside])
        along = pb - pa
        across = np.array([-along[1], along[0]])
        across *= -np.sign(across @ (pi - pa))
        p = pa + along * rng.uniform(0.2, 0.8) + across * rng.uniform(0.6, 1.0)
        if _too_close(p, np.array(joints), members, (a, b)):
            continue
        joints.append((float(p[0]), float(p[1])))
        new = len(joints) - 1
        members += [(a, new), (b, new)]
        outer.remove((a, b, inside))
        outer += [(a, new, b), (b, new, a)]
    points = np.array(joints)
    angle = rng.uniform(-0.4, 0.4)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    points = points @ turn.T
    order = np.argsort(points[:, 1])
    low = sorted(order[:2].tolist(), key=lambda i: float(points[i, 0]))
    free = [i for i in range(len(joints)) if i not in low]
    loads = [Pull(p.joint, _any_way(rng)) for p in some_pulls(rng, free)]
    return shape_of(name, [(float(x), float(y)) for x, y in points], members, at_ends(low[0], low[1]), loads)


def _any_way(rng: np.random.Generator) -> tuple[float, float]:
    if rng.random() < 0.6:
        return (0.0, -1.0)
    angle = rng.uniform(-np.pi, 0) if rng.random() < 0.6 else float(rng.choice([0.0, np.pi, -np.pi / 4]))
    return (float(np.cos(angle)), float(np.sin(angle)))


def _distance(p: NDArray[np.float64], a: NDArray[np.float64], b: NDArray[np.float64]) -> float:
    along = b - a
    t = np.clip((p - a) @ along / max(float(along @ along), 1e-12), 0, 1)
    return float(np.hypot(*(p - a - t * along)))


def _cross(
    a: NDArray[np.float64], b: NDArray[np.float64], c: NDArray[np.float64], d: NDArray[np.float64]
) -> bool:
    def side(p: NDArray[np.float64], q: NDArray[np.float64], r: NDArray[np.float64]) -> float:
        return float((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]))

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _too_close(p: NDArray[np.float64], joints: NDArray[np.float64], members: list[Pair], to: Pair) -> bool:
    if any(np.hypot(*(p - q)) < 0.55 for q in joints):
        return True
    if any(_distance(p, joints[a], joints[b]) < 0.3 for a, b in members):
        return True
    for end in to:
        for k, q in enumerate(joints):
            if k not in to and _distance(q, p, joints[end]) < 0.25:
                return True
        for a, b in members:
            if end not in (a, b) and _cross(p, joints[end], joints[a], joints[b]):
                return True
    return False


def hub(rng: np.random.Generator, name: str) -> Shape:
    """Build a joint of high degree in the middle of a ring, whole or half."""
    spokes = int(rng.integers(5, 9))
    whole = rng.random() < 0.4
    reach = 2 * np.pi if whole else np.pi
    steps = spokes if whole else spokes - 1
    angles = reach * np.arange(spokes) / steps + (rng.uniform(0, 1) if whole else 0)
    joints = [(0.0, 0.0)] + [(float(np.cos(a)), float(np.sin(a))) for a in angles]
    members = [(0, k) for k in range(1, spokes + 1)] + chain(list(range(1, spokes + 1)))
    if whole:
        members.append((1, spokes))
    low = sorted(range(len(joints)), key=lambda i: joints[i][1])[:2]
    low.sort(key=lambda i: joints[i][0])
    if not whole:
        low = [spokes, 1]
    rows = [k for k in range(1, spokes + 1) if k not in low]
    return shape_of(name, joints, members, at_ends(low[0], low[1]), some_pulls(rng, rows))


def graph(rng: np.random.Generator, name: str) -> Shape:
    """Build a ring, tree, star or net of bars, as people sketch with circled nodes."""
    count = int(rng.integers(4, 12))
    spots: list[NDArray[np.float64]] = []
    for _ in range(400):
        p = rng.uniform(0, 1, 2) * [1.6, 1.0]
        if all(np.hypot(*(p - q)) > 0.28 for q in spots):
            spots.append(p)
        if len(spots) == count:
            break
    points = np.array(spots)
    n = len(points)
    candidates = sorted(
        (float(np.hypot(*(points[a] - points[b]))), a, b) for a in range(n) for b in range(a + 1, n)
    )
    crossing_allowed = rng.random() < 0.3
    density = rng.uniform(0.0, 1.0)
    members: list[Pair] = []
    group = list(range(n))
    for length, a, b in candidates:
        joins = group[a] != group[b]
        if not joins and (length > 0.9 or rng.random() > density):
            continue
        clear = all(_distance(points[k], points[a], points[b]) > 0.12 for k in range(n) if k not in (a, b))
        crosses = any(
            len({a, b, c, d}) == 4 and _cross(points[a], points[b], points[c], points[d]) for c, d in members
        )
        if clear and (crossing_allowed or not crosses):
            members.append((a, b))
            old, new = group[b], group[a]
            group = [new if g == old else g for g in group]
    used = sorted({i for m in members for i in m})
    row = {old: k for k, old in enumerate(used)}
    return shape_of(
        name,
        [(float(points[i][0]), float(points[i][1])) for i in used],
        [(row[a], row[b]) for a, b in members],
    )
