"""From maps to a structure: joints from peaks, members from evidence, then what cannot be both is settled."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.channels import JOINT
from vision.evidence import Evidence, EvidenceSettings, weigh_pairs
from vision.maps import Maps
from vision.peaks import find_peaks

__all__ = ["DecodeSettings", "Structure", "decode"]

Cells = NDArray[np.float64]
Pair = tuple[int, int]


@dataclass(frozen=True)
class DecodeSettings:
    """Where lines are drawn between a joint and none, a member and none. Lengths in cells of a map (4 px)."""

    least_joint: float = 0.42
    """Heat of a joint. Lower lets crossings in, higher loses joints without a mark."""
    least_mean: float = 0.55
    """Mean evidence along a member."""
    least_worst: float = 0.33
    """Evidence in the worst window of a member: lower bridges whole panels, higher breaks at skipped ink."""
    shortest: float = 2.5
    """Members shorter than this are two peaks of one joint."""
    through: float = 0.035
    """A pair passes through a joint nearer than this part of its length ..."""
    through_cells: float = 1.6
    """... or than this many cells."""
    narrow: float = np.deg2rad(10.0)
    """Two members closer than this at one joint are the same stroke: the better one stays."""
    hug: float = 0.1
    """A chord is dropped when a path of one or two joints stays within this part of its length."""
    straight: float = np.deg2rad(9.0)
    """A joint of two members in line within this angle is doubtful ..."""
    sure_joint: float = 0.62
    """... and stays only with at least this heat."""
    least_part: float = 0.25
    """Components smaller than this part of the largest are left out."""
    most_joints: int = 80
    """More peaks than this are texture, not joints; the highest are kept."""
    evidence: EvidenceSettings = field(default_factory=EvidenceSettings)


@dataclass(frozen=True, eq=False)
class Structure:
    """What was decoded from one set of maps. Joints in picture pixels, x right, y down."""

    joints: NDArray[np.float64]
    """(N, 2)."""
    heat: NDArray[np.float64]
    """(N,) joint heat, 0 to 1."""
    members: tuple[Pair, ...]
    """(M) pairs of rows, smaller first, sorted."""
    mean: NDArray[np.float64]
    """(M,) mean evidence."""
    worst: NDArray[np.float64]
    """(M,) evidence in the worst window."""
    bow: NDArray[np.float64]
    """(M,) bow of the stroke, as a part of its length."""
    explained: float
    """Share of all line evidence in the maps that lies on members, 0 to 1."""
    confidence: float
    """0 to 1: what is compared when one picture is read at several sizes."""


@dataclass(frozen=True, eq=False)
class _Found:
    """A pair that passed, with its strength."""

    pair: Pair
    strength: float
    row: int


def _off_path(joints: Cells, pair: Pair, bow: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Distance of every joint from a pair's bowed path, and where along it (0 to 1)."""
    a, b = joints[pair[0]], joints[pair[1]]
    run = b - a
    length = max(float(np.hypot(*run)), 1e-6)
    unit = run / length
    rel = joints - a
    t = rel @ unit / length
    off = rel @ np.array([-unit[1], unit[0]]) - bow * length * 4 * np.clip(t * (1 - t), 0, None)
    return np.abs(off), t


def _not_through(found: list[_Found], joints: Cells, bow: NDArray[np.float64], s: DecodeSettings) -> list[_Found]:
    """Drop pairs that pass through a third joint."""
    kept = []
    for f in found:
        off, t = _off_path(joints, f.pair, float(bow[f.row]))
        length = float(np.hypot(*(joints[f.pair[1]] - joints[f.pair[0]])))
        near = (off < max(s.through * length, s.through_cells)) & (t > 0.04) & (t < 0.96)
        near[list(f.pair)] = False
        if not near.any():
            kept.append(f)
    return kept


def _neighbours(found: list[_Found]) -> dict[int, set[int]]:
    out: dict[int, set[int]] = {}
    for f in found:
        a, b = f.pair
        out.setdefault(a, set()).add(b)
        out.setdefault(b, set()).add(a)
    return out


def _not_hugged(found: list[_Found], joints: Cells, bow: NDArray[np.float64], s: DecodeSettings) -> list[_Found]:
    """Drop a bowed chord that one or two joints in a row follow: the arch has joints, the chord is not there."""
    near = _neighbours(found)
    kept = []
    for f in found:
        a, b = f.pair
        length = float(np.hypot(*(joints[b] - joints[a])))
        off, t = _off_path(joints, f.pair, 0.0)
        curved = abs(float(bow[f.row])) > 0.03
        limit = (s.hug if curved else 0.6 * s.hug) * length
        inner = [c for c in near[a] if c != b and off[c] < limit and 0.1 < t[c] < 0.9]
        hugged = any(b in near[c] for c in inner)
        hugged |= any(
            d != a and off[d] < limit and t[c] < t[d] < 0.95 and b in near[d] for c in inner for d in near[c]
        )
        if not hugged:
            kept.append(f)
    return kept


def _not_doubled(found: list[_Found], joints: Cells, s: DecodeSettings) -> list[_Found]:
    """Of two members that leave one joint almost together, keep the stronger."""
    order = sorted(found, key=lambda f: -f.strength)
    dropped: set[Pair] = set()
    at: dict[int, list[tuple[float, _Found]]] = {}
    for f in order:
        ways = []
        for i, j in (f.pair, f.pair[::-1]):
            run = joints[j] - joints[i]
            ways.append((i, float(np.arctan2(run[1], run[0]))))
        clash = any(
            abs(np.angle(np.exp(1j * (way - other)))) < s.narrow and g.pair not in dropped
            for i, way in ways
            for other, g in at.get(i, [])
        )
        if clash:
            dropped.add(f.pair)
            continue
        for i, way in ways:
            at.setdefault(i, []).append((way, f))
    return [f for f in found if f.pair not in dropped]


def _components(count: int, pairs: list[Pair]) -> NDArray[np.int64]:
    """Label joints by the component they hang in, (N,)."""
    label = np.arange(count)
    for _ in range(count):
        before = label.copy()
        for a, b in pairs:
            label[[a, b]] = min(label[a], label[b])
        if (before == label).all():
            break
    return label


def _largest_parts(joints: Cells, found: list[_Found], s: DecodeSettings) -> list[_Found]:
    """Keep components of at least a part of the largest, by the total length of their members."""
    label = _components(len(joints), [f.pair for f in found])
    size: dict[int, float] = {}
    for f in found:
        part = int(label[f.pair[0]])
        size[part] = size.get(part, 0.0) + float(np.hypot(*(joints[f.pair[0]] - joints[f.pair[1]])))
    most = max(size.values(), default=0.0)
    return [f for f in found if size[int(label[f.pair[0]])] >= s.least_part * most]


def _doubtful(joints: Cells, heat: NDArray[np.float64], found: list[_Found], s: DecodeSettings) -> int | None:
    """Find the weakest joint that only interrupts a straight member, or none."""
    near = _neighbours(found)
    worst: int | None = None
    for i, others in near.items():
        if len(others) != 2 or heat[i] >= s.sure_joint:
            continue
        a, b = (joints[j] - joints[i] for j in others)
        bend = np.pi - abs(float(np.angle(complex(*a) * complex(*b).conjugate())))
        if bend < s.straight and (worst is None or heat[i] < heat[worst]):
            worst = i
    return worst


def _painted(found: list[_Found], joints: Cells, bow: NDArray[np.float64], shape: tuple[int, int]) -> NDArray[np.uint8]:
    """Paint the members' paths, three cells wide."""
    mask = np.zeros(shape, np.uint8)
    t = np.linspace(0, 1, 13)[:, None]
    for f in found:
        a, b = joints[f.pair[0]], joints[f.pair[1]]
        side = np.array([-(b - a)[1], (b - a)[0]])
        path = a + t * (b - a) + 4 * t * (1 - t) * bow[f.row] * side
        points = np.round(path * 16).astype(np.int32).reshape(-1, 1, 2)
        cv2.polylines(mask, [points], False, 1, 5, cv2.LINE_8, 4)
    return mask


def _members(joints: Cells, evidence: Evidence, s: DecodeSettings) -> list[_Found]:
    """Settle which pairs are members, given the joints."""
    strength = evidence.mean + evidence.worst - np.abs(evidence.bow)
    good = (evidence.mean >= s.least_mean) & (evidence.worst >= s.least_worst)
    found = [
        _Found((int(evidence.pairs[k, 0]), int(evidence.pairs[k, 1])), float(strength[k]), int(k))
        for k in np.flatnonzero(good)
    ]
    found = _not_through(found, joints, evidence.bow, s)
    found = _not_hugged(found, joints, evidence.bow, s)
    found = _not_doubled(found, joints, s)
    return _largest_parts(joints, found, s)


def decode(maps: Maps, *, settings: DecodeSettings | None = None) -> Structure:
    """Decode joints and members from maps.

    Parameters
    ----------
    maps : Maps
        From `vision.maps.look`.
    settings : DecodeSettings, optional

    Returns
    -------
    Structure
        Without joints when nothing was found.
    """
    s = settings or DecodeSettings()
    joints, heat = find_peaks(maps.values[JOINT], least=s.least_joint)
    if len(joints) > s.most_joints:
        top = np.sort(np.argsort(-heat, kind="stable")[: s.most_joints])
        joints, heat = joints[top], heat[top]
    pairs = np.array(list(combinations(range(len(joints)), 2)), np.int64).reshape(-1, 2)
    long = np.hypot(*(joints[pairs[:, 1]] - joints[pairs[:, 0]]).T) >= s.shortest
    evidence = weigh_pairs(maps.lines, joints, pairs[long], settings=s.evidence)
    alive = np.ones(len(joints), bool)
    while True:
        rows = alive[evidence.pairs].all(1) if len(evidence.pairs) else np.zeros(0, bool)
        some = Evidence(evidence.pairs[rows], evidence.mean[rows], evidence.worst[rows], evidence.bow[rows])
        # Dead joints are moved out of the way so that no pair passes through them.
        standing = np.where(alive[:, None], joints, -1e6)
        found = _members(standing, some, s)
        weak = _doubtful(standing, heat, found, s)
        if weak is None:
            break
        alive[weak] = False
    return _structure(maps, joints, heat, found, some)


def _structure(maps: Maps, joints: Cells, heat: NDArray[np.float64], found: list[_Found], e: Evidence) -> Structure:
    """Collect what stands, and how sure the whole reading is."""
    used = sorted({i for f in found for i in f.pair})
    row = {old: new for new, old in enumerate(used)}
    order = sorted(found, key=lambda f: f.pair)
    rows = [f.row for f in order]
    mean, worst, bow = e.mean[rows], e.worst[rows], e.bow[rows]
    members = tuple((row[f.pair[0]], row[f.pair[1]]) for f in order)
    mass = maps.lines.max(0)
    mass = np.where(mass > 0.15, mass, 0)
    mask = _painted(order, joints, e.bow, (mass.shape[0], mass.shape[1])) if order else np.zeros(mass.shape, np.uint8)
    total = float(mass.sum())
    explained = float(mass[mask > 0].sum()) / total if total > 0 else 0.0
    heat_used = heat[used]
    # Heat of every peak counts, used or not: a reading that leaves joints lying about is not to be trusted.
    share = float(heat_used.sum() / max(heat.sum(), 1e-6)) if len(heat) else 0.0
    confidence = 0.0
    if members:
        confidence = float(mean.mean() * heat_used.mean() * explained * share * (0.5 + 0.5 * worst.mean()))
    return Structure(
        maps.to_picture(joints[used]) if used else np.zeros((0, 2)), heat_used, members, mean, worst, bow, explained,
        confidence,
    )  # fmt: skip
