"""What the reader of an answer should know besides the numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solver.balance import Checks, Reaction
from solver.settings import TOLERANCES
from solver.stability import Stability
from solver.truss import Truss

__all__ = ["Notice", "notices"]


@dataclass(frozen=True)
class Notice:
    """Something that the reader of an answer should know."""

    kind: str
    """A stable word for programs: `near mechanism`, `roller pulls`, `lever rule`, `residual`, `stiffness`,
    `equal stiffness`."""
    sentence: str
    joints: tuple[str, ...] = ()

    def __str__(self) -> str:
        return self.sentence


def notices(
    truss: Truss, stability: Stability, checks: Checks, reactions: tuple[Reaction, ...]
) -> tuple[Notice, ...]:
    """Collect what should be known about a solution."""
    return tuple(_notices(truss, stability, checks, reactions))


def _notices(
    truss: Truss, stability: Stability, checks: Checks, reactions: tuple[Reaction, ...]
) -> Iterator[Notice]:
    if stability.near_mechanism:
        yield Notice(
            "near mechanism",
            f"The truss is nearly a mechanism (condition number {stability.condition:.1e}, the limit for "
            f"this warning is {TOLERANCES.near_mechanism:.0e}): small changes of its shape "
            "change the forces a lot.",
        )
    for reaction in reactions:
        if reaction.normal is not None:
            push = reaction.fx * reaction.normal[0] + reaction.fy * reaction.normal[1]
            if push < -TOLERANCES.zero_force * checks.largest_load:
                yield Notice(
                    "roller pulls",
                    f"The roller at joint {reaction.joint} would have to hold the truss down: it pulls "
                    "instead of pushing. A roller that only rests on its surface would lift off.",
                    joints=(reaction.joint,),
                )
    for load in truss.member_loads:
        yield Notice(
            "lever rule",
            f"The load on member {load.start}–{load.end} was shared to its two ends by the lever rule; "
            "bending of that member is not covered.",
            joints=(load.start, load.end),
        )
    if not checks.passed:
        yield Notice(
            "residual",
            f"Joint equilibrium holds only to {checks.joint_residual:.1e}, more than "
            f"{TOLERANCES.residual:.0e} of the largest load: treat the last figures with care.",
        )
