"""How the nodes and members of one wild drawing look."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vision.training.wild.strokes import Colour, Hand

__all__ = ["POINTS", "Style", "choose_style"]

Rng = np.random.Generator

POINTS = frozenset({"none", "cross", "dot", "plate"})
"""Marks that members run up to the middle of."""


@dataclass(frozen=True)
class Style:
    """How nodes and members of one drawing look; lengths in pixels."""

    mark: str
    radius: float
    most: float
    """Length of the shortest member: nodes stay below half of it."""
    short: float
    """How far before the middle of a node a stroke begins, in radii; beyond 1 it stops short of the mark."""
    bow: float
    askew: float
    stops: float
    """How far short of a node a stroke may stop, as a part of the member's length."""
    uneven: float
    """Spread of the nodes' sizes within one drawing, as the standard deviation of their logarithm."""
    text: float
    """Height of names and numbers."""
    named: float
    numbered: float
    ticked: float
    look: str
    """What members are drawn as: one stroke, an outlined bar, two lines side by side."""
    broad: float
    """Width of bars and twin lines."""
    fill: Colour
    """Inside of bars and of nodes drawn over their members."""
    paper: Colour
    """Mean colour of the ground."""
    odd: float
    """Chance of a member drawn in dashes or in another colour."""
    marked: float
    """Chance of a member run over with a highlighter."""
    patchy: float
    """How much strokes differ in strength, 0 to 1."""


_SEEN = 30.0
"""Grey levels from the ground that the palest stroke of a drawing keeps."""


def _fill(rng: Rng, paper: Colour, ink: Colour) -> Colour:
    """Choose what bars and hinges are filled with: white, the paper, a grey between paper and ink, a tint."""
    kind = rng.random()
    if kind < 0.35:
        return paper
    if kind < 0.5:
        return 255.0, 255.0, 255.0
    if kind < 0.85:
        part = rng.uniform(0.1, 0.6)
        return (paper[0] * (1 - part) + ink[0] * part, paper[1] * (1 - part) + ink[1] * part,
                paper[2] * (1 - part) + ink[2] * part)  # fmt: skip
    r, g, b = rng.uniform(60, 255, 3).tolist()
    return float(r), float(g), float(b)


def _choose_mark(rng: Rng, look: str, *, nodes: bool) -> str:
    if look in {"bar", "twin"}:
        return str(rng.choice(["hinge", "plate", "none", "dot", "circle"], p=[0.45, 0.15, 0.15, 0.15, 0.1]))
    kinds = [
        "circle",
        "named",
        "filled",
        "scribbled",
        "mixed",
        "dot",
        "none",
        "cross",
        "hinge",
        "square",
        "plate",
    ]
    chance = (
        [0.28, 0.22, 0.09, 0.09, 0.16, 0.07, 0, 0, 0.05, 0.04, 0]
        if nodes
        else [0.16, 0.05, 0.06, 0.03, 0.04, 0.16, 0.29, 0.09, 0.06, 0.03, 0.03]
    )
    return str(rng.choice(kinds, p=chance))


def choose_style(rng: Rng, *, nodes: bool, shortest: float, hand: Hand, paper: Colour, ink: Colour) -> Style:
    """Choose the look of one drawing.

    Parameters
    ----------
    nodes
        True for graphs of circled nodes, False for trusses.
    shortest
        Length of the shortest member, pixels.
    paper, ink
        Mean colour of the ground, and the pen's.
    """
    by_hand = hand.wobble > 0
    apart = float(np.abs(np.array(ink) - paper).mean())
    room = shortest / max(hand.width, 1.0)
    look = "line"
    if room > 9 and rng.random() < (0.08 if by_hand or nodes else 0.4):
        look = str(rng.choice(["bar", "twin"], p=[0.75, 0.25] if not by_hand else [0.45, 0.55]))
    broad = float(np.clip(shortest * rng.uniform(0.05, 0.15), 2.6 * hand.width, max(4.0, 0.2 * shortest)))
    mark = _choose_mark(rng, look, nodes=nodes)
    radius = shortest * rng.uniform(0.05, 0.3 if nodes else 0.14)
    if mark == "named":
        radius = max(radius, shortest * rng.uniform(0.16, 0.36), 9.0)
    if mark in {"none", "cross", "dot"}:
        radius = min(radius, hand.width * rng.uniform(1.2, 3.5))
    if look != "line":
        radius = broad * rng.uniform(0.4, 0.95)
    radius = max(radius, hand.width * 1.3, 3.0)
    open_mark = mark not in POINTS and look == "line"
    far = 2.3 if rng.random() < 0.25 else 1.6
    return Style(
        mark=mark,
        radius=radius,
        most=shortest,
        short=rng.uniform(-0.3, far) if by_hand and rng.random() < 0.7 else 0.0,
        bow=rng.choice([0.0, 0.01, 0.03, 0.06]) if by_hand and look == "line" else 0.0,
        askew=rng.uniform(0, 1.6) if by_hand and nodes else 0.0,
        stops=rng.choice([0.0, 0.06, 0.14]) if by_hand and open_mark else 0.0,
        uneven=rng.choice([0.1, 0.25, 0.4]) if by_hand and nodes else 0.08,
        text=float(np.clip(shortest * rng.uniform(0.1, 0.35), 7, 34)),
        named=rng.choice([0.0, 0.5, 1.0]),
        numbered=rng.choice([0.0, 0.0, 0.3, 0.8]),
        ticked=rng.choice([0.0, 0.0, 0.0, 0.3]),
        look=look,
        broad=broad,
        fill=_fill(rng, paper, ink),
        paper=paper,
        odd=rng.choice([0.0, 0.0, 0.0, 0.15, 0.5]),
        marked=rng.uniform(0.1, 0.8) if rng.random() < 0.06 else 0.0,
        patchy=min(rng.uniform(0, 0.6), max(0.0, 1 - _SEEN / max(apart, 1.0)))
        if by_hand and rng.random() < 0.6
        else 0.0,
    )
