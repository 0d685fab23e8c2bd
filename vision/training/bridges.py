"""Bridge trusses, cantilevers and towers."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np

from vision.training.shape import Pair, Pull, Rest, Shape, at_ends, chain, shape_of, some_pulls

__all__ = ["cantilever", "double_warren", "k_truss", "overhang", "parallel", "tower", "warren"]


def parallel(rng: np.random.Generator, name: str) -> Shape:
    """Pratt, Howe and X-braced bridges, with level or polygonal upper chords."""
    panels = int(rng.choice([2, 4, 4, 6, 6, 8])) if name != "x-braced" else int(rng.integers(1, 6))
    panels = min(panels, 6) if name == "x-braced" else panels
    rise = rng.uniform(0.6, 1.5)
    upper_rows = list(range(1, panels))
    square_ends = name == "x-braced" or rng.random() < 0.25
    if square_ends:
        upper_rows = list(range(panels + 1))
    curve = rng.uniform(0.15, 0.9) if name in {"parker", "bowstring"} else 0.0
    if name == "bowstring":
        upper_rows = list(range(1, panels))
    down = [(float(i), 0.0) for i in range(panels + 1)]
    middle = panels / 2

    def height(i: int) -> float:
        part = 1 - ((i - middle) / middle) ** 2
        if name == "bowstring":
            return float(rise * 1.5 * part)
        return float(rise * (1 + curve * part))

    up = [(float(i), height(i)) for i in upper_rows]
    top = {i: panels + 1 + k for k, i in enumerate(upper_rows)}
    members = chain(list(range(panels + 1))) + chain(list(top.values()))
    members += [(i, top[i]) for i in upper_rows]
    if not square_ends or name == "bowstring":
        members += [(0, top[upper_rows[0]]), (panels, top[upper_rows[-1]])]
    howe = name == "howe" or (name in {"parker", "bowstring"} and rng.random() < 0.3)
    for a, b in pairwise(range(panels + 1)):
        if a not in top or b not in top:
            continue
        left_half = (a + b) / 2 < middle
        rising = (b, a) if left_half else (a, b)  # Pratt: diagonals fall towards the middle
        low, high = rising if not howe else (rising[1], rising[0])
        members.append((low, top[high]))
        if name == "x-braced":
            members.append((high, top[low]))
    if panels == 2 and len(upper_rows) == 1 and name in {"pratt", "howe", "parker", "bowstring"}:
        members = [*chain([0, 1, 2]), (0, 3), (3, 2), (1, 3)]
    rows = list(range(1, panels)) if rng.random() < 0.7 else list(top.values())
    return shape_of(name, down + up, members, at_ends(0, panels), some_pulls(rng, rows or [0]))


def warren(rng: np.random.Generator, name: str) -> Shape:
    """Build a Warren truss, with verticals or without, sometimes below its deck."""
    panels = int(rng.integers(2, 7))
    rise = rng.uniform(0.6, 1.2)
    joints = [(float(i), 0.0) for i in range(panels + 1)] + [(i + 0.5, rise) for i in range(panels)]
    top = list(range(panels + 1, 2 * panels + 1))
    members = chain(list(range(panels + 1))) + chain(top)
    for i, t in enumerate(top):
        members += [(i, t), (i + 1, t)]
    if name == "warren-verticals":
        # A vertical from each upper joint meets the lower chord at a joint of its own.
        for i, t in enumerate(top):
            joints.append((i + 0.5, 0.0))
            foot = len(joints) - 1
            members.remove((i, i + 1))
            members += [(i, foot), (foot, i + 1), (foot, t)]
    shape = shape_of(
        name, joints, members, at_ends(0, panels), some_pulls(rng, list(range(1, panels)) or top)
    )
    if rng.random() < 0.25:  # upside down: an underdeck bridge
        flipped = shape.joints * [1, -1]
        return replace(shape, joints=flipped, pulls=tuple(some_pulls(rng, list(range(1, panels)) or [0])))
    return shape


def double_warren(rng: np.random.Generator, name: str) -> Shape:
    """Build two Warren trusses laid over each other: diagonals cross without a joint."""
    panels = int(rng.integers(2, 5))
    rise = rng.uniform(0.6, 1.1)
    down = [(float(i), 0.0) for i in range(panels + 1)]
    up = [(float(i), rise) for i in range(panels + 1)]
    n = panels + 1
    members = chain(list(range(n))) + chain(list(range(n, 2 * n))) + [(0, n), (panels, n + panels)]
    for i in range(panels):
        members += [(i, n + i + 1), (i + 1, n + i)]
    return shape_of(
        name, down + up, members, at_ends(0, panels), some_pulls(rng, list(range(1, panels)) or [n])
    )


def k_truss(rng: np.random.Generator, name: str) -> Shape:
    """Build a truss whose web members form a K."""
    half = int(rng.integers(2, 4))
    panels = 2 * half
    rise = rng.uniform(1.0, 1.8)
    joints = [(float(i), 0.0) for i in range(panels + 1)]
    top = {i: len(joints) + k for k, i in enumerate(range(1, panels))}
    joints += [(float(i), rise) for i in range(1, panels)]
    mid: dict[int, int] = {}
    for i in range(1, panels):
        if i != half:
            mid[i] = len(joints)
            joints.append((float(i), rise / 2))
    members = [
        *chain(list(range(panels + 1))),
        *chain(list(top.values())),
        (0, top[1]),
        (panels, top[panels - 1]),
    ]
    for i in range(1, panels):
        if i == half:
            members.append((i, top[i]))
            continue
        towards = i + 1 if i < half else i - 1
        members += [(i, mid[i]), (mid[i], top[i]), (mid[i], towards), (mid[i], top[towards])]
    return shape_of(name, joints, members, at_ends(0, panels), some_pulls(rng, list(range(1, panels))))


def cantilever(rng: np.random.Generator, name: str) -> Shape:
    """Build a truss held by a wall, level or tapered."""
    panels = int(rng.integers(1, 5))
    rise = rng.uniform(0.7, 1.2)
    tip = name == "tapered-cantilever"
    low = [(float(i), rise * 0.9 * i / (panels + 1) if tip else 0.0) for i in range(panels + 1)]
    joints = low + [(float(i), rise) for i in range(panels + 1)]
    n = panels + 1
    members = chain(list(range(n))) + chain(list(range(n, 2 * n)))
    members += [(i, n + i) for i in range(1, n)]
    for i in range(panels):
        members.append((i, n + i + 1) if rng.random() < 0.5 else (i + 1, n + i))
    if tip:
        joints.append((panels + 1.0, rise))
        members += [(panels, 2 * n), (2 * n - 1, 2 * n)]
    rests: tuple[Rest, ...] = (Rest(0, "roller", (1.0, 0.0)), Rest(n, "pin", (1.0, 0.0)))
    if rng.random() < 0.5:
        rests = (Rest(0, "pin", (1.0, 0.0)), Rest(n, "roller", (1.0, 0.0)))
        members.append((0, n)) if rng.random() < 0.5 else None
    outer = [2 * n] if tip else [panels, 2 * n - 1]
    shape = shape_of(name, joints, members, rests, some_pulls(rng, outer))
    if rng.random() < 0.4:
        mirrored = tuple(replace(r, normal=(-1.0, 0.0)) for r in shape.rests)
        return replace(shape, joints=shape.joints * [-1, 1], rests=mirrored)
    return shape


def overhang(rng: np.random.Generator, name: str) -> Shape:
    """Build a bridge that runs past its right support."""
    base = warren(rng, "warren") if rng.random() < 0.5 else parallel(rng, "pratt")
    bottom = [i for i, (_, y) in enumerate(base.joints) if abs(y) < 1e-9]
    bottom.sort(key=lambda i: base.joints[i, 0])
    inner = bottom[1:-1]
    rests = (Rest(bottom[0], "pin"), Rest(inner[-1] if inner else bottom[-1], "roller"))
    return replace(base, name=name, rests=rests, pulls=(*base.pulls[:1], Pull(bottom[-1])))


def tower(rng: np.random.Generator, name: str) -> Shape:
    """Build a tower of braced storeys, pushed from the side."""
    storeys = int(rng.integers(2, 6))
    width = rng.uniform(0.8, 1.3)
    lean = rng.uniform(0.0, 0.35 * width / storeys)
    joints: list[tuple[float, float]] = []
    members: list[Pair] = []
    for k in range(storeys + 1):
        joints += [(lean * k, float(k)), (width - lean * k, float(k))]
        if k:
            members += [(2 * k - 2, 2 * k), (2 * k - 1, 2 * k + 1), (2 * k, 2 * k + 1)]
            members.append((2 * k - 2, 2 * k + 1) if rng.random() < 0.5 else (2 * k - 1, 2 * k))
    side = Pull(2 * storeys, (1.0, 0.0))
    return shape_of(name, joints, members, at_ends(0, 1), [side, *some_pulls(rng, [2 * storeys + 1])])
