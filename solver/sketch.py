"""Small pictures for a notebook: a truss, its forces, a joint cut free, as SVG with nothing but numbers in.

Sheets and overlays are drawn elsewhere, with labels that are placed with care; these are for a quick look.
Colours are those of results everywhere: tension, compression, zero-force, sign not certain.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from html import escape

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "INK",
    "SENSE_COLOURS",
    "Arrow",
    "Bar",
    "Foot",
    "place_arrow",
    "sketch_joint",
    "sketch_truss",
    "table",
]

INK = "#1d2429"
SENSE_COLOURS = {"T": "#00797a", "C": "#c25e00", "0": "#7a7a7a", "?": "#7b4fa3"}
_DASHES = {"0": "7 5", "?": "1 5"}
_WIDTH, _HEIGHT = 560.0, 320.0
"""Pixels that a truss takes at most."""
_EDGE = 62.0
"""Pixels of paper round it, for supports, arrows and labels."""
_ARROW = 34.0
"""Pixels of a force's arrow on a truss."""
_REACH = 70.0
"""Pixels of a force's arrow at a joint cut free."""
_HEAD = 8.0
"""Pixels of an arrow's head."""
_CLOSE = 0.9
"""Cosine: within some 25 degrees one arrow covers another, or its label."""
_ASIDE = 15.0
"""Pixels that an arrow stands beside its line."""
_THIN, _THICK = 1.6, 6.0
"""Pixels of members that carry nothing and most."""


Way = tuple[float, float]
"""A direction, x right and y up."""


@dataclass(frozen=True)
class Bar:
    """A member to be drawn."""

    start: int
    end: int
    """Rows of the joints."""
    sense: str = ""
    """`T`, `C`, `0`, `?`, or empty before anything is known."""
    share: float = 0.0
    """Of the largest force, 0 to 1."""
    label: str = ""


@dataclass(frozen=True)
class Foot:
    """A support to be drawn."""

    joint: int
    rolls: bool
    normal: tuple[float, float]
    """From the ground into the truss: x right, y up, any length."""


@dataclass(frozen=True)
class Arrow:
    """A force to be drawn at a joint."""

    joint: int
    direction: tuple[float, float]
    """In its own sense: x right, y up, any length."""
    label: str
    sense: str = ""
    pulls: bool = False
    """Whether its tail, not its tip, is at the joint."""
    aside: bool = False
    """Whether it stands a little beside its line, since something else stands in it."""


def sketch_truss(
    at: NDArray[np.float64],
    names: Sequence[str],
    bars: Iterable[Bar],
    *,
    feet: Iterable[Foot] = (),
    arrows: Iterable[Arrow] = (),
    title: str,
) -> str:
    """Return a truss to scale as an SVG document.

    Parameters
    ----------
    at : (N, 2) float
        Joints, x right, y up.
    names : sequence of str
        Their names.
    bars, feet, arrows
        What joins, holds and loads them.
    title : str
        For readers that cannot see.
    """
    low, extent = at.min(axis=0), np.ptp(at, axis=0)
    scale = min(limit / size for limit, size in zip((_WIDTH, _HEIGHT), extent, strict=True) if size > 0)
    places = np.column_stack([at[:, 0] - low[0], low[1] + extent[1] - at[:, 1]]) * scale + _EDGE
    parts = [_bar(bar, places) for bar in bars]
    parts += [_foot(foot, places[foot.joint]) for foot in feet]
    parts += [_arrow(arrow, places[arrow.joint], _ARROW) for arrow in arrows]
    middle = places.mean(axis=0)
    for (x, y), name in zip(places, names, strict=True):
        parts.append(_ring(float(x), float(y)))
        left, up = (-1 if x < middle[0] else 1), (-1 if y < middle[1] else 1)
        parts.append(_text(name, x + 9 * left, y + 11 * up, bold=True, anchor="end" if left < 0 else "start"))
    width, height = extent * scale + 2 * _EDGE
    return _document(width, height, parts, title)


def sketch_joint(name: str, arrows: Iterable[Arrow]) -> str:
    """Return a joint cut free, its forces all equally long, as an SVG document."""
    middle = np.array([150.0, 110.0])
    parts = [_arrow(arrow, middle, _REACH) for arrow in arrows]
    parts.append(_ring(float(middle[0]), float(middle[1])))
    parts.append(_text(name, middle[0] + 8, middle[1] + 16, bold=True, anchor="start"))
    return _document(300, 220, parts, f"Free body of joint {name}")


def place_arrow(arrow: Arrow, taken: list[Way]) -> Arrow:
    """Put a force that may stand on either side of its joint where nothing is drawn yet.

    Parameters
    ----------
    arrow
        The force.
    taken
        Directions from the joint in which something is drawn already, any length; this one is added.
    """
    direction = arrow.direction
    way = np.array(direction) / math.hypot(*direction)
    near = [float(way @ np.array(other)) / math.hypot(*other) for other in taken]
    ahead, behind = max(near, default=-1.0), max((-cosine for cosine in near), default=-1.0)
    pulls = behind > _CLOSE and ahead < behind
    taken.append(direction if pulls else (-direction[0], -direction[1]))
    return replace(arrow, pulls=pulls, aside=min(ahead, behind) > _CLOSE)


def table(head: Sequence[str], rows: Iterable[Sequence[str]], *, caption: str) -> str:
    """Return an HTML table."""
    top = "".join(f'<th scope="col">{escape(cell)}</th>' for cell in head)
    body = "".join("<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows)
    name = f"<caption>{escape(caption)}</caption>"
    return f"<table>{name}<thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"


def _ring(x: float, y: float) -> str:
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5" fill="#fff" stroke="{INK}" stroke-width="1.5"/>'


def _bar(bar: Bar, places: NDArray[np.float64]) -> str:
    (x1, y1), (x2, y2) = places[bar.start], places[bar.end]
    colour = SENSE_COLOURS.get(bar.sense, INK)
    dash = f' stroke-dasharray="{_DASHES[bar.sense]}"' if bar.sense in _DASHES else ""
    width = _THIN + (_THICK - _THIN) * bar.share
    line = (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}"'
        f' stroke-width="{width:.1f}"{dash}/>'
    )
    if not bar.label:
        return line
    turn = math.degrees(math.atan2(y2 - y1, x2 - x1))
    turn = turn - 180 if turn > 90 else turn + 180 if turn <= -90 else turn
    x, y = (x1 + x2) / 2, (y1 + y2) / 2
    words = _text(bar.label, 0, -width / 2 - 4, colour=colour)
    return f'{line}<g transform="translate({x:.1f} {y:.1f}) rotate({turn:.1f})">{words}</g>'


def _foot(foot: Foot, place: NDArray[np.float64]) -> str:
    turn = math.degrees(math.atan2(foot.normal[0], foot.normal[1]))
    shape = _ROLLER if foot.rolls else _PIN
    there = f"translate({place[0]:.1f} {place[1]:.1f}) rotate({turn:.1f})"
    return f'<g transform="{there}" fill="none" stroke="{INK}" stroke-width="1.4">{shape}</g>'


_PIN = '<path d="M0 0 L-9 16 L9 16 Z" fill="#fff"/><path d="M-14 16 H14"/>'
_ROLLER = (
    '<path d="M0 0 L-9 14 L9 14 Z" fill="#fff"/><circle cx="-4" cy="17" r="3"/><circle cx="4" cy="17" r="3"/>'
    '<path d="M-14 20 H14"/>'
)


def _arrow(arrow: Arrow, place: NDArray[np.float64], reach: float) -> str:
    way = np.array([arrow.direction[0], -arrow.direction[1]])
    way = way / np.hypot(*way)
    outward = way if arrow.pulls else -way
    if arrow.aside:
        place = place + _ASIDE * np.array([outward[1], -outward[0]])
    near, far = place + 6 * outward, place + (6 + reach) * outward
    tip, tail = (far, near) if arrow.pulls else (near, far)
    side = np.array([-way[1], way[0]]) * _HEAD * 0.42
    back = tip - way * _HEAD
    colour = SENSE_COLOURS.get(arrow.sense, INK)
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in (tip, back + side, back - side))
    anchor = "middle" if abs(outward[0]) < 0.5 else "end" if outward[0] < 0 else "start"
    words = far + outward * (6 if anchor != "middle" else 11)
    return (
        f'<line x1="{tail[0]:.1f}" y1="{tail[1]:.1f}" x2="{back[0]:.1f}" y2="{back[1]:.1f}" stroke="{colour}"'
        f' stroke-width="1.8"/><polygon points="{points}" fill="{colour}"/>'
        + _text(arrow.label, float(words[0]), float(words[1]) + 4, colour=colour, anchor=anchor)
    )


def _text(
    words: str, x: float, y: float, *, colour: str = INK, bold: bool = False, anchor: str = "middle"
) -> str:
    weight = ' font-weight="600"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}"{weight} paint-order="stroke"'
        f' stroke="#fff" stroke-width="3">{escape(words)}</text>'
    )


def _document(width: float, height: float, parts: Iterable[str], title: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{height:.0f}"'
        f' viewBox="0 0 {width:.0f} {height:.0f}" role="img" font-family="sans-serif" font-size="13">'
        f'<title>{escape(title)}</title><rect width="100%" height="100%" fill="#fff"/>{"".join(parts)}</svg>'
    )
