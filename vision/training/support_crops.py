"""Crops round joints with and without a support, from made pages, for the second look at supports."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.support_look import CROP_SHARE, KINDS, cut_out
from vision.training.maker import FAMILIES, make_page
from vision.training.wild import make_wild

__all__ = ["FIRST_SEED", "SIDE", "WIDE", "SupportCrop", "make_crops"]

FIRST_SEED = 2_000_000_000
"""Seeds of these pages: neither those of the maps nor those of any split that is measured."""
WIDE = 1.7
"""Crops are kept so much wider than they are looked at, to be turned, moved and scaled."""
SIDE = 144
"""Pixels of a kept crop."""
_BARE_JOINTS = 3
"""Joints without a support taken from each page at most."""
_WILD_PART = 0.25
"""Of pictures from the wild maker, which draws supports in another manner."""


@dataclass(frozen=True, eq=False)
class SupportCrop:
    """One joint and what surrounds it."""

    gray: NDArray[np.uint8]
    """(SIDE, SIDE), the joint in the middle."""
    kind: int
    """Row of `KINDS`."""
    normal: tuple[float, float]
    """Unit vector, x right, y down, from the ground to the joint; 0, 0 where there is no support."""


def make_crops(seed: int) -> Iterator[SupportCrop]:
    """Make one picture and cut out its supports and some other joints."""
    rng = np.random.default_rng([seed, 11])
    held: dict[int, tuple[str, tuple[float, float]]] = {}
    if rng.random() < _WILD_PART:
        wild = make_wild(seed)
        rgb, joints = wild.rgb, wild.joints.astype(float)
        for kind, places in (("pin", wild.pins), ("roller", wild.rollers)):
            for place in places:
                apart = np.hypot(*(joints - place).T)
                if len(apart) and apart.min() < 1:
                    held[int(apart.argmin())] = (kind, (0.0, -1.0))
    else:
        drawn = [family for family in FAMILIES if family != "none"]
        page = make_page(seed, family=str(rng.choice(drawn)), size=int(rng.integers(500, 1200)))
        rgb, joints = page.rgb, page.joints
        held = {support.joint: (support.kind, support.normal) for support in page.supports}
    if len(joints) < 3:
        return
    gray = np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY), np.uint8)
    span = float(np.ptp(joints, axis=0).max())
    inside = np.asarray(((joints > 0) & (joints < [rgb.shape[1] - 1, rgb.shape[0] - 1])).all(axis=1))
    bare = [row for row in range(len(joints)) if inside[row] and row not in held]
    chosen = rng.permutation(bare)[:_BARE_JOINTS].tolist()
    for row in [*(row for row in held if inside[row]), *chosen]:
        kind, normal = held.get(row, ("none", (0.0, 0.0)))
        crop = cut_out(gray, joints[row], CROP_SHARE * WIDE * span, SIDE)
        yield SupportCrop(crop, KINDS.index(kind), normal)
