"""What the supports give, and how well everything balances."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solver.equilibrium import Equilibrium
from solver.settings import TOLERANCES

__all__ = ["Checks", "Reaction", "components_of"]


@dataclass(frozen=True)
class Reaction:
    """The force of a support on the truss."""

    joint: str
    fx: float
    """Force units, to the right."""
    fy: float
    """Force units, up."""
    kind: str = "pin"
    """`pin` or `roller`."""
    normal: tuple[float, float] | None = None
    """Unit direction in which a roller pushes; none for a pin."""
    fx_error: float | None = None
    """Standard error of `fx`, where positions came with theirs."""
    fy_error: float | None = None


@dataclass(frozen=True)
class Checks:
    """How well the answer satisfies equilibrium, in force units unless said."""

    joint_residual: float
    """Largest force that any joint lacks, right or up."""
    sum_fx: float
    """Loads and reactions of the whole truss, to the right."""
    sum_fy: float
    """Loads and reactions of the whole truss, up."""
    sum_moment: float
    """Loads and reactions of the whole truss about its centre, force units times length units."""
    largest_load: float
    """What the above are to be compared with."""

    @property
    def passed(self) -> bool:
        """Whether the joint residual is within the stated tolerance of the largest load."""
        return self.joint_residual <= TOLERANCES.residual * self.largest_load


def components_of(equilibrium: Equilibrium, reactions: tuple[Reaction, ...]) -> list[float]:
    """Give the (R,) reaction components, in force units, in the order of the columns of the matrix."""
    at_joint, pushes = equilibrium.reactions
    forces = {reaction.joint: (reaction.fx, reaction.fy) for reaction in reactions}
    names = [joint.name for joint in equilibrium.truss.joints]
    return [
        float(np.dot(forces[names[joint]], push))
        for joint, push in zip(at_joint.tolist(), pushes, strict=True)
    ]
