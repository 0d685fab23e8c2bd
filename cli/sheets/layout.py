"""From scene to drawing: one layout that every painter paints."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cli.sheets.arrows import PlacedArrow, place_arrows
from cli.sheets.candidates import PLATE, around_arrow, around_joint, beside_member, standing
from cli.sheets.ground import Ground, ground_of
from cli.sheets.labels import Places, PlacingSettings, place_labels
from cli.sheets.legend import strip_under
from cli.sheets.marks import Drawing, Mark, Photograph, Stroke, Text, cased, moved, plated, quad
from cli.sheets.moves import MOVE_WIDTH, PlacedMove, place_moves
from cli.sheets.nearness import mistakable, near_own
from cli.sheets.palette import INK, SENSES
from cli.sheets.scene import Scene, SceneMember, far_ends
from cli.sheets.sizes import Sizes, sizes_for
from cli.sheets.symbols import (
    leader_line,
    member_stroke,
    outlined,
    ring,
    ring_boxes,
    support,
    support_hulls,
    used_stroke,
)
from cli.sheets.words import ENGLISH, SheetWords

__all__ = ["Layout", "lay_out"]

Array = NDArray[np.float64]

_SHRINKS = (1.0, 0.88, 0.75, 0.6)
"""Shares of the full text size tried in turn until no label covers anything."""
_FAR_TOO_FULL = 0.2
"""Share of labels in conflict at which the next size cannot help and is passed over."""
_SMALL_ENOUGH = 0.75
"""Down to here smaller text is better than leader lines and labels in doubt; below it they are better."""


_WRITING = 1.2
"""Cost of standing on handwriting: worth moving for, not worth a leader line."""
_FULL_OF_WRITING = 0.2
"""Share of ink at which a rectangle is full of writing: a line of pen letters covers about that much."""
_OUTLINE = 0.75
"""Of the lines beside what gives way first, in widths of symbols' lines."""
QUICK = PlacingSettings()
THOROUGH = PlacingSettings(keep=72, rounds=300, hopeless=1000)


@dataclass(frozen=True, eq=False)
class Layout:
    """A drawing, and what can be measured on it."""

    drawing: Drawing
    labels: tuple[Text, ...]
    """The labels on the picture itself, where they stand in the drawing."""
    obstacles: Array
    """(K, 4, 2) what labels must not cover: members, joints, supports, arrows."""
    overlap: float
    """Overlap depth that is left, in pixels; 0 when labels cover neither each other nor an obstacle."""
    sizes: Sizes


@dataclass(frozen=True, eq=False)
class _Bones:
    """All that is drawn before labels, in pixels of the picture."""

    at: Array
    members: Array
    arrows: list[PlacedArrow]
    moves: list[PlacedMove]
    supports: Array
    obstacles: Array
    frame: tuple[float, float, float, float]
    """Left, top, right, bottom of picture and margins."""


def _stroke(scene: Scene, sizes: Sizes, member: SceneMember, at: Array) -> Stroke:
    ends = at[[member.start, member.end]]
    if member.used is not None:
        return used_stroke(ends, member.used, member.sense, largest=scene.largest_use, sizes=sizes)
    return member_stroke(
        ends,
        member.force,
        member.sense,
        largest=scene.largest_force,
        sizes=sizes,
    )


def _room(scene: Scene, sizes: Sizes, member: SceneMember, at: Array) -> float:
    """Return how wide a member is with its edges."""
    outline = 4 * _OUTLINE * sizes.line if member.first else 0.0
    return _stroke(scene, sizes, member, at).width + outline + sizes.casing


def _bones(scene: Scene, sizes: Sizes) -> _Bones:
    # The middle of the first pixel is 0, 0 in the scene and 0.5, 0.5 in the drawing.
    at = np.array([(joint.x, joint.y) for joint in scene.joints], dtype=float).reshape(-1, 2) + 0.5
    members = np.array(
        [
            quad(
                at[member.start],
                at[member.end],
                _room(scene, sizes, member, at),
            )
            for member in scene.members
        ]
    ).reshape(-1, 4, 2)
    arrows = place_arrows(
        scene, sizes, at, members, frame=(0.0, 0.0, float(scene.width), float(scene.height))
    )
    supports = np.array(
        [
            hull
            for item in scene.supports
            for hull in support_hulls(
                item.kind, (float(at[item.joint, 0]), float(at[item.joint, 1])), item.normal, sizes.symbol
            )
        ]
    ).reshape(-1, 4, 2)
    rings = ring_boxes(at, sizes.joint + sizes.line / 2)
    moves = place_moves(scene, sizes, at)
    hulls = np.array([item.hull(sizes) for item in arrows] + [move.hull(sizes) for move in moves]).reshape(
        -1, 4, 2
    )
    obstacles = np.concatenate([members, rings, hulls, supports])
    return _Bones(at, members, arrows, moves, supports, obstacles, _frame(scene, sizes, hulls, supports))


def _frame(scene: Scene, sizes: Sizes, hulls: Array, supports: Array) -> tuple[float, float, float, float]:
    """Widen the picture by paper where a support or an arrow with its label would leave it."""
    low, high = np.zeros(2), np.array([scene.width, scene.height], dtype=float)
    for shapes, room in ((hulls, 1.7 * sizes.unit), (supports, 0.4 * sizes.unit)):
        if len(shapes):
            least, most = shapes.min(axis=(0, 1)) - room, shapes.max(axis=(0, 1)) + room
            out_low, out_high = shapes.min(axis=(0, 1)), shapes.max(axis=(0, 1))
            low = np.where(out_low < 0.3 * sizes.unit, np.minimum(low, least), low)
            limit = np.array([scene.width, scene.height]) - 0.3 * sizes.unit
            high = np.where(out_high > limit, np.maximum(high, most), high)
    low, high = np.floor(low), np.ceil(high)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _label_places(scene: Scene, sizes: Sizes, bones: _Bones) -> list[tuple[Text, Places]]:
    """Return every label and its places: members, then joints, then arrows."""
    edge = sizes.edge
    frame = (bones.frame[0] + edge, bones.frame[1] + edge, bones.frame[2] - edge, bones.frame[3] - edge)
    labels: list[tuple[Text, Places]] = []
    ends = _ends(scene, bones)
    for row in _labelled(scene):
        member = scene.members[row]
        colour = INK if member.used is not None else SENSES[member.sense].text_colour
        text = Text(member.label, 0, 0, sizes.text, colour, "semibold")
        line = _room(scene, sizes, member, bones.at)
        places = beside_member(text, *ends[row], line=line, gap=sizes.gap, frame=frame)
        labels.append((text, near_own(places, ends[row], np.delete(ends, row, axis=0), sizes.text)))
    neighbours = far_ends(scene, bones.at)
    middle = bones.at.mean(axis=0) if len(bones.at) else np.zeros(2)
    for row, joint in enumerate(scene.joints):
        text = Text(joint.label, 0, 0, sizes.text, INK, "semibold")
        labels.append(
            (
                text,
                around_joint(
                    text,
                    bones.at[row],
                    radius=sizes.name_reach,
                    neighbours=neighbours[row],
                    middle_of_truss=middle,
                    frame=frame,
                ),
            )
        )
    for item in bones.arrows:
        text = Text(item.shown.label, 0, 0, sizes.text, INK, "semibold")
        near = item.tip if item.outer is item.tail else item.tail
        half = sizes.arrow.head_width * 0.55
        labels.append(
            (
                text,
                around_arrow(
                    text, near, item.outer, outward=item.outward, half_width=half, gap=sizes.gap, frame=frame
                ),
            )
        )
    for move in bones.moves:
        text = Text(move.shown.label, 0, 0, sizes.text, INK, "semibold")
        labels.append(
            (
                text,
                around_arrow(
                    text,
                    move.tail,
                    move.tip,
                    outward=move.outward,
                    half_width=1.1 * MOVE_WIDTH * sizes.unit,
                    gap=sizes.gap,
                    frame=frame,
                ),
            )
        )
    return labels


def _labelled(scene: Scene) -> list[int]:
    """Return rows of the members that have a label."""
    return [row for row, member in enumerate(scene.members) if member.label]


def _ends(scene: Scene, bones: _Bones) -> Array:
    """Return (M, 2, 2) ends of the members."""
    return np.array([bones.at[[member.start, member.end]] for member in scene.members]).reshape(-1, 2, 2)


def _in_doubt(scene: Scene, bones: _Bones, chosen: list[tuple[Places, int]]) -> int:
    """Count the members' labels that stand where they may be taken for another member's."""
    ends = _ends(scene, bones)
    rows = _labelled(scene)
    return sum(
        bool(mistakable(places.only(np.array([place])), ends[row], np.delete(ends, row, axis=0))[0])
        for row, (places, place) in zip(rows, chosen[: len(rows)], strict=True)
    )


def _beside_writing(places: Places, ground: Ground) -> Places:
    """Make places dearer where they would cover what is written on the photograph."""
    return places.costlier(_WRITING * np.minimum(ground.share(places.boxes) / _FULL_OF_WRITING, 1.0))


def _paint_bones(scene: Scene, sizes: Sizes, bones: _Bones) -> list[Mark]:
    drawn = [(member, _stroke(scene, sizes, member, bones.at)) for member in scene.members]
    lines: list[Mark] = []
    for member, line in sorted(drawn, key=lambda item: -item[1].width):
        lines.extend(outlined(line, _OUTLINE * sizes.line) if member.first else (line,))
    marks = list(cased(tuple(lines), sizes.casing))
    for item in scene.supports:
        joint = (float(bones.at[item.joint, 0]), float(bones.at[item.joint, 1]))
        marks.extend(cased(support(item.kind, joint, item.normal, sizes.symbol, sizes.line), sizes.casing))
    for item_ in bones.arrows:
        marks.extend(cased(item_.marks(sizes), sizes.casing))
    for joint_, (x, y) in zip(scene.joints, bones.at, strict=True):
        if joint_.first:
            marks.extend(ring(float(x), float(y), sizes.joint + 2 * sizes.line, sizes.line))
        marks.extend(ring(float(x), float(y), sizes.joint, sizes.line))
    for move in bones.moves:
        marks.extend(cased(move.marks(sizes), sizes.casing))
    return marks


def lay_out(scene: Scene, picture: NDArray[np.uint8] | None = None, *, words: SheetWords = ENGLISH) -> Layout:
    """Lay out the overlay of a scene.

    The picture keeps its size. Paper is added where a support or an arrow would leave it, and below it for
    the strip with title, legend and caution. Labels are set at full size; where that leaves an overlap,
    a leader line, or a label nearer to another member than to its own, smaller sizes are tried.

    Parameters
    ----------
    scene : Scene
        What to show.
    picture : (H, W, 3) uint8, optional
        The photograph; plain paper without it.
    words : SheetWords
        Language of the legend.
    """
    bones = _bones(scene, sizes_for(scene))
    ground = ground_of(picture) if picture is not None else None
    tries: list[tuple[tuple[float, int], Sizes, list[tuple[Text, Array]]]] = []
    covered = 0.0
    # A picture too full even for the smallest text gets a second, slower search among more places.
    for shrink, settings in [(shrink, QUICK) for shrink in _SHRINKS] + [(_SHRINKS[-1], THOROUGH)]:
        if covered > _FAR_TOO_FULL and shrink != _SHRINKS[-1]:
            covered = 0.0
            continue
        sizes = sizes_for(scene, shrink=shrink)
        options = _label_places(scene, sizes, bones)
        if ground is not None:
            options = [(text, _beside_writing(places, ground)) for text, places in options]
        placing = place_labels(
            [places for _, places in options], bones.obstacles, sizes.text, settings=settings
        )
        chosen = [
            (standing(text, places, label.place), places.leaders[label.place])
            for (text, places), label in zip(options, placing.labels, strict=True)
        ]
        covered = placing.covered
        leaders = sum(bool(np.isfinite(leader).all()) for _, leader in chosen)
        doubts = _in_doubt(
            scene,
            bones,
            [(places, label.place) for (_, places), label in zip(options, placing.labels, strict=True)],
        )
        second_best = leaders + 2 * doubts
        tries.append(((placing.depth, second_best), sizes, chosen))
        if placing.depth == 0 and (second_best == 0 or shrink <= _SMALL_ENOUGH):
            break
    (overlap, _), sizes, chosen = min(tries, key=lambda item: item[0])

    marks = _paint_bones(scene, sizes, bones)
    for _, leader in chosen:
        if np.isfinite(leader).all():
            marks.extend(leader_line(leader, sizes.line, sizes.casing))
    for text, _ in chosen:
        marks.extend(plated(text, PLATE))

    left, top, right, bottom = bones.frame
    placed = moved(tuple(marks), -left, -top)
    strip = strip_under(scene, sizes, right - left, words)
    photograph = Photograph(picture, -left, -top) if picture is not None else None
    drawing = Drawing(
        width=right - left,
        height=float(np.ceil(bottom - top + strip.height)),
        marks=(*placed, *moved(strip.marks, 0.0, bottom - top)),
        photograph=photograph,
        title=scene.title,
    )
    return Layout(
        drawing=drawing,
        labels=tuple(mark for mark in placed if isinstance(mark, Text)),
        obstacles=bones.obstacles - (left, top),
        overlap=overlap,
        sizes=sizes,
    )
