"""Edits of the units: other names for the same numbers, or the same sizes in other numbers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, TypeVar

from cli.model.entry import Entry
from cli.model.file import Model
from cli.model.parts import UnitsEntry
from cli.page.edits.base import Edit, changed
from solver import convert_force, convert_length

__all__ = ["ConvertUnits", "SetUnits"]

LengthUnit = Literal["mm", "cm", "m", "in", "ft"]
ForceUnit = Literal["N", "kN", "lbf", "kip", "kgf"]
Powers = Mapping[str, tuple[int, int]]
"""Of each field of an entry: in which power of length and of force it is."""
Part = TypeVar("Part", bound=Entry)

ROUND_DIGITS = 9
"""Significant digits of a number that a person may have written."""

DUST = 1e-12
"""Share of a number by which arithmetic alone may miss a round one: 300 mm in inches and back."""

JOINT: Powers = {"at": (1, 0), "lap": (2, 0), "holds": (0, 1)}
MEMBER: Powers = {"bracing": (1, 0)}
LOAD: Powers = {"force": (0, 1)}
DECK: Powers = {"force": (-1, 1)}
DIMENSION: Powers = {"value": (1, 0)}
RECTANGLE: Powers = {"width": (1, 0), "height": (1, 0)}
KNOWN: Powers = {"at": (1, 0)}
STOCK: Powers = {
    **dict.fromkeys(("width", "thickness", "diameter", "wall", "gap", "kerf", "bars"), (1, 0)),
    "area": (2, 0),
    "inertia": (4, 0),
}
TESTS: Powers = {
    **dict.fromkeys(("tension", "compression", "buckling", "lap"), (0, 1)),
    "buckling_length": (1, 0),
    "lap_area": (2, 0),
}


class SetUnits(Edit):
    """Say what units the numbers are in; the numbers stay as they were written."""

    kind: Literal["set-units"] = "set-units"
    length: LengthUnit
    force: ForceUnit

    def apply(self, model: Model) -> Model:
        """Set them."""
        return changed(model, units=UnitsEntry(length=self.length, force=self.force))

    def says(self) -> str:
        """Name them."""
        return f"Use {self.length} and {self.force}"


class ConvertUnits(Edit):
    """Write every number in other units: 600 mm become 60 cm, and the truss stays what it is."""

    kind: Literal["convert-units"] = "convert-units"
    length: LengthUnit
    force: ForceUnit

    def apply(self, model: Model) -> Model:
        """Convert everything that has a unit."""
        scale = _Scale(
            convert_length(1.0, model.units.length, self.length),
            convert_force(1.0, model.units.force, self.force),
        )
        view = model.view
        if view is not None and view.rectangle is not None:
            view = view.model_copy(update={"rectangle": scale.entry(view.rectangle, RECTANGLE)})
        if view is not None and view.known is not None:
            view = view.model_copy(update={"known": tuple(scale.entry(one, KNOWN) for one in view.known)})
        stocks = {
            name: scale.entry(stock, STOCK).model_copy(
                update={"tests": None if stock.tests is None else scale.entry(stock.tests, TESTS)}
            )
            for name, stock in model.stocks.items()
        }
        weight = model.self_weight
        return changed(
            model,
            units=UnitsEntry(length=self.length, force=self.force),
            joints=tuple(scale.entry(one, JOINT) for one in model.joints),
            members=tuple(scale.entry(one, MEMBER) for one in model.members),
            loads=tuple(scale.entry(one, LOAD) for one in model.loads),
            deck_loads=tuple(scale.entry(one, DECK) for one in model.deck_loads),
            self_weight=None if weight is None else scale.number(weight, (-1, 1)),
            dimensions=tuple(
                one if one.kind == "angle" else scale.entry(one, DIMENSION) for one in model.dimensions
            ),
            view=view,
            stocks=stocks,
        )

    def says(self) -> str:
        """Name them."""
        return f"Convert to {self.length} and {self.force}"


class _Scale:
    """From the old units to the new ones."""

    def __init__(self, length: float, force: float) -> None:
        self.length, self.force = length, force

    def number(self, value: float, power: tuple[int, int]) -> float:
        """Return a number in the new units."""
        converted = value * self.length ** power[0] * self.force ** power[1]
        written = float(f"{converted:.{ROUND_DIGITS}g}")
        return written if abs(written - converted) <= DUST * abs(converted) else converted

    def entry(self, entry: Part, powers: Powers) -> Part:
        """Return a part of the model with its numbers in the new units; what is not there stays away."""
        new: dict[str, object] = {}
        for name, power in powers.items():
            value = getattr(entry, name)
            if isinstance(value, tuple):
                new[name] = tuple(self.number(one, power) for one in value)
            elif value is not None:
                new[name] = self.number(value, power)
        return entry.model_copy(update=new)
