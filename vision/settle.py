"""Which of the pairs that look like members can be members together."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.channels import DIRECTIONS
from vision.evidence import Evidence, bowed_paths

__all__ = ["Found", "SettleSettings", "doubtful_joint", "settle", "settle_faint"]

Cells = NDArray[np.float64]
Pair = tuple[int, int]


@dataclass(frozen=True)
class SettleSettings:
    """What excludes what. Lengths in cells of a map (4 px)."""

    least_mean: float = 0.55
    """Mean evidence along a member."""
    least_worst: float = 0.33
    """Evidence in the worst window of a member: lower bridges whole panels, higher breaks at skipped ink."""
    faint_mean: float = 0.7
    """Part of the median of the members that stand from which a fainter one stands too: a photograph that is
    faint is so throughout. Higher, only the faintest pictures gain; lower, plain ones lose."""
    faint_worst: float = 0.45
    """The same for the worst window."""
    through: float = 0.035
    """A pair passes through a joint nearer than this part of its length ..."""
    through_cells: float = 1.6
    """... or than this many cells."""
    narrow: float = np.deg2rad(10.0)
    """Two members closer than this at one joint are the same stroke: the better one stays."""
    straight_bow: float = 0.03
    """Members that bow less are settled first: a bow must not borrow the ink of straight ones."""
    own_part: float = 0.4
    """Part of a member that must lie on ink no settled member has claimed."""
    claim_width: int = 4
    """Width of what a settled member claims, cells. Wider, close members lose to their neighbours."""
    straight: float = np.deg2rad(9.0)
    """A joint of two members in line within this angle is doubtful ..."""
    sure_joint: float = 0.62
    """... and stays only with at least this heat."""
    least_part: float = 0.25
    """Components with less than this part of the largest one's length of members are left out ..."""
    least_extent: float = 0.6
    """... and those that are smaller than this part of it and stand apart: another drawing beside."""
    apart: float = 0.1
    """Gap from which a component stands apart, as a part of the largest one's extent."""


@dataclass(frozen=True, eq=False)
class Found:
    """A pair that passed, with its strength and its row in the evidence."""

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


def _not_through(
    found: list[Found], joints: Cells, bow: NDArray[np.float64], s: SettleSettings
) -> list[Found]:
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


def _with_own_ink(
    found: list[Found], joints: Cells, bow: NDArray[np.float64], lines: NDArray[np.float32], s: SettleSettings
) -> list[Found]:
    """Take straight members before bowed ones and short before long; drop those that only borrow ink.

    Each member taken claims the cells along it for its own direction, so that a crossing takes nothing away.
    A chord over an arch of shorter members, or a bow that follows other members from joint to joint, is left
    with little ink of its own.
    """

    def turn(f: Found) -> tuple[bool, float]:
        run = joints[f.pair[1]] - joints[f.pair[0]]
        return abs(float(bow[f.row])) > s.straight_bow, float(np.hypot(*run))

    claimed = np.zeros(lines.shape, np.uint8)
    t = np.linspace(0.04, 0.96, 40)
    kept = []
    for f in sorted(found, key=turn):
        at, angle = bowed_paths(joints[[f.pair[0]]], joints[[f.pair[1]]], np.array([[bow[f.row]]]), t)
        path, bins = (
            at[0, 0],
            np.rint(np.mod(angle[0, 0], np.pi) / (np.pi / DIRECTIONS)).astype(int) % DIRECTIONS,
        )
        x = np.clip(np.rint(path[:, 0]).astype(int), 0, lines.shape[2] - 1)
        y = np.clip(np.rint(path[:, 1]).astype(int), 0, lines.shape[1] - 1)
        if (claimed[bins, y, x] == 0).mean() < s.own_part:
            continue
        kept.append(f)
        ends = np.round(path * 16).astype(np.int32)
        for k in range(len(ends) - 1):
            for b in (bins[k] - 1, bins[k], bins[k] + 1):
                p, q = ends[k], ends[k + 1]
                start, end = (int(p[0]), int(p[1])), (int(q[0]), int(q[1]))
                cv2.line(claimed[b % DIRECTIONS], start, end, 1, s.claim_width, cv2.LINE_8, 4)
    return kept


def _not_doubled(found: list[Found], joints: Cells, s: SettleSettings) -> list[Found]:
    """Of two members that leave one joint almost together, keep the stronger."""
    at: dict[int, list[float]] = {}
    kept = []
    for f in sorted(found, key=lambda f: -f.strength):
        ways = []
        for i, j in (f.pair, f.pair[::-1]):
            run = joints[j] - joints[i]
            ways.append((i, float(np.arctan2(run[1], run[0]))))
        if any(
            abs(np.angle(np.exp(1j * (way - other)))) < s.narrow for i, way in ways for other in at.get(i, [])
        ):
            continue
        kept.append(f)
        for i, way in ways:
            at.setdefault(i, []).append(way)
    return kept


def _largest_parts(joints: Cells, found: list[Found], s: SettleSettings) -> list[Found]:
    """Keep the largest component, and others that are a good part of it or of its size."""
    label = np.arange(len(joints))
    for _ in range(len(joints)):
        before = label.copy()
        for f in found:
            a, b = f.pair
            label[[a, b]] = min(label[a], label[b])
        if (before == label).all():
            break
    parts: dict[int, list[Found]] = {}
    for f in found:
        parts.setdefault(int(label[f.pair[0]]), []).append(f)
    if len(parts) < 2:
        return found
    rows = {k: np.array([f.pair for f in part]) for k, part in parts.items()}
    inked = {k: float(np.hypot(*(joints[r[:, 0]] - joints[r[:, 1]]).T).sum()) for k, r in rows.items()}
    low = {k: joints[r.ravel()].min(0) for k, r in rows.items()}
    high = {k: joints[r.ravel()].max(0) for k, r in rows.items()}
    extent = {k: float(np.hypot(*(high[k] - low[k]))) for k in parts}
    first = max(parts, key=lambda k: inked[k] * extent[k])
    kept = []
    for k, part in parts.items():
        gap = float(np.hypot(*np.maximum(np.maximum(low[k] - high[first], low[first] - high[k]), 0)))
        apart = gap > s.apart * extent[first]
        if inked[k] < s.least_part * inked[first] or (apart and extent[k] < s.least_extent * extent[first]):
            continue
        kept += part
    return kept


def settle(
    joints: Cells, evidence: Evidence, lines: NDArray[np.float32], s: SettleSettings
) -> tuple[list[Found], int]:
    """Settle which pairs are members.

    Parameters
    ----------
    joints : (N, 2) float
        Cells.
    evidence : Evidence
        Of the pairs in question.
    lines : (DIRECTIONS, R, C) float32
        Oriented line maps.
    s : SettleSettings

    Returns
    -------
    list of Found
        The members that stand.
    int
        How many more belong to drawings too small to count.
    """
    strength = evidence.mean + evidence.worst - np.abs(evidence.bow)
    good = (evidence.mean >= s.least_mean) & (evidence.worst >= s.least_worst)
    found = [
        Found((int(evidence.pairs[k, 0]), int(evidence.pairs[k, 1])), float(strength[k]), int(k))
        for k in np.flatnonzero(good)
    ]
    found = _not_through(found, joints, evidence.bow, s)
    found = _with_own_ink(found, joints, evidence.bow, lines, s)
    found = _not_doubled(found, joints, s)
    kept = _largest_parts(joints, found, s)
    return kept, len(found) - len(kept)


def settle_faint(
    joints: Cells, evidence: Evidence, lines: NDArray[np.float32], s: SettleSettings
) -> tuple[list[Found], int]:
    """Settle as `settle` does, and once more with lower bounds where what stands is faint throughout.

    Parameters, and what is returned, are those of `settle`.
    """
    found, aside = settle(joints, evidence, lines, s)
    if not found:
        return found, aside
    rows = [f.row for f in found]
    mean = min(s.least_mean, s.faint_mean * float(np.median(evidence.mean[rows])))
    worst = min(s.least_worst, s.faint_worst * float(np.median(evidence.worst[rows])))
    if (mean, worst) == (s.least_mean, s.least_worst):
        return found, aside
    return settle(joints, evidence, lines, replace(s, least_mean=mean, least_worst=worst))


def doubtful_joint(
    joints: Cells, heat: NDArray[np.float64], found: list[Found], s: SettleSettings
) -> int | None:
    """Find the weakest joint that only interrupts a straight member, or none."""
    near: dict[int, list[int]] = {}
    for f in found:
        near.setdefault(f.pair[0], []).append(f.pair[1])
        near.setdefault(f.pair[1], []).append(f.pair[0])
    worst: int | None = None
    for i, others in near.items():
        if len(others) != 2 or heat[i] >= s.sure_joint:
            continue
        a, b = (joints[j] - joints[i] for j in others)
        bend = np.pi - abs(float(np.angle(complex(*a) * complex(*b).conjugate())))
        if bend < s.straight and (worst is None or heat[i] < heat[worst]):
            worst = i
    return worst
