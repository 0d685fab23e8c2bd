"""A scene drawn on a sheet: members and joint marks here, the rest by its own modules."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from vision.training.annotation import draw_measures, write_names, write_notes
from vision.training.draughtsman import Draughtsman, DrawnScene, Style
from vision.training.paint import Points
from vision.training.pens import arc, draw_line, ring
from vision.training.scene import Scene
from vision.training.sketch import Sketch
from vision.training.symbols import draw_loads, draw_supports

__all__ = ["draw_scene"]


def _draw_members(pad: Draughtsman) -> None:
    """Draw the members, each from the edge of its joints' marks, and then the marks."""
    style, joints = pad.style, pad.out.joints
    shown = style.mark
    kinds = [shown if shown != "mixed" else ("blob" if pad.rng.random() < 0.5 else "circle") for _ in joints]
    sizes = {"none": 0.0, "cross": 1.0, "dot": 1.0, "circle": 1.0, "blob": 1.0}
    for i, kind in enumerate(kinds):
        spread = 1 + style.careless * pad.rng.normal(0, 0.2)
        pad.radii[i] = sizes[kind] * style.mark_radius * max(spread, 0.4)
    for a, b in pad.scene.shape.members:
        trims = tuple(pad.radii[i] if kinds[i] == "circle" else 0.0 for i in (a, b))
        ends = (float(trims[0]), float(trims[1]))
        if style.bar:
            line = _bar(pad, joints[a], joints[b])
        else:
            line = draw_line(
                pad.sketch,
                joints[a],
                joints[b],
                hand=style.hand,
                rng=pad.rng,
                trims=ends,
                ink=int(pad.rng.integers(len(pad.sketch.inks))) if pad.by_chance(style.mixed) else 0,
                dashes=0.03 if pad.by_chance(style.dashed) else 0.0,
            )
        if pad.by_chance(style.ticks):
            _ticks(pad, joints[a], joints[b])
        pad.out.centre_lines.append(line)
    if pad.out.centre_lines:
        pad.samples = np.concatenate(pad.out.centre_lines)
    for i, kind in enumerate(kinds):
        _mark(pad, i, kind)
    pad.out.mark_radius = pad.radii


def _bar(pad: Draughtsman, a: Points, b: Points) -> Points:
    """Draw a member as a bar: two edges, what lies below wiped out, shaded in some drawings."""
    style = pad.style
    along = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
    across = np.array([-along[1], along[0]]) * style.bar / 2
    outline = np.stack([a + across, b + across, b - across, a - across])
    pad.sketch.patch([outline], part="erase")
    if style.solid:
        pad.sketch.patch([outline], part="member", strength=0.3)
    hand = replace(style.hand, gap=0.0, bow=style.hand.bow * 0.3)
    for side in (across, -across):
        draw_line(pad.sketch, a + side, b + side, hand=hand, rng=pad.rng)
    return np.linspace(a, b, 8)


def _ticks(pad: Draughtsman, a: Points, b: Points) -> None:
    """Cross a member at its middle with one or two short strokes."""
    along = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
    across = np.array([-along[1], along[0]]) * pad.style.letter_height * 0.35
    for k in range(int(pad.rng.integers(1, 3))):
        middle = (a + b) / 2 + along * k * pad.style.letter_height * 0.3
        pad.stroke(np.stack([middle - across, middle + across + along * 0.004]))


def _mark(pad: Draughtsman, i: int, kind: str) -> None:
    at, radius, style = pad.out.joints[i], float(pad.radii[i]), pad.style
    if kind == "none":
        return
    if kind == "cross":
        for turn in (0.8, 2.4):
            d = radius * np.array([np.cos(turn), np.sin(turn)])
            pad.sketch.line(np.stack([at - d, at + d]), style.hand.width, part="mark")
        return
    if kind == "dot":
        pad.sketch.patch([arc(at, radius, (0, 2 * np.pi))], part="mark")
        return
    outline = ring(at, radius, rng=pad.rng, careless=style.careless)
    if style.careless == 0:
        pad.sketch.patch([outline], part="erase")
    pad.sketch.line(outline, style.hand.width, part="mark")
    if kind == "blob":
        pad.sketch.patch([outline], part="mark", strength=pad.rng.uniform(0.25, 0.9))
        for _ in range(int(pad.rng.integers(2, 6))):
            small = ring(at, radius * pad.rng.uniform(0.2, 0.9), rng=pad.rng, careless=1.0)
            pad.sketch.line(small, style.hand.width, part="mark", strength=0.9)


def draw_scene(
    sketch: Sketch, scene: Scene, style: Style, *, rng: np.random.Generator, at: Points | None = None
) -> DrawnScene:
    """Draw a scene on a sheet and return where everything lies.

    `at` (2,) is where the scene's 0, 0 comes to lie on the sheet; None is the sheet's own 0, 0.
    """
    pad = Draughtsman(sketch, scene, style, rng)
    if at is not None:
        pad.out.joints += at
    _draw_members(pad)
    draw_supports(pad)
    draw_loads(pad)
    write_names(pad)
    draw_measures(pad)
    write_notes(pad)
    return pad.out
