"""Style, sheet and draughtsman: what all parts of a drawn scene share, and where there is room to write."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from vision.training.paint import Points
from vision.training.pens import Hand, draw_line
from vision.training.scene import Scene
from vision.training.sketch import Sketch
from vision.training.writing import Lettering, text_width, write

__all__ = ["Draughtsman", "DrawnScene", "Style", "Symbol", "WrittenLine", "box_of"]


@dataclass(frozen=True)
class Style:
    """How a scene is drawn. Lengths are in units of the drawing (the truss is about 1 long)."""

    hand: Hand
    lettering: Lettering
    mark: str = "none"
    """At the joints: `none`, `dot`, `circle`, `blob` (a scribbled dot), `cross`, `mixed` (blobs, circles)."""
    mark_radius: float = 0.012
    bar: float = 0.0
    """Width of members that are drawn as bars with two edges; 0 draws them as lines."""
    named_inside: bool = False
    """Names stand inside the circles."""
    careless: float = 0.3
    """How round the circles are; 0 is print."""
    letter_height: float = 0.035
    support: float = 0.06
    """Height of a support symbol."""
    arrow: float = 0.16
    """Length of a load arrow."""
    load_ink: int = 0
    note_ink: int = 0
    thin: float = 0.6
    """Width of dimension lines against that of members."""
    mixed: float = 0.0
    """Chance that a member is drawn with one of the other inks (tension red, compression blue, say)."""
    dashed: float = 0.0
    """Chance that a member is dashed."""
    ticks: float = 0.0
    """Chance that a member carries the short strokes that mark equal lengths."""
    solid: bool = False
    """Arrow heads and support triangles are filled."""


@dataclass(frozen=True, eq=False)
class Symbol:
    """Something drawn at a joint: which row of the scene's supports or loads, and its points on the page."""

    row: int
    points: Points
    """(K, 2): of a support its whole ink, of an arrow tail and tip."""


@dataclass(frozen=True, eq=False)
class WrittenLine:
    """A line of writing and its corners on the page."""

    text: str
    role: str
    corners: Points


@dataclass
class DrawnScene:
    """Where everything came to lie on the page (x right, y DOWN)."""

    joints: Points
    centre_lines: list[Points] = field(default_factory=list)
    mark_radius: Points = field(default_factory=lambda: np.zeros(0))
    supports: list[Symbol] = field(default_factory=list)
    arrows: list[Symbol] = field(default_factory=list)
    writing: list[WrittenLine] = field(default_factory=list)
    taken: list[tuple[float, float, float, float]] = field(default_factory=list)
    """Boxes that are full: left, top, right, bottom."""

    def reach(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of everything drawn."""
        boxes = np.array(self.taken)
        low, high = self.joints.min(axis=0), self.joints.max(axis=0)
        if len(boxes):
            low = np.minimum(low, boxes[:, :2].min(axis=0))
            high = np.maximum(high, boxes[:, 2:].max(axis=0))
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def box_of(points: Points, margin: float = 0.0) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of points (K, 2), with a margin."""
    low, high = points.min(axis=0) - margin, points.max(axis=0) + margin
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _overlap(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> float:
    """Give the area that two boxes (left, top, right, bottom) share, sheet units squared."""
    wide = min(a[2], b[2]) - max(a[0], b[0])
    high = min(a[3], b[3]) - max(a[1], b[1])
    return max(wide, 0.0) * max(high, 0.0)


class Draughtsman:
    """Somebody with a sheet, a scene to draw and a style, who keeps what is drawn where."""

    def __init__(self, sketch: Sketch, scene: Scene, style: Style, rng: np.random.Generator) -> None:
        self.sketch, self.scene, self.style, self.rng = sketch, scene, style, rng
        self.out = DrawnScene(scene.shape.joints * [1, -1])
        self.samples = np.zeros((0, 2))
        self.radii = np.zeros(len(self.out.joints))

    def stroke(self, points: Points, *, factor: float = 0.85, ink: int = 0) -> None:
        """Draw a thin line as it comes, (K, 2)."""
        points = np.asarray(points, dtype=float)
        if self.style.hand.wobble and len(points) > 2:
            points = points + self.rng.normal(0, self.style.hand.wobble, points.shape)
        self.sketch.line(points, self.style.hand.width * factor, ink=ink, part="other", strength=0.95)

    def head_line(
        self, tail: Points, head: Points, *, ink: int, factor: float = 1.0, both: bool = False
    ) -> None:
        """Draw a shaft with an arrow head (or two)."""
        rng, style = self.rng, self.style
        way = (head - tail) / max(float(np.hypot(*(head - tail))), 1e-9)
        side = np.array([way[1], -way[0]])
        hand = Hand(style.hand.width * factor, wobble=style.hand.wobble * 0.6, bow=style.hand.bow * 0.5)
        draw_line(self.sketch, tail, head, hand=hand, rng=rng, ink=ink, part="other")
        size = max(style.hand.width * factor * 3.2, 0.014 + 0.012 * rng.random())
        for tip, turn in ((head, -1.0), (tail, 1.0)):
            if tip is tail and not both:
                continue
            back = tip + way * turn * size * rng.uniform(0.9, 1.3)
            wing = size * rng.uniform(0.35, 0.6)
            corner = np.stack([back - side * wing, tip, back + side * wing])
            if style.solid:
                self.sketch.patch([corner], ink=ink)
            else:
                self.stroke(corner, factor=factor, ink=ink)

    def text(
        self,
        text: str,
        role: str,
        spots: list[tuple[Points, Points]],
        *,
        ink: int = 0,
        height: float | None = None,
        angle: float = 0.0,
    ) -> None:
        """Write where there is most room: `spots` are points and the way to stand off from them."""
        style = self.style
        high = style.letter_height if height is None else height
        half = np.array([text_width(style.lettering, text) / 2, 0.6]) * high
        cos, sin = abs(np.cos(angle)), abs(np.sin(angle))
        half = np.array([half[0] * cos + half[1] * sin, half[0] * sin + half[1] * cos])
        best, best_cost = spots[0][0], np.inf
        for k, (point, way) in enumerate(spots):
            unit = way / max(float(np.hypot(*way)), 1e-9)
            reach = min(h / max(abs(u), 1e-6) for h, u in zip(half, unit, strict=True))
            at = point + unit * (reach + high * self.rng.uniform(0.25, 0.55))
            box = (at[0] - half[0], at[1] - half[1], at[0] + half[0], at[1] + half[1])
            cost = sum(_overlap(box, other) for other in self.out.taken) / float(4 * half[0] * half[1])
            if len(self.samples):
                inside = (np.abs(self.samples - at) < half + high * 0.2).all(axis=1)
                cost += 0.06 * float(inside.sum())
            cost += 0.004 * k
            if cost < best_cost:
                best, best_cost = at, cost
        turn = 0.0 if style.lettering.jitter == 0 else self.rng.normal(0, 0.06)
        corners = write(
            self.sketch,
            text,
            (float(best[0]), float(best[1])),
            height=high,
            lettering=style.lettering,
            rng=self.rng,
            angle=angle + turn,
            ink=ink,
        )
        self.out.writing.append(WrittenLine(text, role, corners))
        self.out.taken.append(box_of(corners))

    def by_chance(self, chance: float) -> bool:
        """Say yes with a chance; a chance of 0 draws no number."""
        return chance > 0 and self.rng.random() < chance
