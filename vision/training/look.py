"""How a page is to look: ground, tools, marks and camera that go together, for each of the drawn families."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from vision.training.draughtsman import Style
from vision.training.film import Film, choose_film
from vision.training.pens import Hand, choose_hand
from vision.training.photos import Album
from vision.training.sketch import Ink
from vision.training.writing import choose_lettering

__all__ = ["Look", "Recipe", "choose_look", "choose_recipe", "choose_tool", "frame_size"]


@dataclass(frozen=True)
class Recipe:
    """How a page of a family is made, before the truss is known."""

    ground: str
    inks: tuple[Ink, ...]
    """Of the truss, of the loads, of names and remarks."""
    printed: bool
    """Drawn by a machine: no wobble, letters of print."""
    ruler: bool
    rough: float
    """Of the photograph, 0 a scan to 1 a bad phone."""
    flat: bool
    """No perspective: a scan or a screenshot."""
    crowd: float = 0.0
    """Mean number of other things drawn beside the truss."""
    things: float = 0.0
    """Chance that things lie on the sheet."""
    ghosts: float = 0.0
    """Chance of an older drawing half wiped away, or of the sheet's back shining through."""


_PENS = ((24, 28, 40), (20, 36, 110), (30, 50, 150), (15, 15, 18), (120, 20, 30), (20, 90, 60))
_MARKERS = ((20, 22, 30), (20, 50, 160), (170, 30, 40), (20, 110, 60))
_CHALKS = (
    (236, 236, 228),
    (240, 240, 240),
    (225, 225, 200),
    (240, 225, 130),
    (245, 180, 170),
    (160, 200, 235),
)
_RED = (190, 40, 40)


def _pick(
    rng: np.random.Generator, colours: tuple[tuple[int, int, int], ...], first: float
) -> tuple[int, int, int]:
    """Return the first colour with a chance of `first`, else any; never twice quite the same."""
    colour = colours[0] if rng.random() < first else colours[int(rng.integers(len(colours)))]
    r, g, b = (int(np.clip(c + rng.normal(0, 10), 0, 255)) for c in colour)
    return r, g, b


def choose_tool(rng: np.random.Generator, tool: str) -> Ink:
    """Return the ink of a `pen`, `pencil`, `chalk`, `marker`, of `print` or of a `digital` pen."""
    if tool == "pencil":
        level = int(rng.integers(45, 125))
        return Ink(
            (level, level, level + 4), rng.uniform(0.55, 0.95), rng.uniform(0.25, 0.75), rng.uniform(0.1, 0.5)
        )
    if tool == "chalk":
        return Ink(
            _pick(rng, _CHALKS, 0.6), rng.uniform(0.75, 1.0), rng.uniform(0.3, 0.9), rng.uniform(0.0, 0.4)
        )
    if tool == "marker":
        return Ink(_pick(rng, _MARKERS, 0.4), rng.uniform(0.8, 1.0), rng.uniform(0, 0.2), rng.uniform(0, 0.3))
    if tool == "print":
        level = int(rng.choice([0, 10, 30, 60]))
        return Ink((level, level, level), 1.0)
    if tool == "digital":
        return Ink(_pick(rng, (*_MARKERS, (240, 150, 30), (90, 40, 160)), 0.4), 1.0, 0.0, 0.0)
    return Ink(_pick(rng, _PENS, 0.35), rng.uniform(0.75, 0.98), rng.uniform(0, 0.25), rng.uniform(0, 0.45))


def choose_recipe(rng: np.random.Generator, family: str) -> Recipe:
    """Return ground, tools and camera manners for one of the drawn families."""
    ground, tool, printed, flat = "plain", "pen", False, False
    rough = rng.uniform(0.3, 1.0)
    if family == "printed":
        ground, tool, printed = "print", "print", True
        flat = rng.random() < 0.35
        rough = rng.uniform(0.0, 0.3) if flat else rng.uniform(0.2, 1.0)
    elif family in {"whiteboard", "blackboard"}:
        ground, tool = family, "marker" if family == "whiteboard" else "chalk"
    elif family == "tablet":
        ground, tool = "tablet", "digital"
        flat = rng.random() < 0.8
        rough = 0.05 if flat else rng.uniform(0.2, 0.6)
    elif family in {"ruled", "squared"}:
        ground = family if rng.random() < 0.85 else ("yellow" if family == "ruled" else "dotted")
        tool = str(rng.choice(["pen", "pen", "pencil", "marker"]))
    elif family == "pencil":
        ground = str(rng.choice(["plain", "plain", "squared", "ruled", "kraft"]))
        tool = "pencil"
    else:
        ground = str(
            rng.choice(["plain", "plain", "squared", "ruled", "yellow", "whiteboard", "blackboard", "kraft"])
        )
        tool = {"whiteboard": "marker", "blackboard": "chalk"}.get(
            ground, str(rng.choice(["pen", "pencil", "marker"]))
        )
    main = choose_tool(rng, tool)
    if tool == "digital" and rng.random() < 0.3:
        ground, main = "dark screen", Ink(_pick(rng, _CHALKS, 0.5))
    second = main if rng.random() < 0.6 or printed or tool == "digital" else choose_tool(rng, tool)
    red = rng.random() < 0.15 and tool not in {"chalk", "digital"} and not printed
    third = (
        Ink(_RED, main.opacity, main.grain, main.pressure)
        if red
        else (main if rng.random() < 0.6 else second)
    )
    ghosts = 0.4 if ground in {"whiteboard", "blackboard"} else 0.08
    if printed or tool == "digital":
        ghosts = 0.0
    return Recipe(
        ground,
        (main, second, third),
        printed,
        ruler=rng.random() < 0.35,
        rough=rough,
        flat=flat,
        crowd=rng.uniform(1, 4) if family == "clutter" else float(rng.choice([0, 0, 0.5, 1.5])),
        things=0.4 if family == "clutter" else 0.08,
        ghosts=ghosts,
    )


def frame_size(rng: np.random.Generator, size: int) -> tuple[int, int]:
    """Return width and height with the longest side `size`, in one of the usual proportions."""
    short = int(size / float(rng.choice([4 / 3, 4 / 3, 3 / 2, 16 / 9, 1.0, 1.41])))
    return (size, short) if rng.random() < 0.72 else (short, size)


def _style(
    rng: np.random.Generator, family: str, recipe: Recipe, span_px: float, joints: int, *, fonts: bool
) -> Style:
    thick = {"whiteboard": 4.0, "blackboard": 4.5, "printed": 2.0}.get(family, 2.6)
    width = max(1.2, float(np.clip(rng.lognormal(np.log(thick), 0.4), 1.0, 16.0)) * span_px / 620) / span_px
    hand = choose_hand(rng, width, ruler=recipe.ruler or recipe.printed)
    if recipe.printed:
        hand = Hand(width)
    marks = ["none", "none", "none", "dot", "circle", "cross"]
    if recipe.printed:
        marks = ["none", "none", "dot", "circle", "circle"]
    mark = str(rng.choice(marks))
    radius = max(rng.uniform(0.007, 0.02), 1.3 * width)
    inside = False
    if family == "circled":
        mark = str(rng.choice(["circle", "circle", "circle", "mixed", "blob"]))
        crowd = min(1.0, 6 / joints)
        radius = max(rng.uniform(0.018, 0.085) * crowd, 2.2 * width)
        inside = mark == "circle" and radius > 0.03 and rng.random() < 0.5
        if rng.random() < 0.5:  # lines that stop well short of the circle
            hand = replace(hand, gap=rng.uniform(0.005, 0.035), again=0.0)
        if rng.random() < 0.12:  # lines that are drawn in a curve
            hand = replace(hand, bow=rng.uniform(0.02, 0.07))
    bar = 0.0
    if rng.random() < (0.3 if recipe.printed else 0.06):
        bar = rng.uniform(0.016, 0.04) * min(1.0, 8 / joints)
        mark, radius = str(rng.choice(["circle", "circle", "dot"])), bar * rng.uniform(0.45, 0.8)
    letter = max(rng.uniform(0.026, 0.05), 9.0 / span_px)
    return Style(
        hand=hand,
        lettering=choose_lettering(rng, printed=recipe.printed or rng.random() < 0.08, fonts=fonts),
        mark=mark,
        mark_radius=radius,
        bar=bar,
        named_inside=inside,
        careless=0.0 if recipe.printed else rng.uniform(0.1, 1.0),
        letter_height=letter,
        support=rng.uniform(0.04, 0.085),
        arrow=rng.uniform(0.1, 0.22),
        load_ink=1,
        note_ink=2,
        mixed=0.4 if rng.random() < 0.12 and not recipe.printed else 0.0,
        dashed=0.25 if rng.random() < 0.06 else 0.0,
        ticks=0.4 if rng.random() < 0.07 else 0.0,
        thin=rng.uniform(0.45, 0.9),
        solid=rng.random() < (0.7 if recipe.printed else 0.2),
    )


@dataclass(frozen=True, eq=False)
class Look:
    """All that is decided about a page before it is drawn."""

    recipe: Recipe
    style: Style
    film: Film
    frame: tuple[int, int]
    """Width and height in pixels."""
    fill: float
    """Part of the frame that the drawing takes, 0 to 1."""
    turns: tuple[float, float, float]
    """Tilt, turn and roll of the camera in radians; a flat recipe has none."""
    focal: float = 1.3
    album: Album | None = None
    """Photographs that may lie around the sheet; None paints everything."""
    """Picture widths."""
    bend: tuple[float, float] = (0.0, 0.0)


def choose_look(rng: np.random.Generator, family: str, *, size: int, joints: int, fonts: bool) -> Look:
    """Return the look of one page of a family by chance.

    `size` is the longest side in pixels, `joints` their number (large circles go with few joints).
    """
    recipe = choose_recipe(rng, family)
    frame = frame_size(rng, size)
    fill = rng.uniform(0.6, 1.02) if rng.random() < 0.85 else rng.uniform(0.15, 0.6)
    span_px = max(60.0, fill * min(frame) * 0.8)
    tilt = abs(rng.normal(0, 0.22)) if rng.random() < 0.7 else rng.normal(0, 0.35)
    roll = rng.normal(0, 0.05) if rng.random() < 0.85 else rng.normal(0, 0.3)
    return Look(
        recipe,
        style=_style(rng, family, recipe, span_px, joints, fonts=fonts),
        film=choose_film(rng, rough=recipe.rough),
        frame=frame,
        fill=fill,
        turns=(float(np.clip(-tilt, -0.75, 0.75)), float(np.clip(rng.normal(0, 0.16), -0.6, 0.6)), roll),
        focal=rng.uniform(0.75, 2.2),
        bend=(rng.normal(-0.01, 0.025), rng.normal(0, 0.006)),
    )
