"""What the columns of a file of answers are called: the names that a template has, and spellings of them."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from solver import Truss
from solver.steps import Quantity

__all__ = ["Column", "Columns", "item_name", "template_head"]

_STUDENT = frozenset({"student", "name", "students", "pupil", "learner", "id"})
_VERDICT = frozenset({"verdict", "determinate", "determinacy"})


@dataclass(frozen=True)
class Column:
    """What a column holds."""

    kind: str
    """`student`, `verdict`, `number`, or for a reaction `size` or `direction`."""
    quantity: Quantity | None = None
    sign: float = 1.0
    """-1 where the column counts the other way than the key."""


def item_name(quantity: Quantity, truss: Truss) -> str:
    """Name what is asked, as a template and every table does.

    Examples
    --------
    `A-B` for a member, `A x` and `A y` for the parts of a reaction, `B n` for a push at a slant, `m`.
    """
    match quantity.kind:
        case "member":
            return "-".join(quantity.joints)
        case "angle":
            return "angle " + "-".join(quantity.joints)
        case "reaction":
            return f"{quantity.joints[0]} {_axis(quantity, truss)[0]}"
        case "count":
            return quantity.axis
        case kind:
            return kind


def _axis(quantity: Quantity, truss: Truss) -> tuple[str, float]:
    """Give the letter of a reaction's direction, and -1 where the roller pushes against it."""
    if quantity.axis != "n":
        return quantity.axis, 1.0
    normal = next(support.normal for support in truss.supports if support.joint == quantity.joints[0])
    x, y = np.array(normal) / np.hypot(*normal)
    if abs(x) < 1e-9:
        return "y", float(np.sign(y))
    if abs(y) < 1e-9:
        return "x", float(np.sign(x))
    return "n", 1.0


def template_head(truss: Truss, quantities: tuple[Quantity, ...]) -> list[str]:
    """List the columns of an empty table of answers."""
    names = [item_name(quantity, truss) for quantity in quantities]
    reactions = [
        name for name, quantity in zip(names, quantities, strict=True) if quantity.kind == "reaction"
    ]
    members = [name for name, quantity in zip(names, quantities, strict=True) if quantity.kind == "member"]
    return ["student", "verdict", "m", "r", "j", *reactions, *members]


class Columns:
    """Knows the columns of one truss."""

    def __init__(self, truss: Truss, quantities: tuple[Quantity, ...]) -> None:
        names = [joint.name for joint in truss.joints]
        # Joints A and a may be two: then capitals count.
        self._fold = len({name.lower() for name in names}) == len(names)
        self._known: dict[str, Column] = {}
        for word in _STUDENT:
            self._known[word] = Column("student")
        for word in _VERDICT:
            self._known[word] = Column("verdict")
        for axis in "mrj":
            self._put(axis, Column("number", Quantity("count", (), axis)))
        for quantity in quantities:
            if quantity.kind == "member":
                self._members(quantity)
            else:
                self._reaction(quantity, truss)

    def _put(self, name: str, column: Column) -> None:
        # The first owner of a spelling keeps it: single letters m, r and j are the count.
        self._known.setdefault(self._plain(name), column)

    def _members(self, quantity: Quantity) -> None:
        one, other = quantity.joints
        for ends in ((one, other), (other, one)):
            for name in (
                "-".join(ends),
                " ".join(ends),
                "".join(ends),
                "F " + "".join(ends),
                "F " + "-".join(ends),
            ):
                self._put(name, Column("number", quantity))
                self._put("angle " + name, Column("number", Quantity("angle", quantity.joints)))

    def _reaction(self, quantity: Quantity, truss: Truss) -> None:
        joint, (axis, sign) = quantity.joints[0], _axis(quantity, truss)
        column = Column("number", quantity, sign)
        for name in (f"{joint} {axis}", f"R {joint} {axis}", f"{joint}{axis}", f"R{joint}{axis}"):
            self._put(name, column)
        if quantity.axis == "n":
            for name in (f"{joint} n", f"R {joint}", f"R{joint}", f"{joint} reaction"):
                self._put(name, Column("number", quantity, 1.0 if name.endswith("n") else sign))
        elif axis == "x":
            for word in ("size", "direction"):
                self._put(f"{joint} {word}", Column(word, quantity))

    def find(self, head: str) -> Column | None:
        """Tell what a column holds by its head; None where it is nothing of this truss."""
        return self._known.get(self._plain(head)) or self._known.get(self._plain(head).lower())

    def _plain(self, name: str) -> str:
        """Write a name in small letters, one space where anything but letters, figures and marks stands."""
        spaced = re.sub(r"\(.*?\)|\[.*?\]", " ", name)
        plain = " ".join(re.sub(r"[\s_\-–−—/]+", " ", spaced).split())
        return plain.lower() if self._fold else plain
