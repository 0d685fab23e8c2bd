"""How firmly each pixel stands out from its ground, under uneven light, whichever of the two is darker.

Closing by a square wider than any stroke, minus the picture, leaves what is thin and darker than its
surroundings (black top-hat); opening gives what is thin and lighter. Shadows and the edges of tables are
wide or one-sided and leave nothing. The same on the two colour channels finds coloured sticks that are as
bright as the ground. Which of dark and light is ink is asked where the members are known to lie.

References
----------
Meyer, F. (1979), "Iterative image transformations for an automatic screening of cervical smears": top-hat.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.settings import ContrastSettings

__all__ = ["WorkPicture", "find_contrast", "measure_stroke", "work_picture"]


@dataclass(frozen=True, eq=False)
class WorkPicture:
    """The photograph at working size."""

    rgb: NDArray[np.uint8]
    """(H, W, 3)."""
    scale: float
    """Working pixels per pixel of the photograph."""

    # Pixel centres: a working pixel covers 1 / scale photograph pixels, from -0.5 on.
    def from_photograph(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return (..., 2) points of the photograph as points of the working picture."""
        return (points + 0.5) * self.scale - 0.5

    def to_photograph(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return (..., 2) points of the working picture as points of the photograph."""
        return (points + 0.5) / self.scale - 0.5


def work_picture(rgb: NDArray[np.uint8], settings: ContrastSettings) -> WorkPicture:
    """Bring the photograph (H, W, 3) to working size."""
    longer = max(rgb.shape[:2])
    if longer > settings.work_side:
        scale = settings.work_side / longer
        method = cv2.INTER_AREA
    else:
        scale = min(max(settings.least_work_side / longer, 1.0), settings.most_enlarged)
        method = cv2.INTER_CUBIC
    if scale == 1.0:
        return WorkPicture(rgb=rgb, scale=1.0)
    size = (max(round(rgb.shape[1] * scale), 1), max(round(rgb.shape[0] * scale), 1))
    return WorkPicture(rgb=np.asarray(cv2.resize(rgb, size, interpolation=method), np.uint8), scale=scale)


def find_contrast(
    work: WorkPicture,
    joints: NDArray[np.float64],
    members: tuple[tuple[int, int], ...],
    settings: ContrastSettings,
) -> NDArray[np.float32]:
    """Give the contrast of every pixel with its ground.

    Parameters
    ----------
    work
        The picture at working size.
    joints
        (N, 2) as x, y, working pixels: about where the members end.
    members
        Pairs of rows of `joints`: where dark and light are compared.
    settings
        Widest stroke.

    Returns
    -------
    (H, W) float32
        Not negative, in levels of 255.
    """
    longer = max(work.rgb.shape[:2])
    lab = cv2.GaussianBlur(cv2.cvtColor(work.rgb, cv2.COLOR_RGB2LAB), (0, 0), 0.8)
    light, red, blue = cv2.split(lab)
    side = max(int(longer * settings.widest_stroke) | 1, 5)
    square = cv2.getStructuringElement(cv2.MORPH_RECT, (side, side))
    on_members = np.zeros(light.shape, np.uint8)
    for a, b in members:
        ends = np.round(joints[[a, b]]).astype(int).tolist()
        cv2.line(on_members, ends[0], ends[1], 1, 3)
    hats = [
        np.asarray(cv2.morphologyEx(light, kind, square), np.uint8)
        for kind in (cv2.MORPH_BLACKHAT, cv2.MORPH_TOPHAT)
    ]
    tone = max(hats, key=lambda hat: float(hat[on_members > 0].astype(np.float64).sum()))
    # Cameras keep colour at half size, and the ground changes slowly: half size loses nothing here.
    window = max(int(longer * settings.widest_stroke) | 1, 3)
    off = []
    for channel in (red, blue):
        half = cv2.resize(channel, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
        off.append(cv2.absdiff(half, cv2.medianBlur(half, window)))
    colour = np.asarray(cv2.max(off[0], off[1]), np.uint8)
    tint = np.asarray(cv2.resize(colour, light.shape[::-1], interpolation=cv2.INTER_LINEAR), np.float32)
    # Small colour differences are JPEG's, not the pen's: they count from twice their noise.
    tint = np.maximum(tint - 2 * _noise(tint), 0)
    return np.asarray(np.hypot(tone.astype(np.float32), tint), np.float32)


def _noise(values: NDArray[Any]) -> float:
    # Contrast is not negative and mostly ground, so its median is a robust measure of the ground's spread.
    return float(np.median(values)) * 1.5


def measure_stroke(
    contrast: NDArray[np.float32],
    joints: NDArray[np.float64],
    members: tuple[tuple[int, int], ...],
    *,
    slack: float,
    settings: ContrastSettings,
) -> float:
    """Measure how wide the members' strokes are: the median full width at half height across them.

    Parameters
    ----------
    contrast
        (H, W) from `find_contrast`.
    joints
        (N, 2) as x, y, working pixels.
    members
        Pairs of rows of `joints`.
    slack
        How far a stroke may lie beside its member, working pixels.
    settings
        Widest stroke.

    Returns
    -------
    float
        Working pixels, at least 1.
    """
    start, end = joints[[a for a, _ in members]], joints[[b for _, b in members]]
    run = end - start
    length = np.maximum(np.hypot(*run.T), 1e-6)[:, None]
    across = np.stack([-run[:, 1], run[:, 0]], 1) / length
    reach = int(slack + settings.widest_stroke * max(contrast.shape))
    offsets = np.arange(-reach, reach + 1)
    t = np.linspace(0.25, 0.75, settings.sections)
    places = start[:, None] + t[None, :, None] * run[:, None]
    points = (places[:, :, None] + offsets[None, None, :, None] * across[:, None, None]).astype(np.float32)
    points = points.reshape(-1, len(offsets), 2)
    profile = np.asarray(
        cv2.remap(contrast, points[..., 0], points[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT)
    )
    near = np.where(np.abs(offsets) <= slack, profile, -1.0)
    top = near.argmax(1)
    height = near.max(1)
    firm = height > settings.least_contrast
    if not firm.any():
        return 1.0
    low = profile < height[:, None] / 2
    place = np.arange(len(offsets))
    right = np.where(low & (place > top[:, None]), place, len(offsets)).min(1)
    left = np.where(low & (place < top[:, None]), place, -1).max(1)
    return max(float(np.median((right - left - 1)[firm])), 1.0)
