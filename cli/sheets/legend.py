"""The strip under an overlay: title, what the marks mean, the scale of widths, the caution."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from cli.sheets.marks import Fill, Mark, Stroke, Text, moved
from cli.sheets.moves import MOVE_WIDTH
from cli.sheets.numerals import Numerals
from cli.sheets.palette import INK, PALE_INK, SENSES, USE, member_width
from cli.sheets.scene import Scene
from cli.sheets.sizes import Sizes
from cli.sheets.symbols import ArrowShape, arrow, block_arrow, outlined, ring
from cli.sheets.typeface import measure, wrap
from cli.sheets.words import SheetWords

__all__ = ["Strip", "round_steps", "strip_under"]


@dataclass(frozen=True, eq=False)
class Strip:
    """The strip, its top left corner at 0, 0."""

    marks: tuple[Mark, ...]
    height: float


@dataclass(frozen=True, eq=False)
class _Entry:
    """One item of the legend, its middle line at y = 0."""

    marks: tuple[Mark, ...]
    width: float


_KEY = 2.0
"""Length of a line sample, in ems."""
_STEPS = (1.0, 1.2, 1.4, 1.5, 1.6, 1.8, 2.0, 2.4, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0)
"""Round numbers whose halves are short as well, up to the next power of ten."""
_BEYOND = 1.05
"""How far the scale may run past the largest force to end at one of these; else two figures must do."""
_SMALL = 0.8
"""Size of the caution beside the legend: 8 px on a telephone that shows the picture 390 px wide."""


def round_steps(largest: float) -> tuple[float, ...]:
    """Return 0, half and all of the end of the scale of widths.

    The scale reaches the largest force: it ends at the force itself where two figures say it, else at a round
    number where one is close above, else at the next number of two figures whose half is short.
    """
    if largest <= 0:
        return (0.0,)
    # Three figures, as members' labels have: it also mends a force of 10 computed as 9.999999999999998.
    top = float(f"{largest:.2e}")
    power = 10.0 ** math.floor(math.log10(top))
    if float(f"{top:.1e}") != top:
        above = min(factor for factor in _STEPS if factor * power >= top) * power
        step = (0.1 if top < 2 * power else 0.2) * power
        top = above if above <= _BEYOND * top else math.ceil(top / step) * step
    return (0.0, top / 2, top)


def _words(
    text: str, x: float, size: float, *, colour: str = INK, weight: str = "regular", y: float = 0.0
) -> Text:
    return Text(text, x, y, size, colour, weight, anchor="start")


def _sense_entry(sense: str, meaning: str, em: float, sizes: Sizes) -> _Entry:
    style = SENSES[sense]
    width = member_width(
        0.0 if sense in "0?" else 0.55, 1.0, thinnest=sizes.thinnest, thickest=sizes.thickest
    )
    dash = tuple(length * sizes.thinnest for length in style.dash)
    if sense == "?":
        width = 1.6 * sizes.thinnest
        dash = tuple(length * width for length in style.dash)
    sample = Stroke(np.array([[0.0, 0.0], [_KEY * em, 0.0]]), width, style.colour, dash, style.round_caps)
    left = (_KEY + 0.4) * em
    suffix = _words(style.suffix, left, em, colour=style.text_colour, weight="semibold")
    room = measure(style.suffix, em, "semibold").width + 0.3 * em
    return _Entry(
        (sample, suffix, _words(meaning, left + room, em)), left + room + measure(meaning, em).width
    )


def _arrow_entry(meaning: str, em: float, sizes: Sizes, *, slashed: bool) -> _Entry:
    scale = em / sizes.unit
    shape = ArrowShape(sizes.arrow.width * scale, sizes.arrow.head * scale)
    marks = arrow((0.0, 0.0), (_KEY * em, 0.0), shape, slashed=slashed)
    left = (_KEY + 0.4) * em
    return _Entry((*marks, _words(meaning, left, em)), left + measure(meaning, em).width)


def _width_entry(scene: Scene, em: float, sizes: Sizes, words: SheetWords) -> _Entry:
    """Draw a wedge: at each figure it is as wide as a member that carries so much."""
    steps = round_steps(scene.largest_force)
    length = 6.0 * em
    places = [length * (step / steps[-1] if steps[-1] else 0.0) for step in steps]
    # The end may lie a little beyond the largest force: the scale goes on as wide as it would be there.
    grown = (sizes.thickest - sizes.thinnest) / scene.largest_force
    half = [(sizes.thinnest + grown * step) / 2 for step in steps]
    lift = -0.30 * em
    wedge = np.array(
        [[0.0, lift - half[0]], [length, lift - half[-1]], [length, lift + half[-1]], [0.0, lift + half[0]]]
    )
    marks: list[Mark] = [Fill(wedge, PALE_INK)]
    small = 0.72 * em
    numerals = Numerals(figures=2, decimal=scene.numerals.decimal)
    for step, place in zip(steps, places, strict=True):
        marks.append(
            Stroke(np.array([[place, lift + 0.22 * em], [place, lift + 0.40 * em]]), 0.05 * em, PALE_INK)
        )
        marks.append(Text(numerals.given(step), place, 0.50 * em, small, INK))
    meaning = words.width_scale.format(unit=scene.force_unit)
    left = length + 0.9 * em
    return _Entry((*marks, _words(meaning, left, em)), left + measure(meaning, em).width)


def _suffix_entry(sense: str, meaning: str, em: float) -> _Entry:
    """Say what the letter after a label means, where lines show something else."""
    suffix = _words(SENSES[sense].suffix, 0.0, em, weight="semibold")
    room = measure(suffix.words, em, "semibold").width + 0.3 * em
    return _Entry((suffix, _words(meaning, room, em)), room + measure(meaning, em).width)


def _use_entry(scene: Scene, em: float, sizes: Sizes, words: SheetWords) -> _Entry:
    """Draw a wedge in the tones: at each figure it is as wide and dark as a member that uses so much."""
    margin, length, lift, small = 0.5 * em, 7.5 * em, -0.30 * em, 0.72 * em
    marks: list[Mark] = []
    for row, tone in enumerate(USE):
        ends = np.array([row, row + 1]) / len(USE)
        half = (sizes.thinnest + (sizes.thickest - sizes.thinnest) * ends) / 2
        left, right = margin + ends * length
        marks.append(
            Fill(
                np.array(
                    [
                        [left, lift - half[0]],
                        [right, lift - half[1]],
                        [right, lift + half[1]],
                        [left, lift + half[0]],
                    ]
                ),
                tone,
            )
        )
    for share in (0.0, 0.5, 1.0):
        place = margin + share * length
        tick = np.array([[place, lift + 0.22 * em], [place, lift + 0.40 * em]])
        marks.append(Stroke(tick, 0.05 * em, PALE_INK))
        marks.append(Text(f"{share * scene.largest_use:.0%}", place, 0.50 * em, small, INK))
    left_edge = margin + length + 1.1 * em
    return _Entry(
        (*marks, _words(words.use_scale, left_edge, em)), left_edge + measure(words.use_scale, em).width
    )


def _first_entry(meaning: str, em: float, sizes: Sizes) -> _Entry:
    sample = Stroke(np.array([[0.0, 0.0], [_KEY * em, 0.0]]), sizes.thickest, USE[-1])
    left = (_KEY + 0.4) * em
    marks = outlined(sample, 0.75 * sizes.line)
    return _Entry((*marks, _words(meaning, left, em)), left + measure(meaning, em).width)


def _first_joint_entry(meaning: str, em: float, sizes: Sizes) -> _Entry:
    outer = sizes.joint + 2.5 * sizes.line
    rings = (
        *ring(outer, 0.0, sizes.joint + 2 * sizes.line, sizes.line),
        *ring(outer, 0.0, sizes.joint, sizes.line),
    )
    left = 2 * outer + 0.4 * em
    return _Entry((*rings, _words(meaning, left, em)), left + measure(meaning, em).width)


def _move_entry(meaning: str, em: float, sizes: Sizes) -> _Entry:
    scale = em / sizes.unit
    sample = block_arrow(np.zeros(2), np.array([_KEY * em, 0.0]), MOVE_WIDTH * em, 0.8 * sizes.line * scale)
    left = (_KEY + 0.4) * em
    return _Entry((*sample, _words(meaning, left, em)), left + measure(meaning, em).width)


def _force_entries(scene: Scene, em: float, sizes: Sizes, words: SheetWords) -> list[_Entry]:
    """Explain senses and loads."""
    seen = {
        member.sense
        for member in scene.members
        if not scene.shows_use or SENSES[member.sense].suffix in member.label
    }
    meanings = {"T": words.tension, "C": words.compression, "0": words.zero, "?": words.unsure}
    entries = [
        _suffix_entry(sense, meanings[sense], em)
        if scene.shows_use and sense != "0"
        else _sense_entry(sense, meanings[sense], em, sizes)
        for sense in SENSES
        if sense in seen
    ]
    if scene.loads:
        entries.append(_arrow_entry(words.load, em, sizes, slashed=False))
    if scene.reactions:
        entries.append(_arrow_entry(words.reaction, em, sizes, slashed=True))
    return entries


def _entries(scene: Scene, em: float, sizes: Sizes, words: SheetWords) -> list[_Entry]:
    entries = _force_entries(scene, em, sizes, words)
    if scene.shows_use:
        entries.append(_use_entry(scene, em, sizes, words))
    elif scene.largest_force > 0:
        entries.append(_width_entry(scene, em, sizes, words))
    if any(member.first for member in scene.members):
        entries.append(_first_entry(words.first, em, sizes))
    if any(joint.first for joint in scene.joints):
        entries.append(_first_joint_entry(words.first, em, sizes))
    if scene.moves:
        entries.append(_move_entry(words.move, em, sizes))
    return entries


def strip_under(scene: Scene, sizes: Sizes, width: float, words: SheetWords) -> Strip:
    """Lay out the strip for a drawing `width` wide.

    Only what the picture shows is explained.
    """
    em = sizes.page
    entries = _entries(scene, em, sizes, words)
    edge = 1.1 * em
    marks: list[Mark] = []
    y = 0.9 * em
    if scene.title:
        for line in wrap(scene.title, width - 2 * edge, 1.15 * em, "semibold"):
            marks.append(_words(line, edge, 1.15 * em, weight="semibold", y=y + 0.55 * em))
            y += 1.5 * em
        y += 0.3 * em
    for remark in scene.remarks:
        for line in wrap(remark, width - 2 * edge, em):
            marks.append(_words(line, edge, em, y=y + 0.5 * em))
            y += 1.4 * em
    y += 0.3 * em if scene.remarks else 0.0
    x = edge
    for entry in entries:
        if x > edge and x + entry.width > width - edge:
            x, y = edge, y + 1.65 * em
        marks.extend(moved(entry.marks, x, y + 0.5 * em))
        x += entry.width + 1.6 * em
    y += 1.75 * em if entries else 0.0
    for line in wrap(scene.caution, width - 2 * edge, _SMALL * em):
        marks.append(_words(line, edge, _SMALL * em, colour=PALE_INK, y=y + 0.45 * em))
        y += 1.3 * _SMALL * em
    return Strip(tuple(marks), y + 0.7 * em if marks else 0.0)
