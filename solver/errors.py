"""Everything that the solver can refuse, and why.

::

    SolverError
    ├── TrussError              the model has faults; all of them are listed
    ├── NoUniqueSolutionError   the truss moves, or equilibrium alone cannot find its forces
    ├── TooManyMechanismsError  a large truss moves in more ways than can be counted
    ├── UnitError               a unit or a quantity that cannot be read
    ├── QuestionError           a question that this truss cannot be asked
    ├── StockError              a section, a material or a way of holding that cannot be
    ├── NoVersionError          too few versions of an exercise within the limits
    └── OutOfReachError         no stock at hand carries the target
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.stability import Stability

__all__ = [
    "Fault",
    "NoUniqueSolutionError",
    "NoVersionError",
    "OutOfReachError",
    "QuestionError",
    "SolverError",
    "StockError",
    "TooManyMechanismsError",
    "TrussError",
    "UnitError",
]


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong with a model."""

    kind: str
    """What sort of fault, a stable word for programs: `repeated name`, `coincident joints`, `no length`..."""
    sentence: str
    """What is wrong, where, and the cure."""
    joints: tuple[str, ...] = ()
    """Names of the joints concerned."""
    members: tuple[tuple[str, str], ...] = ()
    """Ends of the members concerned."""

    def __str__(self) -> str:
        return self.sentence


class SolverError(Exception):
    """Anything that the solver refuses."""


class TrussError(SolverError):
    """The model has faults. Attribute `faults` lists every one, not only the first."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        return "\n".join(fault.sentence for fault in self.faults)


class NoUniqueSolutionError(SolverError):
    """Equilibrium does not give one answer. Attribute `stability` says why."""

    def __init__(self, stability: Stability) -> None:
        super().__init__(stability)
        self.stability = stability

    def __str__(self) -> str:
        found = self.stability
        count = f"m + r = {found.m} + {found.r} = {found.m + found.r}, 2j = {2 * found.j}"
        if found.verdict == "indeterminate":
            return (
                f"The truss is statically indeterminate to degree {found.self_stress} ({count}): "
                "equilibrium alone cannot find the forces. Give the stiffness of each "
                "member, or take redundant ones away."
            )
        movement = (
            "1 independent mechanism"
            if found.mechanisms == 1
            else f"{found.mechanisms} independent mechanisms"
        )
        return (
            f"The truss can still move: it is {found.verdict}, with {movement} ({count}). "
            "Add members or supports where it moves."
        )


class TooManyMechanismsError(SolverError):
    """A large truss moves, or is braced, in so many ways at once that counting them would fill the memory."""

    def __init__(self, joints: int, at_least: int) -> None:
        super().__init__(joints, at_least)
        self.joints = joints
        self.at_least = at_least

    def __str__(self) -> str:
        return (
            f"This truss of {self.joints} joints has at least {self.at_least} mechanisms and "
            "redundants together, too many to count in memory. Solve it in parts."
        )


class UnitError(SolverError):
    """A unit or a quantity that cannot be read."""

    def __init__(self, text: str, reason: str) -> None:
        super().__init__(text, reason)
        self.text = text
        self.reason = reason

    def __str__(self) -> str:
        return f"{self.text!r}: {self.reason}"


class QuestionError(SolverError):
    """A question that this truss cannot be asked, such as the influence line of a joint that is not there."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence

    def __str__(self) -> str:
        return self.sentence


class StockError(SolverError):
    """A section, a material or a way of holding a member that cannot be."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence

    def __str__(self) -> str:
        return self.sentence


class OutOfReachError(SolverError):
    """No stock at hand carries the target in some member, or a joint does not hold it."""

    def __init__(self, names: tuple[str, ...], best: float, target: float) -> None:
        super().__init__(names, best, target)
        self.names = names
        self.best = best
        self.target = target

    def __str__(self) -> str:
        more = f" and {len(self.names) - 5} more" if len(self.names) > 5 else ""
        return (
            f"The target is {self.target:.3g} times the given load, and {', '.join(self.names[:5])}{more} "
            f"would carry {self.best:.3g} times at best with the stock at hand: give stronger stock or "
            "joints, change the shape, or lower the target."
        )


class NoVersionError(SolverError):
    """So many versions of an exercise cannot be found."""

    def __init__(self, wanted: int, found: int) -> None:
        super().__init__(wanted, found)
        self.wanted = wanted
        self.found = found

    def __str__(self) -> str:
        return (
            f"Of {self.wanted} versions only {self.found} differ enough and keep within the limits of a good "
            "exercise: ask for fewer."
        )
