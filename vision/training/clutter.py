"""What else is drawn on a sheet: sketches of single joints, tables, charts, sums, doodles, text."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np

from vision.training.draughtsman import Style
from vision.training.paint import Points
from vision.training.pens import Hand, arc, draw_line, ring
from vision.training.sketch import Sketch
from vision.training.writing import write

__all__ = ["THINGS", "draw_thing"]

WORDS = (
    "the", "bridge", "carries", "two", "loads", "find", "forces", "in", "members", "by", "joints",
    "method", "state", "tension", "or", "compression", "support", "at", "left", "pin", "right", "roller",
    "wind", "roof", "panel", "span", "is", "6 m", "each", "draw", "free", "body", "diagram", "of", "assume",
    "weightless", "and", "sum", "moments", "about", "A", "to", "get", "reaction", "then", "check", "your",
    "answer", "with", "section", "cut", "show", "all", "work", "units", "kN", "exercise", "12", "given",
)  # fmt: skip


class _Desk:
    """A place on the sheet, `size` wide, with its top left corner at `at`, to draw on."""

    def __init__(
        self, sketch: Sketch, style: Style, at: Points, size: float, rng: np.random.Generator
    ) -> None:
        self.sketch, self.style, self.at, self.size, self.rng = sketch, style, at, size, rng
        self.hand = Hand(
            style.hand.width * rng.uniform(0.6, 1.1),
            bow=style.hand.bow,
            wobble=style.hand.wobble * 0.7,
            loose=style.hand.loose * 0.5,
        )
        self.lines: list[tuple[str, Points]] = []

    def line(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """Draw a line between points in parts of the place's size."""
        a, b = (self.at + self.size * np.array(p) for p in ((x0, y0), (x1, y1)))
        draw_line(self.sketch, a, b, hand=self.hand, rng=self.rng, ink=self.style.note_ink, part="other")

    def path(self, points: Points) -> None:
        """Draw a curve through points (K, 2) in parts of the place's size."""
        self.sketch.line(
            self.at + self.size * points,
            self.hand.width,
            ink=self.style.note_ink,
            part="other",
            strength=0.95,
        )

    def arrow(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """Draw an arrow."""
        self.line(x0, y0, x1, y1)
        tip, tail = np.array([x1, y1]), np.array([x0, y0])
        way = (tip - tail) / max(float(np.hypot(*(tip - tail))), 1e-9)
        side = np.array([way[1], -way[0]])
        back = tip - way * 0.07
        self.path(np.stack([back + side * 0.03, tip, back - side * 0.03]))

    def text(self, text: str, x: float, y: float, height: float | None = None) -> None:
        """Write with the middle at a point."""
        high = self.style.letter_height if height is None else height
        middle = self.at + self.size * np.array([x, y])
        corners = write(
            self.sketch,
            text,
            (float(middle[0]), float(middle[1])),
            height=high,
            lettering=self.style.lettering,
            rng=self.rng,
            ink=self.style.note_ink,
        )
        self.lines.append((text, corners))

    def value(self) -> str:
        """Return a number as one writes it."""
        return f"{self.rng.uniform(0.5, 60):.{int(self.rng.integers(0, 3))}f}"


def _joint_sketch(desk: _Desk) -> None:
    """Draw a joint alone with its forces."""
    rng = desk.rng
    if rng.random() < 0.5:
        desk.path(ring(np.array([0.5, 0.5]), 0.03, rng=rng, careless=0.3))
    angles = np.sort(rng.choice(np.arange(0, 360, 30), size=int(rng.integers(2, 5)), replace=False))
    for a in np.radians(angles):
        x, y = np.cos(a), np.sin(a)
        desk.arrow(0.5 + 0.05 * x, 0.5 + 0.05 * y, 0.5 + 0.42 * x, 0.5 + 0.42 * y)
        if rng.random() < 0.6:
            desk.text(
                str(rng.choice(["FAB", "FAC", "RA", "P", "5 kN", "N1", "S2", "60°"])),
                0.5 + 0.5 * x,
                0.5 + 0.5 * y,
            )


def _block_sketch(desk: _Desk) -> None:
    """Draw a beam or block with arrows: the whole body freed."""
    high = desk.rng.uniform(0.06, 0.25)
    for line in (
        (0, 0.4, 1, 0.4),
        (1, 0.4, 1, 0.4 + high),
        (1, 0.4 + high, 0, 0.4 + high),
        (0, 0.4 + high, 0, 0.4),
    ):
        desk.line(*line)
    for x in desk.rng.uniform(0.05, 0.95, int(desk.rng.integers(1, 4))):
        desk.arrow(x, 0.08, x, 0.38)
        desk.text(desk.value(), x, 0.0)
    for x in (0.05, 0.95):
        desk.arrow(x, 0.75 + high, x, 0.43 + high)


def _table(desk: _Desk) -> None:
    rows, columns = int(desk.rng.integers(2, 7)), int(desk.rng.integers(2, 5))
    high, wide = 1.9 * desk.style.letter_height / desk.size, 1 / columns
    for k in range(rows + 1):
        desk.line(0, k * high, 1, k * high)
    for k in range(columns + 1):
        if k in {0, columns} and desk.rng.random() < 0.3:
            continue
        desk.line(k * wide, 0, k * wide, rows * high)
    for r in range(rows):
        for c in range(columns):
            if desk.rng.random() < 0.75:
                desk.text(
                    desk.value() if r and c else "ABCDEFGH"[r + c if r + c < 8 else 0],
                    (c + 0.5) * wide,
                    (r + 0.5) * high,
                )


def _chart(desk: _Desk) -> None:
    """Two axes with a curve or with columns."""
    rng = desk.rng
    desk.arrow(0, 0.8, 1, 0.8)
    desk.arrow(0.02, 0.82, 0.02, 0)
    if rng.random() < 0.5:
        t = np.linspace(0, 1, 30)
        wave = 0.45 + 0.3 * np.sin(t * rng.uniform(2, 9) + rng.uniform(0, 6)) * np.exp(
            -t * rng.uniform(0, 1.5)
        )
        desk.path(np.column_stack([0.05 + 0.85 * t, wave]))
    else:
        for x in np.linspace(0.1, 0.85, int(rng.integers(3, 7))):
            top = rng.uniform(0.1, 0.7)
            for line in ((x, 0.8, x, top), (x, top, x + 0.08, top), (x + 0.08, top, x + 0.08, 0.8)):
                desk.line(*line)
    desk.text("x", 1.04, 0.84)
    desk.text("y", -0.05, 0.02)


def _sums(desk: _Desk) -> None:
    high = 1.8 * desk.style.letter_height / desk.size
    for k in range(int(desk.rng.integers(3, 8))):
        parts = " ".join(
            f"{desk.rng.choice(['+', '-', '='])} {desk.value()}" for _ in range(int(desk.rng.integers(1, 4)))
        )
        desk.text(
            str(desk.rng.choice(["ΣF", "ΣM", "RA", "x", "FBC", "M"])) + " " + parts,
            0.4 + desk.rng.normal(0, 0.03),
            k * high,
        )
    if desk.rng.random() < 0.3:  # the result in a frame
        y = k * high
        for line in ((0.0, y - 0.6 * high, 0.9, y - 0.6 * high), (0.0, y + 0.5 * high, 0.9, y + 0.5 * high)):
            desk.line(*line)


def _flow(desk: _Desk) -> None:
    """Boxes with arrows between them."""
    y = 0.1
    for k in range(int(desk.rng.integers(2, 5))):
        for line in (
            (0.2, y, 0.8, y),
            (0.8, y, 0.8, y + 0.16),
            (0.8, y + 0.16, 0.2, y + 0.16),
            (0.2, y + 0.16, 0.2, y),
        ):
            desk.line(*line)
        desk.text(str(desk.rng.choice(WORDS)), 0.5, y + 0.08, min(desk.style.letter_height, 0.08 * desk.size))
        if k:
            desk.arrow(0.5, y - 0.12, 0.5, y - 0.01)
        y += 0.29


def _doodle(desk: _Desk) -> None:
    rng = desk.rng
    t = np.linspace(0, 1, 60)
    kind = int(rng.integers(7))
    if kind == 0:  # spiral
        a = t * rng.uniform(10, 25)
        desk.path(0.5 + 0.4 * t[:, None] * np.column_stack([np.cos(a), np.sin(a)]))
    elif kind == 1:  # face
        desk.path(ring(np.array([0.5, 0.5]), 0.35, rng=rng, careless=0.6))
        for x in (0.38, 0.62):
            desk.path(ring(np.array([x, 0.42]), 0.03, rng=rng, careless=0.6))
        desk.path(arc(np.array([0.5, 0.52]), 0.18, (0.3, 2.8)))
    elif kind == 2:  # flower
        a = t * 2 * np.pi
        r = 0.25 + 0.15 * np.cos(a * int(rng.integers(4, 8)))
        desk.path(0.5 + r[:, None] * np.column_stack([np.cos(a), np.sin(a)]))
    elif kind == 3:  # scribble over something
        desk.path(
            np.column_stack([t, 0.5 + 0.12 * np.sin(t * 60) * rng.uniform(0.5, 1) + rng.normal(0, 0.01, 60)])
        )
    elif kind == 4:  # tick or cross
        desk.path(np.array([[0.1, 0.5], [0.35, 0.8], [0.95, 0.1]]))
    elif kind == 5:  # cloud or coffee ring
        desk.path(ring(np.array([0.5, 0.5]), 0.45, rng=rng, careless=1.2))
        desk.path(ring(np.array([0.5, 0.5]), 0.43, rng=rng, careless=1.2))
    else:  # curved arrow
        a = np.linspace(rng.uniform(0, 2), rng.uniform(3, 5), 40)
        curve = 0.5 + 0.4 * np.column_stack([np.cos(a), np.sin(a)])
        desk.path(curve)
        desk.path(curve[-1] + np.array([[0.08, -0.06], [0.0, 0.0], [0.09, 0.05]]))


def _house(desk: _Desk) -> None:
    """Draw a box in oblique view: a carton, a table, a house's walls."""
    w, h, d = desk.rng.uniform(0.4, 0.7), desk.rng.uniform(0.25, 0.5), desk.rng.uniform(0.12, 0.3)
    x, y = 0.05, 0.9
    front = [(x, y), (x + w, y), (x + w, y - h), (x, y - h), (x, y)]
    back = [(x, y - h), (x + d, y - h - d), (x + w + d, y - h - d), (x + w + d, y - d), (x + w, y)]
    for (x0, y0), (x1, y1) in (*pairwise(front), *pairwise(back), ((x + w, y - h), (x + w + d, y - h - d))):
        desk.line(x0, y0, x1, y1)


def _lines_of_text(desk: _Desk) -> None:
    high = 1.75 * desk.style.letter_height / desk.size
    letters = max(6, int(desk.size / desk.style.letter_height / 0.75))
    for k in range(int(desk.rng.integers(2, 9))):
        text = ""
        while len(text) < letters * (1 if desk.rng.random() < 0.8 else 0.5):
            text += str(desk.rng.choice(WORDS)) + " "
        desk.text(text.strip(), 0.5 + desk.rng.normal(0, 0.01), k * high)


_DRAWERS: dict[str, Callable[[_Desk], None]] = {
    "joint": _joint_sketch,
    "block": _block_sketch,
    "table": _table,
    "chart": _chart,
    "sums": _sums,
    "flow": _flow,
    "doodle": _doodle,
    "box": _house,
    "text": _lines_of_text,
}

THINGS: tuple[str, ...] = tuple(_DRAWERS)
"""Names of what `draw_thing` knows."""


def draw_thing(
    sketch: Sketch, thing: str, style: Style, *, at: Points, size: float, rng: np.random.Generator
) -> list[tuple[str, Points]]:
    """Draw one thing and return what was written, each with its corners (4, 2).

    `at` (2,) is its top left corner and `size` its width, in units of the drawing.
    """
    desk = _Desk(sketch, style, at, size, rng)
    _DRAWERS[thing](desk)
    return desk.lines
