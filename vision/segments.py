"""Straight segments of the ink and clusters of their ends: what the strokes alone say, for looking at.

The reading itself is the network's. Beside it, these two classic stages show what a ruler would find: where a
segment has no member or a cluster no joint, one of the two is wrong, and one sees which. They are made only
when somebody asks for the pictures of the stages, and only then are scikit-image and shapely imported.

References
----------
Otsu, N. (1979), "A threshold selection method from gray-level histograms". Galamhos, C., Matas, J., Kittler,
J. (1999), "Progressive probabilistic Hough transform for line detection".
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["EndCluster", "SegmentSettings", "cluster_ends", "find_segments"]

Points = NDArray[np.float64]


@dataclass(frozen=True)
class SegmentSettings:
    """What is one segment, and which ends belong together. Lengths in widths of the members' stroke."""

    shortest: float = 6.0
    """Shorter pieces are letters and hatching."""
    longest_gap: float = 3.0
    """Gap that the transform bridges; doubled, the strokes of letters run together."""
    votes: int = 10
    """Pixels of the skeleton on a line before it is followed."""
    turn: float = np.deg2rad(5)
    """Radians between pieces of one segment: a free-hand stroke bows by so much."""
    beside: float = 1.7
    """How far a piece may lie beside the segment that it continues."""
    between: float = 7.0
    """Gap between pieces of one segment: where a hand swerves, the transform loses so much of a stroke."""
    together: float = 3.0
    """Ends within twice this of each other, or linked by others, are one cluster."""


@dataclass(frozen=True, eq=False)
class EndCluster:
    """Ends of segments that lie together."""

    at: tuple[float, float]
    """Mean of the ends, x, y."""
    radius: float
    """From the mean to the farthest end."""
    ends: int
    """How many ends."""


def find_segments(
    contrast: NDArray[np.float32], *, stroke_width: float, settings: SegmentSettings | None = None
) -> NDArray[np.float64]:
    """Find straight segments: threshold, skeleton, probabilistic Hough transform, pieces put together.

    Parameters
    ----------
    contrast : (H, W) float32
        Of the ink with its ground, not negative.
    stroke_width : float
        Of the members, pixels of `contrast`.
    settings : SegmentSettings, optional

    Returns
    -------
    (S, 2, 2) float
        Start and end as x, y; the longest first.
    """
    from skimage.filters import threshold_otsu  # noqa: PLC0415 - see above
    from skimage.morphology import skeletonize  # noqa: PLC0415
    from skimage.transform import probabilistic_hough_line  # noqa: PLC0415

    s = settings or SegmentSettings()
    if float(np.ptp(contrast)) == 0:
        return np.zeros((0, 2, 2))
    thin = skeletonize(contrast > threshold_otsu(contrast))
    found = probabilistic_hough_line(
        thin,
        threshold=s.votes,
        line_length=round(max(s.shortest * stroke_width, 5)),
        line_gap=round(max(s.longest_gap * stroke_width, 1)),
        rng=0,
    )
    pieces = np.asarray(found, np.float64).reshape(-1, 2, 2)
    return _put_together(pieces, stroke_width, s)


def _put_together(pieces: Points, width: float, s: SegmentSettings) -> Points:
    """Join pieces of one line, the longest first, until nothing joins any more."""
    from shapely import STRtree, linestrings  # noqa: PLC0415

    while len(pieces):
        pieces = pieces[np.argsort(-np.hypot(*(pieces[:, 1] - pieces[:, 0]).T), kind="stable")]
        lines = linestrings(pieces)
        near = STRtree(lines).query(lines, predicate="dwithin", distance=s.between * width)
        partner = _partners(pieces, near, width, s)
        if (partner == np.arange(len(pieces))).all():
            return pieces
        pieces = np.stack([_spanned(pieces[partner == row]) for row in np.unique(partner)])
    return pieces


def _partners(pieces: Points, near: NDArray[np.int64], width: float, s: SegmentSettings) -> NDArray[np.int64]:
    """Give each piece the row of a longer one that it continues, or its own."""
    partner = np.arange(len(pieces))
    for one, other in sorted(near.T.tolist()):
        if one < other and partner[one] == one and partner[other] == other:
            along = pieces[one, 1] - pieces[one, 0]
            along = along / np.hypot(*along)
            run = pieces[other, 1] - pieces[other, 0]
            off = (pieces[other] - pieces[one, 0]) @ np.array([-along[1], along[0]])
            straight = abs(float(along @ run)) > np.cos(s.turn) * float(np.hypot(*run))
            if straight and float(np.abs(off).max()) < s.beside * width:
                partner[other] = one
    return partner


def _spanned(pieces: Points) -> Points:
    """Return the segment from end to end of some pieces, along the first and longest of them."""
    along = pieces[0, 1] - pieces[0, 0]
    along = along / np.hypot(*along)
    points = pieces.reshape(-1, 2)
    reach = (points - pieces[0, 0]) @ along
    return np.asarray(np.stack([points[reach.argmin()], points[reach.argmax()]]))


def cluster_ends(
    segments: Points, *, stroke_width: float, settings: SegmentSettings | None = None
) -> tuple[EndCluster, ...]:
    """Put ends of segments together where discs about them touch.

    Parameters
    ----------
    segments : (S, 2, 2) float
        From `find_segments`.
    stroke_width : float
        Of the members, pixels.
    settings : SegmentSettings, optional

    Returns
    -------
    tuple of EndCluster
        Those of most ends first.
    """
    from shapely import STRtree, get_parts, points, union_all  # noqa: PLC0415

    s = settings or SegmentSettings()
    ends = segments.reshape(-1, 2)
    if not len(ends):
        return ()
    dots = points(ends)
    areas = get_parts(union_all([dot.buffer(s.together * stroke_width) for dot in dots]))
    area, dot = STRtree(dots).query(areas, predicate="intersects")
    found = []
    for row in range(len(areas)):
        own = ends[dot[area == row]]
        middle = own.mean(axis=0)
        radius = float(np.hypot(*(own - middle).T).max())
        found.append(EndCluster((float(middle[0]), float(middle[1])), radius, len(own)))
    return tuple(sorted(found, key=lambda cluster: (-cluster.ends, cluster.at)))
