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
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cli.sheets.overlaps import crosses, line_quads, near_pairs, overlap_depths

__all__ = ["PlacedLabel", "Places", "Placing", "PlacingSettings", "place_labels"]

Array = NDArray[np.float64]
Costs = NDArray[np.float32]
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
    keep: int = 22
    """Places kept for each label, the cheapest by themselves; twice as many cost four times the memory."""
    rounds: int = 40
    """Local improvements tried before giving up; more only helps pictures that are far too full."""
    hopeless: int = 6
    """Labels in conflict after the greedy pass at which improving is not worth its time."""
    worth: float = 1.0
    """Labels that pay less are left alone: nobody would rub them out to write them again."""


@dataclass(frozen=True, eq=False)
class Places:
    """Everywhere one label could stand."""

    wide: float
    """Of the label with the air round it."""
    high: float
    """Of the label with the air round it."""
    middle: Array
    """(K, 2) of the label."""
    angle: Array
    """(K,) radians, positive turns x towards y."""
    taste: Array
    """(K,) cost of the place by itself, 0 for the ideal one."""
    anchor: Array
    """(K, 2) where a leader line ends, NaN where the label needs none."""

    @cached_property
    def boxes(self) -> Array:
        """(K, 4, 2) corners in order."""
        corners = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]) / 2 * [self.wide, self.high]
        cosine, sine = np.cos(self.angle)[:, None], np.sin(self.angle)[:, None]
        turned = np.stack(
            [
                cosine * corners[:, 0] - sine * corners[:, 1],
                sine * corners[:, 0] + cosine * corners[:, 1],
            ],
            axis=-1,
        )
        return self.middle[:, None, :] + turned

    @cached_property
    def leaders(self) -> Array:
        """(K, 2, 2) from the level label's edge to what it names, NaN where it needs no leader line."""
        half = np.array([self.wide, self.high]) / 2
        edge = np.clip(self.anchor, self.middle - half, self.middle + half)
        return np.stack([edge, self.anchor], axis=1)

    def costlier(self, more: Array) -> Places:
        """Add (K,) to the cost of each place."""
        return Places(self.wide, self.high, self.middle, self.angle, self.taste + more, self.anchor)

    def only(self, rows: Rows) -> Places:
        """Keep some places."""
        return Places(
            self.wide, self.high, self.middle[rows], self.angle[rows], self.taste[rows], self.anchor[rows]
        )


@dataclass(frozen=True)
class PlacedLabel:
    """Where one label ended up."""

    place: int
    """Row of its own places."""
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

    @property
    def covered(self) -> float:
        """Share of the labels that cover something or are covered."""
        return sum(label.depth > 0 for label in self.labels) / max(len(self.labels), 1)


@dataclass(eq=False)
class _Board:
    """Everything known about overlaps before the search starts."""

    place: Rows
    """(C,) row of the candidate among those its label brought."""
    own: Array
    """(C,) taste plus cost of covering what is drawn."""
    clash: Costs
    """(C, C) cost of two places taken together, symmetric, zero within a label."""
    fixed_depth: Array
    """(C,) overlap depth with what is drawn."""
    spans: list[slice]
    """The candidates of each label."""


def _fixed_costs(places: Places, drawn: Array, em: float, settings: PlacingSettings) -> tuple[Array, Array]:
    """Return what each place costs by itself, and its overlap depth with what is drawn."""
    own = places.taste.copy()
    depths = np.zeros(len(own))
    if len(drawn):
        boxes = places.boxes
        rows, columns = near_pairs(boxes, drawn)
        depth = overlap_depths(boxes[rows], drawn[columns])
        depth[depth <= settings.touch * em] = 0.0
        np.add.at(depths, rows, depth)
        np.add.at(own, rows, settings.overlap * (depth > 0))
        own += settings.overlap / em * depths
        led = np.nonzero(np.isfinite(places.anchor[:, 0]))[0]
        lines = line_quads(places.leaders[led])
        rows, columns = near_pairs(lines, drawn)
        crossed = crosses(drawn[columns], lines[rows])
        np.add.at(own, led[rows], settings.leader_crossing * crossed)
    return own, depths


def _clashes(labels: list[Places], em: float, settings: PlacingSettings) -> Costs:
    """Return what every two places cost together; a leader through a label counts as its whole height."""
    boxes = np.concatenate([places.boxes for places in labels])
    leaders = np.concatenate([places.leaders for places in labels])
    high = np.concatenate([np.full(len(places.taste), places.high) for places in labels])
    owner = np.repeat(np.arange(len(labels)), [len(places.taste) for places in labels])
    clash = np.zeros((len(boxes), len(boxes)), dtype=np.float32)
    rows, columns = near_pairs(boxes, boxes)
    apart = owner[rows] < owner[columns]
    rows, columns = rows[apart], columns[apart]
    depth = overlap_depths(boxes[rows], boxes[columns])
    hit = depth > settings.touch * em
    rows, columns, depth = rows[hit], columns[hit], depth[hit]

    led = np.nonzero(np.isfinite(leaders[:, 0, 0]))[0]
    lines = line_quads(leaders[led])
    covered, line = near_pairs(boxes, lines)
    apart = owner[covered] != owner[led[line]]
    covered, line = covered[apart], line[apart]
    crossed = crosses(boxes[covered], lines[line])
    covered, line = covered[crossed], led[line[crossed]]

    for ones, others, depths in ((covered, line, high[covered]), (rows, columns, depth)):
        price = (settings.overlap * (1 + depths / em)).astype(np.float32)
        clash[ones, others] = price
        clash[others, ones] = price
    return clash


def _set_up(labels: list[Places], drawn: Array, em: float, settings: PlacingSettings) -> _Board:
    spans: list[slice] = []
    kept: list[Rows] = []
    owns: list[Array] = []
    depths: list[Array] = []
    for places in labels:
        own, depth = _fixed_costs(places, drawn, em, settings)
        cheapest = np.argsort(own, kind="stable")[: settings.keep]
        begin = spans[-1].stop if spans else 0
        spans.append(slice(begin, begin + len(cheapest)))
        kept.append(cheapest)
        owns.append(own[cheapest])
        depths.append(depth[cheapest])
    return _Board(
        place=np.concatenate(kept),
        own=np.concatenate(owns),
        clash=_clashes([places.only(rows) for places, rows in zip(labels, kept, strict=True)], em, settings),
        fixed_depth=np.concatenate(depths),
        spans=spans,
    )


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
    labels: list[Places],
    drawn: Array,
    em: float,
    *,
    settings: PlacingSettings | None = None,
) -> Placing:
    """Choose one place for each label.

    Parameters
    ----------
    labels : list of Places
        The places of each label, at least one.
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
    taken = _greedy(board, settings.overlap)
    pays = board.own[taken] + board.clash[np.ix_(taken, taken)].sum(axis=1)
    if int((pays >= settings.overlap).sum()) < settings.hopeless:
        taken = _improve(board, taken, settings)
    rows = board.place[taken]
    boxes = np.array([places.boxes[row] for places, row in zip(labels, rows, strict=True)])
    leaders = np.array([places.leaders[row] for places, row in zip(labels, rows, strict=True)])
    between = _depths_between(boxes, leaders, settings.touch * em)
    return Placing(
        tuple(
            PlacedLabel(int(row), float(board.fixed_depth[place] + shared))
            for row, place, shared in zip(rows, taken, between, strict=True)
        )
    )


def _depths_between(boxes: Array, leaders: Array, touch: float) -> Array:
    """Measure on the chosen places how deep each label is covered by others and by their leader lines."""
    count = len(boxes)
    depths = np.zeros(count)
    ones, others = np.nonzero(~np.eye(count, dtype=bool))
    depth = overlap_depths(boxes[ones], boxes[others])
    np.add.at(depths, ones, np.where(depth > touch, depth / 2, 0.0))
    led = np.isfinite(leaders[others, 0, 0])
    ones, others = ones[led], others[led]
    crossed = crosses(boxes[ones], line_quads(leaders[others]))
    high = np.linalg.norm(boxes[ones, 0] - boxes[ones, 3], axis=1)
    np.add.at(depths, ones, np.where(crossed, high, 0.0))
    return depths
