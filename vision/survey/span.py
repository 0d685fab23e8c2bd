"""Conditions that grow group by group: each trial costs a projection instead of a new solve of them all.

The rows of the linear conditions so far are kept as an orthonormal basis. What a further row, or the gradient
of a length, adds is its part outside that basis; the shortest step along that part leaves the linear ones as
they are, so it is the step that a least-squares solve of them all together would take.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vision.survey.constraints import EXACT, Conditions, Floats
from vision.survey.settle import open_directions

__all__ = ["Span"]

# A mix of further rows whose part outside the basis is shorter than this says nothing new. Rounding in the
# Gram matrix stands at 1e-8 here, an honest independence above 1e-4.
_NEW = 1e-6
# Newton doubles its digits at every step; what has not come to rest by then is left to `settle`.
_STEPS = 8
_STEP_DONE = 1e-12


@dataclass(frozen=True, eq=False)
class Span:
    """The rows of linear conditions, and the lengths beside them."""

    basis: Floats
    """(n, rank), orthonormal: what the linear conditions hold."""
    lengths: Conditions
    """The length conditions alone."""

    @classmethod
    def of(cls, conditions: Conditions, z: Floats) -> Span:
        """Return the span of conditions that z meets."""
        open_ = open_directions(conditions.linear_part(), z)
        basis = np.linalg.qr(open_, mode="complete")[0][:, open_.shape[1] :]
        return cls(np.asarray(basis), conditions.length_part())

    def grown(self, rows: Floats, z: Floats) -> tuple[Span, Floats] | None:
        """Return the span with more rows and the point near z at which they are zero; None if none is found.

        Parameters
        ----------
        rows : (R, n) float
            The further conditions: `rows @ z = 0`.
        z : (n,) float
            A point that meets the conditions so far.
        """
        news = self._outside(rows)
        for _ in range(_STEPS):
            outside = np.concatenate([news, self._outside(self.lengths.gradient(z))])
            missed = np.concatenate([rows @ z, self.lengths.missed_by(z)])
            mixes, sizes = _independent(outside)
            step = ((missed @ mixes) / sizes) @ (mixes.T @ outside)
            z = z - step
            if np.abs(step).max(initial=0.0) < _STEP_DONE:
                break
        missed = np.concatenate([rows @ z, self.lengths.missed_by(z)])
        if np.abs(missed).max(initial=0.0) > EXACT:
            return None
        mixes, sizes = _independent(news)
        return Span(np.column_stack([self.basis, news.T @ (mixes / np.sqrt(sizes))]), self.lengths), z

    def _outside(self, rows: Floats) -> Floats:
        """Return the part of rows outside the basis; taken twice, since the first leaves rounding behind."""
        once = rows - (rows @ self.basis) @ self.basis.T
        return np.asarray(once - (once @ self.basis) @ self.basis.T)


def _independent(rows: Floats) -> tuple[Floats, Floats]:
    """Return orthogonal mixes of rows that say something, (R, k), and the squares of their lengths, (k,).

    By their Gram matrix: its eigenvectors are the mixes, and there are only a few rows.
    """
    sizes, mixes = np.linalg.eigh(rows @ rows.T)
    new = sizes > _NEW**2
    return np.asarray(mixes[:, new]), np.asarray(sizes[new])
