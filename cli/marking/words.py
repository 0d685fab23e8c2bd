"""What a sheet says of a mark and of a likely slip, in plain classroom English."""

from __future__ import annotations

from collections.abc import Callable

from cli.marking.columns import item_name
from solver import Truss
from solver.marking import Finding, Mark, Slip
from solver.steps import Quantity

__all__ = [
    "IDEAS",
    "MOST_NAMED",
    "OUTCOMES",
    "finding_words",
    "name_of",
    "outcome_words",
    "slip_words",
]

MOST_NAMED = 12
"""Answers that a sentence names before the rest is only counted."""

OUTCOMES = {
    "right": "right",
    "followed": "right on your own numbers",
    "wrong": "not right",
    "blank": "blank",
    "unreadable": "waits for your teacher",
}
"""What each outcome is called on a student's sheet."""
_SENSES = {
    "wrong": "T or C not right",
    "missing": "T or C missing",
    "followed": "T or C right on your own numbers",
}
_WAYS = {"wrong": "direction not right", "followed": "direction right on your own numbers"}

IDEAS = {
    "sine and cosine": "sine and cosine exchanged, or the angle measured from the wrong line",
    "component left out": "a force left out of a sum at a joint",
    "component sign": "the wrong sign in a sum at a joint",
    "load left out": "a load left out",
    "load sign": "a load with the wrong sign",
    "load counted twice": "a load counted twice",
    "load misplaced": "a load put at the wrong joint",
    "load components swapped": "the two parts of a load exchanged",
    "reactions swapped": "reactions exchanged",
    "reactions halved": "half of the load given to each support",
    "lever arm": "a wrong lever arm",
    "sense": "tension and compression mistaken",
    "direction": "the direction of a reaction mistaken",
    "unit": "a wrong unit",
    "digits": "digits copied wrongly",
    "rounding": "rounded too early",
}
"""What each kind of slip is called in a summary."""


def name_of(quantity: Quantity, truss: Truss) -> str:
    """Name an answer within a sentence."""
    item = item_name(quantity, truss)
    match quantity.kind:
        case "member":
            return f"member {item}"
        case "reaction":
            return f"reaction {item}"
        case "load":
            return f"the load at {quantity.joints[0]}"
        case "count":
            return f"the count {item}"
        case "angle":
            return f"the {item}"
        case _:
            return f"the {item}"


def outcome_words(mark: Mark) -> str:
    """Say what came of an answer, size and sense apart."""
    parts = [OUTCOMES[mark.outcome]]
    senses = _WAYS if mark.quantity.kind == "reaction" else _SENSES
    if mark.sense in senses and not (mark.sense == "followed" == mark.outcome):
        parts.append(senses[mark.sense])
        if mark.outcome == "right":
            parts[0] = "size right"
    if mark.unit == "wrong":
        parts.append("unit not right")
    return ", ".join(parts)


def slip_words(slip: Slip, truss: Truss) -> str:
    """Say what may have happened, as half a sentence: `... in the sums at joint B`."""
    about = "" if slip.quantity is None else name_of(slip.quantity, truss)
    return _WORDS[slip.kind](slip, about)


def _where(slip: Slip) -> str:
    if slip.joint:
        return f" in the sums at joint {slip.joint}"
    if slip.axis.startswith("@"):
        return f" in the moments about {slip.axis[1:]}"
    if slip.scope == "whole":
        return (
            f" in the sum{_SUMS.get(slip.axis, '')} of the whole truss" if slip.axis else " in the reactions"
        )
    return " from the start"


def _load(slip: Slip, about: str) -> str:
    part = f"the part{_SUMS[slip.axis]} of {about}" if slip.axis in _SUMS and slip.scope != "whole" else about
    what = {"load left out": "left out", "load sign": "taken with the wrong sign"}.get(
        slip.kind, "counted twice"
    )
    return f"{part} {what}{_where(slip)}"


def _trig(slip: Slip, about: str) -> str:
    which = f" of {about}" if about else " of every sloping member" if slip.scope == "throughout" else ""
    sums = f", in the sum{_SUMS[slip.axis]} only" if slip.axis else ""
    where = _where(slip) if slip.joint else ""
    return f"sine and cosine{which} exchanged{where}{sums} (or its angle taken from the other line)"


def _sense(slip: Slip, about: str) -> str:
    if slip.quantity is None:
        return "tension and compression exchanged throughout"
    then = "" if slip.scope == "written" else ", and carried on so"
    return f"tension and compression mistaken in {about}{then}"


def _unit(slip: Slip, about: str) -> str:
    factor = slip.factor or 1.0
    size = f"{factor:.4g} times" if factor >= 1 else f"1/{1 / factor:.4g} of"
    what = about or ("every member force" if slip.scope == "members" else "every force")
    return f"{what} is {size} what was meant: a unit, most likely"


_SUMS = {"x": " across", "y": " up"}
_ROUNDED = {
    "sines to one decimal": "sines and cosines rounded to one decimal",
    "angles to five degrees": "angles rounded to five degrees",
}
_WORDS: dict[str, Callable[[Slip, str], str]] = {
    "sine and cosine": _trig,
    "component left out": lambda slip, about: f"the part{_SUMS[slip.axis]} of {about} left out{_where(slip)}",
    "component sign": lambda slip, about: (
        f"the part{_SUMS[slip.axis]} of {about} with the wrong sign{_where(slip)}"
    ),
    "load left out": _load,
    "load sign": _load,
    "load counted twice": _load,
    "load misplaced": lambda slip, about: f"{about} put at joint {slip.other}",
    "load components swapped": lambda slip, about: f"the parts of {about} exchanged{_where(slip)}",
    "reactions swapped": lambda slip, about: f"{about} and the reaction at {slip.other} exchanged",
    "reactions halved": lambda *_: "half of the load given to each support, in place of moments",
    "lever arm": lambda slip, about: f"the lever arm of {about} taken to joint {slip.other}{_where(slip)}",
    "sense": _sense,
    "direction": lambda _, about: f"the direction of {about} turned round",
    "unit": _unit,
    "digits": lambda _, about: f"a digit of {about} copied wrongly",
    "rounding": lambda slip, _: f"{_ROUNDED[slip.other]}, which is too early",
}


def finding_words(finding: Finding, truss: Truss) -> str:
    """Say what may have happened; two that fit equally are both named."""
    first, *others = finding.slips
    text = slip_words(first, truss)
    for slip in others:
        if slip.quantity is not None and (slip.kind, slip.scope) == (first.kind, first.scope):
            where = f" at joint {slip.joint}" if slip.joint != first.joint else ""
            text += f", or the same with {name_of(slip.quantity, truss)}{where}"
        else:
            text += f", or {slip_words(slip, truss)}"
    return f"{text[:1].upper()}{text[1:]}."
