"""Names, dimensions, angles and remarks on a sheet."""

from __future__ import annotations

import numpy as np

from vision.training.draughtsman import Draughtsman, WrittenLine, box_of
from vision.training.paint import Points
from vision.training.pens import arc
from vision.training.scene import Measure
from vision.training.writing import text_width, write

__all__ = ["draw_measures", "write_names", "write_notes"]


def write_names(pad: Draughtsman) -> None:
    """Write the names of the joints beside them, or in their circles."""
    style, joints = pad.style, pad.out.joints
    for i, name in enumerate(pad.scene.names):
        at = joints[i]
        if style.named_inside and pad.radii[i] > 0:
            height = min(style.letter_height, pad.radii[i] * 1.1)
            corners = write(
                pad.sketch,
                name,
                (float(at[0]), float(at[1])),
                height=height,
                lettering=style.lettering,
                rng=pad.rng,
            )
            pad.out.writing.append(WrittenLine(name, "name", corners))
            continue
        away = at - joints.mean(axis=0)
        first = float(np.arctan2(away[1], away[0]))
        spots = []
        for k in (0, 1, -1, 2, -2, 3, -3, 4):
            way = np.array([np.cos(first + k * np.pi / 4), np.sin(first + k * np.pi / 4)])
            spots.append((at + way * pad.radii[i], way))
        spots += [(point + way * style.letter_height * 0.6, way) for point, way in spots]
        pad.text(name, "name", spots, ink=style.note_ink)


def draw_measures(pad: Draughtsman) -> None:
    """Draw the dimensions: across below the truss, up at its right, along and angles at their members."""
    _, _, right, bottom = pad.out.reach()
    level = bottom + pad.style.letter_height * 1.6
    side = right + pad.style.letter_height * 1.5
    joints = pad.out.joints
    spans: list[tuple[float, float]] = []
    for measure in pad.scene.measures:
        a, b = joints[measure.start], joints[measure.end]
        if measure.kind == "across":
            lo, hi = sorted((a[0], b[0]))
            if any(lo < end - 0.01 and hi > start + 0.01 for start, end in spans):
                level += pad.style.letter_height * 2.7
                spans = []
            spans.append((lo, hi))
            _dimension(pad, measure, (np.array([a[0], level]), np.array([b[0], level])), (a, b))
        elif measure.kind == "up":
            _dimension(pad, measure, (np.array([side, a[1]]), np.array([side, b[1]])), (a, b))
            side += pad.style.letter_height * 2.5
        elif measure.kind == "along":
            _along(pad, measure, a, b)
        else:
            _angle(pad, measure, a, b)


def _dimension(
    pad: Draughtsman, measure: Measure, line: tuple[Points, Points], joints: tuple[Points, Points]
) -> None:
    """Draw one dimension line with its text; lines may lead to it from the joints."""
    p, q = line
    style, rng = pad.style, pad.rng
    way = (q - p) / max(float(np.hypot(*(q - p))), 1e-9)
    tick = np.array([way[1], -way[0]]) * style.letter_height * 0.35
    if rng.random() < 0.5:  # lines that lead from the joints to the dimension
        for joint, end in zip(joints, line, strict=True):
            reach = end - joint
            length = float(np.hypot(*reach))
            if length > 0.05:
                unit = reach / length
                offset = max(0.02, pad.style.support * 2.2 if measure.kind == "across" else 0.03)
                if offset < length:
                    pad.stroke(np.stack([joint + unit * offset, end + unit * 0.012]), factor=style.thin * 0.8)
    if rng.random() < 0.5:
        pad.head_line(p, q, ink=style.note_ink, factor=style.thin, both=True)
    else:
        pad.stroke(np.stack([p, q]), factor=style.thin, ink=style.note_ink)
    for end in (p, q):
        slanted = tick + way * style.letter_height * 0.25 * rng.choice([0.0, 1.0])
        pad.stroke(np.stack([end - slanted, end + slanted]), factor=style.thin, ink=style.note_ink)
    side = np.array([0.0, -1.0]) if measure.kind == "across" else np.array([1.0, 0.0])
    pad.text(measure.text, "dimension", [((p + q) / 2, side), ((p + q) / 2, -side)], ink=style.note_ink)
    pad.out.taken.append(box_of(np.stack([p, q]), style.letter_height * 0.3))


def _along(pad: Draughtsman, measure: Measure, a: Points, b: Points) -> None:
    way = b - a if b[0] >= a[0] else a - b
    across = np.array([way[1], -way[0]])
    angle = float(np.arctan2(way[1], way[0]))
    middle = (a + b) / 2
    pad.text(
        measure.text,
        "dimension",
        [(middle, across), (middle, -across)],
        ink=pad.style.note_ink,
        angle=angle,
    )


def _angle(pad: Draughtsman, measure: Measure, a: Points, b: Points) -> None:
    way = b - a
    toward = np.array([1.0 if way[0] >= 0 else -1.0, 0.0])
    first, last = float(np.arctan2(0.0, toward[0])), float(np.arctan2(way[1], way[0]))
    last = first + (last - first + np.pi) % (2 * np.pi) - np.pi
    radius = float(np.clip(0.28 * np.hypot(*way), 0.05, 0.12)) + float(pad.radii[measure.start])
    pad.stroke(arc(a, radius, (first, last), steps=12), factor=pad.style.thin, ink=pad.style.note_ink)
    middle = (first + last) / 2
    out = np.array([np.cos(middle), np.sin(middle)])
    pad.text(measure.text, "angle", [(a + out * radius, out)], ink=pad.style.note_ink)


def write_notes(pad: Draughtsman) -> None:
    """Write the title above and the notes around, outside what is taken."""
    scene, style, rng = pad.scene, pad.style, pad.rng
    left, top, right, bottom = pad.out.reach()
    high = style.letter_height * rng.uniform(0.9, 1.4)
    if scene.title:
        half = text_width(style.lettering, scene.title) * high / 2
        at = np.array([left + half + rng.uniform(0, max(right - left - 2 * half, 0.01)), top - 2.2 * high])
        pad.text(scene.title, "note", [(at, np.array([0.0, -1.0]))], ink=style.note_ink, height=high)
    corner = np.array([left, bottom]) + np.array([rng.uniform(0, 0.4), 1.2 * high])
    if rng.random() < 0.35:
        corner = np.array([right + 0.06, top + rng.uniform(0, 0.3)])
    for note in scene.notes:
        half = text_width(style.lettering, note) * high / 2
        corner = corner + np.array([rng.normal(0, 0.01), high * rng.uniform(1.5, 2.2)])
        pad.text(
            note,
            "note",
            [(corner + np.array([half, 0.0]), np.array([0.0, 1.0]))],
            ink=style.note_ink,
            height=high,
        )
