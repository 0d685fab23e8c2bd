"""A second look at joints that seem to stand on something: a pin, a roller or nothing, and which way up.

The maps of the reading tell well where a support is, and badly of which kind: a wheel is a few pixels wide.
So a small network of its own looks at the photograph itself, close up round each joint in question
(`vision/weights/supports.onnx`, made by `vision.training.support_kinds`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["CROP_SHARE", "CROP_SIDE", "KINDS", "WEIGHTS", "CloseLook", "cut_out", "even_out", "look_closely"]

KINDS = ("pin", "roller", "none")
"""What the network tells apart, in the order of its outputs."""
CROP_SIDE = 64
"""Pixels along a crop as the network sees it."""
CROP_SHARE = 0.34
"""Side of a crop as a part of the drawing's larger side. Supports are drawn 0.04 to 0.1 of it high; halved,
the ground line of a large one is cut off."""
WEIGHTS = Path(__file__).parent / "weights" / "supports.onnx"
"""The network; its card is beside it."""
_LEAST_SPREAD = 4.0
"""Grey levels: a crop with less spread is bare, and noise is not blown up into strokes."""


@dataclass(frozen=True, eq=False)
class CloseLook:
    """What the network makes of some joints."""

    chance: NDArray[np.float64]
    """(N, 3) chance of each of `KINDS`, rows sum to 1."""
    normal: NDArray[np.float64]
    """(N, 2) from the ground to the joint, x right, y down; the longer (up to 1), the surer."""


def cut_out(gray: NDArray[np.uint8], at: NDArray[np.float64], side: float, size: int) -> NDArray[np.uint8]:
    """Cut a square of `side` picture pixels round a point, brought to `size`; the edge goes on outside."""
    half = max(side / 2, 2.0)
    low = np.floor(at - half).astype(int)
    wide = int(np.ceil(2 * half))
    height, width = gray.shape
    rows = np.clip(np.arange(low[1], low[1] + wide), 0, height - 1)
    columns = np.clip(np.arange(low[0], low[0] + wide), 0, width - 1)
    part = gray[np.ix_(rows, columns)]
    method = cv2.INTER_AREA if wide > size else cv2.INTER_CUBIC
    return np.asarray(cv2.resize(part, (size, size), interpolation=method), np.uint8)


def even_out(crops: NDArray[np.float32]) -> NDArray[np.float32]:
    """Bring crops (N, H, W) to the same ground and contrast: median 0, standard deviation about 1."""
    ground = np.median(crops, axis=(1, 2), keepdims=True)
    spread = np.maximum(crops.std(axis=(1, 2), keepdims=True), _LEAST_SPREAD)
    return np.asarray((crops - ground) / spread, np.float32)


@lru_cache(maxsize=1)
def _session(weights: Path) -> Any:
    import onnxruntime  # noqa: PLC0415 - slow to import, and not needed by most commands

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 1
    options.log_severity_level = 3
    return onnxruntime.InferenceSession(str(weights), options, providers=["CPUExecutionProvider"])


def look_closely(rgb: NDArray[np.uint8], joints: NDArray[np.float64], *, span: float) -> CloseLook:
    """Look at joints close up.

    Parameters
    ----------
    rgb : (H, W, 3) uint8
        The upright picture.
    joints : (N, 2) float
        Where to look, x, y, pixels.
    span : float
        The drawing's larger side, pixels.

    Returns
    -------
    CloseLook
        A row for each joint.
    """
    if not len(joints):
        return CloseLook(np.zeros((0, 3)), np.zeros((0, 2)))
    gray = np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY), np.uint8)
    crops = np.stack([cut_out(gray, at, CROP_SHARE * span, CROP_SIDE) for at in joints])
    told = _session(WEIGHTS).run(None, {"crops": even_out(crops.astype(np.float32))[:, None]})[0]
    logits = told[:, :3].astype(float)
    chance = np.exp(logits - logits.max(1, keepdims=True))
    return CloseLook(chance / chance.sum(1, keepdims=True), told[:, 3:].astype(float))
