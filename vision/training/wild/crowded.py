"""What people do about a finished model: reach in, clamp it, load it, write names, lay tools by it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from vision.training.wild import strewn, things
from vision.training.wild.bands import paint_band
from vision.training.wild.knots import choose_knot, paint_knot
from vision.training.wild.light import lit
from vision.training.wild.picture import LabelledPicture
from vision.training.wild.space import Eye
from vision.training.wild.stock import choose_stock

__all__ = ["crowded"]

Rng = np.random.Generator
Image = NDArray[np.uint8]
Points = NDArray[np.float64]


def _load(rng: Rng, rgb: Image, joint: Points, span: float) -> None:
    """Hang a weight from a joint, as it is seen straight on."""
    eye = Eye(np.eye(3), np.zeros(3), 4.0, span, np.zeros(2))
    things.hanging(rng, rgb, eye, np.array([*(joint / span), 0.0]))


def _spokes(picture: LabelledPicture, joint: int) -> Points:
    """Return unit vectors along the members at a joint, (K, 2)."""
    others = [b if a == joint else a for a, b in picture.members if joint in {a, b}]
    runs = (picture.joints[others] - picture.joints[joint]).astype(np.float64).reshape(-1, 2)
    return np.asarray(runs / np.maximum(np.hypot(*runs.T), 1e-6)[:, None])


def _held_anew(rng: Rng, rgb: Image, picture: LabelledPicture, span: float) -> None:
    """Mend joints: plates, glue, tape, lashings or balls over some or all of them."""
    runs = [picture.joints[b] - picture.joints[a] for a, b in picture.members]
    shortest = float(min(np.hypot(*run) for run in runs)) / span
    stock = choose_stock(rng, shortest)
    knot, part = choose_knot(rng, stock, shortest), rng.uniform(0.2, 1.2)
    count = 1 + max(max(pair) for pair in picture.members)
    for joint in range(count):
        if rng.random() < part:
            at = picture.joints[joint].astype(np.float64)
            paint_knot(rng, rgb, knot, at=at, frame=np.eye(2), spokes=_spokes(picture, joint), span=span,
                       stock=stock)  # fmt: skip


def crowded(rng: Rng, picture: LabelledPicture) -> LabelledPicture:
    """Put things about and before a labelled model; its labels stay, names written are added to `other`."""
    rgb = np.ascontiguousarray(picture.rgb).copy()
    at, other = picture.joints.astype(np.float64), [picture.other]
    span = max(float(np.ptp(at, axis=0).max()), 1.0)
    joint = at[int(rng.integers(len(at)))]
    a, b = at[list(picture.members[int(rng.integers(len(picture.members)))])]
    if rng.random() < 0.1:
        _held_anew(rng, rgb, picture, span)
    if rng.random() < 0.08:
        run = b - a
        length = max(float(np.hypot(*run)), 1e-6)
        for part in rng.uniform(0.15, 0.85, int(rng.integers(1, 4))):
            paint_band(rng, rgb, a + run * part, run / length, min(0.015 * span, 0.1 * length))
    if rng.random() < 0.08:
        tip = a + (b - a) * rng.uniform(0.1, 0.9) + rng.normal(0, 0.01 * span, 2)
        strewn.hand(rng, rgb, tip, span * rng.uniform(0.01, 0.02), middle=at.mean(0))
    if rng.random() < 0.06:
        strewn.clamp(rng, rgb, joint, span * rng.uniform(0.02, 0.06))
    if rng.random() < 0.1:
        _load(rng, rgb, joint, span)
    if rng.random() < 0.08:
        low, high = at.min(0), at.max(0)
        start = np.array([low[0] + rng.uniform(-0.3, 0.5) * span, high[1] + rng.uniform(0.08, 0.3) * span])
        end = start + np.array([rng.uniform(0.3, 1.1), rng.normal(0, 0.06)]) * span
        strewn.ruler(rng, rgb, start, end, rng.uniform(0.008, 0.025) * span)
    if len(picture.other) == 0 and rng.random() < 0.1:
        boxes = strewn.names(rng, rgb, at)
        other.append(np.array(boxes, np.float32).reshape(-1, 4, 2))
    if rng.random() < 0.12:
        rgb = np.ascontiguousarray(lit(rng, rgb))
    return replace(picture, rgb=rgb, other=np.concatenate(other).astype(np.float32))
