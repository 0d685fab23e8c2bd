"""Sizes of everything on an overlay, all from the size of the picture and of the truss in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cli.sheets.scene import Scene
from cli.sheets.symbols import ArrowShape

__all__ = ["SizeSettings", "Sizes", "sizes_for"]


@dataclass(frozen=True)
class SizeSettings:
    """Shares that the text size takes."""

    of_width: float = 0.026
    """Of the picture's width: 10 px on a telephone that shows it 390 px wide, about the smallest to read."""
    of_height: float = 0.046
    """Of the picture's height, for strips much wider than high."""
    of_member: float = 0.42
    """Of the length that a quarter of the members fall short of: symbols must not bury a small truss."""
    smallest: float = 0.55
    """Of the text size that the picture alone would give: below it telephones show nothing legible."""


@dataclass(frozen=True)
class Sizes:
    """Lengths in pixels of the picture."""

    page: float
    """Em of the strip under the picture: title, legend, caution."""
    unit: float
    """Em of labels at their full size; symbols and arrows count in it."""
    text: float
    """Em of labels as set; smaller than `unit` where the picture is crowded."""

    @property
    def thinnest(self) -> float:
        """Width of a member that carries nothing."""
        return 0.085 * self.unit

    @property
    def thickest(self) -> float:
        """Width of the member that carries most."""
        return 0.34 * self.unit

    @property
    def casing(self) -> float:
        """Light edge beside lines."""
        return 0.055 * self.unit

    @property
    def line(self) -> float:
        """Width of symbols' lines."""
        return 0.075 * self.unit

    @property
    def joint(self) -> float:
        """Radius of a joint's ring."""
        return 0.20 * self.unit

    @property
    def symbol(self) -> float:
        """Size of a support."""
        return 0.92 * self.unit

    @property
    def gap(self) -> float:
        """Room between a label and what it names."""
        return 0.14 * self.text

    @property
    def name_reach(self) -> float:
        """From the middle of a joint to the near edge of its name."""
        return self.joint + self.line + 0.6 * self.gap

    @property
    def edge(self) -> float:
        """Room between a label and the edge of the picture."""
        return 0.35 * self.text

    @property
    def arrow_length(self) -> float:
        """From tail to tip."""
        return 2.3 * self.unit

    @property
    def arrow(self) -> ArrowShape:
        """Proportions of loads and reactions."""
        return ArrowShape(width=0.12 * self.unit, head=0.66 * self.unit)


def sizes_for(scene: Scene, *, shrink: float = 1.0, settings: SizeSettings | None = None) -> Sizes:
    """Return the sizes for a picture.

    Parameters
    ----------
    scene : Scene
        Its picture's size and its members' lengths count.
    shrink : float
        Labels are set at this share of their full size.
    settings : SizeSettings, optional
        Shares.
    """
    settings = settings or SizeSettings()
    page = min(settings.of_width * scene.width, settings.of_height * scene.height)
    unit = page
    if scene.members:
        ends = np.array([(joint.x, joint.y) for joint in scene.joints])
        lengths = [float(np.hypot(*(ends[member.end] - ends[member.start]))) for member in scene.members]
        short = float(np.quantile(lengths, 0.25))
        unit = max(min(page, settings.of_member * short), settings.smallest * page)
    return Sizes(page=page, unit=unit, text=shrink * unit)
