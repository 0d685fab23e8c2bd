"""What the network is trained on: pages and wild pictures, mixed by seed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vision.training.maker import FAMILIES, make_page
from vision.training.page import Page
from vision.training.wild import FOR_TRAINING, LabelledPicture, make_wild
from vision.training.wild.crowded import crowded
from vision.training.wild.worn import worn

__all__ = ["WILD_PART", "make_mixed", "picture_of_page"]

WILD_PART = 0.55
"""Part of the pictures that comes from the wild maker."""

_SHARE = {
    "printed": 0.7, "tablet": 0.7, "pencil": 1.2, "whiteboard": 1.6, "blackboard": 2.0, "squared": 1.4,
    "clutter": 1.4, "sticks": 2.2, "rods": 1.4, "lattice": 1.8, "none": 1.4,
}  # fmt: skip
"""How often a family is drawn, others once: those that are read worst more often than those read well."""
_STANDING = frozenset({"sticks", "rods", "lattice"})
"""Families of models: people reach for them and load them; drawings they wear."""
_BOW = 0.012
"""Ink that leaves the chord by less than this part of its length is labelled along the chord."""


def _line_pieces(path: NDArray[np.float64]) -> NDArray[np.float32]:
    """Cut a centre line into one straight piece, or into four where it bows, (S, 4)."""
    start, end = path[0], path[-1]
    run = end - start
    length = max(float(np.hypot(*run)), 1e-6)
    off = np.abs((path - start) @ np.array([-run[1], run[0]])) / length
    if off.max() <= _BOW * length:
        return np.array([[*start, *end]], np.float32)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    where = np.linspace(0, along[-1], 5)
    points = np.stack([np.interp(where, along, path[:, i]) for i in (0, 1)], 1)
    return np.hstack([points[:-1], points[1:]]).astype(np.float32)


def _stacked(pieces: list[NDArray[np.float32]], columns: int) -> NDArray[np.float32]:
    return np.concatenate(pieces).astype(np.float32) if pieces else np.zeros((0, columns), np.float32)


def picture_of_page(page: Page) -> LabelledPicture:
    """Turn a page's truth into labels. A drawing beside the main one looks like it and is labelled so."""
    joints = [np.asarray(page.joints, np.float32).reshape(-1, 2)]
    lines = [_line_pieces(np.asarray(path)) for path in page.centre_lines]
    far = []
    for other in page.others:
        chords = np.hstack(
            [other.joints[[p[0] for p in other.members]], other.joints[[p[1] for p in other.members]]]
        )
        if other.kind == "beside":
            joints.append(other.joints.astype(np.float32))
            lines.append(chords.astype(np.float32))
        else:
            far.append(chords.astype(np.float32))
    at = {kind: [page.joints[s.joint] for s in page.supports if s.kind == kind] for kind in ("pin", "roller")}
    return LabelledPicture(
        rgb=page.rgb,
        joints=np.concatenate(joints),
        members=page.members,
        lines=_stacked(lines, 4),
        far_lines=_stacked(far, 4),
        pins=np.array(at["pin"], np.float32).reshape(-1, 2),
        rollers=np.array(at["roller"], np.float32).reshape(-1, 2),
        arrows=np.array([[*load.tail, *load.head] for load in page.loads], np.float32).reshape(-1, 4),
        other=np.array([t.corners for t in page.texts], np.float32).reshape(-1, 4, 2),
        upright=bool(far),
    )


def make_mixed(seed: int) -> LabelledPicture:
    """Make one training picture; the seed decides which maker draws it."""
    rng = np.random.default_rng([seed, 7])
    if rng.random() < WILD_PART:
        return make_wild(seed, mix=FOR_TRAINING)
    shares = np.array([_SHARE.get(family, 1.0) for family in FAMILIES])
    page = make_page(seed, family=str(rng.choice(FAMILIES, p=shares / shares.sum())), photographs=True)
    picture = picture_of_page(page)
    if not page.members:
        return picture
    used = crowded if page.family in _STANDING else worn
    return used(np.random.default_rng([seed, 8]), picture)
