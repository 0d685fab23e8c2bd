"""Triangles, posts and roof trusses."""

from __future__ import annotations

import numpy as np

from vision.training.shape import Pull, Shape, at_ends, chain, shape_of, some_pulls

__all__ = ["posts", "roof"]


def posts(rng: np.random.Generator, name: str) -> Shape:
    """Build a triangle, a king post or a queen post."""
    joints: list[tuple[float, float]]
    rise = rng.uniform(0.35, 0.9)
    if name == "triangle":
        top = rng.uniform(0.2, 0.8)
        return shape_of(
            name, [(0, 0), (1, 0), (top, rise)], [(0, 1), (1, 2), (0, 2)], at_ends(0, 1), [Pull(2)]
        )
    if name == "king-post":
        joints = [(0, 0), (1, 0), (2, 0), (1, rise * 1.4)]
        members = [(0, 1), (1, 2), (0, 3), (3, 2), (1, 3)]
        if rng.random() < 0.4:
            joints += [(0.5, rise * 0.7), (1.5, rise * 0.7)]
            members = [(0, 1), (1, 2), (0, 4), (4, 3), (3, 5), (5, 2), (1, 3), (1, 4), (1, 5)]
        return shape_of(name, joints, members, at_ends(0, 2), some_pulls(rng, [1, 3]))
    joints = [(0, 0), (1, 0), (2, 0), (3, 0), (1, rise * 1.3), (2, rise * 1.3)]
    members = [(0, 1), (1, 2), (2, 3), (0, 4), (4, 5), (5, 3), (1, 4), (2, 5), (1, 5)]
    if rng.random() < 0.3:  # trapezoid without posts
        joints = [(0, 0), (1.5, 0), (3, 0), (0.75, rise * 1.4), (2.25, rise * 1.4)]
        members = [(0, 1), (1, 2), (3, 4), (0, 3), (3, 1), (1, 4), (4, 2)]
        return shape_of("trapezoid", joints, members, at_ends(0, 2), [Pull(1)])
    return shape_of(name, joints, members, at_ends(0, 3), some_pulls(rng, [1, 2]))


def roof(rng: np.random.Generator, name: str) -> Shape:
    """Build a Fink, scissors, north-light, gambrel or fan roof."""
    rise = rng.uniform(0.45, 1.1)
    span = 4.0
    joints: list[tuple[float, float]]
    if name == "fink":
        joints = [(0, 0), (span / 3, 0), (2 * span / 3, 0), (span, 0), (1, rise), (2, 2 * rise), (3, rise)]
        members = [(0, 1), (1, 2), (2, 3), (0, 4), (4, 5), (5, 6), (6, 3), (4, 1), (1, 5), (5, 2), (2, 6)]
        return shape_of(name, joints, members, at_ends(0, 3), some_pulls(rng, [4, 5, 6]))
    if name == "scissors":
        low = rise * rng.uniform(0.5, 1.1)
        joints = [(0, 0), (span, 0), (2, 2 * rise), (2, low), (1, rise), (3, rise)]
        members = [(0, 4), (4, 2), (2, 5), (5, 1), (0, 3), (3, 1), (3, 2), (4, 3), (3, 5)]
        return shape_of(name, joints, members, at_ends(0, 1), some_pulls(rng, [2, 4, 5]))
    if name == "north-light":
        joints = [(0, 0), (1, 0), (2, 0), (3, 0), (1, rise), (2, 2 * rise)]
        members = [(0, 1), (1, 2), (2, 3), (0, 4), (4, 5), (5, 3), (1, 4), (2, 5), (2, 4)]
        return shape_of(name, joints, members, at_ends(0, 3), some_pulls(rng, [4, 5]))
    if name == "gambrel":
        joints = [(0, 0), (2, 0), (4, 0), (0.8, rise * 1.3), (2, rise * 1.9), (3.2, rise * 1.3)]
        members = [(0, 1), (1, 2), (0, 3), (3, 4), (4, 5), (5, 2), (3, 1), (4, 1), (5, 1)]
        return shape_of(name, joints, members, at_ends(0, 2), some_pulls(rng, [3, 4, 5]))
    # fan: bars spread from the middle of the lower chord to the rafters
    count = int(rng.integers(2, 4))
    joints = [(0, 0), (2, 0), (4, 0)]
    left = [(2 * k / (count + 1), 2 * rise * k / (count + 1)) for k in range(1, count + 1)]
    joints += left
    joints.append((2, 2 * rise))
    joints += [(4 - x, y) for x, y in reversed(left)]
    rafters = [0, *range(3, 3 + 2 * count + 1), 2]
    members = [(0, 1), (1, 2), *chain(rafters), *[(1, r) for r in rafters[1:-1]]]
    return shape_of(name, joints, members, at_ends(0, 2), some_pulls(rng, rafters[1:-1]))
