"""What may be taken for a truss and is none: boxes in perspective, forces at one point, charts, furniture."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.wild.clutter import words
from vision.training.wild.marks import Marks
from vision.training.wild.measures import arrow_head
from vision.training.wild.strokes import Pen, bowed, circle_mark, stroke, write

__all__ = ["decoy"]

Points = NDArray[np.float64]
Box = tuple[float, float, float, float]

_EDGE = 3.0
"""Half the width of what counts as the ink of a line, pixels."""


def _by(x: float, y: float) -> Points:
    """Return a step of x to the right and y down."""
    return np.array([x, y], np.float64)


def _line(pen: Pen, marks: Marks, start: Points, end: Points) -> None:
    """Draw a straight line that is no member."""
    stroke(pen, bowed(start, end, 0.0, 4))
    run = end - start
    side = np.array([-run[1], run[0]]) / max(float(np.hypot(*run)), 1e-6) * _EDGE
    marks.other.append(np.array([start - side, end - side, end + side, start + side], np.float32))


def _path(pen: Pen, marks: Marks, points: Points, *, closed: bool = False) -> None:
    for a, b in pairwise(points):
        _line(pen, marks, a, b)
    if closed:
        _line(pen, marks, points[-1], points[0])


def _name(pen: Pen, marks: Marks, at: Points, size: float) -> None:
    marks.other.append(write(pen, words(pen.rng), at, size))


def _solid(pen: Pen, box: Box, marks: Marks) -> None:
    """Draw a box or a prism in space: its edges, those behind perhaps broken or left out.

    None of three sides and no pyramid: seen from one side, each is a plane truss.
    """
    rng = pen.rng
    x, y, w, h = box
    sides = int(rng.choice([4, 4, 4, 5, 6]))
    turn = np.linspace(0, 2 * np.pi, sides, endpoint=False) + rng.uniform(0, 2 * np.pi)
    if sides == 4 and rng.random() < 0.6:
        # The box of every sketch book: a face towards us, another shifted behind it.
        front = np.array([[0, 0.3], [0.7, 0.3], [0.7, 1], [0, 1]])
        back = front + np.array([rng.uniform(0.1, 0.35), -rng.uniform(0.1, 0.3)])
        hidden = 3
    else:
        flat = rng.uniform(0.2, 0.5)
        front = np.stack([0.5 + 0.5 * np.cos(turn), 1 - flat / 2 + flat / 2 * np.sin(turn)], 1)
        part = rng.uniform(0.6, 1.0)
        back = np.stack([0.5 + part * 0.5 * np.cos(turn), flat / 2 + part * flat / 2 * np.sin(turn)], 1)
        hidden = int(np.argmin(front[:, 1]))
    front, back = front * (w, h) + (x, y), back * (w, h) + (x, y)
    unseen = rng.choice(["drawn", "broken", "left out"])
    edges = [(front[i], front[(i + 1) % sides], i) for i in range(sides)]
    edges += [(back[i], back[(i + 1) % sides], i) for i in range(sides)]
    edges += [(front[i], back[i], i) for i in range(sides)]
    for k, (a, b, i) in enumerate(edges):
        at_back = k >= 2 * sides and i == hidden
        at_back |= sides <= k < 2 * sides and hidden in {i, (i + 1) % sides}
        if np.hypot(*(b - a)) < 2 or (at_back and unseen == "left out"):
            continue
        if at_back and unseen == "broken":
            for t in np.arange(0, 0.95, 0.1):
                stroke(pen, np.array([a + (b - a) * t, a + (b - a) * (t + 0.055)]))
        else:
            _line(pen, marks, a, b)


def _forces(pen: Pen, box: Box, marks: Marks) -> None:
    """Draw forces at one point, with a ring, a block or nothing there, angles, axes and names."""
    rng = pen.rng
    x, y, w, h = box
    centre = np.array([x + w * rng.uniform(0.35, 0.65), y + h * rng.uniform(0.35, 0.65)])
    reach = min(w, h) * 0.5
    core = reach * rng.uniform(0.03, 0.16)
    kind = rng.choice(["ring", "dot", "block", "bare", "bare"])
    if kind == "ring":
        circle_mark(pen, centre, core)
    elif kind == "dot":
        at = (int(centre[0]), int(centre[1]))
        cv2.circle(pen.picture, at, max(2, int(pen.hand.width * 1.5)), pen.colour, -1, cv2.LINE_AA)
    elif kind == "block":
        square = centre + core * 1.6 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
        _path(pen, marks, square, closed=True)
    near = {"ring": core * 1.2, "block": core * 2.3}.get(str(kind), 0.0)
    head = float(np.clip(reach * rng.uniform(0.09, 0.18), 2 * pen.hand.width + 3, 40))
    if rng.random() < 0.3:
        for axis in (_by(1, 0), _by(0, -1)):
            end = centre + axis * reach * 1.1
            _line(pen, marks, centre, end)
            _name(pen, marks, end + _by(10, -10), rng.uniform(9, 18))
    turns = np.sort(rng.uniform(0, 2 * np.pi, int(rng.integers(2, 7))))
    if rng.random() < 0.5:
        turns = np.round(turns / (np.pi / 4)) * np.pi / 4
    for turn in np.unique(turns):
        way = np.array([np.cos(turn), np.sin(turn)])
        inner, outer = centre + way * near, centre + way * reach * rng.uniform(0.5, 1.0)
        tail, tip = (outer, inner) if rng.random() < 0.3 else (inner, outer)
        stroke(pen, np.stack([tail, tip]))
        arrow_head(pen, tip, (tip - tail) / max(float(np.hypot(*(tip - tail))), 1e-6), head)
        marks.arrows.append(np.array([*tail, *tip]))
        if rng.random() < 0.8:
            _name(pen, marks, outer + way * rng.uniform(10, 24), rng.uniform(10, 26))
    if rng.random() < 0.4:
        sweep = np.linspace(turns[0], turns[0] + rng.uniform(0.4, 1.2), 12)
        stroke(pen, centre + reach * 0.3 * np.stack([np.cos(sweep), np.sin(sweep)], 1))


def _axes(pen: Pen, box: Box, marks: Marks) -> None:
    rng = pen.rng
    x, y, w, h = box
    corner = np.array([x, y + h])
    ends = (corner + _by(w, 0), corner - _by(0, h))
    for end in ends:
        _line(pen, marks, corner, end)
        if rng.random() < 0.5:
            run = (end - corner) / np.hypot(*(end - corner))
            for lean in (0.5, -0.5):
                barb = np.array([run[0] - lean * run[1], run[1] + lean * run[0]])
                stroke(pen, np.array([end, end - 12 * barb]))
    ticks = int(rng.integers(0, 9))
    for k in range(1, ticks):
        a = corner + _by(w * k / ticks, 0)
        b = corner - _by(0, h * k / ticks)
        stroke(pen, np.array([a - _by(0, 5), a + _by(0, 5)]))
        stroke(pen, np.array([b - _by(5, 0), b + _by(5, 0)]))
        if rng.random() < 0.6:
            _name(pen, marks, a + _by(0, 18), 10)
            _name(pen, marks, b - _by(22, 0), 10)


def _bar_chart(pen: Pen, box: Box, marks: Marks) -> None:
    """Draw bars standing or lying on an axis, empty, hatched or filled."""
    rng = pen.rng
    x, y, w, h = box
    if rng.random() < 0.8:
        _axes(pen, box, marks)
    count = int(rng.integers(3, 10))
    wide = w / count * rng.uniform(0.4, 1.0)
    filled = rng.random() < 0.4
    for k in range(count):
        tall = h * rng.uniform(0.05, 0.95)
        left = x + w * (k + 0.1) / count
        bar = np.array(
            [[left, y + h], [left, y + h - tall], [left + wide, y + h - tall], [left + wide, y + h]]
        )
        if filled:
            cv2.fillPoly(pen.picture, [bar.astype(np.int32)], pen.colour, cv2.LINE_AA)
        _path(pen, marks, bar, closed=rng.random() < 0.5)
        if not filled and rng.random() < 0.2:
            for t in np.arange(0.1, 1.0, 0.15):
                stroke(pen, np.array([bar[0] - (0, t * tall), bar[3] - (0, t * tall)]))


def _graph(pen: Pen, box: Box, marks: Marks) -> None:
    """Draw a curve or a run of measured points over axes."""
    rng = pen.rng
    x, y, w, h = box
    _axes(pen, box, marks)
    for _ in range(int(rng.integers(1, 4))):
        count = int(rng.integers(4, 12))
        knots = np.stack([np.linspace(0, 1, count), np.clip(rng.normal(0.5, 0.25, count), 0.02, 0.98)], 1)
        if rng.random() < 0.6:
            knots[:, 1] = np.sort(knots[:, 1]) if rng.random() < 0.5 else np.sort(knots[:, 1])[::-1]
        points = np.array([x, y + h]) + knots * (w, -h)
        if rng.random() < 0.5:
            t = np.linspace(0, 1, 60)
            smooth = np.interp(t, knots[:, 0], points[:, 1]).astype(np.float32)
            smooth = np.asarray(cv2.GaussianBlur(smooth[None], (0, 0), 5), np.float32)[0]
            stroke(pen, np.stack([x + w * t, smooth.astype(np.float64)], 1))
        else:
            _path(pen, marks, points)
        if rng.random() < 0.4:
            for p in points:
                circle_mark(pen, p, rng.uniform(3, 8))


def _table(pen: Pen, box: Box, marks: Marks) -> None:
    """Draw a table with words in its cells."""
    rng = pen.rng
    x, y, w, h = box
    rows, columns = int(rng.integers(2, 10)), int(rng.integers(1, 8))
    for i in range(rows + 1):
        _line(pen, marks, np.array([x, y + h * i / rows]), np.array([x + w, y + h * i / rows]))
    for i in range(columns + 1):
        _line(pen, marks, np.array([x + w * i / columns, y]), np.array([x + w * i / columns, y + h]))
    size = min(0.35 * h / rows, 0.12 * w / columns)
    for k in range(rows * columns):
        if size > 4 and rng.random() < 0.7:
            cell = np.array([k % columns + 0.5, k // columns + 0.5])
            _name(pen, marks, cell / (columns, rows) * (w, h) + (x, y), size)


def _furniture(pen: Pen, box: Box, marks: Marks) -> None:
    """Draw a table, a chair, a shelf or a ladder: bars that carry, with no web of triangles."""
    rng = pen.rng
    x, y, w, h = box
    kind = rng.choice(["table", "chair", "shelf", "ladder", "window"])
    if kind == "table":
        top = h * rng.uniform(0.1, 0.3)
        shift = w * rng.uniform(0.1, 0.25)
        plate = np.array([[shift, 0], [w, 0], [w - shift, top], [0, top]])
        parts = [np.vstack([plate, plate[:1]])]
        parts += [np.array([p, p + _by(0, h - top)]) for p in (plate[3], plate[2], plate[1])]
    elif kind == "chair":
        seat = h * rng.uniform(0.45, 0.6)
        deep = np.array([w * 0.3, -h * 0.12])
        a, b = np.array([0, seat]), np.array([w * 0.6, seat])
        parts = [np.array([a, b, b + deep, a + deep, a])]
        parts += [np.array([p, p + _by(0, h - seat)]) for p in (a, b, b + deep)]
        parts += [
            np.array([a + deep, a + deep - _by(0, seat * 0.7), b + deep - _by(0, seat * 0.7), b + deep])
        ]
    elif kind == "ladder":
        lean = w * rng.uniform(0, 0.5)
        one, two = np.array([[0, h], [lean, 0]]), np.array([[w * 0.4, h], [w * 0.4 + lean, 0]])
        steps = np.linspace(0.08, 0.92, int(rng.integers(4, 12)))
        parts = [one, two] + [np.array([p[0] + (p[1] - p[0]) * t for p in (one, two)]) for t in steps]
    else:
        rows, columns = int(rng.integers(2, 6)), int(rng.integers(1, 4))
        parts = [np.array([[0, h * i / rows], [w, h * i / rows]]) for i in range(rows + 1)]
        parts += [np.array([[w * i / columns, 0], [w * i / columns, h]]) for i in range(columns + 1)]
    for part in parts:
        _path(pen, marks, np.asarray(part, np.float64) + _by(x, y))


def _figure(pen: Pen, box: Box, marks: Marks) -> None:
    """Draw one polygon of four sides or more, or a star. A triangle would be a truss."""
    rng = pen.rng
    x, y, w, h = box
    count = int(rng.integers(4, 9))
    turn = rng.uniform(0, 2 * np.pi) + np.linspace(0, 2 * np.pi, count, endpoint=False)
    reach = np.full(count, 0.5) if rng.random() < 0.6 else rng.uniform(0.3, 0.5, count)
    if rng.random() < 0.25:
        turn = rng.uniform(0, 2 * np.pi) + np.linspace(0, 2 * np.pi, 2 * count, endpoint=False)
        reach = np.tile([0.5, rng.uniform(0.18, 0.3)], count)
    points = np.stack([reach * np.cos(turn), reach * np.sin(turn)], 1) * (w, h) + (x + w / 2, y + h / 2)
    _path(pen, marks, points, closed=True)
    for p in points if rng.random() < 0.5 else ():
        out = p - (x + w / 2, y + h / 2)
        _name(pen, marks, p + 16 * out / max(float(np.hypot(*out)), 1.0), rng.uniform(10, 20))
    if rng.random() < 0.2:
        circle_mark(pen, np.array([x + w / 2, y + h / 2]), min(w, h) / 2)


def _text_page(pen: Pen, box: Box, marks: Marks) -> None:
    """Fill the box with lines of writing and sums."""
    rng = pen.rng
    x, y, w, h = box
    size = rng.uniform(8, 26)
    for row in np.arange(y, y + h, size * rng.uniform(1.5, 2.6)):
        text = " ".join(words(rng) for _ in range(max(1, int(w / size / rng.uniform(4, 8)))))
        marks.other.append(write(pen, text, np.array([x + w / 2 + rng.normal(0, 4), row]), size))


_DECOYS: tuple[tuple[Callable[[Pen, Box, Marks], None], float], ...] = (
    (_solid, 0.24),
    (_forces, 0.26),
    (_bar_chart, 0.1),
    (_graph, 0.12),
    (_table, 0.07),
    (_furniture, 0.09),
    (_figure, 0.05),
    (_text_page, 0.07),
)


def decoy(pen: Pen, box: Box, marks: Marks) -> None:
    """Draw one thing that is no truss into a box (x, y, width, height), and note what ink it is."""
    chances = [chance for _, chance in _DECOYS]
    _DECOYS[pen.rng.choice(len(_DECOYS), p=chances)][0](pen, box, marks)
