"""The state of a worked solution: what is known by now, and equations written with it."""

from __future__ import annotations

from collections.abc import Iterable
from heapq import heappush

from solver.equilibrium import Equilibrium
from solver.steps import Equation, Quantity, Result, Slope, Term

__all__ = ["Board"]


class Board:
    """What has been found so far.

    Unknowns are columns of the equilibrium matrix: members first, then reaction components. Values come from
    the solution of the whole; the board decides in which order a person can find them, and writes the
    equations.
    """

    def __init__(self, equilibrium: Equilibrium, values: list[float], senses: tuple[str, ...]) -> None:
        truss = equilibrium.truss
        self.truss = truss
        self.names = [joint.name for joint in truss.joints]
        self.places: list[tuple[float, float]] = [(float(x), float(y)) for x, y in truss.at]
        self.loads: list[tuple[float, float]] = [
            (float(x), float(y)) for x, y in equilibrium.loads.reshape(-1, 2)
        ]
        self.members = len(truss.members)
        self.ends: list[tuple[int, int]] = [(int(start), int(end)) for start, end in truss.ends]
        self.directions: list[tuple[float, float]] = [(float(x), float(y)) for x, y in truss.directions]
        at_joint, pushes = equilibrium.reactions
        self.at_joint: list[int] = at_joint.tolist()
        self.pushes: list[tuple[float, float]] = [(float(x), float(y)) for x, y in pushes]
        self.values = values
        self.senses = senses
        self.known = [False] * len(self.values)
        self.quantities = self._name_quantities()
        self.meeting: list[list[int]] = [[] for _ in self.names]
        """Unknowns at each joint: members, then reaction components."""
        for member, (start, end) in enumerate(self.ends):
            self.meeting[start].append(member)
            self.meeting[end].append(member)
        for index, joint in enumerate(self.at_joint):
            self.meeting[joint].append(self.members + index)
        self.unknown_at = [len(here) for here in self.meeting]
        self.left = len(self.values)
        """How many unknowns are still to be found."""
        self.few = [joint for joint, count in enumerate(self.unknown_at) if count <= 2]
        """Heap of joints where the count of unknowns has come down to two or one; some may be done since."""

    def _name_quantities(self) -> list[Quantity]:
        quantities = [Quantity("member", (member.start, member.end)) for member in self.truss.members]
        for support in self.truss.supports:
            axes = "xy" if support.kind == "pin" else "n"
            quantities += [Quantity("reaction", (support.joint,), axis) for axis in axes]
        return quantities

    def joints_of(self, unknown: int) -> tuple[int, ...]:
        """Rows of the joints that an unknown acts on."""
        return self.ends[unknown] if unknown < self.members else (self.at_joint[unknown - self.members],)

    def pair(self, member: int) -> tuple[str, str]:
        """Name a member by its two ends."""
        start, end = self.ends[member]
        return self.names[start], self.names[end]

    def direction(self, unknown: int, joint: int) -> tuple[float, float]:
        """Give the unit vector in which a positive unknown pulls a joint that it acts on."""
        if unknown >= self.members:
            return self.pushes[unknown - self.members]
        x, y = self.directions[unknown]
        return (x, y) if self.ends[unknown][0] == joint else (-x, -y)

    def find(self, unknown: int) -> Result:
        """Mark an unknown as found, and give its value."""
        if not self.known[unknown]:
            self.known[unknown] = True
            self.left -= 1
            for joint in self.joints_of(unknown):
                self.unknown_at[joint] -= 1
                if self.unknown_at[joint] in {1, 2}:
                    heappush(self.few, joint)
        sense = self.senses[unknown] if unknown < self.members else ""
        return Result(self.quantities[unknown], self.values[unknown], sense)

    def unknowns_at(self, joint: int) -> list[int]:
        """List what is still to be found at a joint."""
        return [unknown for unknown in self.meeting[joint] if not self.known[unknown]]

    def term(self, unknown: int, factor: float) -> Term:
        """Write one unknown with its factor, and its value if it is known by now."""
        return Term(self.quantities[unknown], factor, self.values[unknown] if self.known[unknown] else None)

    def joint_equation(self, joint: int, axis: int, solves_for: int | None = None) -> Equation:
        """Write the sum of forces at one joint to the right (axis 0) or up (axis 1)."""
        terms = []
        load = self.loads[joint][axis]
        if load:
            terms.append(Term(Quantity("load", (self.names[joint],), "xy"[axis]), 1.0, load))
        for unknown in self.meeting[joint]:
            factor = self.direction(unknown, joint)[axis]
            if factor and not (self.known[unknown] and self.values[unknown] == 0.0):
                terms.append(self.term(unknown, factor))
        return Equation("xy"[axis], tuple(terms), None if solves_for is None else self.quantities[solves_for])

    def slopes(self, joint: int, unknowns: Iterable[int]) -> tuple[Slope, ...]:
        """Read off the sloping members among unknowns, seen from one joint."""
        x, y = self.places[joint]
        found = []
        for unknown in unknowns:
            if unknown >= self.members or (self.known[unknown] and self.values[unknown] == 0.0):
                continue
            start, end = self.ends[unknown]
            far = self.places[end if start == joint else start]
            run, rise = far[0] - x, far[1] - y
            if run and rise:
                found.append(Slope(self.pair(unknown), self.names[joint], run, rise))
        return tuple(found)
