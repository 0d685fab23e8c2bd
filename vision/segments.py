"""Strokes thinned to lines and cut into straight segments, as a graph of nodes and edges.

Strategy
--------
Thin the ink (one pixel wide, connected). Pixels with three or more neighbours are where strokes meet;
between them run branches, each an ordered chain of pixels. A chain is cut where it turns (Douglas and
Peucker), with a tolerance that grows with its length, because a hand-drawn member bows but does not bend.
Short side branches are products of thinning and go; nodes joined by very short edges are one place.

References
----------
Zhang, T. Y., Suen, C. Y. (1984), "A fast parallel algorithm for thinning digital patterns".
Douglas, D., Peucker, T. (1973), "Algorithms for the reduction of the number of points required to
represent a digitized line or its caricature".
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage.morphology import skeletonize

from vision.settings import JointSettings

__all__ = ["Strokes", "trace"]

_EIGHT = tuple((dy, dx) for dy in (-1, 0, 1) for dx in (-1, 0, 1) if (dy, dx) != (0, 0))


@dataclass(frozen=True, eq=False)
class Strokes:
    """Straight strokes between places."""

    nodes: NDArray[np.float64]
    """(N, 2) as x, y, working pixels."""
    edges: tuple[tuple[int, int], ...]
    """Pairs of rows of `nodes`."""

    def lengths(self) -> NDArray[np.float64]:
        """Give the length of each edge (E,), working pixels."""
        if not self.edges:
            return np.zeros(0)
        ends = self.nodes[np.asarray(self.edges)]
        return np.asarray(np.hypot(*(ends[:, 0] - ends[:, 1]).T))


def trace(mask: NDArray[np.bool_], stroke_width: float, settings: JointSettings) -> Strokes:
    """Thin the ink (H, W) and cut it into straight strokes.

    Returns
    -------
    Strokes
        Nodes at ends, corners and meetings of strokes.
    """
    thin = skeletonize(mask)
    neighbours = cv2.filter2D(thin.astype(np.uint8), -1, np.ones((3, 3), np.uint8), borderType=0) - 1
    meeting = thin & (neighbours >= 3)
    nodes: list[tuple[float, float]] = []
    _, places, _, centres = cv2.connectedComponentsWithStats(meeting.astype(np.uint8), connectivity=8)
    nodes.extend((float(x), float(y)) for x, y in centres[1:])
    edges: list[tuple[int, int]] = []
    for chain in _chains(thin & ~meeting):
        ends = [_place_beside(places, *chain[0]), _place_beside(places, *chain[-1])]
        if len(chain) < 2 or ends[0] == ends[1] >= 0:
            around = sorted(_places_around(places, *chain[0]))
            if len(chain) < 2 and len(around) == 2:
                edges.append((around[0], around[1]))
            if ends[0] != ends[1] or ends[0] < 0 or len(chain) < 8:
                continue
        for which, pixel in ((0, chain[0]), (1, chain[-1])):
            if ends[which] < 0:
                ends[which] = len(nodes)
                nodes.append((float(pixel[1]), float(pixel[0])))
        line = np.array([(x, y) for y, x in chain], np.int32).reshape(-1, 1, 2)
        span = len(chain)
        corners = cv2.approxPolyDP(line, max(0.8 * stroke_width, settings.bow * span), closed=False)
        last = ends[0]
        for corner in corners[1:-1, 0]:
            edges.append((last, len(nodes)))
            last = len(nodes)
            nodes.append((float(corner[0]), float(corner[1])))
        edges.append((last, ends[1]))
    strokes = Strokes(np.array(nodes, np.float64).reshape(-1, 2), tuple(edges))
    strokes = without_spurs(strokes, settings.spur_widths * stroke_width)
    return contracted(strokes, settings.cluster_widths * stroke_width)


def without_spurs(strokes: Strokes, shorter: float) -> Strokes:
    """Take away loose edges that are shorter than `shorter` and hang on a meeting of others."""
    degree = np.bincount(np.asarray(strokes.edges, int).ravel(), minlength=len(strokes.nodes))
    keep = []
    for edge, length in zip(strokes.edges, strokes.lengths(), strict=True):
        loose = sorted(degree[list(edge)])
        if not (length < shorter and loose[0] == 1 and loose[1] >= 3):
            keep.append(edge)
    return Strokes(strokes.nodes, tuple(keep))


def contracted(strokes: Strokes, shorter: float) -> Strokes:
    """Make one place of the two ends of every edge that is shorter than `shorter`."""
    parent = list(range(len(strokes.nodes)))

    def root(node: int) -> int:
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    for (start, end), length in zip(strokes.edges, strokes.lengths(), strict=True):
        if length < shorter:
            parent[root(start)] = root(end)
    members: dict[int, list[int]] = defaultdict(list)
    used = {node for edge in strokes.edges for node in edge}
    for node in sorted(used):
        members[root(node)].append(node)
    row = {place: index for index, place in enumerate(members)}
    nodes = np.array([strokes.nodes[inner].mean(axis=0) for inner in members.values()]).reshape(-1, 2)
    edges = {
        (min(a, b), max(a, b))
        for a, b in ((row[root(start)], row[root(end)]) for start, end in strokes.edges)
        if a != b
    }
    return Strokes(nodes, tuple(sorted(edges)))


def _chains(branches: NDArray[np.bool_]) -> list[list[tuple[int, int]]]:
    """Give the pixels (row, column) of each branch in order, from one end to the other."""
    left = {(int(y), int(x)) for y, x in np.argwhere(branches)}
    ends = [pixel for pixel in left if sum((pixel[0] + dy, pixel[1] + dx) in left for dy, dx in _EIGHT) <= 1]
    chains = []
    # Closed rings have no end: after the open branches they are walked from wherever they are met.
    for start in sorted(ends) + sorted(left):
        if start not in left:
            continue
        chain = [start]
        left.discard(start)
        while True:
            y, x = chain[-1]
            following = next(((y + dy, x + dx) for dy, dx in _EIGHT if (y + dy, x + dx) in left), None)
            if following is None:
                break
            left.discard(following)
            chain.append(following)
        chains.append(chain)
    return chains


def _places_around(places: NDArray[np.int32], y: int, x: int) -> set[int]:
    window = places[max(y - 1, 0) : y + 2, max(x - 1, 0) : x + 2]
    return {int(label) - 1 for label in np.unique(window) if label > 0}


def _place_beside(places: NDArray[np.int32], y: int, x: int) -> int:
    return min(_places_around(places, y, x), default=-1)
