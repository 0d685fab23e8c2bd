"""Whether a truss stands: the verdict, the counts behind it, how it moves and how it can be stressed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.settings import TOLERANCES

__all__ = ["Movement", "SelfStress", "Stability"]


@dataclass(frozen=True, eq=False)
class Movement:
    """One mechanism: velocities that stretch no member and move no support against its push.

    A mechanism is a first movement, not a distance: scale it as the drawing needs, in either sense.
    """

    displacements: NDArray[np.float64]
    """(N, 2) x right and y up; the largest is 1."""
    moving: tuple[str, ...]
    """Joints that move."""
    kind: str
    """`slides` (all moving joints move alike), `turns` (they turn about `centre` as one body) or `bends`."""
    whole: bool
    """Whether all joints move, or all but the one turned about."""
    centre: tuple[float, float] | None
    """For `turns`: the point turned about, in length units."""
    racking: tuple[tuple[str, ...], ...]
    """Four-sided panels with no diagonal whose corners change their angles, joints in order around each."""


@dataclass(frozen=True, eq=False)
class SelfStress:
    """One redundancy: forces that balance with no load."""

    forces: NDArray[np.float64]
    """(M,) tension positive; the largest of these and of the reactions is 1."""
    members: tuple[tuple[str, str], ...]
    """Members that take part."""
    supports: tuple[str, ...]
    """Joints whose supports take part."""


@dataclass(frozen=True, eq=False)
class Stability:
    """Whether equilibrium gives one answer, and if not, why not."""

    verdict: str
    """`determinate`, `indeterminate`, `unstable` or `unstable and indeterminate`."""
    m: int
    """Members."""
    r: int
    """Reaction components."""
    j: int
    """Joints."""
    mechanisms: int
    """Independent ways in which the truss can move without stretching a member."""
    self_stress: int
    """Independent sets of forces that balance with no load: the degree of indeterminacy."""
    condition: float | None
    """Largest over smallest singular value of the equilibrium matrix; none where the truss moves."""
    movements: tuple[Movement, ...] = ()
    """The mechanisms, simplest first written; of a large truss with many, some of them."""
    redundancies: tuple[SelfStress, ...] = ()
    """The self-stress states; of a large truss with many, some of them."""

    @property
    def stable(self) -> bool:
        """Whether the truss keeps its shape and place."""
        return self.mechanisms == 0

    @property
    def displacements(self) -> NDArray[np.float64]:
        """(K, N, 2) displacement patterns of `movements`."""
        return np.array([movement.displacements for movement in self.movements]).reshape(-1, self.j, 2)

    @property
    def self_stress_forces(self) -> NDArray[np.float64]:
        """(S, M) member forces of `redundancies`, tension positive."""
        return np.array([redundancy.forces for redundancy in self.redundancies]).reshape(-1, self.m)

    @property
    def near_mechanism(self) -> bool:
        """Whether the truss keeps its shape only just: its condition number is beyond the stated limit."""
        return self.condition is not None and self.condition > TOLERANCES.near_mechanism
