"""The front door: lay the set truss on a drawing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vision.matching.differences import Differences, differences
from vision.matching.hypotheses import AffineMap, hypotheses, spacing
from vision.matching.pairing import Pairing, fit, pair_up
from vision.matching.settings import MatchSettings
from vision.matching.sketch import Sketch
from vision.survey.homography import estimate, projected, spread_of

__all__ = ["Match", "match"]

Floats = NDArray[np.float64]
_FLIP = np.array([1.0, -1.0])
"""Between y down of a picture and y up, in which views are estimated."""


@dataclass(frozen=True, eq=False)
class Match:
    """The set truss laid on a drawing."""

    to: tuple[int | None, ...]
    """Row of the drawn joint for each joint of the set truss; None where it is missing."""
    carried: Floats
    """(N, 2) joints of the set truss where an even stretch (or a slanted view) puts them in the drawing."""
    mirrored: bool
    """The drawing is the mirror image of the set truss."""
    turn: float
    """Radians, clockwise as seen with y down, by which the drawing is turned, in (-pi, pi]; up to a mirror
    image, left-right."""
    stretch: float
    """Largest over least stretch: 1 for a drawing to scale."""
    slanted: bool
    """Seen at a slant: a homography was fitted, not only an even stretch."""
    off: Floats
    """(N,) how far each joint is from where it should be, as a share of the drawing's larger side; nan where
    it is missing."""
    differences: Differences
    """Joints and members missing and extra."""

    @property
    def shape_off(self) -> float:
        """Root mean square of `off` over the joints that are there: how far the shape is off."""
        there = self.off[np.isfinite(self.off)]
        return float(np.sqrt(np.mean(there**2))) if len(there) else 0.0


def match(
    set_joints: Floats,
    set_members: Sequence[tuple[int, int]],
    joints: Floats,
    members: Sequence[tuple[int, int]],
    *,
    set_labels: Sequence[frozenset[str]] | None = None,
    labels: Sequence[frozenset[str]] | None = None,
    settings: MatchSettings | None = None,
) -> Match | None:
    """Find the best way to lay a truss on a drawing.

    Parameters
    ----------
    set_joints : (N, 2) float
        Joints of the truss that was set, y DOWN, any unit.
    set_members
        Pairs of its rows.
    joints : (K, 2) float
        Drawn joints, pixels, y down.
    members
        Pairs of their rows.
    set_labels, labels
        What stands at each joint, such as a pin, a roller or a load, where that is known: it decides which
        end of a symmetric truss is which. Leave both out where nothing is known.
    settings
        Tolerances.

    Returns
    -------
    Match or None
        None where either has no three joints off one line, or no even stretch brings them together.
    """
    s = settings or MatchSettings()
    plain = [frozenset[str]()]
    truss = Sketch.of(set_joints, set_members, set_labels or plain * len(set_joints))
    drawn = Sketch.of(joints, members, labels or plain * len(joints))
    if _in_line(set_joints, s) or _in_line(joints, s):
        return None
    reach = s.reach * spacing(joints)
    # Two copies of a joint have no distance between them; nothing can be told apart then.
    if reach == 0:
        return None
    found: list[tuple[float, AffineMap, Pairing]] = []
    for guess in hypotheses(set_joints, set_members, joints, members, s):
        settled = _settle(truss, drawn, guess, reach, s)
        if settled is not None:
            slips = differences(settled[1].drawn, truss, drawn, s).slips
            found.append((slips + settled[1].aside + _oddness(settled[0], s), *settled))
    if not found:
        return None
    _, stretched, pairing = min(found, key=lambda one: one[0])
    rows = pairing.rows
    fitted = fit(truss.joints[rows], drawn.joints[pairing.to[rows]])
    stretched = stretched if fitted is None else AffineMap(*fitted)
    carried = stretched.carry(truss.joints)
    slanted = _slanted(drawn, pairing, carried, s)
    if slanted is not None:
        again = pair_up(truss, drawn, slanted, reach, s)
        if again.slips < pairing.slips:
            pairing, carried = again, slanted
    mirrored, turn, warp = _parts(stretched.linear)
    return Match(
        to=pairing.drawn,
        carried=carried,
        mirrored=mirrored,
        turn=turn,
        stretch=warp,
        slanted=carried is slanted,
        off=_off(drawn, pairing, carried),
        differences=differences(pairing.drawn, truss, drawn, s),
    )


def _in_line(joints: Floats, s: MatchSettings) -> bool:
    """Say whether joints are too few or too flat to fix an even stretch."""
    if len(joints) < 3:
        return True
    sizes = np.linalg.svd(joints - joints.mean(axis=0), compute_uv=False)
    return bool(sizes[1] < s.flat * sizes[0])


def _settle(
    truss: Sketch, drawn: Sketch, guess: AffineMap, reach: float, s: MatchSettings
) -> tuple[AffineMap, Pairing] | None:
    """Pair and fit in turn while it gets better."""
    best: tuple[AffineMap, Pairing] | None = None
    for _ in range(s.rounds):
        pairing = pair_up(truss, drawn, guess.carry(truss.joints), reach, s)
        if best is not None and pairing.slips >= best[1].slips - 1e-9:
            break
        best = guess, pairing
        rows = pairing.rows
        fitted = fit(truss.joints[rows], drawn.joints[pairing.to[rows]])
        if fitted is None:
            return None if len(rows) < 3 else best
        guess = AffineMap(*fitted)
        stretch = np.linalg.svd(guess.linear, compute_uv=False)
        if stretch[0] > s.most_warp * stretch[1]:
            break
    return best


def _parts(linear: Floats) -> tuple[bool, float, float]:
    """Return whether a map mirrors, by how much it turns (after mirroring left-right), and its warp."""
    mirrored = bool(np.linalg.det(linear) < 0)
    upright = linear @ np.diag([-1.0, 1.0]) if mirrored else linear
    left, sizes, right = np.linalg.svd(upright)
    turned = left @ right
    return mirrored, math.atan2(turned[1, 0], turned[0, 0]), float(sizes[0] / sizes[1])


def _oddness(stretched: AffineMap, s: MatchSettings) -> float:
    """Return the slips for what a sketch seldom is: mirrored, turned, warped."""
    mirrored, turn, warp = _parts(stretched.linear)
    return s.mirror * mirrored + s.turn * abs(turn) / math.pi + s.warp * math.log2(warp)


def _off(drawn: Sketch, pairing: Pairing, carried: Floats) -> Floats:
    off = np.full(len(carried), np.nan)
    rows = pairing.rows
    size = float(np.ptp(drawn.joints, axis=0).max())
    off[rows] = np.linalg.norm(carried[rows] - drawn.joints[pairing.to[rows]], axis=1) / size
    return off


def _slanted(drawn: Sketch, pairing: Pairing, carried: Floats, s: MatchSettings) -> Floats | None:
    """Return the joints carried by a slanted view, where that fits clearly better and is a likely view."""
    rows = pairing.rows
    if len(rows) < s.homography_from:
        return None
    # From the stretched truss, which is near the drawing, so that the numbers of the view are of like size.
    middle, size = drawn.joints.mean(axis=0), spread_of(drawn.joints)
    plane = (carried - middle) / size * _FLIP
    picture = (drawn.joints[pairing.to[rows]] - middle) / size * _FLIP
    view = estimate(plane[rows], picture, np.ones(len(rows)))
    if view is None:
        return None
    depth = plane @ view.numbers[6:8] + 1
    if depth.min() <= 0 or depth.max() > s.most_slant * depth.min():
        return None
    bent = projected(view.numbers, plane)
    before = ((plane[rows] - picture) ** 2).sum() / (2 * len(rows) - 6)
    after = ((bent[rows] - picture) ** 2).sum() / (2 * len(rows) - 8)
    if after > s.homography_gain**2 * before:
        return None
    return np.asarray(bent * _FLIP * size + middle)
