"""How sure the forces are, when the joints are only about where they are."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from solver.truss import Truss

__all__ = ["position_sensitivity"]


def position_sensitivity(truss: Truss, forces: NDArray[np.float64]) -> NDArray[np.float64]:
    """Differentiate the joint equations by the joint positions at fixed member forces.

    Parameters
    ----------
    forces : (M,) float
        Tension positive.

    Returns
    -------
    (2N, 2N) float
        Entry [e, q] is the change of equation e, in force units, for each length unit that coordinate q
        moves.

    Notes
    -----
    Equilibrium is ``A(x) u + p(x) = 0``, hence ``A du = -(dA/dx u + dp/dx) dx``. A member of force f,
    direction d and length L turns by ``(1 - d d') / L`` as its end moves, so that it adds ``f (1 - d d') /
    L`` to its end's block and the like with opposite sign across: the geometric stiffness matrix of the text
    books.
    """
    d = truss.directions
    across = np.eye(2)[None] - d[:, :, None] * d[:, None, :]
    block = (forces / truss.lengths)[:, None, None] * across
    size = 2 * len(truss.joints)
    rows, columns, values = [], [], []
    for one in (0, 1):
        for other in (0, 1):
            sign = -1.0 if one == other else 1.0
            for axis in (0, 1):
                for by in (0, 1):
                    rows.append(2 * truss.ends[:, one] + axis)
                    columns.append(2 * truss.ends[:, other] + by)
                    values.append(sign * block[:, axis, by])
    flat = (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
    return np.asarray(sparse.coo_array(flat, shape=(size, size)).toarray())
