"""What a notebook shows of a step of a worked solution: a joint cut free, and its forces in a table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from solver.sketch import Arrow, place_arrow, sketch_joint, table

__all__ = ["forces_table", "joint_svg"]


class _Quantity(Protocol):
    @property
    def kind(self) -> str: ...
    @property
    def joints(self) -> tuple[str, ...]: ...
    @property
    def axis(self) -> str: ...


class _Term(Protocol):
    @property
    def quantity(self) -> _Quantity: ...
    @property
    def factor(self) -> float: ...
    @property
    def value(self) -> float | None: ...


class _Equation(Protocol):
    @property
    def kind(self) -> str: ...
    @property
    def about(self) -> str | None: ...
    @property
    def terms(self) -> Sequence[_Term]: ...


class _Result(Protocol):
    @property
    def quantity(self) -> _Quantity: ...
    @property
    def value(self) -> float: ...
    @property
    def sense(self) -> str: ...


def _name(quantity: _Quantity) -> str:
    if quantity.kind == "load":
        return f"load {quantity.joints[0]}{quantity.axis}"
    if quantity.kind == "reaction":
        return f"{quantity.joints[0]}{quantity.axis}"
    return "–".join(quantity.joints)


def _found(
    equations: Sequence[_Equation], results: Sequence[_Result]
) -> dict[_Quantity, tuple[float, str] | None]:
    """Return every force that equations speak of, with its value and sense when the step ends."""
    found: dict[_Quantity, tuple[float, str] | None] = {}
    for equation in equations:
        for term in equation.terms:
            known = None if term.value is None else (term.value, "")
            found[term.quantity] = found.get(term.quantity) or known
    for result in results:
        found[result.quantity] = (result.value, result.sense)
    return found


def forces_table(caption: str, equations: Sequence[_Equation], results: Sequence[_Result]) -> str:
    """Return a table of forces: the factor of each in each equation, and its value when the step ends."""
    columns = [_head(equation) for equation in equations]
    factors = [{term.quantity: f"{term.factor:.4g}" for term in equation.terms} for equation in equations]
    rows = []
    for quantity, known in _found(equations, results).items():
        value = "" if known is None else f"{known[0]:.4g}"
        sense = "" if known is None else known[1]
        rows.append((_name(quantity), *(column.get(quantity, "0") for column in factors), value, sense))
    return table(("force", *columns, "value", "T or C"), rows, caption=caption)


def _head(equation: _Equation) -> str:
    if equation.kind == "moment":
        return f"arm about {equation.about or 'O'}"
    return {"x": "right", "y": "up"}.get(equation.kind, "along")


def joint_svg(joint: str, equations: Sequence[_Equation], results: Sequence[_Result]) -> str:
    """Return a joint cut free as SVG: a member in tension pulls away from it, one in compression pushes."""
    parts = {eq.kind: {term.quantity: term.factor for term in eq.terms} for eq in equations}
    arrows: list[Arrow] = []
    taken: list[tuple[float, float]] = []
    # Members have their place; loads and reactions go where there is room.
    found = sorted(_found(equations, results).items(), key=lambda item: item[0].kind != "member")
    for quantity, known in found:
        value = 0.0 if known is None else known[0]
        if value == 0.0:
            continue
        size = 1.0 if value > 0 else -1.0
        way = parts["x"].get(quantity, 0.0) * size, parts["y"].get(quantity, 0.0) * size
        member = quantity.kind == "member"
        sense = ("T" if value > 0 else "C") if member else ""
        label = f"{_name(quantity)} {abs(value):.4g}" + (f" ({sense})" if sense else "")
        arrow = Arrow(0, way, label, sense, pulls=value > 0)
        if member:
            taken.append(way if arrow.pulls else (-way[0], -way[1]))
        arrows.append(arrow if member else place_arrow(arrow, taken))
    return sketch_joint(joint, arrows)
