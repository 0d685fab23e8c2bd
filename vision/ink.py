"""Ink, chalk or sticks told from the ground, under uneven light, whichever of the two is darker.

Strategy
--------
1. Bring the picture to a working size, so that tolerances in stroke widths mean the same on every camera.
2. Closing by a square wider than any stroke, minus the picture, leaves what is thin and darker than its
   surroundings (black top-hat); opening gives what is thin and lighter. Shadows and the edges of tables
   are wide or one-sided and leave nothing. The same on the two colour channels finds coloured sticks
   that are as bright as the ground.
3. Dark or light: the side of the ground's median level with more evidence above its noise.
4. Two thresholds, hysteresis between them.
5. Ruling and squares fill the whole page, evenly, in few directions and fainter than the pen: when the
   weaker part of the ink does so, it is left out.

References
----------
Meyer, F. (1979), "Iterative image transformations for an automatic screening of cervical smears":
top-hat. Otsu, N. (1979), "A threshold selection method from gray-level histograms". Canny, J. (1986),
"A computational approach to edge detection": hysteresis.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.settings import InkSettings

__all__ = ["Ink", "WorkPicture", "find_ink", "work_picture"]

_HISTOGRAM_TOP = 99.7
"""Percentile of the evidence that stands for the strongest ink: a truss covers more than 0.3 % of a page."""
_LOG_STEPS = 40
"""Steps of a histogram of contrast per factor e: contrasts compare as ratios."""
_TILES = (6, 8)
"""Rows and columns of tiles in which the page is searched for ruling."""


@dataclass(frozen=True, eq=False)
class WorkPicture:
    """The photograph at working size."""

    rgb: NDArray[np.uint8]
    """(H, W, 3)."""
    scale: float
    """Working pixels per pixel of the photograph."""


@dataclass(frozen=True, eq=False)
class Ink:
    """What was drawn or built, at working size."""

    mask: NDArray[np.bool_]
    """(H, W) true on ink."""
    evidence: NDArray[np.float32]
    """(H, W) contrast with the ground in levels of 255."""
    stroke_width: float
    """Working pixels, median over the strokes."""
    dark: bool
    """True for ink on paper, false for chalk on a board."""
    ruled: bool
    """True where ruling or squares were seen and left out."""


def work_picture(rgb: NDArray[np.uint8], settings: InkSettings) -> WorkPicture:
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


def find_ink(work: WorkPicture, settings: InkSettings) -> Ink:
    """Tell ink from ground.

    Parameters
    ----------
    work
        The picture at working size.
    settings
        Thresholds.

    Returns
    -------
    Ink
        Empty (`mask.any()` false) on a blank page.
    """
    longer = max(work.rgb.shape[:2])
    lab = cv2.GaussianBlur(cv2.cvtColor(work.rgb, cv2.COLOR_RGB2LAB), (0, 0), 0.8)
    side = max(int(longer * settings.widest_stroke) | 1, 5)
    square = cv2.getStructuringElement(cv2.MORPH_RECT, (side, side))
    light, red, blue = cv2.split(lab)
    # Cameras keep colour at half size, and the ground changes slowly: half size loses nothing here.
    window = max(int(longer * settings.widest_stroke * settings.ground_widths / 2) | 1, 3)
    half = [
        cv2.resize(channel, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
        for channel in (light, red, blue)
    ]
    ground = [cv2.medianBlur(channel, window) for channel in half]
    # Between dense letters the ground itself is thin and lighter: which of the two is ink is asked of the
    # difference from the ground's own level, which is nothing there.
    darker, lighter = cv2.subtract(ground[0], half[0]), cv2.subtract(half[0], ground[0])
    dark = _weight(darker, settings) >= _weight(lighter, settings)
    hat = cv2.MORPH_BLACKHAT if dark else cv2.MORPH_TOPHAT
    tone = np.asarray(cv2.morphologyEx(light, hat, square), np.float32)
    colour = cv2.max(cv2.absdiff(half[1], ground[1]), cv2.absdiff(half[2], ground[2]))
    tint = np.asarray(cv2.resize(colour, light.shape[::-1], interpolation=cv2.INTER_LINEAR), np.float32)
    # Small colour differences are JPEG's, not the pen's: they count from twice their noise.
    tint = np.maximum(tint - 2 * _noise(tint), 0)
    evidence = np.hypot(tone, tint).astype(np.float32)
    mask = _hysteresis(evidence, settings)
    # Ruling may be fainter than what counts as ink, or itself the most of it: sought in both.
    whispers = evidence > max(settings.noise_factor * _noise(evidence), settings.least_contrast / 2)
    ruling = None
    for seen in (whispers, mask):
        cut = _above_ruling(evidence, seen, settings)
        if cut is not None:
            ruling = cut
            mask = _hysteresis(evidence, settings, floor=cut)
    return Ink(
        mask=mask,
        evidence=evidence,
        stroke_width=_stroke_width(mask),
        dark=dark,
        ruled=ruling is not None,
    )


def _noise(values: NDArray[Any]) -> float:
    # Evidence is not negative and mostly ground, so its median is a robust measure of the ground's spread.
    return float(np.median(values)) * 1.5


def _weight(hat: NDArray[Any], settings: InkSettings) -> float:
    threshold = max(settings.noise_factor * _noise(hat), settings.least_contrast)
    values = hat.astype(np.float32)
    return float(np.square(values[values > threshold] - threshold).sum())


def _hysteresis(
    evidence: NDArray[np.float32], settings: InkSettings, *, floor: float = 0.0
) -> NDArray[np.bool_]:
    top = float(np.percentile(evidence, _HISTOGRAM_TOP))
    strong = max(
        settings.noise_factor * _noise(evidence), settings.least_contrast, settings.strong_share * top, floor
    )
    weak = max(settings.weak_share * strong, floor)
    candidates = (evidence > weak).astype(np.uint8)
    count, labels = cv2.connectedComponents(candidates, connectivity=8)
    keep = np.zeros(count, bool)
    keep[labels[evidence > strong]] = True
    keep[0] = False
    # The edge of a stroke is where its own contrast has halved, however firm or faint it is: a threshold
    # for the whole page would fatten firm strokes until neighbours touch.
    reach = max(int(max(evidence.shape) * settings.local_reach) | 1, 3)
    peak = cv2.dilate(evidence, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)))
    return np.asarray(keep[labels] & (evidence > settings.half_height * peak), np.bool_)


def _above_ruling(
    evidence: NDArray[np.float32], seen: NDArray[np.bool_], settings: InkSettings
) -> float | None:
    """Give the contrast above which ruling no longer shows, or None where there is no ruling."""
    values = evidence[seen]
    if len(values) == 0:
        return None
    levels = np.clip(np.log(values) * _LOG_STEPS, 0, 255).astype(np.uint8)
    split, _ = cv2.threshold(levels.reshape(-1, 1), 0, 255, cv2.THRESH_BINARY | cv2.THRESH_OTSU)
    cut = float(np.exp((split + 1) / _LOG_STEPS))
    faint, firm = values[values <= cut], values[values > cut]
    if len(firm) == 0 or len(faint) == 0:
        return None
    if np.median(firm) < settings.ruling_levels * np.median(faint):
        return None
    if _share_of_tiles(seen & (evidence <= cut)) < settings.ruling_tiles:
        return None
    return cut


def _share_of_tiles(pixels: NDArray[np.bool_]) -> float:
    rows = np.array_split(np.arange(pixels.shape[0]), _TILES[0])
    columns = np.array_split(np.arange(pixels.shape[1]), _TILES[1])
    covered = sum(
        np.count_nonzero(pixels[r[0] : r[-1] + 1, c[0] : c[-1] + 1]) > 2 * min(len(r), len(c)) * 0.5
        for r in rows
        for c in columns
    )
    return covered / (_TILES[0] * _TILES[1])


def _stroke_width(mask: NDArray[np.bool_]) -> float:
    if not mask.any():
        return 0.0
    depth = cv2.distanceTransform(mask.astype(np.uint8), cv2.DIST_L2, 5)
    # The ridge of the depth is the middle of the strokes, without the cost of thinning.
    ridge = mask & (depth >= cv2.dilate(depth, np.ones((3, 3), np.uint8)))
    # Specks and rough edges have ridges of their own, one pixel deep; long strokes outweigh them by depth.
    order = np.sort(depth[ridge])
    weight = np.cumsum(order)
    middle = order[np.searchsorted(weight, weight[-1] / 2)]
    return float(max(2 * middle - 1, 1.0))
