"""Constrained least squares: the joints as near to the drawing as the conditions allow, and their errors.

The misfit is measured on the drawing: the weighted sum over joints of |q − G X|², with X the joint in the
plane, G the affine map that draws the plane and q the joint as drawn; and a small weight on how much G
stretches or skews beside what it turns and scales (`_Stretch`). So a drawing to scale is only scaled; one
with its heights exaggerated is stretched as a whole, which keeps straight lines straight and equal panels
equal; and what is left over moves single joints.

The optimum is found by Newton steps along the conditions, each followed by a return to them, so that the
misfit falls at every step. Its derivative with respect to q comes from the same equations (implicit
function theorem), with all curvature in it, so it holds for a drawing far out of scale.

References
----------
J. Nocedal, S. Wright, Numerical Optimization, 2nd ed., Springer 2006, chapters 12, 15 and 18.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from vision.errors import NoPlacementError
from vision.survey.constraints import PEN, Conditions, Floats
from vision.survey.settle import RANK_SHARE, open_directions, settle

__all__ = ["Drawing", "fit", "sensitivity"]

# Newton doubles its digits at every step; these ends are reached only when something does not converge.
_STEPS = 200
_HALVINGS = 20
# Largest change of an unknown, of the truss's size: smaller steps are rounding, and a last step beyond the
# second means that the fit has not settled.
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
    """(N,) about 1, as the inverse squares of the errors."""
    stretch_weight: float
    """Weight of stretching the drawing by its own size, against moving one joint by that much."""

    def missed_by(self, z: Floats) -> Floats:
        """(N, 2) q − G X, for unknowns z of length 2N + 6."""
        pen = z[-PEN:].reshape(2, 3)
        return np.asarray(self.at - z[:-PEN].reshape(-1, 2) @ pen[:, :2].T - pen[:, 2])

    def slope(self, z: Floats) -> Floats:
        """(2N, 2N + 6) derivative of `missed_by`, joint by joint, x before y."""
        pen = z[-PEN:].reshape(2, 3)
        count = len(self.at)
        slope = np.zeros((2 * count, 2 * count + PEN))
        joints = 2 * np.arange(count)
        for row in (0, 1):
            for axis in (0, 1):
                slope[joints + row, joints + axis] = -pen[row, axis]
        slope[0::2, -6:-3] = slope[1::2, -3:] = -np.column_stack([z[:-PEN].reshape(-1, 2), np.ones(count)])
        return slope

    def misfit(self, z: Floats) -> float:
        """Return what the fit makes least."""
        moved = self.weights @ np.sum(self.missed_by(z) ** 2, axis=1)
        return float(moved + self.stretch_weight * _Stretch(z[-PEN:]).value)


# Quadratic forms in the map's numbers a to f: what it stretches and skews, and what it turns and scales.
_SKEWS = np.diag([1.0, 1.0, 0.0, 1.0, 1.0, 0.0])
_SKEWS[0, 4] = _SKEWS[4, 0] = -1.0
_SKEWS[1, 3] = _SKEWS[3, 1] = 1.0
_TURNS = 2.0 * np.diag([1.0, 1.0, 0.0, 1.0, 1.0, 0.0]) - _SKEWS


class _Stretch:
    """How much a map stretches or skews, ((a − e)² + (b + d)²) / ((a + e)² + (b − d)²), and its derivatives.

    0 for a similarity and 1 for a map onto a line; the same in every unit and however the axes are turned.
    """

    def __init__(self, pen: Floats) -> None:
        under = float(pen @ _TURNS @ pen)
        turns = _TURNS @ pen
        self.value = float(pen @ _SKEWS @ pen) / under
        self.half_slope = (_SKEWS @ pen - self.value * turns) / under
        self.half_curvature_if_small = _SKEWS / under
        cross = np.outer(self.half_slope, turns)
        self.half_curvature = (_SKEWS - self.value * _TURNS - 2.0 * (cross + cross.T)) / under


def fit(drawing: Drawing, conditions: Conditions, z: Floats) -> Floats:
    """Return the unknowns of least misfit among those that meet the conditions, near z.

    Parameters
    ----------
    drawing : Drawing
        The N joints as drawn.
    conditions : Conditions
        On n = 2N + 6 unknowns; together they must fix origin, level and scale.
    z : (n,) float
        Where to start; must meet the conditions.

    Raises
    ------
    NoPlacementError
        The misfit has no least point that the steps could reach.
    """
    for _ in range(_STEPS):
        step = _newton_step(_model(drawing, conditions, z))
        misfit, share = drawing.misfit(z), 1.0
        for _ in range(_HALVINGS):
            trial = settle(conditions, z + share * step)
            if trial.met and drawing.misfit(trial.z) <= misfit:
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

    @cached_property
    def is_convex(self) -> bool:
        """Whether the least of the curvatures, the smallest eigenvalue, is above flat: by Cholesky's test."""
        try:
            np.linalg.cholesky(self.exact - _FLAT * np.eye(len(self.exact)))
        except np.linalg.LinAlgError:
            return False
        return True


def _model(drawing: Drawing, conditions: Conditions, z: Floats) -> _Model:
    open_ = open_directions(conditions, z)
    weights = np.repeat(drawing.weights, 2)
    rows = drawing.slope(z)
    missed = drawing.missed_by(z)
    square = rows.T @ (weights[:, None] * rows)
    slope = rows.T @ (weights * missed.ravel())
    stretch = _Stretch(z[-PEN:])
    square[-PEN:, -PEN:] += drawing.stretch_weight * stretch.half_curvature_if_small
    slope[-PEN:] += drawing.stretch_weight * stretch.half_slope

    bent = np.zeros_like(square)
    if len(conditions.lengths):  # linear conditions do not curve
        multipliers = np.linalg.lstsq(conditions.gradient(z).T, -slope, rcond=RANK_SHARE)[0]
        bent = conditions.curvature(np.asarray(multipliers, dtype=float))
    # A joint's x and y each multiply a number of the map: a and b in what is drawn across, d and e in up.
    pull = -drawing.weights[:, None] * missed
    for axis in (0, 1):
        for row in (0, 1):
            pen = len(z) - PEN + 3 * row + axis
            bent[axis:-PEN:2, pen] += pull[:, row]
            bent[pen, axis:-PEN:2] += pull[:, row]
    bent[-PEN:, -PEN:] += drawing.stretch_weight * (stretch.half_curvature - stretch.half_curvature_if_small)
    plain = np.asarray(open_.T @ square @ open_)
    return _Model(open_, slope, plain, np.asarray(plain + open_.T @ bent @ open_))


def _newton_step(model: _Model) -> Floats:
    """Return the step along the conditions to the least of the local quadratic model."""
    # Far from the optimum the exact model may have no least point; the misfit alone always does.
    downhill = -model.open_.T @ model.slope
    if model.is_convex:
        return np.asarray(model.open_ @ np.linalg.solve(model.exact, downhill))
    return np.asarray(model.open_ @ np.linalg.lstsq(model.plain, downhill, rcond=RANK_SHARE)[0])


def sensitivity(drawing: Drawing, conditions: Conditions, z: Floats) -> Floats:
    """Return the derivative of the fitted joints with respect to the drawn ones, (2N, 2N).

    Parameters
    ----------
    drawing : Drawing
        The N joints as drawn.
    conditions : Conditions
        As given to `fit`.
    z : (2N + 6,) float
        As returned by `fit`.

    Raises
    ------
    NoPlacementError
        The placement could slide without the misfit growing, so the drawing does not fix it.
    """
    model = _model(drawing, conditions, z)
    if not model.is_convex:
        raise NoPlacementError(
            "The drawing and the dimensions leave the truss free to turn or to slide.",
            "Name two joints that lie level, or add a dimension.",
        )
    # Only the misfit vectors move with q, one for one, so the slope moves by the weighted rows.
    moved = drawing.slope(z).T * np.repeat(drawing.weights, 2)
    return np.asarray((-model.open_ @ np.linalg.solve(model.exact, model.open_.T @ moved))[:-PEN])
