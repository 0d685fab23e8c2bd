"""Cross-sections of members: what strips, rods and tubes have against pulling, crushing and buckling.

All lengths are in millimetres, so that stresses come out in megapascals (N/mm²).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from solver.errors import StockError

__all__ = [
    "Section",
    "any_section",
    "laminated",
    "loose",
    "rectangle",
    "round_bar",
    "spaced_pair",
    "square",
    "tube",
]


@dataclass(frozen=True)
class Section:
    """A cross-section, checked when it is made.

    Raises
    ------
    StockError
        When area or second moment is not a positive number.
    """

    area: float
    """mm²."""
    inertia: float
    """Second moment of area about the weaker axis, mm⁴."""
    shape: str = "given"
    """A stable word: `rectangle`, `square`, `round`, `tube`, `laminated`, `loose`, `spaced`, `given`."""

    def __post_init__(self) -> None:
        _positive("area", self.area, "mm²")
        _positive("second moment of area", self.inertia, "mm⁴")

    @property
    def gyration(self) -> float:
        """Radius of gyration about the weaker axis, mm."""
        return math.sqrt(self.inertia / self.area)


def any_section(area: float, inertia: float) -> Section:
    """Give a section by its area (mm²) and its smallest second moment of area (mm⁴)."""
    return Section(area, inertia)


def rectangle(width: float, thickness: float) -> Section:
    """Give a rectangle; it bends about its thinner side, I = b t³ / 12 with t the smaller of the two."""
    width, thickness = _positive("width", width, "mm"), _positive("thickness", thickness, "mm")
    return Section(width * thickness, _inertia(width, thickness), "rectangle")


def square(side: float) -> Section:
    """Give a square bar, I = a⁴ / 12."""
    side = _positive("side", side, "mm")
    return Section(side**2, side**4 / 12, "square")


def round_bar(diameter: float) -> Section:
    """Give a solid round bar, I = pi d⁴ / 64."""
    diameter = _positive("diameter", diameter, "mm")
    return Section(math.pi * diameter**2 / 4, math.pi * diameter**4 / 64, "round")


def tube(diameter: float, wall: float) -> Section:
    """Give a round tube by its outer diameter and wall.

    A wall that wrinkles before the tube buckles or crushes is not covered.
    """
    diameter, wall = _positive("diameter", diameter, "mm"), _positive("wall", wall, "mm")
    inner = diameter - 2 * wall
    if inner <= 0:
        raise StockError(
            f"A tube of {diameter:g} mm outside cannot have a wall of {wall:g} mm: give a wall of less than "
            "half the diameter, or a solid round bar."
        )
    return Section(math.pi * (diameter**2 - inner**2) / 4, math.pi * (diameter**4 - inner**4) / 64, "tube")


def laminated(width: float, thickness: float, sticks: int) -> Section:
    """Give equal strips glued flat on each other along their whole length, so that they act as one."""
    sticks = _count(sticks)
    width, thickness = _positive("width", width, "mm"), _positive("thickness", thickness, "mm")
    deep = thickness * sticks
    return Section(width * deep, _inertia(width, deep), "laminated")


def loose(section: Section, sticks: int) -> Section:
    """Give equal pieces side by side without glue: areas add up, and so do their own stiffnesses, no more."""
    sticks = _count(sticks)
    return Section(section.area * sticks, section.inertia * sticks, "loose")


def spaced_pair(width: float, thickness: float, gap: float) -> Section:
    """Give two strips face to face with blocks between them.

    The blocks are taken to be glued and close enough for the pair to act as one (theorem of parallel axes).
    One strip between two blocks can still buckle alone; that is not covered.
    """
    width, thickness = _positive("width", width, "mm"), _positive("thickness", thickness, "mm")
    gap = _positive("gap", gap, "mm")
    apart = (thickness + gap) / 2
    across = 2 * (width * thickness**3 / 12 + width * thickness * apart**2)
    along = 2 * thickness * width**3 / 12
    return Section(2 * width * thickness, min(across, along), "spaced")


def _inertia(one: float, other: float) -> float:
    return max(one, other) * min(one, other) ** 3 / 12


def _positive(what: str, value: float, unit: str) -> float:
    if not math.isfinite(value) or value <= 0:
        raise StockError(f"A stock's {what} of {value:g} {unit} is impossible: give a number above zero.")
    return float(value)


def _count(sticks: int) -> int:
    if sticks < 1:
        raise StockError(f"A member of {sticks} sticks is impossible: give one stick or more.")
    return int(sticks)
