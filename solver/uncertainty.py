"""How sure the forces are, when the joints are only about where they are."""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from solver.errors import QuestionError
from solver.truss import Truss

__all__ = ["joint_covariance", "position_sensitivity", "standard_errors"]


def joint_covariance(errors: NDArray[np.float64]) -> NDArray[np.float64]:
    """Build the covariance of independent joints from their standard errors.

    Parameters
    ----------
    errors : (N,) or (N, 2) float
        Standard error of each joint in length units: one for both directions, or x and y.

    Returns
    -------
    (2N, 2N) float
        Diagonal, ordered x0, y0, x1, y1, ...

    Raises
    ------
    QuestionError
        When the shape is another, or an error is negative or no number.
    """
    given = np.asarray(errors, dtype=float)
    if given.ndim not in {1, 2} or (given.ndim == 2 and given.shape[1] != 2):
        raise QuestionError("Give one standard error for each joint, or two: x and y.")
    if not np.isfinite(given).all() or (given < 0).any():
        raise QuestionError("A standard error is a number of zero or more, in length units.")
    both = given if given.ndim == 2 else np.repeat(given[:, None], 2, axis=1)
    return np.diag(both.ravel() ** 2)


def standard_errors(sensitivity: NDArray[np.float64], covariance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Carry a covariance of positions to standard errors, to first order.

    Parameters
    ----------
    sensitivity : (P, 2N) float
        Change of each unknown for each length unit that a coordinate moves.
    covariance : (2N, 2N) float
        Length units squared.

    Returns
    -------
    (P,) float

    Raises
    ------
    QuestionError
        When the covariance has another shape, is not symmetric, or holds what is no number.
    """
    given = np.asarray(covariance, dtype=float)
    size = sensitivity.shape[1]
    if given.shape != (size, size):
        raise QuestionError(
            f"The covariance of the joint positions must be {size} by {size}, ordered x0, y0, x1, y1 and "
            "so on."
        )
    if not np.isfinite(given).all() or (np.diag(given) < 0).any():
        raise QuestionError("The covariance of the joint positions holds something that is no variance.")
    if np.abs(given - given.T).max(initial=0.0) > _SYMMETRY * np.abs(given).max(initial=0.0):
        raise QuestionError("The covariance of the joint positions is not symmetric.")
    variances = np.einsum("ij,ij->i", sensitivity @ given, sensitivity)
    return np.asarray(np.sqrt(np.maximum(variances, 0.0)))


_SYMMETRY = 1e-6
"""Relative difference across the diagonal that rounding may leave in a covariance."""


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
    books. Loads follow the positions too where they are spread along lengths or shared by lever arms.
    """
    d, ends = truss.directions, truss.ends
    across = np.eye(2)[None] - d[:, :, None] * d[:, None, :]
    block = (forces / truss.lengths)[:, None, None] * across
    size = 2 * len(truss.joints)
    rows, columns, values = [], [], []
    for one in (0, 1):
        for other in (0, 1):
            sign = -1.0 if one == other else 1.0
            for axis in (0, 1):
                for by in (0, 1):
                    rows.append(2 * ends[:, one] + axis)
                    columns.append(2 * ends[:, other] + by)
                    values.append(sign * block[:, axis, by])
    flat = (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
    whole = np.asarray(sparse.coo_array(flat, shape=(size, size)).toarray())
    for start, end, joint, change in _length_shares(truss):
        _add_length(whole, truss, (start, end), joint, change)
    return whole


def _length_shares(truss: Truss) -> list[tuple[int, int, int, tuple[float, float]]]:
    """List each load on a joint that grows with the distance between two joints.

    Gives rows of the two joints, the row of the loaded one, and force units per length unit, x and y.
    """
    shares: list[tuple[int, int, int, tuple[float, float]]] = []
    for member, (start, end) in zip(truss.members, truss.ends.tolist(), strict=True):
        if member.weight:
            shares += [(start, end, joint, (0.0, -member.weight / 2)) for joint in (start, end)]
    for deck in truss.deck_loads:
        rows = [truss.row[name] for name in deck.joints]
        for start, end in itertools.pairwise(rows):
            shares += [(start, end, joint, (deck.fx / 2, deck.fy / 2)) for joint in (start, end)]
    for load in truss.member_loads:
        start, end = truss.row[load.start], truss.row[load.end]
        length = float(np.hypot(*(truss.at[end] - truss.at[start])))
        # The load stays at its distance from the start: the start's share is 1 - distance / length.
        growth = load.distance / length**2
        shares.append((start, end, start, (load.fx * growth, load.fy * growth)))
        shares.append((start, end, end, (-load.fx * growth, -load.fy * growth)))
    return shares


def _add_length(
    whole: NDArray[np.float64], truss: Truss, pair: tuple[int, int], joint: int, change: tuple[float, float]
) -> None:
    span = truss.at[pair[1]] - truss.at[pair[0]]
    d = span / np.hypot(*span)
    for end, sign in ((pair[1], 1.0), (pair[0], -1.0)):
        whole[2 * joint : 2 * joint + 2, 2 * end : 2 * end + 2] += sign * np.outer(change, d)
