"""Constrained least squares: the joints as near to the drawing as the conditions allow, and their errors.

The misfit is the weighted sum over joints of |S q − X|², with q the joint in the picture seen square on,
S the similarity that lays the drawing on the plane and X the joint in the plane. It is quadratic in the
unknowns (X, S); only lengths bend the conditions.

The optimum is found by Newton steps along the conditions, each followed by a return to them, so that the
misfit falls at every step. Its derivative with respect to q comes from the same equations (implicit
function theorem), with the curvature of the conditions in it, so it holds for a drawing far out of scale.

References
----------
J. Nocedal, S. Wright, Numerical Optimization, 2nd ed., Springer 2006, chapters 12, 15 and 18.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vision.errors import NoPlacementError
from vision.survey.constraints import Conditions, Floats
from vision.survey.settle import RANK_SHARE, open_directions, settle

__all__ = ["Drawing", "fit", "sensitivity"]

# Newton doubles its digits at every step; these ends are reached only when something does not converge.
_STEPS = 200
_HALVINGS = 20
_STEP_DONE = 1e-12
_CONVERGED = 1e-6
# The curvature of the misfit, of size about 1, in its flattest open direction; below this nothing holds it.
_FLAT = 1e-10


@dataclass(frozen=True, eq=False)
class Drawing:
    """The joints as drawn, seen square on, of size about 1 and y up."""

    at: Floats
    """(N, 2)."""
    weights: Floats
    """(N,) of mean 1, as the inverse squares of the errors."""

    @property
    def rows(self) -> Floats:
        """(2N, 2N + 4) rows R with R z the misfit vectors S q − X, joint by joint."""
        count = len(self.at)
        rows = np.zeros((2 * count, 2 * count + 4))
        rows[:, : 2 * count] = -np.eye(2 * count)
        x, y = self.at.T
        rows[0::2, -4:] = np.column_stack([x, -y, np.ones(count), np.zeros(count)])
        rows[1::2, -4:] = np.column_stack([y, x, np.zeros(count), np.ones(count)])
        return rows

    @property
    def square(self) -> Floats:
        """(2N + 4, 2N + 4) with z · square z the misfit."""
        rows = self.rows
        return np.asarray(rows.T @ (rows * np.repeat(self.weights, 2)[:, None]))


def fit(drawing: Drawing, conditions: Conditions, z: Floats) -> Floats:
    """Return the unknowns of least misfit among those that meet the conditions, near z.

    Parameters
    ----------
    drawing : Drawing
        The N joints as drawn.
    conditions : Conditions
        On n = 2N + 4 unknowns; together they must fix origin, level and scale.
    z : (n,) float
        Where to start; must meet the conditions.

    Raises
    ------
    NoPlacementError
        The misfit has no least point that the steps could reach.
    """
    square = drawing.square
    for _ in range(_STEPS):
        step = _newton_step(_model(square, conditions, z))
        misfit = z @ square @ z
        share = 1.0
        for _ in range(_HALVINGS):
            trial = settle(conditions, z + share * step)
            if trial.met and trial.z @ square @ trial.z <= misfit:
                break
            share /= 2.0
        else:
            break
        z = trial.z
        if share * np.abs(step).max(initial=0.0) < _STEP_DONE:
            break
    if np.abs(step).max(initial=0.0) > _CONVERGED:
        raise NoPlacementError(
            "The joints found no best place under these dimensions.",
            "Add a dimension that settles the shape, or check that the dimensions suit the drawing.",
        )
    return z


@dataclass(frozen=True, eq=False)
class _Model:
    """The misfit along the conditions at z: a slope and two second derivatives."""

    open_: Floats
    slope: Floats
    plain: Floats
    exact: Floats

    @property
    def is_convex(self) -> bool:
        return bool(np.linalg.eigvalsh(self.exact).min(initial=1.0) > _FLAT)


def _model(square: Floats, conditions: Conditions, z: Floats) -> _Model:
    gradient = conditions.gradient(z)
    open_ = open_directions(conditions, z)
    slope = np.asarray(square @ z)
    multipliers = np.asarray(np.linalg.lstsq(gradient.T, -slope, rcond=RANK_SHARE)[0], dtype=float)
    plain = np.asarray(open_.T @ square @ open_)
    bent = np.asarray(open_.T @ conditions.curvature(multipliers) @ open_)
    return _Model(open_, slope, plain, plain + bent)


def _newton_step(model: _Model) -> Floats:
    """Return the step along the conditions to the least of the local quadratic model."""
    # Far from the optimum the exact model may have no least point; the misfit alone always does.
    second = model.exact if model.is_convex else model.plain
    step = np.linalg.lstsq(second, -model.open_.T @ model.slope, rcond=RANK_SHARE)[0]
    return np.asarray(model.open_ @ step)


def sensitivity(drawing: Drawing, conditions: Conditions, z: Floats) -> Floats:
    """Return the derivative of the fitted joints with respect to the drawn ones, (2N, 2N).

    Parameters
    ----------
    drawing : Drawing
        The N joints as drawn.
    conditions : Conditions
        As given to `fit`.
    z : (2N + 4,) float
        As returned by `fit`.

    Raises
    ------
    NoPlacementError
        The placement could slide without the misfit growing, so the drawing does not fix it.
    """
    count = 2 * len(drawing.at)
    rows = drawing.rows
    weights = np.repeat(drawing.weights, 2)
    model = _model(drawing.square, conditions, z)
    if not model.is_convex:
        raise NoPlacementError(
            "The drawing and the dimensions leave the truss free to turn or to slide.",
            "Name two joints that lie level, or add a dimension.",
        )
    # The slope R' W (R z) moves with q in two ways: through the misfit vectors and through the rows.
    a, b = z[-4], z[-3]
    turn = np.kron(np.eye(count // 2), np.array([[a, -b], [b, a]]))
    moved = rows.T @ (weights[:, None] * turn)
    weighted = (rows @ z * weights).reshape(-1, 2)
    moved[-4, :] += weighted.ravel()
    moved[-3, 0::2] += weighted[:, 1]
    moved[-3, 1::2] -= weighted[:, 0]
    return np.asarray((-model.open_ @ np.linalg.solve(model.exact, model.open_.T @ moved))[:count])
