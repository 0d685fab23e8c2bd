"""The trusses that get drawn: every common family, and irregular ones."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

__all__ = ["SHAPES", "Pull", "Rest", "Shape", "make_shape"]

Pair = tuple[int, int]


@dataclass(frozen=True)
class Rest:
    """A support: which joint, `pin` or `roller`, and the way the ground pushes (x right, y up)."""

    joint: int
    kind: str
    normal: tuple[float, float] = (0.0, 1.0)


@dataclass(frozen=True)
class Pull:
    """A load: which joint, and its direction (x right, y up)."""

    joint: int
    direction: tuple[float, float] = (0.0, -1.0)


@dataclass(frozen=True, eq=False)
class Shape:
    """A truss as it stands: x right, y up, free units."""

    name: str
    joints: NDArray[np.float64]
    """(N, 2)."""
    members: tuple[Pair, ...]
    """Smaller row first, sorted."""
    rests: tuple[Rest, ...] = ()
    pulls: tuple[Pull, ...] = ()


def _shape(
    name: str,
    joints: Iterable[tuple[float, float]],
    members: Iterable[Pair],
    rests: Iterable[Rest] = (),
    pulls: Iterable[Pull] = (),
) -> Shape:
    pairs = sorted({(min(m), max(m)) for m in members})
    return Shape(name, np.array(list(joints), dtype=float), tuple(pairs), tuple(rests), tuple(pulls))


def _chain(rows: list[int]) -> list[Pair]:
    return list(pairwise(rows))


def _ends(left: int, right: int) -> tuple[Rest, Rest]:
    return Rest(left, "pin"), Rest(right, "roller")


def _some(rng: np.random.Generator, rows: list[int], at_least: int = 1) -> list[Pull]:
    count = int(rng.integers(at_least, max(at_least + 1, min(4, len(rows)) + 1)))
    chosen = rng.choice(len(rows), size=min(count, len(rows)), replace=False)
    return [Pull(rows[i]) for i in sorted(chosen)]


def _parallel(rng: np.random.Generator, name: str) -> Shape:
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
    members = _chain(list(range(panels + 1))) + _chain(list(top.values()))
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
        members = [*_chain([0, 1, 2]), (0, 3), (3, 2), (1, 3)]
    rows = list(range(1, panels)) if rng.random() < 0.7 else list(top.values())
    return _shape(name, down + up, members, _ends(0, panels), _some(rng, rows or [0]))


def _warren(rng: np.random.Generator, name: str) -> Shape:
    panels = int(rng.integers(2, 7))
    rise = rng.uniform(0.6, 1.2)
    joints = [(float(i), 0.0) for i in range(panels + 1)] + [(i + 0.5, rise) for i in range(panels)]
    top = list(range(panels + 1, 2 * panels + 1))
    members = _chain(list(range(panels + 1))) + _chain(top)
    for i, t in enumerate(top):
        members += [(i, t), (i + 1, t)]
    if name == "warren-verticals":
        # A vertical from each upper joint meets the lower chord at a joint of its own.
        for i, t in enumerate(top):
            joints.append((i + 0.5, 0.0))
            foot = len(joints) - 1
            members.remove((i, i + 1))
            members += [(i, foot), (foot, i + 1), (foot, t)]
    shape = _shape(name, joints, members, _ends(0, panels), _some(rng, list(range(1, panels)) or top))
    if rng.random() < 0.25:  # upside down: an underdeck bridge
        flipped = shape.joints * [1, -1]
        return replace(shape, joints=flipped, pulls=tuple(_some(rng, list(range(1, panels)) or [0])))
    return shape


def _double_warren(rng: np.random.Generator, name: str) -> Shape:
    panels = int(rng.integers(2, 5))
    rise = rng.uniform(0.6, 1.1)
    down = [(float(i), 0.0) for i in range(panels + 1)]
    up = [(float(i), rise) for i in range(panels + 1)]
    n = panels + 1
    members = _chain(list(range(n))) + _chain(list(range(n, 2 * n))) + [(0, n), (panels, n + panels)]
    for i in range(panels):
        members += [(i, n + i + 1), (i + 1, n + i)]
    return _shape(name, down + up, members, _ends(0, panels), _some(rng, list(range(1, panels)) or [n]))


def _posts(rng: np.random.Generator, name: str) -> Shape:
    joints: list[tuple[float, float]]
    rise = rng.uniform(0.35, 0.9)
    if name == "triangle":
        top = rng.uniform(0.2, 0.8)
        return _shape(name, [(0, 0), (1, 0), (top, rise)], [(0, 1), (1, 2), (0, 2)], _ends(0, 1), [Pull(2)])
    if name == "king-post":
        joints = [(0, 0), (1, 0), (2, 0), (1, rise * 1.4)]
        members = [(0, 1), (1, 2), (0, 3), (3, 2), (1, 3)]
        if rng.random() < 0.4:
            joints += [(0.5, rise * 0.7), (1.5, rise * 0.7)]
            members = [(0, 1), (1, 2), (0, 4), (4, 3), (3, 5), (5, 2), (1, 3), (1, 4), (1, 5)]
        return _shape(name, joints, members, _ends(0, 2), _some(rng, [1, 3]))
    joints = [(0, 0), (1, 0), (2, 0), (3, 0), (1, rise * 1.3), (2, rise * 1.3)]
    members = [(0, 1), (1, 2), (2, 3), (0, 4), (4, 5), (5, 3), (1, 4), (2, 5), (1, 5)]
    if rng.random() < 0.3:  # trapezoid without posts
        joints = [(0, 0), (1.5, 0), (3, 0), (0.75, rise * 1.4), (2.25, rise * 1.4)]
        members = [(0, 1), (1, 2), (3, 4), (0, 3), (3, 1), (1, 4), (4, 2)]
        return _shape("trapezoid", joints, members, _ends(0, 2), [Pull(1)])
    return _shape(name, joints, members, _ends(0, 3), _some(rng, [1, 2]))


def _roof(rng: np.random.Generator, name: str) -> Shape:
    rise = rng.uniform(0.45, 1.1)
    span = 4.0
    joints: list[tuple[float, float]]
    if name == "fink":
        joints = [(0, 0), (span / 3, 0), (2 * span / 3, 0), (span, 0), (1, rise), (2, 2 * rise), (3, rise)]
        members = [(0, 1), (1, 2), (2, 3), (0, 4), (4, 5), (5, 6), (6, 3), (4, 1), (1, 5), (5, 2), (2, 6)]
        return _shape(name, joints, members, _ends(0, 3), _some(rng, [4, 5, 6]))
    if name == "scissors":
        low = rise * rng.uniform(0.5, 1.1)
        joints = [(0, 0), (span, 0), (2, 2 * rise), (2, low), (1, rise), (3, rise)]
        members = [(0, 4), (4, 2), (2, 5), (5, 1), (0, 3), (3, 1), (3, 2), (4, 3), (3, 5)]
        return _shape(name, joints, members, _ends(0, 1), _some(rng, [2, 4, 5]))
    if name == "north-light":
        joints = [(0, 0), (1, 0), (2, 0), (3, 0), (1, rise), (2, 2 * rise)]
        members = [(0, 1), (1, 2), (2, 3), (0, 4), (4, 5), (5, 3), (1, 4), (2, 5), (2, 4)]
        return _shape(name, joints, members, _ends(0, 3), _some(rng, [4, 5]))
    if name == "gambrel":
        joints = [(0, 0), (2, 0), (4, 0), (0.8, rise * 1.3), (2, rise * 1.9), (3.2, rise * 1.3)]
        members = [(0, 1), (1, 2), (0, 3), (3, 4), (4, 5), (5, 2), (3, 1), (4, 1), (5, 1)]
        return _shape(name, joints, members, _ends(0, 2), _some(rng, [3, 4, 5]))
    # fan: bars spread from the middle of the lower chord to the rafters
    count = int(rng.integers(2, 4))
    joints = [(0, 0), (2, 0), (4, 0)]
    left = [(2 * k / (count + 1), 2 * rise * k / (count + 1)) for k in range(1, count + 1)]
    joints += left
    joints.append((2, 2 * rise))
    joints += [(4 - x, y) for x, y in reversed(left)]
    rafters = [0, *range(3, 3 + 2 * count + 1), 2]
    members = [(0, 1), (1, 2), *_chain(rafters), *[(1, r) for r in rafters[1:-1]]]
    return _shape(name, joints, members, _ends(0, 2), _some(rng, rafters[1:-1]))


def _k_truss(rng: np.random.Generator, name: str) -> Shape:
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
        *_chain(list(range(panels + 1))),
        *_chain(list(top.values())),
        (0, top[1]),
        (panels, top[panels - 1]),
    ]
    for i in range(1, panels):
        if i == half:
            members.append((i, top[i]))
            continue
        towards = i + 1 if i < half else i - 1
        members += [(i, mid[i]), (mid[i], top[i]), (mid[i], towards), (mid[i], top[towards])]
    return _shape(name, joints, members, _ends(0, panels), _some(rng, list(range(1, panels))))


def _cantilever(rng: np.random.Generator, name: str) -> Shape:
    panels = int(rng.integers(1, 5))
    rise = rng.uniform(0.7, 1.2)
    tip = name == "tapered-cantilever"
    low = [(float(i), rise * 0.9 * i / (panels + 1) if tip else 0.0) for i in range(panels + 1)]
    joints = low + [(float(i), rise) for i in range(panels + 1)]
    n = panels + 1
    members = _chain(list(range(n))) + _chain(list(range(n, 2 * n)))
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
    shape = _shape(name, joints, members, rests, _some(rng, outer))
    if rng.random() < 0.4:
        mirrored = tuple(replace(r, normal=(-1.0, 0.0)) for r in shape.rests)
        return replace(shape, joints=shape.joints * [-1, 1], rests=mirrored)
    return shape


def _overhang(rng: np.random.Generator, name: str) -> Shape:
    base = _warren(rng, "warren") if rng.random() < 0.5 else _parallel(rng, "pratt")
    bottom = [i for i, (_, y) in enumerate(base.joints) if abs(y) < 1e-9]
    bottom.sort(key=lambda i: base.joints[i, 0])
    inner = bottom[1:-1]
    rests = (Rest(bottom[0], "pin"), Rest(inner[-1] if inner else bottom[-1], "roller"))
    return replace(base, name=name, rests=rests, pulls=(*base.pulls[:1], Pull(bottom[-1])))


def _tower(rng: np.random.Generator, name: str) -> Shape:
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
    return _shape(name, joints, members, _ends(0, 1), [side, *_some(rng, [2 * storeys + 1])])


def _irregular(rng: np.random.Generator, name: str) -> Shape:
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
    loads = [Pull(p.joint, _any_way(rng)) for p in _some(rng, free)]
    return _shape(name, [(float(x), float(y)) for x, y in points], members, _ends(low[0], low[1]), loads)


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


def _hub(rng: np.random.Generator, name: str) -> Shape:
    """Build a joint of high degree in the middle of a ring, whole or half."""
    spokes = int(rng.integers(5, 9))
    whole = rng.random() < 0.4
    reach = 2 * np.pi if whole else np.pi
    steps = spokes if whole else spokes - 1
    angles = reach * np.arange(spokes) / steps + (rng.uniform(0, 1) if whole else 0)
    joints = [(0.0, 0.0)] + [(float(np.cos(a)), float(np.sin(a))) for a in angles]
    members = [(0, k) for k in range(1, spokes + 1)] + _chain(list(range(1, spokes + 1)))
    if whole:
        members.append((1, spokes))
    low = sorted(range(len(joints)), key=lambda i: joints[i][1])[:2]
    low.sort(key=lambda i: joints[i][0])
    if not whole:
        low = [spokes, 1]
    rows = [k for k in range(1, spokes + 1) if k not in low]
    return _shape(name, joints, members, _ends(low[0], low[1]), _some(rng, rows))


def _graph(rng: np.random.Generator, name: str) -> Shape:
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
    return _shape(
        name,
        [(float(points[i][0]), float(points[i][1])) for i in used],
        [(row[a], row[b]) for a, b in members],
    )


_MAKERS: dict[str, Callable[[np.random.Generator, str], Shape]] = {
    "triangle": _posts,
    "king-post": _posts,
    "queen-post": _posts,
    "pratt": _parallel,
    "howe": _parallel,
    "parker": _parallel,
    "bowstring": _parallel,
    "x-braced": _parallel,
    "warren": _warren,
    "warren-verticals": _warren,
    "double-warren": _double_warren,
    "fink": _roof,
    "fan": _roof,
    "scissors": _roof,
    "north-light": _roof,
    "gambrel": _roof,
    "k-truss": _k_truss,
    "cantilever": _cantilever,
    "tapered-cantilever": _cantilever,
    "overhang": _overhang,
    "tower": _tower,
    "irregular": _irregular,
    "hub": _hub,
    "graph": _graph,
}

SHAPES: tuple[str, ...] = tuple(_MAKERS)
"""Names of the shapes that `make_shape` knows."""


def make_shape(rng: np.random.Generator, name: str) -> Shape:
    """Return one truss of a named shape, with proportions, supports and loads by chance.

    Joints come in no particular order; the longest extent is 1.

    Raises
    ------
    KeyError
        If the shape is not one of `SHAPES`.
    """
    shape = _MAKERS[name](rng, name)
    joints = shape.joints - shape.joints.min(axis=0)
    if name not in {"graph", "irregular"}:
        # Teachers draw with care but never to scale: each joint strays a little.
        stray = float(rng.choice([0.0, 0.004, 0.012]))
        joints = joints + rng.normal(0, stray, joints.shape) * np.ptp(joints, axis=0).max()
        stretch = rng.uniform(0.75, 1.35)
        joints = joints * [stretch, 1.0]
    return replace(shape, joints=joints / np.ptp(joints, axis=0).max())
