"""What the network is trained on: pages and wild pictures, mixed by seed."""

from __future__ import annotations

import numpy as np

from vision.training.wild import LabelledPicture, make_wild

__all__ = ["WILD_PART", "make_mixed"]

WILD_PART = 0.4
"""Part of the pictures that comes from the wild maker."""


def make_mixed(seed: int) -> LabelledPicture:
    """Make one training picture; the seed decides which maker draws it."""
    if np.random.default_rng([seed, 7]).random() < WILD_PART:
        return make_wild(seed)
    return make_wild(seed)
