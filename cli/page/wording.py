"""The sentences of the live answer, together, in plain classroom English."""

from __future__ import annotations

from typing import Literal

from cli.page.answer_types import Sense
from cli.sheets.numerals import Numerals
from solver import Stability

__all__ = [
    "EQUATION_NUMERALS",
    "NUMERALS",
    "count_words",
    "force_words",
    "headline",
    "kinds",
    "quantity",
    "verdict_words",
]

NUMERALS = Numerals(figures=3)
EQUATION_NUMERALS = Numerals(figures=4)
"""As hand calculations carry."""
ERROR_NUMERALS = Numerals(figures=2)
"""A standard error is itself known to a tenth at best."""

Verdict = Literal["determinate", "indeterminate", "unstable", "unstable and indeterminate"]


def kinds(verdict: str) -> Verdict:
    """Return the verdict as the types know it."""
    for known in ("determinate", "indeterminate", "unstable"):
        if verdict == known:
            return known
    return "unstable and indeterminate"


def quantity(value: float, unit: str) -> str:
    """Write a number with its unit."""
    return f"{NUMERALS.number(value)} {unit}"


def headline(stability: Stability, *, supports: bool, loads: bool) -> str:
    """Say in a few words where things stand."""
    if not supports:
        return "Put on the supports"
    if stability.mechanisms and stability.self_stress:
        return "It can move, and has too much elsewhere"
    if stability.mechanisms:
        return "It can move"
    if stability.self_stress:
        return "Statically indeterminate"
    if not loads:
        return "Determinate: put on a load"
    return "Statically determinate: solved"


def count_words(stability: Stability) -> str:
    """Say the count in words."""
    m, r, j = stability.m, stability.r, stability.j
    more = (m + r > 2 * j) - (m + r < 2 * j)
    compared = {0: "as many as", 1: "more than", -1: "fewer than"}[more]
    return (
        f"{_some(m, 'member force')} and {_some(r, 'reaction')} are unknown: {compared} the two equations "
        f"at each of {_some(j, 'joint')}."
    )


def _some(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def verdict_words(stability: Stability, *, supports: bool, loads: bool) -> str:
    """Say what the verdict means for this truss."""
    if not supports:
        return "Choose what holds the truss: most often a pin at one end and a roller at the other."
    parts: list[str] = []
    unknowns, equations = stability.m + stability.r, 2 * stability.j
    if stability.mechanisms:
        ways = "one way" if stability.mechanisms == 1 else f"{stability.mechanisms} ways"
        parts.append(f"The truss can move in {ways} without stretching a member.")
        if unknowns >= equations:
            parts.append("The count alone does not show it: the members are not where they are needed.")
        parts.append("Add a member or a support where it moves.")
    if stability.self_stress:
        n = stability.self_stress
        parts.append(
            f"There {'is one member or reaction' if n == 1 else f'are {n} members or reactions'} more than "
            "equilibrium needs, so equilibrium alone cannot find the forces. The members that take part are "
            "lit up."
        )
    if not parts and not loads:
        return "Every force will follow from equilibrium alone as soon as there is a load."
    return " ".join(parts) or "They have exactly one answer."


def force_words(ends: tuple[str, str], force: float, error: float | None, sense: Sense, unit: str) -> str:
    """Say what a member carries, and how sure that is."""
    start, end = ends
    size = quantity(abs(force), unit)
    spread = (
        "" if error is None or not error else f" ± {ERROR_NUMERALS.number(error)} {unit} (one standard error)"
    )
    if sense == "0":
        return f"Member {start}–{end} carries nothing."
    if sense == "?":
        return (
            f"Member {start}–{end}: {quantity(force, unit)}{spread}. Whether it is pulled or pushed is not "
            "certain at two standard errors."
        )
    return f"Member {start}–{end} is in {'tension' if sense == 'T' else 'compression'}: {size}{spread}."
