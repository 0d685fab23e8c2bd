"""What a member or a joint can carry, each figure with the formula and the numbers behind it.

Compression is the least of crushing and buckling, or a published curve between the two. Lengths in mm,
forces in N, stresses in MPa. Capacities are averages: no safety factor is in them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.errors import StockError
from solver.strength.materials import Figure, Material
from solver.strength.stock import Section

__all__ = [
    "CURVES",
    "Capacity",
    "Piece",
    "Term",
    "column_curve",
    "compression_capacity",
    "compression_checks",
    "crossover_slenderness",
    "euler",
    "joint_capacity",
    "lap_capacity",
    "tension_capacity",
]

CURVES = ("least", "interaction")
"""`least`: the smaller of crushing and Euler. `interaction`: the curve of the NDS for sawn wood."""

SAWN = 0.8
"""The constant c of the NDS column curve for sawn wood (National Design Specification for Wood Construction,
3.7.1; from memory)."""


@dataclass(frozen=True)
class Term:
    """One quantity in a formula."""

    symbol: str
    value: float
    unit: str = ""


@dataclass(frozen=True)
class Capacity:
    """The force at which one thing gives way, and why."""

    mode: str
    """`tension`, `crushing`, `buckling`, `buckling out of plane` or `joint`."""
    rule: str
    """The formula, a stable word: `net area`, `crushing`, `euler`, `interaction`, `lap` or `given`."""
    force: float
    """N."""
    terms: tuple[Term, ...]
    """What goes into the formula, in its order."""


@dataclass(frozen=True)
class Piece:
    """What one member is made of and how it is held."""

    section: Section
    material: Material
    effective_length: float = 1.0
    """Factor on the length between joints: 1 for ends that turn freely, 0.5 for both ends held fast (from
    memory; any text on strength of materials)."""
    net: float = 1.0
    """Share of the area that is left in tension beside holes and notches, or that the glue reaches."""
    bracing: float | None = None
    """Length between points held against moving out of the plane, mm, where it is not the member's own."""

    def __post_init__(self) -> None:
        if not math.isfinite(self.effective_length) or self.effective_length <= 0:
            raise StockError(
                f"An effective length factor of {self.effective_length:g} is impossible: 1 is a member with "
                "ends that turn freely."
            )
        if not 0 < self.net <= 1:
            raise StockError(
                f"A net area of {self.net:g} of the whole is impossible: give a share above 0, 1 at most."
            )
        if self.bracing is not None and not (math.isfinite(self.bracing) and self.bracing > 0):
            raise StockError(
                f"A length between bracing points of {self.bracing:g} mm is impossible: give one above zero."
            )


def euler(modulus: float, inertia: float, effective: float) -> float:
    """Give Euler's buckling force pi² E I / L_e².

    Parameters
    ----------
    modulus : float
        MPa.
    inertia : float
        mm⁴.
    effective : float
        mm.
    """
    return math.pi**2 * modulus * inertia / effective**2


def crossover_slenderness(material: Material) -> float:
    """Give the slenderness L_e / r above which Euler governs over crushing, pi sqrt(E / f_c)."""
    return math.pi * math.sqrt(material.modulus.value / material.compression.value)


def column_curve(
    crushing: NDArray[np.float64], buckling: NDArray[np.float64], curve: str
) -> NDArray[np.float64]:
    """Join crushing and buckling forces to what a column carries.

    Parameters
    ----------
    crushing, buckling : float arrays of one shape, N
    curve : str
        `least` or `interaction`.

    Raises
    ------
    StockError
        When there is no such curve.

    References
    ----------
    National Design Specification for Wood Construction, 3.7.1 (from memory): with a the Euler stress over
    the crushing stress, C_P = (1 + a) / 2c - sqrt(((1 + a) / 2c)² - a / c), c = 0.8. The code puts its
    allowable stresses in; here averages are.
    """
    if curve not in CURVES:
        raise StockError(f"There is no column curve {curve!r}: use one of {', '.join(CURVES)}.")
    if curve == "least":
        return np.minimum(crushing, buckling)
    ratio = buckling / crushing
    half = (1 + ratio) / (2 * SAWN)
    # (half - root) loses digits where the ratio is large; the product of both roots is ratio / c.
    return np.asarray(crushing * (ratio / SAWN) / (half + np.sqrt(half**2 - ratio / SAWN)))


def tension_capacity(piece: Piece) -> Capacity:
    """Give what a member carries in tension: strength times the area that is left."""
    strength, area = piece.material.tension.value, piece.section.area
    terms = (
        Term("f_t", strength, "MPa"),
        Term("A", area, "mm²"),
        Term("net", piece.net),
    )
    return Capacity("tension", "net area", strength * area * piece.net, terms)


def compression_checks(piece: Piece, length: float) -> tuple[Capacity, ...]:
    """Give crushing (on the whole area), buckling, and buckling out of the plane where bracing is given.

    Parameters
    ----------
    length : float
        Between the joints, mm.

    Notes
    -----
    Without word of how the section is turned, both ways of buckling are about its weaker axis.
    """
    if not math.isfinite(length) or length <= 0:
        raise StockError(f"A member of length {length:g} mm is impossible: give one above zero.")
    section, material = piece.section, piece.material
    modulus, crushing = material.modulus.value, material.compression.value
    checks = [
        Capacity(
            "crushing",
            "crushing",
            crushing * section.area,
            (Term("f_c", crushing, "MPa"), Term("A", section.area, "mm²")),
        )
    ]
    lengths = [("buckling", piece.effective_length, length)]
    if piece.bracing is not None:
        lengths.append(("buckling out of plane", 1.0, piece.bracing))
    for mode, factor, free in lengths:
        terms = (
            Term("E", modulus, "MPa"),
            Term("I", section.inertia, "mm⁴"),
            Term("K", factor),
            Term("L", free, "mm"),
        )
        checks.append(Capacity(mode, "euler", euler(modulus, section.inertia, factor * free), terms))
    return tuple(checks)


def compression_capacity(piece: Piece, length: float, *, curve: str = "least") -> Capacity:
    """Give what a member carries in compression, named after the smaller of crushing and buckling.

    Parameters
    ----------
    length : float
        Between the joints, mm.
    curve : str
        `least` or `interaction`; see `column_curve`.
    """
    checks = compression_checks(piece, length)
    crushing, buckling = checks[0], min(checks[1:], key=lambda check: check.force)
    lower = min(crushing, buckling, key=lambda check: check.force)
    force = float(column_curve(np.array(crushing.force), np.array(buckling.force), curve))
    if curve == "least":
        return lower
    terms = (
        Term("P_c", crushing.force, "N"),
        Term("P_E", buckling.force, "N"),
        Term("c", SAWN),
    )
    return Capacity(lower.mode, "interaction", force, terms)


def joint_capacity(force: float) -> Capacity:
    """Give what glue or gusset of a joint hold of any one member that ends there, as the user gave it.

    Parameters
    ----------
    force : float
        N: shear strength of the glue or gusset times the lap of one member's end, as tested or worked out.
    """
    if not math.isfinite(force) or force <= 0:
        raise StockError(f"A joint that holds {force:g} N is impossible: give a force above zero.")
    return Capacity("joint", "given", force, (Term("given", force, "N"),))


def lap_capacity(shear: Figure, area: float) -> Capacity:
    """Give what a glued lap holds when the wood shears before the glue lets go.

    Parameters
    ----------
    shear : Figure
        Strength of the weaker of wood and glue, MPa.
    area : float
        Lap of one member's end, mm².
    """
    if not math.isfinite(area) or area <= 0:
        raise StockError(f"A lap of {area:g} mm² is impossible: give an area above zero.")
    return Capacity(
        "joint", "lap", shear.value * area, (Term("f_v", shear.value, "MPa"), Term("A", area, "mm²"))
    )
