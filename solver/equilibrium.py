"""The equations of equilibrium of all joints as one sparse matrix.

Row 2i is the x equation of joint i and row 2i + 1 its y equation. Columns are the M members (tension
positive), then the R reaction components: a pin gives two (right, up), a roller one (along its normal).
The unknown column u and the (2N,) loads p satisfy ``A u + p = 0`` (the method of joints for the whole truss
at once).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from solver.loads import joint_loads
from solver.truss import Truss

__all__ = ["Equilibrium"]


@dataclass(frozen=True, eq=False)
class Equilibrium:
    """Matrix and loads of a truss.

    References
    ----------
    Any text on matrix statics; worked by hand in N. M. Holtz et al., Structural Analysis, section 3.6.
    """

    truss: Truss

    @cached_property
    def reactions(self) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
        """(R,) joint rows and (R, 2) unit directions of the reaction components."""
        joints: list[int] = []
        directions: list[tuple[float, float]] = []
        for support in self.truss.supports:
            row = self.truss.row[support.joint]
            if support.kind == "pin":
                joints += [row, row]
                directions += [(1.0, 0.0), (0.0, 1.0)]
            else:
                x, y = float(support.normal[0]), float(support.normal[1])
                larger = max(abs(x), abs(y))
                size = float(np.hypot(x / larger, y / larger))
                joints.append(row)
                directions.append((x / larger / size, y / larger / size))
        return np.array(joints, dtype=np.intp), np.array(directions, dtype=float).reshape(-1, 2)

    @cached_property
    def matrix(self) -> sparse.csc_array:
        """(2N, M + R) sparse matrix A."""
        ends, direction = self.truss.ends, self.truss.directions
        members = len(ends)
        at_joint, pushes = self.reactions
        # A tension pulls the start joint towards the end and the end joint towards the start.
        values = np.stack([direction[:, 0], direction[:, 1], -direction[:, 0], -direction[:, 1]], axis=1)
        rows = np.stack([2 * ends[:, 0], 2 * ends[:, 0] + 1, 2 * ends[:, 1], 2 * ends[:, 1] + 1], axis=1)
        flat_rows = np.concatenate((rows.ravel(), np.stack([2 * at_joint, 2 * at_joint + 1], axis=1).ravel()))
        flat_values = np.concatenate((values.ravel(), pushes.ravel()))
        starts = np.concatenate(
            (4 * np.arange(members + 1), 4 * members + 2 * np.arange(1, len(at_joint) + 1))
        )
        shape = (2 * len(self.truss.joints), members + len(at_joint))
        matrix = sparse.csc_array(
            (flat_values, flat_rows.astype(np.int32), starts.astype(np.int32)), shape=shape
        )
        matrix.eliminate_zeros()
        matrix.sort_indices()
        return matrix

    @cached_property
    def loads(self) -> NDArray[np.float64]:
        """(2N,) loads p: x0, y0, x1, y1, ..."""
        return joint_loads(self.truss).ravel()

    def reaction_vectors(self, components: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn (R,) reaction components into one (S, 2) force per support, on the truss, x right and y up."""
        _, pushes = self.reactions
        vectors = components[:, None] * pushes
        first = np.cumsum([0, *(2 if support.kind == "pin" else 1 for support in self.truss.supports)])[:-1]
        return np.add.reduceat(vectors, first, axis=0) if len(first) else np.empty((0, 2))
