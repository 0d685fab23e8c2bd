"""Factors of a large square equilibrium matrix, to solve with it and with its transpose.

Long, narrow trusses become narrow band matrices once joints are numbered along them, and LAPACK's band
routines then take a fraction of the time of a general sparse factorization. Wide ones go to SuperLU.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.linalg import lapack
from scipy.sparse.csgraph import reverse_cuthill_mckee
from scipy.sparse.linalg import splu

__all__ = ["Factors", "factorize"]

_WIDEST_BAND = 40
"""Stored diagonals up to which a band is worth while: about the fill of a general factorization of a
strip."""


class Factors(Protocol):
    """A factorized square matrix."""

    def solve(self, right: NDArray[np.float64]) -> NDArray[np.float64]:
        """Solve A x = right for (P,) or (P, K) right-hand sides."""
        ...

    def solve_transposed(self, right: NDArray[np.float64]) -> NDArray[np.float64]:
        """Solve A' x = right."""
        ...


@dataclass(frozen=True, eq=False)
class _Band:
    band: NDArray[np.float64]
    pivots: NDArray[np.int32]
    lower: int
    upper: int
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]

    def solve(self, right: NDArray[np.float64]) -> NDArray[np.float64]:
        found = np.empty_like(right)
        found[self.columns] = self._lapack(right[self.rows], 0)
        return found

    def solve_transposed(self, right: NDArray[np.float64]) -> NDArray[np.float64]:
        found = np.empty_like(right)
        found[self.rows] = self._lapack(right[self.columns], 1)
        return found

    def _lapack(self, right: NDArray[np.float64], transposed: int) -> NDArray[np.float64]:
        found, _ = lapack.dgbtrs(
            self.band, self.lower, self.upper, right, self.pivots, trans=transposed, overwrite_b=1
        )
        return np.asarray(found)


@dataclass(frozen=True, eq=False)
class _General:
    lu: sparse.linalg.SuperLU

    def solve(self, right: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(self.lu.solve(right))

    def solve_transposed(self, right: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(self.lu.solve(right, "T"))  # type: ignore[call-overload]  # the stubs forget `trans`


def factorize(matrix: sparse.csc_array) -> Factors | None:
    """Factorize a square matrix with partial pivoting.

    Returns
    -------
    Factors or None
        None when a pivot is exactly zero, so that the matrix is singular.

    References
    ----------
    E. Cuthill and J. McKee (1969) for the numbering; LAPACK `dgbtrf`; X. S. Li, SuperLU (2005).
    """
    banded = _band(matrix)
    if banded is not None:
        return banded if np.isfinite(banded.band).all() and banded.lower >= 0 else None
    try:
        return _General(splu(matrix))
    except RuntimeError:  # SuperLU's word for a zero pivot
        return None


def _band(matrix: sparse.csc_array) -> _Band | None:
    """Factorize as a band, or give none where the band is too wide; `lower` is -1 for a zero pivot."""
    size = matrix.shape[0]
    row, column = matrix.indices, np.repeat(np.arange(size, dtype=np.int32), np.diff(matrix.indptr))
    # Number joints (pairs of rows) along the truss: two joints are neighbours when a column touches both.
    joint = row // 2
    first, last = _ends_of_columns(joint, matrix.indptr)
    apart = first != last
    graph = sparse.csr_array(
        (
            np.ones(2 * apart.sum(), dtype=np.int8),
            (np.r_[first[apart], last[apart]], np.r_[last[apart], first[apart]]),
        ),
        shape=(size // 2, size // 2),
    )
    order = reverse_cuthill_mckee(graph, symmetric_mode=True).astype(np.intp)
    place = np.empty(size // 2, dtype=np.intp)
    place[order] = np.arange(size // 2)
    low, high = np.minimum(place[first], place[last]), np.maximum(place[first], place[last])
    columns = np.lexsort((high, low))
    new_column = np.empty(size, dtype=np.intp)
    new_column[columns] = np.arange(size)
    at_row, at_column = 2 * place[joint] + row % 2, new_column[column]
    below = at_row - at_column
    lower, upper = max(int(below.max()), 0), max(-int(below.min()), 0)
    if 2 * lower + upper + 1 > _WIDEST_BAND:
        return None
    band = np.zeros((2 * lower + upper + 1, size), order="F")
    band[lower + upper + below, at_column] = matrix.data
    band, pivots, info = lapack.dgbtrf(band, lower, upper, overwrite_ab=1)
    rows = np.empty(size, dtype=np.intp)
    rows[0::2], rows[1::2] = 2 * order, 2 * order + 1
    return _Band(band, pivots, -1 if info > 0 else lower, upper, rows, columns)


def _ends_of_columns(
    joint: NDArray[np.int32], starts: NDArray[np.int32]
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Give the lowest and highest joint that each column touches; row indices are sorted within columns."""
    return joint[starts[:-1]], joint[starts[1:] - 1]
