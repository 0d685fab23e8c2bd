"""What a competent user would write in an hour instead: three ways to segments, one way on to joints.

Nothing here is used by the program. Each way is given what makes it better at no cost: a working size at
which strokes are a few pixels wide, thresholds from the picture itself, collinear pieces merged, ends
clustered, members split at joints that lie on them.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.cluster.hierarchy import fcluster, linkage
from skimage.filters import threshold_local
from skimage.morphology import remove_small_objects, skeletonize
from skimage.transform import probabilistic_hough_line

__all__ = ["BASELINES", "Found"]

Found = tuple[NDArray[np.float64], tuple[tuple[int, int], ...]]
"""Joints (N, 2) in pixels of the picture, members as pairs of rows."""

WORK_SIDE = 1000
LEAST_LENGTH = 0.035
MERGE_DEGREES = 6.0
MERGE_ASIDE = 0.012
MERGE_GAP = 0.03
CLUSTER = 0.03
ON_MEMBER = 0.015
"""All lengths as shares of the picture's diagonal."""


def line_segment_detector(grey: NDArray[np.uint8]) -> NDArray[np.float64]:
    """OpenCV's LSD (von Gioi and others 2010) as it comes."""
    lines = cv2.createLineSegmentDetector().detect(grey)[0]
    return np.zeros((0, 4)) if lines is None else np.asarray(lines, float).reshape(-1, 4)


def canny_hough(grey: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Find edges by Canny, thresholds from the median, then segments by the probabilistic Hough transform."""
    middle = float(np.median(grey))
    edges = cv2.Canny(cv2.GaussianBlur(grey, (5, 5), 0), 0.5 * middle, 1.1 * middle)
    shortest = LEAST_LENGTH * float(np.hypot(*grey.shape))
    lines = cv2.HoughLinesP(edges, 1, np.pi / 360, 40, minLineLength=shortest, maxLineGap=8)
    return np.zeros((0, 4)) if lines is None else np.asarray(lines, float).reshape(-1, 4)


def skeleton_hough(grey: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Threshold locally, thin, then segments by scikit-image's probabilistic Hough transform."""
    if np.median(grey) < 110:
        grey = 255 - grey
    ink = grey < threshold_local(grey, 51, offset=12)
    thin = skeletonize(remove_small_objects(ink, max_size=40))
    shortest = int(LEAST_LENGTH * np.hypot(*grey.shape))
    lines = probabilistic_hough_line(thin, threshold=10, line_length=shortest, line_gap=6, rng=1)
    return np.array([[*start, *end] for start, end in lines], float).reshape(-1, 4)


def structure(segments: NDArray[np.float64], diagonal: float) -> Found:
    """Merge collinear segments (S, 4), cluster their ends, split members at joints on them."""
    segments = _merged(_long(segments, diagonal), diagonal)
    if len(segments) < 2:
        return np.zeros((0, 2)), ()
    ends = segments.reshape(-1, 2)
    label = fcluster(linkage(ends, "average"), CLUSTER * diagonal, "distance") - 1
    joints = np.array([ends[label == place].mean(axis=0) for place in range(label.max() + 1)])
    members: set[tuple[int, int]] = set()
    for a, b in label.reshape(-1, 2):
        stops = _on_the_way(joints, int(a), int(b), ON_MEMBER * diagonal)
        members |= {(min(pair), max(pair)) for pair in pairwise(stops) if pair[0] != pair[1]}
    degree = np.bincount(np.array(sorted(members), int).ravel(), minlength=len(joints))
    keep = np.flatnonzero(degree >= 2)
    row = {int(place): index for index, place in enumerate(keep)}
    kept = tuple(sorted((row[a], row[b]) for a, b in members if a in row and b in row))
    return joints[keep], kept


def _long(segments: NDArray[np.float64], diagonal: float) -> NDArray[np.float64]:
    length = np.hypot(segments[:, 2] - segments[:, 0], segments[:, 3] - segments[:, 1])
    order = np.argsort(-length)
    # Beyond some hundreds of segments a page is texture; the longest are the likeliest members.
    return segments[order][length[order] >= LEAST_LENGTH * diagonal][:300]


def _merged(segments: NDArray[np.float64], diagonal: float) -> NDArray[np.float64]:
    left = list(segments)
    done: list[NDArray[np.float64]] = []
    while left:
        line = left.pop(0)
        index = 0
        while index < len(left):
            if _collinear(line, left[index], diagonal):
                line = _joined(line, left.pop(index))
                index = 0
            else:
                index += 1
        done.append(line)
    return np.array(done).reshape(-1, 4)


def _collinear(one: NDArray[np.float64], two: NDArray[np.float64], diagonal: float) -> bool:
    along, other = one[2:] - one[:2], two[2:] - two[:2]
    along, other = along / np.hypot(*along), other / np.hypot(*other)
    if abs(float(along @ other)) < np.cos(np.deg2rad(MERGE_DEGREES)):
        return False
    away = np.array([two[:2], two[2:]]) - one[:2]
    aside = np.abs(away @ np.array([-along[1], along[0]]))
    if aside.max() > MERGE_ASIDE * diagonal:
        return False
    reach = away @ along
    length = float(np.hypot(*(one[2:] - one[:2])))
    return bool(reach.max() > -MERGE_GAP * diagonal and reach.min() < length + MERGE_GAP * diagonal)


def _joined(one: NDArray[np.float64], two: NDArray[np.float64]) -> NDArray[np.float64]:
    points = np.array([one[:2], one[2:], two[:2], two[2:]])
    centre = points.mean(axis=0)
    along = np.linalg.svd(points - centre)[2][0]
    reach = (points - centre) @ along
    return np.concatenate([centre + reach.min() * along, centre + reach.max() * along])


def _on_the_way(joints: NDArray[np.float64], a: int, b: int, within: float) -> list[int]:
    run = joints[b] - joints[a]
    length = float(np.hypot(*run))
    if length == 0:
        return [a]
    along = (joints - joints[a]) @ run / length
    aside = np.abs((joints - joints[a]) @ np.array([-run[1], run[0]])) / length
    between = (aside < within) & (along > within) & (along < length - within)
    between[[a, b]] = False
    inner = sorted(np.flatnonzero(between), key=lambda row: along[row])
    return [a, *(int(row) for row in inner), b]


def _reader(
    segments: Callable[[NDArray[np.uint8]], NDArray[np.float64]],
) -> Callable[[NDArray[np.uint8]], Found]:
    def read(rgb: NDArray[np.uint8]) -> Found:
        scale = min(WORK_SIDE / max(rgb.shape[:2]), 1.0)
        size = (round(rgb.shape[1] * scale), round(rgb.shape[0] * scale))
        grey = cv2.cvtColor(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), cv2.COLOR_RGB2GRAY)
        joints, members = structure(segments(grey), float(np.hypot(*grey.shape)))
        return (joints + 0.5) / scale - 0.5, members

    return read


BASELINES: dict[str, Callable[[NDArray[np.uint8]], Found]] = {
    "OpenCV LSD": _reader(line_segment_detector),
    "Canny + Hough": _reader(canny_hough),
    "thin + Hough": _reader(skeleton_hough),
}
"""By the names under which the scoreboard prints them."""
