"""A drawn truss as it was meant: joints on the simplest whole-number pattern, at the size it has."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from solver.parts import Joint
from solver.practice.lattice import Lattice, find_lattice
from solver.practice.settings import PRACTICE, PracticeSettings
from solver.truss import Truss

__all__ = ["as_meant"]

_FIGURES = 6
"""Of a length between levels at most: what survives a file of places."""


def as_meant(truss: Truss, *, settings: PracticeSettings = PRACTICE) -> tuple[Truss, ...]:
    """Return what a truss measured off a drawing may have been meant to be, roundest lengths first.

    Levels become whole numbers of one length on each axis, as the drawing shows them: straight chords are
    straight and equal panels are equal. That length is rounded as far as `settings.round_off` allows.

    Returns
    -------
    tuple of Truss
        The same truss but for its joints, the lowest and leftmost at 0; none where no whole-number pattern
        shows what the drawing shows. The last has the unrounded lengths.
    """
    lattice = find_lattice(truss, settings=settings)
    return (
        () if lattice is None else tuple(_on(truss, lattice, *units) for units in _units(lattice, settings))
    )


def _on(truss: Truss, lattice: Lattice, across: Fraction, up: Fraction) -> Truss:
    return replace(
        truss,
        joints=tuple(
            Joint(joint.name, float(int(x) * across), float(int(y) * up))
            for joint, (x, y) in zip(truss.joints, lattice.places.tolist(), strict=True)
        ),
    )


def _units(lattice: Lattice, settings: PracticeSettings) -> Iterator[tuple[Fraction, Fraction]]:
    """Give the length of one step on either axis: each rounded by itself, then neither."""
    exact = lattice.across.unit, lattice.up.unit
    rounded = [_rounded(unit, settings.round_off) for unit in exact]
    plain = [Fraction(f"{unit:.{_FIGURES}g}") for unit in exact]
    yield from dict.fromkeys(
        (across, up) for across in (rounded[0], plain[0]) for up in (rounded[1], plain[1])
    )


def _rounded(unit: float, slack: float) -> Fraction:
    """Return the number of fewest figures within a share of another."""
    for figures in range(1, _FIGURES):
        number = Fraction(f"{unit:.{figures}g}")
        if abs(float(number) - unit) <= slack * unit:
            return number
    return Fraction(f"{unit:.{_FIGURES}g}")
