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
from vision.settle import Found, SettleSettings, doubtful_joint, settle_faint

__all__ = ["DecodeSettings", "Structure", "decode"]

Cells = NDArray[np.float64]
Pair = tuple[int, int]


@dataclass(frozen=True)
class DecodeSettings:
    """Where lines are drawn between a joint and none, a member and none. Lengths in cells of a map (4 px)."""

    least_joint: float = 0.42
    """Heat of a joint. Lower lets crossings in, higher loses joints without a mark."""
    shortest: float = 2.5
    """Members shorter than this are two peaks of one joint."""
    most_joints: int = 80
    """More peaks than this are texture, not joints; the highest are kept."""
    evidence: EvidenceSettings = field(default_factory=EvidenceSettings)
    settle: SettleSettings = field(default_factory=SettleSettings)


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
    aside: int
    """Members of smaller drawings in the picture, left out."""
    clarity: float
    """0 to 1: how plainly what was read shows; what is compared when one picture is read at several sizes."""
    confidence: float
    """0 to 1: clarity, less where joints are left lying about; a picture without a truss has little."""


def _painted(
    found: list[Found], joints: Cells, bow: NDArray[np.float64], shape: tuple[int, int]
) -> NDArray[np.uint8]:
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
        found, aside = settle_faint(standing, some, maps.lines, s.settle)
        weak = doubtful_joint(standing, heat, found, s.settle)
        if weak is None:
            break
        alive[weak] = False
    return _structure(maps, joints, heat, found, some, aside=aside)


def _structure(
    maps: Maps, joints: Cells, heat: NDArray[np.float64], found: list[Found], e: Evidence, *, aside: int
) -> Structure:
    """Collect what stands, and how sure the whole reading is."""
    used = sorted({i for f in found for i in f.pair})
    row = {old: new for new, old in enumerate(used)}
    order = sorted(found, key=lambda f: f.pair)
    rows = [f.row for f in order]
    mean, worst, bow = e.mean[rows], e.worst[rows], e.bow[rows]
    members = tuple((row[f.pair[0]], row[f.pair[1]]) for f in order)
    mass = maps.lines.max(0)
    mass = np.where(mass > 0.15, mass, 0)
    mask = (
        _painted(order, joints, e.bow, (mass.shape[0], mass.shape[1]))
        if order
        else np.zeros(mass.shape, np.uint8)
    )
    total = float(mass.sum())
    explained = float(mass[mask > 0].sum()) / total if total > 0 else 0.0
    heat_used = heat[used]
    clarity = 0.0
    if members:
        clarity = float(mean.mean() * heat_used.mean() * explained * (0.5 + 0.5 * worst.mean()))
    # Heat of every peak counts, used or not. Between two looks this says little: the finer one sees more
    # specks. It tells scribbles from trusses.
    share = float(heat_used.sum() / max(heat.sum(), 1e-6)) if len(heat) else 0.0
    return Structure(
        maps.to_picture(joints[used]) if used else np.zeros((0, 2)), heat_used, members, mean, worst, bow,
        explained, aside, clarity, clarity * share,
    )  # fmt: skip
