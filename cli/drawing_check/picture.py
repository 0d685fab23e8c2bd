"""What is right and what is not, drawn on the student's photograph.

Members that belong are drawn as read. What is missing is dashed, where it should be; what is too much is
crossed out; both carry a word, so that colour never speaks alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cli.cautions import caution_text
from cli.drawing_check.slips import DrawingCheck
from cli.model.file import Model
from cli.sheets.candidates import around_joint, beside_member
from cli.sheets.labels import Places
from cli.sheets.legend import Strip, strip_under
from cli.sheets.marks import Drawing, Mark, Photograph, Stroke, Text, cased, moved, quad
from cli.sheets.palette import FAULT, INK, READ, text_tone
from cli.sheets.plates import plated_labels
from cli.sheets.scene import Scene, SceneJoint, SceneMember
from cli.sheets.sizes import Sizes, sizes_for
from cli.sheets.symbols import ring, ring_boxes
from cli.sheets.words import ENGLISH
from vision import Photo

__all__ = ["draw_check"]

Floats = NDArray[np.float64]
Pair = tuple[int, int]

_DASH = (3.0, 2.0)
"""Of what is missing, in line widths."""
_CROSS = 0.55
"""Half the arm of the cross on what is too much, in ems."""
_MISSING, _EXTRA, _OTHER = "missing", "too many", "not as set"


@dataclass(frozen=True, eq=False)
class _Board:
    """Everything to draw, in pixels of the picture."""

    at: Floats
    """(N, 2) drawn joints."""
    members: tuple[Pair, ...]
    """Drawn members."""
    extra: frozenset[Pair]
    """Of these, those that are too many, not counting what hangs on a strange joint."""
    strange: frozenset[int]
    """Drawn joints that are too many."""
    gone: tuple[tuple[str, Floats], ...]
    """Name and place of missing joints."""
    missing: tuple[tuple[Floats, Floats], ...]
    """Ends of missing members, those of missing joints too."""
    words: tuple[str, ...]
    """What stands at each drawn joint."""
    faulty: frozenset[int]
    """Drawn joints whose words tell a slip."""
    sizes: Sizes
    frame: tuple[float, float, float, float]
    """What labels stay within."""

    @property
    def line(self) -> float:
        """Width of a member."""
        return 1.2 * self.sizes.thinnest


def draw_check(photo: Photo, key: Model, drawn: Model, checked: DrawingCheck) -> Drawing:
    """Return the photograph with the comparison on it.

    Parameters
    ----------
    photo
        The picture that was read, or a smaller copy of it.
    key
        The truss that was set.
    drawn
        What was read, in the pixels of `photo`.
    checked
        What came of the comparison of these two.
    """
    board = _board(photo, key, drawn, checked)
    marks, obstacles = _lines(board)
    labels = [*_member_labels(board), *_joint_labels(board)]
    marks += plated_labels(labels, obstacles, board.sizes)
    strip = _strip(photo, checked, board.sizes)
    return Drawing(
        float(photo.width),
        float(np.ceil(photo.height + strip.height)),
        (*marks, *moved(strip.marks, 0.0, float(photo.height))),
        Photograph(photo.rgb, 0.0, 0.0),
        title=" ".join(checked.says),
    )


def _strip(photo: Photo, checked: DrawingCheck, sizes: Sizes) -> Strip:
    """Return what stands under the picture: what is told, and the cautions."""
    said = Scene(
        photo.width,
        photo.height,
        (),
        (),
        title=checked.says[0],
        remarks=(*checked.says[1:], *(f"Look: {doubt}" for doubt in checked.doubts)),
        caution=caution_text(),
    )
    return strip_under(said, sizes, float(photo.width), ENGLISH)


def _board(photo: Photo, key: Model, drawn: Model, checked: DrawingCheck) -> _Board:
    at = np.array([joint.px for joint in drawn.joints], dtype=float).reshape(-1, 2) + 0.5
    members = tuple(_pair(drawn, member.joints) for member in drawn.members)
    slips = checked.slips
    gone: tuple[tuple[str, Floats], ...] = ()
    missing: tuple[tuple[Floats, Floats], ...] = ()
    noted: dict[int, str] = {}
    if checked.found is not None:
        should = checked.found.carried + 0.5
        lost = {slip.set_rows[0] for slip in slips if slip.kind == "joint missing"}
        pairs = {slip.set_rows for slip in slips if slip.kind == "member missing"}
        wanted = [_pair(key, member.joints) for member in key.members]
        gone = tuple((key.names[row], should[row]) for row in sorted(lost))
        missing = tuple((should[a], should[b]) for a, b in wanted if lost & {a, b} or (a, b) in pairs)
        for slip in slips:
            if slip.kind in {"support", "load"}:
                # Where it was set, unless that joint is missing too.
                at_set = [row for row in (checked.found.to[one] for one in slip.set_rows) if row is not None]
                noted |= dict.fromkeys(at_set, f"{slip.kind} {_OTHER if slip.drawn_rows else _MISSING}")
                noted |= dict.fromkeys(slip.drawn_rows, f"{slip.kind} {_OTHER}")
    strange = {slip.drawn_rows[0] for slip in slips if slip.kind == "joint extra"}
    noted |= dict.fromkeys(strange, _EXTRA)
    sizes = _sizes(photo, at, members)
    edge = sizes.edge
    return _Board(
        at=at,
        members=members,
        extra=frozenset(_sorted(*slip.drawn_rows) for slip in slips if slip.kind == "member extra"),
        strange=frozenset(strange),
        gone=gone,
        missing=missing,
        words=tuple(
            ": ".join(part for part in (name, noted.get(row)) if part)
            for row, name in enumerate(checked.names)
        ),
        faulty=frozenset(noted),
        sizes=sizes,
        frame=(edge, edge, photo.width - edge, photo.height - edge),
    )


def _pair(model: Model, names: tuple[str, str]) -> Pair:
    return _sorted(model.rows[names[0]], model.rows[names[1]])


def _sorted(one: int, other: int) -> Pair:
    return (one, other) if one < other else (other, one)


def _sizes(photo: Photo, at: Floats, members: tuple[Pair, ...]) -> Sizes:
    joints = tuple(SceneJoint("", x, y) for x, y in at.tolist())
    bars = tuple(SceneMember(start, end, 0.0, "0", "") for start, end in members)
    return sizes_for(Scene(photo.width, photo.height, joints, bars))


def _lines(board: _Board) -> tuple[list[Mark], Floats]:
    """Return everything but the words, and what the words must not cover, (K, 4, 2)."""
    sizes, line, at = board.sizes, board.line, board.at
    marks: list[Mark] = []
    filled: list[Floats] = []
    for a, b in board.members:
        fault = (a, b) in board.extra or bool(board.strange & {a, b})
        marks += cased((Stroke(at[[a, b]], line, FAULT if fault else READ),), sizes.casing)
        filled.append(quad(at[a], at[b], line + sizes.casing))
        if (a, b) in board.extra:
            marks += _cross((at[a] + at[b]) / 2, sizes)
    for start, end in board.missing:
        dashed = Stroke(np.array([start, end]), 1.6 * line, FAULT, tuple(line * part for part in _DASH))
        marks += cased((dashed,), sizes.casing)
        filled.append(quad(start, end, 1.6 * line))
    for row, (x, y) in enumerate(at.tolist()):
        marks += ring(x, y, sizes.joint, sizes.line, FAULT if row in board.strange else INK)
        if row in board.strange:
            marks += _cross(at[row], sizes)
    rings = ring_boxes(at, sizes.joint + sizes.line)
    return marks, np.array([*filled, *rings]).reshape(-1, 4, 2)


def _cross(middle: Floats, sizes: Sizes) -> tuple[Mark, ...]:
    arm = _CROSS * sizes.text
    ways = (np.array([arm, arm]), np.array([arm, -arm]))
    strokes = (Stroke(np.array([middle - way, middle + way]), 1.4 * sizes.thinnest, FAULT) for way in ways)
    return cased(tuple(strokes), sizes.casing)


def _text(words: str, sizes: Sizes, *, fault: bool) -> Text:
    return Text(words, 0, 0, 1.1 * sizes.text, text_tone(FAULT) if fault else INK, "semibold")


def _member_labels(board: _Board) -> Iterator[tuple[Text, Places]]:
    """Yield the word at each member that is too many or missing between joints that are there."""
    lost = [place for _, place in board.gone]
    extra = [(board.at[a], board.at[b], _EXTRA) for a, b in sorted(board.extra)]
    missing = [
        (start, end, _MISSING)
        for start, end in board.missing
        if not any(np.array_equal(place, end_of) for place in lost for end_of in (start, end))
    ]
    for start, end, word in (*extra, *missing):
        text = _text(word, board.sizes, fault=True)
        line = board.line + board.sizes.casing
        yield text, beside_member(text, start, end, line=line, gap=board.sizes.gap, frame=board.frame)


def _joint_labels(board: _Board) -> Iterator[tuple[Text, Places]]:
    """Yield the name of every joint, with a word where something is not as set."""
    for row, words in enumerate(board.words):
        near = [board.at[b if a == row else a] for a, b in board.members if row in {a, b}]
        text = _text(words, board.sizes, fault=row in board.faulty)
        yield text, _around(board, text, board.at[row], near)
    for name, place in board.gone:
        text = _text(f"{name}: {_MISSING}", board.sizes, fault=True)
        yield text, _around(board, text, place, [])


def _around(board: _Board, text: Text, joint: Floats, near: list[Floats]) -> Places:
    return around_joint(
        text,
        joint,
        radius=board.sizes.name_reach,
        neighbours=near,
        middle_of_truss=board.at.mean(axis=0),
        frame=board.frame,
    )
