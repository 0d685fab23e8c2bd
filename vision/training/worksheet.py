"""A scene drawn on a sheet: members, marks, supports, loads, dimensions, writing, with their places kept."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from vision.training.pens import Hand, arc, draw_line, ring
from vision.training.scene import Measure, Scene
from vision.training.sketch import Sketch
from vision.training.writing import Lettering, text_width, write

__all__ = ["DrawnScene", "Style", "Symbol", "WrittenLine", "draw_scene"]

Points = NDArray[np.float64]


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


def _box(points: Points, margin: float = 0.0) -> tuple[float, float, float, float]:
    low, high = points.min(axis=0) - margin, points.max(axis=0) + margin
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _overlap(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> float:
    wide = min(a[2], b[2]) - max(a[0], b[0])
    high = min(a[3], b[3]) - max(a[1], b[1])
    return max(wide, 0.0) * max(high, 0.0)


class _Drawer:
    def __init__(self, sketch: Sketch, scene: Scene, style: Style, rng: np.random.Generator) -> None:
        self.sketch, self.scene, self.style, self.rng = sketch, scene, style, rng
        self.out = DrawnScene(scene.shape.joints * [1, -1])
        self.samples = np.zeros((0, 2))
        self.radii = np.zeros(len(self.out.joints))

    # -- the truss itself

    def members(self) -> None:
        style, joints = self.style, self.out.joints
        shown = style.mark
        kinds = [
            shown if shown != "mixed" else ("blob" if self.rng.random() < 0.5 else "circle") for _ in joints
        ]
        sizes = {"none": 0.0, "cross": 1.0, "dot": 1.0, "circle": 1.0, "blob": 1.0}
        for i, kind in enumerate(kinds):
            spread = 1 + style.careless * self.rng.normal(0, 0.2)
            self.radii[i] = sizes[kind] * style.mark_radius * max(spread, 0.4)
        for a, b in self.scene.shape.members:
            trims = tuple(self.radii[i] if kinds[i] == "circle" else 0.0 for i in (a, b))
            ends = (float(trims[0]), float(trims[1]))
            if style.bar:
                line = self._bar(joints[a], joints[b])
            else:
                line = draw_line(
                    self.sketch,
                    joints[a],
                    joints[b],
                    hand=style.hand,
                    rng=self.rng,
                    trims=ends,
                    ink=int(self.rng.integers(len(self.sketch.inks))) if self._by_chance(style.mixed) else 0,
                    dashes=0.03 if self._by_chance(style.dashed) else 0.0,
                )
            if self._by_chance(style.ticks):
                self._ticks(joints[a], joints[b])
            self.out.centre_lines.append(line)
        if self.out.centre_lines:
            self.samples = np.concatenate(self.out.centre_lines)
        for i, kind in enumerate(kinds):
            self._mark(i, kind)
        self.out.mark_radius = self.radii

    def _by_chance(self, chance: float) -> bool:
        return chance > 0 and self.rng.random() < chance

    def _ticks(self, a: Points, b: Points) -> None:
        """Cross a member at its middle with one or two short strokes."""
        along = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
        across = np.array([-along[1], along[0]]) * self.style.letter_height * 0.35
        for k in range(int(self.rng.integers(1, 3))):
            middle = (a + b) / 2 + along * k * self.style.letter_height * 0.3
            self._stroke(np.stack([middle - across, middle + across + along * 0.004]))

    def _bar(self, a: Points, b: Points) -> Points:
        """Draw a member as a bar: two edges, what lies below wiped out, shaded in some drawings."""
        style = self.style
        along = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
        across = np.array([-along[1], along[0]]) * style.bar / 2
        outline = np.stack([a + across, b + across, b - across, a - across])
        self.sketch.patch([outline], part="erase")
        if style.solid:
            self.sketch.patch([outline], part="member", strength=0.3)
        hand = replace(style.hand, gap=0.0, bow=style.hand.bow * 0.3)
        for side in (across, -across):
            draw_line(self.sketch, a + side, b + side, hand=hand, rng=self.rng)
        return np.linspace(a, b, 8)

    def _mark(self, i: int, kind: str) -> None:
        at, radius, style = self.out.joints[i], float(self.radii[i]), self.style
        if kind == "none":
            return
        if kind == "cross":
            for turn in (0.8, 2.4):
                d = radius * np.array([np.cos(turn), np.sin(turn)])
                self.sketch.line(np.stack([at - d, at + d]), style.hand.width, part="mark")
            return
        if kind == "dot":
            self.sketch.patch([arc(at, radius, (0, 2 * np.pi))], part="mark")
            return
        outline = ring(at, radius, rng=self.rng, careless=style.careless)
        if style.careless == 0:
            self.sketch.patch([outline], part="erase")
        self.sketch.line(outline, style.hand.width, part="mark")
        if kind == "blob":
            self.sketch.patch([outline], part="mark", strength=self.rng.uniform(0.25, 0.9))
            for _ in range(int(self.rng.integers(2, 6))):
                small = ring(at, radius * self.rng.uniform(0.2, 0.9), rng=self.rng, careless=1.0)
                self.sketch.line(small, style.hand.width, part="mark", strength=0.9)

    # -- supports and loads

    def supports(self) -> None:
        for row, rest in enumerate(self.scene.shape.rests):
            start = len(self.sketch.strokes)
            self._support(rest.joint, rest.kind, np.array(rest.normal) * [1, -1])
            points = np.concatenate([s.points for s in self.sketch.strokes[start:]])
            self.out.supports.append(Symbol(row, points))
            self.out.taken.append(_box(points, 0.01))

    def _stroke(self, points: Points, *, factor: float = 0.85, ink: int = 0) -> None:
        points = np.asarray(points, dtype=float)
        if self.style.hand.wobble and len(points) > 2:
            points = points + self.rng.normal(0, self.style.hand.wobble, points.shape)
        self.sketch.line(points, self.style.hand.width * factor, ink=ink, part="other", strength=0.95)

    def _hatch(self, middle: Points, along: Points, away: Points, half: float) -> None:
        depth = half * self.rng.uniform(0.25, 0.5)
        count = int(self.rng.integers(4, 9))
        for t in np.linspace(-0.9, 1.0, count):
            foot = middle + along * half * t
            self._stroke(np.stack([foot, foot + away * depth - along * depth * 0.8]), factor=0.6)

    def _support(self, joint: int, kind: str, push: Points) -> None:
        style, rng = self.style, self.rng
        push = push / np.hypot(*push)
        along = np.array([push[1], -push[0]])
        size = style.support * rng.uniform(0.8, 1.2)
        # With a small mark the triangle's tip is at the joint itself, with a large one at its rim.
        apex = self.out.joints[joint] - push * (
            self.radii[joint] if self.style.mark in {"circle", "mixed"} else 0.0
        )
        half = size * rng.uniform(0.5, 0.75)
        base = apex - push * size
        ground_half = half * rng.uniform(1.1, 1.7)
        if kind == "roller" and rng.random() < 0.45:  # a wheel only
            radius = size * 0.42
            self._stroke(ring(apex - push * radius, radius, rng=rng, careless=style.careless))
            base = apex - push * radius * 2
        else:
            triangle = np.stack([apex, base - along * half, base + along * half, apex])
            if style.solid and rng.random() < 0.5:
                self.sketch.patch([triangle], strength=0.8)
            self._stroke(triangle)
            if kind == "roller":
                wheels = int(rng.integers(1, 4))
                radius = size * rng.uniform(0.12, 0.2)
                if rng.random() < 0.25:  # a bare second line
                    base = base - push * radius
                else:
                    for t in np.linspace(-0.6, 0.6, wheels) if wheels > 1 else [0.0]:
                        centre = base - push * radius + along * half * t
                        self._stroke(ring(centre, radius, rng=rng, careless=style.careless), factor=0.7)
                    base = base - push * 2 * radius
        if kind == "roller" or rng.random() < 0.8:
            ends = np.stack([base - along * ground_half, base + along * ground_half])
            self._stroke(ends)
        if rng.random() < 0.65:
            self._hatch(base, along, -push, ground_half)

    def loads(self) -> None:
        texts = self.scene.load_texts
        for row, pull in enumerate(self.scene.shape.pulls):
            way = np.array(pull.direction) * [1, -1]
            tail, head = self._arrow(pull.joint, way / np.hypot(*way))
            self.out.arrows.append(Symbol(row, np.stack([tail, head])))
            self.out.taken.append(_box(np.stack([tail, head]), 0.015))
            if row < len(texts) and texts[row]:
                side = np.array([way[1], -way[0]])
                spots: list[tuple[Points, Points]] = []
                for reach in (0.1, 0.35, 0.6, 0.0):
                    spots.extend((tail + (head - tail) * reach, side * sign) for sign in (1, -1))
                self.text(texts[row], "load", spots, ink=self.style.load_ink)

    def _arrow(self, joint: int, way: Points) -> tuple[Points, Points]:
        style, rng = self.style, self.rng
        at = self.out.joints[joint]
        length = style.arrow * rng.uniform(0.7, 1.3)
        ways = []
        for a, b in self.scene.shape.members:
            if joint in (a, b):
                other = self.out.joints[b if a == joint else a] - at
                ways.append(other / np.hypot(*other))
        pushes = max((float(-way @ w) for w in ways), default=-1.0)
        pulls = max((float(way @ w) for w in ways), default=-1.0)
        gap = self.radii[joint] + style.hand.width * rng.uniform(0.2, 2.5)
        if pushes <= pulls or (pulls < 0.8 and rng.random() < 0.1):
            head = at - way * gap
            tail = head - way * length
            if pushes > 0.97 and pulls < 0.97:
                tail, head = at + way * gap, at + way * (gap + length)
        else:
            tail, head = at + way * gap, at + way * (gap + length)
        self.head_line(tail, head, ink=style.load_ink)
        return tail, head

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
                self._stroke(corner, factor=factor, ink=ink)

    # -- writing

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
        self.out.taken.append(_box(corners))

    def names(self) -> None:
        style, joints = self.style, self.out.joints
        for i, name in enumerate(self.scene.names):
            at = joints[i]
            if style.named_inside and self.radii[i] > 0:
                height = min(style.letter_height, self.radii[i] * 1.1)
                corners = write(
                    self.sketch,
                    name,
                    (float(at[0]), float(at[1])),
                    height=height,
                    lettering=style.lettering,
                    rng=self.rng,
                )
                self.out.writing.append(WrittenLine(name, "name", corners))
                continue
            away = at - joints.mean(axis=0)
            first = float(np.arctan2(away[1], away[0]))
            spots = []
            for k in (0, 1, -1, 2, -2, 3, -3, 4):
                way = np.array([np.cos(first + k * np.pi / 4), np.sin(first + k * np.pi / 4)])
                spots.append((at + way * self.radii[i], way))
            spots += [(point + way * style.letter_height * 0.6, way) for point, way in spots]
            self.text(name, "name", spots, ink=style.note_ink)

    # -- dimensions

    def measures(self) -> None:
        _, _, right, bottom = self.out.reach()
        level = bottom + self.style.letter_height * 1.6
        side = right + self.style.letter_height * 1.5
        joints = self.out.joints
        spans: list[tuple[float, float]] = []
        for measure in self.scene.measures:
            a, b = joints[measure.start], joints[measure.end]
            if measure.kind == "across":
                lo, hi = sorted((a[0], b[0]))
                if any(lo < end - 0.01 and hi > start + 0.01 for start, end in spans):
                    level += self.style.letter_height * 2.7
                    spans = []
                spans.append((lo, hi))
                self._dimension(measure, np.array([a[0], level]), np.array([b[0], level]), a, b)
            elif measure.kind == "up":
                self._dimension(measure, np.array([side, a[1]]), np.array([side, b[1]]), a, b)
                side += self.style.letter_height * 2.5
            elif measure.kind == "along":
                self._along(measure, a, b)
            else:
                self._angle(measure, a, b)

    def _dimension(self, measure: Measure, p: Points, q: Points, a: Points, b: Points) -> None:
        style, rng = self.style, self.rng
        way = (q - p) / max(float(np.hypot(*(q - p))), 1e-9)
        tick = np.array([way[1], -way[0]]) * style.letter_height * 0.35
        if rng.random() < 0.5:  # lines that lead from the joints to the dimension
            for joint, end in ((a, p), (b, q)):
                reach = end - joint
                length = float(np.hypot(*reach))
                if length > 0.05:
                    unit = reach / length
                    offset = max(0.02, self.style.support * 2.2 if measure.kind == "across" else 0.03)
                    if offset < length:
                        self._stroke(
                            np.stack([joint + unit * offset, end + unit * 0.012]), factor=style.thin * 0.8
                        )
        if rng.random() < 0.5:
            self.head_line(p, q, ink=style.note_ink, factor=style.thin, both=True)
        else:
            self._stroke(np.stack([p, q]), factor=style.thin, ink=style.note_ink)
        for end in (p, q):
            slanted = tick + way * style.letter_height * 0.25 * rng.choice([0.0, 1.0])
            self._stroke(np.stack([end - slanted, end + slanted]), factor=style.thin, ink=style.note_ink)
        side = np.array([0.0, -1.0]) if measure.kind == "across" else np.array([1.0, 0.0])
        self.text(measure.text, "dimension", [((p + q) / 2, side), ((p + q) / 2, -side)], ink=style.note_ink)
        self.out.taken.append(_box(np.stack([p, q]), style.letter_height * 0.3))

    def _along(self, measure: Measure, a: Points, b: Points) -> None:
        way = b - a if b[0] >= a[0] else a - b
        across = np.array([way[1], -way[0]])
        angle = float(np.arctan2(way[1], way[0]))
        middle = (a + b) / 2
        self.text(
            measure.text,
            "dimension",
            [(middle, across), (middle, -across)],
            ink=self.style.note_ink,
            angle=angle,
        )

    def _angle(self, measure: Measure, a: Points, b: Points) -> None:
        way = b - a
        toward = np.array([1.0 if way[0] >= 0 else -1.0, 0.0])
        first, last = float(np.arctan2(0.0, toward[0])), float(np.arctan2(way[1], way[0]))
        last = first + (last - first + np.pi) % (2 * np.pi) - np.pi
        radius = float(np.clip(0.28 * np.hypot(*way), 0.05, 0.12)) + float(self.radii[measure.start])
        self._stroke(arc(a, radius, (first, last), steps=12), factor=self.style.thin, ink=self.style.note_ink)
        middle = (first + last) / 2
        out = np.array([np.cos(middle), np.sin(middle)])
        self.text(measure.text, "angle", [(a + out * radius, out)], ink=self.style.note_ink)

    def free_writing(self) -> None:
        """Write the title above and the notes around, outside what is taken."""
        scene, style, rng = self.scene, self.style, self.rng
        left, top, right, bottom = self.out.reach()
        high = style.letter_height * rng.uniform(0.9, 1.4)
        if scene.title:
            half = text_width(style.lettering, scene.title) * high / 2
            at = np.array(
                [left + half + rng.uniform(0, max(right - left - 2 * half, 0.01)), top - 2.2 * high]
            )
            self.text(scene.title, "note", [(at, np.array([0.0, -1.0]))], ink=style.note_ink, height=high)
        corner = np.array([left, bottom]) + np.array([rng.uniform(0, 0.4), 1.2 * high])
        if rng.random() < 0.35:
            corner = np.array([right + 0.06, top + rng.uniform(0, 0.3)])
        for note in scene.notes:
            half = text_width(style.lettering, note) * high / 2
            corner = corner + np.array([rng.normal(0, 0.01), high * rng.uniform(1.5, 2.2)])
            self.text(
                note,
                "note",
                [(corner + np.array([half, 0.0]), np.array([0.0, 1.0]))],
                ink=style.note_ink,
                height=high,
            )


def draw_scene(
    sketch: Sketch, scene: Scene, style: Style, *, rng: np.random.Generator, at: Points | None = None
) -> DrawnScene:
    """Draw a scene on a sheet and return where everything lies.

    `at` (2,) is where the scene's 0, 0 comes to lie on the sheet; None is the sheet's own 0, 0.
    """
    drawer = _Drawer(sketch, scene, style, rng)
    if at is not None:
        drawer.out.joints += at
    drawer.members()
    drawer.supports()
    drawer.loads()
    drawer.names()
    drawer.measures()
    drawer.free_writing()
    return drawer.out
