"""Placing labels so that they cover neither each other nor anything drawn.

Method. Every label brings its own list of candidate places: a turned rectangle, a cost of taste, perhaps a
leader line. Overlap is measured between convex quadrilaterals by the separating-axis theorem: its depth is
the shortest push that would part them, 0 when they are apart. What is drawn (members, joints, arrows,
supports) stays where it is, and its overlap with every candidate is known beforehand; what candidates do to
each other is found once, for all pairs whose bounding boxes meet. Then

1. greedy: labels with the fewest free places choose first, each the cheapest place given those already taken;
2. local improvement: in rounds, the label that pays most tries every place, together with the best answer of
   each label it would push away; the change that lowers the total most is kept, until none does.

The search has no chance in it: the same labels give the same places.

References
----------
J. Christensen, J. Marks, S. Shieber, "An empirical study of algorithms for point-feature label placement",
ACM Transactions on Graphics 14(3), 1995: candidate places, greedy and local search (from memory).
S. Gottschalk, M. Lin, D. Manocha, "OBBTree", SIGGRAPH 1996: separating axes (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Candidate", "PlacedLabel", "Placing", "PlacingSettings", "overlap_depths", "place_labels"]

Array = NDArray[np.float64]
Rows = NDArray[np.intp]


@dataclass(frozen=True)
class PlacingSettings:
    """What a label pays, in units of taste (1 is about one em away from the ideal place)."""

    overlap: float = 1000.0
    """For each em of overlap depth, and as much again for overlapping at all. Far above any taste, so that a
    free place always wins; doubling it changes nothing."""
    leader_crossing: float = 0.6
    """For each thing drawn that a leader line crosses; doubling it sends leaders the long way round."""
    touch: float = 1e-6
    """Ems of depth that count as apart: shared edges are no overlap."""
    keep: int = 40
    """Places kept for each label, the cheapest by themselves; twice as many cost four times the memory."""
    rounds: int = 80
    """Local improvements tried before giving up; more only helps pictures that are far too full."""
    worth: float = 1.0
    """Labels that pay less are left alone: nobody would rub them out to write them again."""


@dataclass(frozen=True, eq=False)
class Candidate:
    """One place where a label could stand."""

    box: Array
    """(4, 2) corners in order."""
    taste: float
    """Cost of the place by itself, 0 for the ideal one."""
    leader: Array | None = None
    """(2, 2) from the label to what it names, where it stands off."""


@dataclass(frozen=True)
class PlacedLabel:
    """Where one label ended up."""

    candidate: int
    """Row of its own candidates."""
    depth: float
    """Overlap depth that is left, summed, in the unit of the drawing; 0 when it covers nothing."""


@dataclass(frozen=True)
class Placing:
    """Where all labels ended up."""

    labels: tuple[PlacedLabel, ...]

    @property
    def depth(self) -> float:
        """Overlap depth left in the whole drawing; 0 when nothing covers anything."""
        return sum(label.depth for label in self.labels)


def overlap_depths(ones: Array, others: Array) -> Array:
    """Return how deep pairs of convex quadrilaterals overlap.

    Parameters
    ----------
    ones, others : (K, 4, 2) float
        Corners in order, either turning sense. A quadrilateral may be as thin as a line.

    Returns
    -------
    (K,) float
        The shortest distance by which one must move to leave the other; 0 when they are apart or only touch.
    """
    depth = np.full(len(ones), np.inf)
    for shape in (ones, others):
        edges = shape[:, [1, 2]] - shape[:, [0, 1]]
        normals = np.stack([-edges[..., 1], edges[..., 0]], axis=-1)
        lengths = np.linalg.norm(normals, axis=-1)
        for side in range(2):
            axis = normals[:, side] / np.maximum(lengths[:, side], 1e-300)[:, None]
            mine = np.einsum("kpd,kd->kp", ones, axis)
            theirs = np.einsum("kpd,kd->kp", others, axis)
            inside = np.minimum(mine.max(1), theirs.max(1)) - np.maximum(mine.min(1), theirs.min(1))
            inside = np.where(lengths[:, side] > 0, inside, np.inf)
            depth = np.minimum(depth, inside)
    return np.where(np.isfinite(depth), np.maximum(depth, 0.0), 0.0)


def _near_pairs(ones: Array, others: Array) -> tuple[Rows, Rows]:
    """Return the pairs whose bounding boxes meet."""
    low, high = ones.min(axis=1), ones.max(axis=1)
    far_low, far_high = others.min(axis=1), others.max(axis=1)
    meet = (low[:, None, 0] < far_high[None, :, 0]) & (far_low[None, :, 0] < high[:, None, 0])
    meet &= (low[:, None, 1] < far_high[None, :, 1]) & (far_low[None, :, 1] < high[:, None, 1])
    rows, columns = np.nonzero(meet)
    return rows, columns


@dataclass(eq=False)
class _Board:
    """Everything known about overlaps before the search starts."""

    place: Rows
    """(C,) row of the candidate among those its label brought."""
    own: Array
    """(C,) taste plus cost of covering what is drawn."""
    clash: Array
    """(C, C) cost of two candidates taken together, symmetric, zero within a label."""
    fixed_depth: Array
    """(C,) overlap depth with what is drawn."""
    pair_depth: Array
    """(C, C) overlap depth of two candidates."""
    spans: list[slice]
    """The candidates of each label."""


def _line_quads(candidates: list[Candidate]) -> Array:
    """Return the leaders as quadrilaterals of no width."""
    ends = np.array([candidate.leader for candidate in candidates if candidate.leader is not None])
    return ends[:, [0, 1, 1, 0]]


def _fixed_costs(
    flat: list[Candidate], drawn: Array, em: float, settings: PlacingSettings
) -> tuple[Array, Array]:
    """Return what each candidate costs by itself, and its overlap depth with what is drawn."""
    boxes = np.array([candidate.box for candidate in flat])
    own = np.array([candidate.taste for candidate in flat])
    depths = np.zeros(len(flat))
    if len(drawn):
        rows, columns = _near_pairs(boxes, drawn)
        depth = overlap_depths(boxes[rows], drawn[columns])
        depth[depth <= settings.touch * em] = 0.0
        np.add.at(depths, rows, depth)
        np.add.at(own, rows, settings.overlap * (depth > 0))
        own += settings.overlap / em * depths
        with_leader = np.array(
            [row for row, candidate in enumerate(flat) if candidate.leader is not None], dtype=int
        )
        if len(with_leader):
            lines = _line_quads([flat[row] for row in with_leader])
            rows, columns = _near_pairs(lines, drawn)
            crossed = _crosses(drawn[columns], lines[rows])
            np.add.at(own, with_leader[rows], settings.leader_crossing * crossed)
    return own, depths


def _pair_depths(flat: list[Candidate], owner: Rows, em: float, settings: PlacingSettings) -> Array:
    """Return the overlap depth of every two candidates; a leader through a label counts as its height."""
    boxes = np.array([candidate.box for candidate in flat])
    pair = np.zeros((len(flat), len(flat)))
    rows, columns = _near_pairs(boxes, boxes)
    apart = owner[rows] < owner[columns]
    rows, columns = rows[apart], columns[apart]
    depth = overlap_depths(boxes[rows], boxes[columns])
    pair[rows, columns] = np.where(depth > settings.touch * em, depth, 0.0)
    with_leader = np.array(
        [row for row, candidate in enumerate(flat) if candidate.leader is not None], dtype=int
    )
    if len(with_leader):
        lines = _line_quads([flat[row] for row in with_leader])
        rows, columns = _near_pairs(boxes, lines)
        apart = owner[rows] != owner[with_leader[columns]]
        rows, columns = rows[apart], columns[apart]
        crossed = _crosses(boxes[rows], lines[columns])
        rows, columns = rows[crossed], with_leader[columns[crossed]]
        height = np.linalg.norm(boxes[rows, 0] - boxes[rows, 3], axis=1)
        np.maximum.at(pair, (rows, columns), height)
    return np.maximum(pair, pair.T)


def _set_up(labels: list[list[Candidate]], drawn: Array, em: float, settings: PlacingSettings) -> _Board:
    own, depths = _fixed_costs([candidate for label in labels for candidate in label], drawn, em, settings)
    kept: list[Rows] = []
    spans: list[slice] = []
    first = 0
    for label in labels:
        cheapest = np.argsort(own[first : first + len(label)], kind="stable")[: settings.keep]
        begin = spans[-1].stop if spans else 0
        kept.append(cheapest)
        spans.append(slice(begin, begin + len(cheapest)))
        first += len(label)
    starts = np.cumsum([0] + [len(label) for label in labels[:-1]])
    chosen = np.concatenate([rows + start for rows, start in zip(kept, starts, strict=True)])
    flat = [label[row] for label, rows in zip(labels, kept, strict=True) for row in rows]
    owner = np.repeat(np.arange(len(labels)), [len(rows) for rows in kept])
    pair = _pair_depths(flat, owner, em, settings)
    return _Board(
        place=np.concatenate(kept),
        own=own[chosen],
        clash=settings.overlap / em * pair + settings.overlap * (pair > 0),
        fixed_depth=depths[chosen],
        pair_depth=pair,
        spans=spans,
    )


def _crosses(boxes: Array, lines: Array) -> NDArray[np.bool_]:
    """Tell which lines enter their box: no separating axis among the box's two and the line's own."""
    apart = np.zeros(len(boxes), dtype=bool)
    edges = [boxes[:, 1] - boxes[:, 0], boxes[:, 2] - boxes[:, 1]]
    along = lines[:, 1] - lines[:, 0]
    for axis in (*edges, np.stack([-along[:, 1], along[:, 0]], axis=1)):
        mine = np.einsum("kpd,kd->kp", boxes, axis)
        theirs = np.einsum("kpd,kd->kp", lines, axis)
        apart |= (mine.max(1) <= theirs.min(1)) | (theirs.max(1) <= mine.min(1))
    return ~apart


def _greedy(board: _Board, limit: float) -> Rows:
    """Let the label with the fewest free places choose first."""
    free = [int((board.own[span] < limit).sum()) for span in board.spans]
    taken = np.full(len(board.spans), -1, dtype=np.intp)
    pressure = np.zeros(len(board.own))
    for label in sorted(range(len(free)), key=lambda row: (free[row], row)):
        span = board.spans[label]
        best = span.start + int(np.argmin(board.own[span] + pressure[span]))
        taken[label] = best
        pressure += board.clash[best]
    return taken


def _improve(board: _Board, taken: Rows, settings: PlacingSettings) -> Rows:
    """Move the worst label, together with those it would push away, while the total goes down."""
    taken = taken.copy()
    stuck: set[int] = set()
    for _ in range(settings.rounds):
        pressure = board.clash[taken].sum(axis=0)
        worst = board.own[taken] + pressure[taken]
        order = [int(row) for row in np.argsort(-worst, kind="stable") if int(row) not in stuck]
        if not order or worst[order[0]] < settings.worth:
            break
        label = order[0]
        move = _best_move(board, taken, pressure, label)
        if move:
            for row, place in move:
                taken[row] = place
            stuck.clear()
        else:
            stuck.add(label)
    return taken


def _best_move(board: _Board, taken: Rows, pressure: Array, label: int) -> list[tuple[int, int]]:
    """Return the moves that lower the total most: this label, and one answer of each label it pushes away."""
    span = board.spans[label]
    here = taken[label]
    without = pressure - board.clash[here]
    gain = 1e-9
    best: list[tuple[int, int]] = []
    before = board.own[here] + without[here]
    for place in range(span.start, span.stop):
        change = board.own[place] + without[place] - before
        pressed = without + board.clash[place]
        moves = [(label, place)]
        for other in np.nonzero(board.clash[place][taken] > 0)[0]:
            if other == label:
                continue
            theirs = board.spans[other]
            now = taken[other]
            lifted = pressed[theirs] - board.clash[now][theirs]
            answer = theirs.start + int(np.argmin(board.own[theirs] + lifted))
            step = board.own[answer] + lifted[answer - theirs.start]
            step -= board.own[now] + lifted[now - theirs.start]
            if step < 0:
                change += step
                pressed = pressed - board.clash[now] + board.clash[answer]
                moves.append((int(other), answer))
        if -change > gain:
            gain, best = -change, moves
    return best


def place_labels(
    labels: list[list[Candidate]],
    drawn: Array,
    em: float,
    *,
    settings: PlacingSettings | None = None,
) -> Placing:
    """Choose one candidate for each label.

    Parameters
    ----------
    labels : list of list of Candidate
        The candidates of each label, at least one.
    drawn : (K, 4, 2) float
        What no label may cover, as convex quadrilaterals.
    em : float
        Text size, the yardstick of overlap, in the unit of the drawing.
    settings : PlacingSettings, optional
        Prices.

    Returns
    -------
    Placing
        One place for each label; its `depth` is what the overlaps that are left add up to.
    """
    if not labels:
        return Placing(())
    settings = settings or PlacingSettings()
    board = _set_up(labels, drawn, em, settings)
    taken = _improve(board, _greedy(board, settings.overlap), settings)
    between = board.pair_depth[np.ix_(taken, taken)].sum(axis=1) / 2
    return Placing(
        tuple(
            PlacedLabel(int(board.place[row]), float(board.fixed_depth[row] + shared))
            for row, shared in zip(taken, between, strict=True)
        )
    )
