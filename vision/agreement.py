"""Whether two looks at a picture read the same drawing."""

from __future__ import annotations

import numpy as np

from vision.decode import Structure

__all__ = ["same_drawing"]


def same_drawing(one: Structure, other: Structure, *, within: float) -> bool:
    """Tell whether two readings have the same joints and the same members.

    Parameters
    ----------
    one, other
        What two looks read.
    within : float
        Distance at which two joints are one, as a part of the drawing's larger side.

    Returns
    -------
    bool
        False where both read nothing: then there is nothing to agree on.
    """
    if not one.members or len(one.joints) != len(other.joints) or len(one.members) != len(other.members):
        return False
    apart = np.hypot(*(one.joints[:, None] - other.joints[None]).transpose(2, 0, 1))
    row = apart.argmin(1)
    if len(set(row.tolist())) < len(row) or apart.min(1).max() > within * np.ptp(one.joints, axis=0).max():
        return False
    return {(min(row[a], row[b]), max(row[a], row[b])) for a, b in one.members} == set(other.members)
