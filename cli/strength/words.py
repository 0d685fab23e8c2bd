"""How capacities and predictions are said: modes, formulas with numbers, the sentence before the test."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from cli.lists import listed
from cli.sheets.numerals import Numerals
from solver.strength import Capacity, Check, StrengthUpdate

__all__ = [
    "AVERAGES",
    "ROUGH",
    "TESTING",
    "at_averages",
    "event",
    "formula",
    "prediction",
    "rough",
    "update_sentence",
]

AVERAGES = (
    "These are averages of clear wood, without any safety factor: single sticks scatter widely, and knots, "
    "slanting grain and crooked sticks are weaker still."
)
TESTING = (
    "Testing to failure: wear eye protection, put a screen between the model and everybody, guard the "
    "weights so that they cannot fall on feet or roll, add load in small steps, and keep hands from under "
    "the model."
)

_EVENT = {
    "tension": "snaps in tension",
    "crushing": "crushes",
    "buckling": "buckles",
    "buckling out of plane": "buckles out of the plane",
    "joint": "lets go",
}

_FORMULA = {
    "net area": ("f_t × A × net", "{f_t} × {A} × {net}"),
    "crushing": ("f_c × A", "{f_c} × {A}"),
    "euler": ("π² E I / (K L)²", "π² × {E} × {I} / ({K} × {L})²"),
    "interaction": ("P_c × C_P with a = P_E / P_c", "{P_c} × C_P, P_E = {P_E}, c = {c}"),
    "lap": ("f_v × A", "{f_v} × {A}"),
    "given": ("as given", "{given}"),
}
NUMERALS = Numerals(figures=4)
ROUGH = Numerals(figures=2)
"""A prediction with such a spread has two figures."""
LARGE = 1000.0
"""From here on a prediction is rounded to three figures, since whole numbers keep all their places else."""


def rough(value: float) -> str:
    """Write a predicted load: two figures, whole numbers up to 1000, three figures above."""
    return ROUGH.number(float(f"{value:.3g}") if value >= LARGE else value)


NAMES_SHOWN = 4
"""Names in a sentence that could list them all."""


def formula(capacity: Capacity) -> str:
    """Return the formula of a capacity with its numbers, in N and mm."""
    letters, numbers = _FORMULA[capacity.rule]
    terms = {term.symbol: f"{NUMERALS.given(term.value)} {term.unit}".strip() for term in capacity.terms}
    return f"{letters} = {numbers.format(**terms)} = {NUMERALS.number(capacity.force)} N"


def prediction(
    governing: Sequence[Check], *, load: float, interval: tuple[float, float], write: Callable[[float], str]
) -> str:
    """Return the sentence to write down before the test.

    Parameters
    ----------
    governing
        What gives way first, one or several that are equal.
    load, interval
        All loads added up, N.
    write
        Turns N into a rounded number in the model's unit; the unit is written once.
    """
    if load <= 0:
        names = [check.name for check in governing]
        shown = listed(names, most=NAMES_SHOWN)
        return f"It does not carry its own weight: {shown} give way before any load is on it."
    low, high = (write(end).split(" ")[0] for end in interval)
    return f"{_who(governing)} first at about {write(load)} ({low} to {high})."


def at_averages(governing: Sequence[Check], *, load: float, write: Callable[[float], str]) -> str:
    """Return what gives way first and at what load were every stick an average one; see `prediction`."""
    if load <= 0:
        return prediction(governing, load=load, interval=(load, load), write=write)
    return f"{_who(governing)} first at about {write(load)}, were every stick an average one."


def event(check: Check) -> str:
    """Return how something would give way: `buckles`."""
    return _EVENT[check.capacity.mode]


def _who(governing: Sequence[Check]) -> str:
    modes = {check.capacity.mode for check in governing}
    if len(modes) == 1 and modes != {"joint"}:
        names = listed([check.name for check in governing], last=" or ")
        return f"Member {names} {_EVENT[modes.pop()]}"
    said = [f"{_kind(check)} {check.name} {_EVENT[check.capacity.mode]}" for check in governing]
    text = listed(said, last=" or ")
    return text[0].upper() + text[1:]


def _kind(check: Check) -> str:
    return "joint" if check.capacity.mode == "joint" else "member"


def update_sentence(update: StrengthUpdate, *, tested: str, predicted: str, expected: str) -> str:
    """Return what one test says about the class's own stock, in a sentence, with the next prediction."""
    return (
        f"Tested {tested} against {predicted} predicted. Weighing this one test by how much single trusses "
        f"scatter ({update.weight:.0%}) and the averages used by how much batches differ "
        f"({1 - update.weight:.0%}), your own stock is {ROUGH.number(update.factor)} times as strong as "
        f"they say ({ROUGH.number(update.low)} to {ROUGH.number(update.high)}); the next truss like it is "
        f"expected to hold about {expected}."
    )
