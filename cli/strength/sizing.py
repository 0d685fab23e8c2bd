"""Where to put the wood, as text and as JSON: least stock for a target, and what to make stronger first."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from cli.report import aligned, wrapped
from cli.sheets.numerals import Numerals
from solver import convert_force
from solver.strength import Choice, Standing, Upgrade, spread_of

__all__ = ["Sizing", "sizing_json", "sizing_text"]

NUMERALS = Numerals(figures=3)


@dataclass(frozen=True, eq=False)
class Sizing:
    """A target and what carries it."""

    target: float
    """N, all loads added up."""
    now: Standing
    names_now: tuple[str, ...]
    """Stock of each member as it is."""
    choice: Choice
    ideal: float | None
    """Grams that stress alone would allow, stock of any size and no buckling; None where forces follow the
    stock."""
    upgrades: tuple[Upgrade, ...]


def sizing_text(sizing: Sizing, write: Callable[[float], str]) -> list[str]:
    """Return the lines of the report.

    Parameters
    ----------
    sizing
        What was found.
    write
        Turns N into text with the model's unit.
    """
    now, then = sizing.now, sizing.choice.standing
    rows: list[tuple[str, ...]] = [("member", "now", "least stock", "change g")]
    before, after = now.member_grams, then.member_grams
    for row, option in enumerate(sizing.choice.options):
        change = float(after[row] - before[row])
        rows.append(
            (
                now.checks[row].name,
                sizing.names_now[row],
                option.name,
                NUMERALS.number(change) if change else "0",
            )
        )
    lines = ["", f"Least stock at hand that carries {write(sizing.target)} in all, at averages"]
    lines += aligned(rows, left=(0, 1, 2))
    lines += wrapped(
        f"The members then weigh {NUMERALS.number(then.mass)} g instead of {NUMERALS.number(now.mass)} g and "
        f"carry {write(then.failure_load)} instead of {write(now.failure_load)}. {_how(sizing.choice)}"
    )
    if sizing.ideal is not None:
        lines += wrapped(
            f"With sticks of every size and no buckling {NUMERALS.number(sizing.ideal)} g would do: the rest "
            "is the price of slender members and of the sizes at hand."
        )
    lines += wrapped(
        "Nearly failing everywhere is the ideal. When the first member goes, the least used one and the "
        f"middle one are used to {_spread(now)} now, to {_spread(then)} then."
    )
    if sizing.upgrades:
        lines += ["", "What to make stronger, one step after the other, the most gain for a gram first"]
        lines += aligned(
            [
                ("members", "become", "step adds g", "then weighs g", "then carries", "gain N per g"),
                *(
                    (
                        " ".join(step.members),
                        _become(step),
                        NUMERALS.number(step.grams),
                        NUMERALS.number(step.standing.mass),
                        write(step.standing.failure_load),
                        NUMERALS.number(step.gain) if math.isfinite(step.gain) else "costs none",
                    )
                    for step in sizing.upgrades
                ),
            ],
            left=(0, 1),
        )
    return lines


def _become(step: Upgrade) -> str:
    """Return what the members become: one name where all become the same, else one each, in order."""
    return step.options[0] if len(set(step.options)) == 1 else ", ".join(step.options)


def _how(choice: Choice) -> str:
    if choice.standing.demand.determinate:
        return "Forces do not depend on the stock here, so nothing lighter of it would do."
    turns = ", ".join(f"{NUMERALS.number(grams)} g" for grams in choice.turns)
    return f"Forces follow the stock here: {turns} from turn to turn; no single member can be lighter."


def _spread(standing: Standing) -> str:
    least, middle = spread_of(standing)
    return f"{least:.0%} and {middle:.0%}"


def sizing_json(sizing: Sizing) -> dict[str, Any]:
    """Return the JSON object under the key `sizing`, forces in the model's unit."""
    now, then = sizing.now, sizing.choice.standing
    unit = now.demand.truss.force_unit

    def side(standing: Standing) -> dict[str, Any]:
        least, middle = spread_of(standing)
        return {
            "mass_g": standing.mass,
            "load": convert_force(standing.failure_load, "N", unit),
            "least_used": least,
            "middle_used": middle,
        }

    return {
        "target": convert_force(sizing.target, "N", unit),
        "now": side(now),
        "least": side(then),
        "members": [
            {
                "joints": list(now.checks[row].joints),
                "now": sizing.names_now[row],
                "least": option.name,
                "change_g": float(then.member_grams[row] - now.member_grams[row]),
            }
            for row, option in enumerate(sizing.choice.options)
        ],
        "ideal_g": sizing.ideal,
        "turns_g": list(sizing.choice.turns),
        "upgrades": [
            {
                "members": list(step.members),
                "become": list(step.options),
                "adds_g": step.grams,
                "mass_g": step.standing.mass,
                "load": convert_force(step.standing.failure_load, "N", unit),
                "gain_per_g": convert_force(step.gain, "N", unit) if math.isfinite(step.gain) else None,
            }
            for step in sizing.upgrades
        ],
    }
