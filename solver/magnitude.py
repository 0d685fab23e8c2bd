"""Tell plain numbers of a size that arithmetic can carry from everything else."""

from __future__ import annotations

import math
from collections.abc import Iterator
from numbers import Real
from typing import TypeGuard

from solver.errors import Fault
from solver.settings import TOLERANCES

__all__ = ["is_number", "number_faults"]


def is_number(value: object) -> TypeGuard[float]:
    """Tell whether a value is a finite real number, not too large."""
    return not any(True for _ in number_faults(value, ""))


def number_faults(
    value: object,
    where: str,
    *,
    joints: tuple[str, ...] = (),
    members: tuple[tuple[str, str], ...] = (),
    least: float = -math.inf,
) -> Iterator[Fault]:
    """Yield a fault unless a value is a finite real number, not too large and not below the least allowed.

    Parameters
    ----------
    where : str
        What the value is, to start the sentence with: `x of joint A`.
    """
    trouble, kind = "", "not a number"
    if isinstance(value, bool) or not isinstance(value, Real):
        trouble = f"is {repr(value)[:40]}, not a number; give a plain number"
    else:
        try:
            size = float(value)
        except OverflowError:
            size = math.inf
        if math.isnan(size):
            trouble = "is not a number; give a plain number"
        elif abs(size) > TOLERANCES.largest_number:
            trouble, kind = "is too large to calculate with; choose a larger unit", "out of range"
        elif size < least:
            trouble, kind = "is negative; give zero or more", "out of range"
    if trouble:
        yield Fault(kind, f"{where[:1].upper()}{where[1:]} {trouble}.", joints=joints, members=members)
