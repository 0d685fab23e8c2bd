"""Elimination of joints where few unknowns meet: exact, and linear in time."""

from __future__ import annotations

from collections import deque

import numpy as np
from scipy import sparse

from solver.settings import TOLERANCES

__all__ = ["peel"]

Column = dict[int, tuple[float, float]]
"""An unknown: how it pulls each joint that it acts on."""


def peel(matrix: sparse.csc_array) -> tuple[int, sparse.csc_array]:
    """Take away joints whose unknowns can be settled on the spot.

    A joint where one unknown is left settles it (rank 1), one with two not in one line both (rank 2). Two in
    one line settle one; the other, freed of this joint by elimination, goes on as one longer unknown between
    the far joints. None of this changes the rank of what is left, so that rank(A) = settled + rank(core).

    Parameters
    ----------
    matrix : (2N, P) sparse
        Equilibrium matrix; rows in pairs, at most two joints in a column.

    Returns
    -------
    settled : int
        Rank of what was taken away.
    core : sparse
        What is left, without empty rows; empty columns are kept, since they are unknowns that nothing needs.
    """
    columns, meeting = _by_joint(matrix)
    alive = [True] * len(meeting)
    queue = deque(range(len(meeting)))
    settled = 0
    while queue:
        joint = queue.popleft()
        here = meeting[joint]
        if not alive[joint] or len(here) > 2:
            continue
        alive[joint] = False
        touched: set[int] = set()
        if len(here) == 2:
            first, second = here
            (ax, ay), (bx, by) = columns[first][joint], columns[second][joint]
            sizes = np.hypot(ax, ay) * np.hypot(bx, by)
            if abs(ax * by - ay * bx) > TOLERANCES.rank * sizes:
                settled += 2
                touched |= _drop(columns, meeting, first) | _drop(columns, meeting, second)
            else:
                settled += 1
                factor = (ax * bx + ay * by) / (ax * ax + ay * ay)
                touched |= _combine(columns, meeting, joint, (first, second), factor)
        elif here:
            settled += 1
            touched |= _drop(columns, meeting, next(iter(here)))
        queue.extend(other for other in touched if alive[other])
    return settled, _core(
        columns, [joint for joint, left in enumerate(alive) if left], matrix.shape[1] - settled
    )


def _by_joint(matrix: sparse.csc_array) -> tuple[dict[int, Column], list[set[int]]]:
    meeting: list[set[int]] = [set() for _ in range(matrix.shape[0] // 2)]
    columns: dict[int, Column] = {}
    rows, values, starts = matrix.indices.tolist(), matrix.data.tolist(), matrix.indptr.tolist()
    for index in range(matrix.shape[1]):
        column: Column = {}
        for place in range(starts[index], starts[index + 1]):
            joint, axis = divmod(rows[place], 2)
            x, y = column.get(joint, (0.0, 0.0))
            column[joint] = (values[place], y) if axis == 0 else (x, values[place])
        columns[index] = column
        for joint in column:
            meeting[joint].add(index)
    return columns, meeting


def _drop(columns: dict[int, Column], meeting: list[set[int]], index: int) -> set[int]:
    """Take an unknown away, and give the joints that it acted on."""
    joints = columns.pop(index)
    for joint in joints:
        meeting[joint].discard(index)
    return set(joints)


def _combine(
    columns: dict[int, Column], meeting: list[set[int]], joint: int, pair: tuple[int, int], factor: float
) -> set[int]:
    """Eliminate a joint from the second of two unknowns in line, and drop the first."""
    first, second = columns[pair[0]], columns[pair[1]]
    for other, (x, y) in first.items():
        was = second.get(other, (0.0, 0.0))
        second[other] = (was[0] - factor * x, was[1] - factor * y)
        meeting[other].add(pair[1])
    del second[joint]
    meeting[joint].discard(pair[1])
    for other, (x, y) in list(second.items()):
        if max(abs(x), abs(y)) <= TOLERANCES.rank:
            del second[other]
            meeting[other].discard(pair[1])
    return _drop(columns, meeting, pair[0]) | set(second)


def _core(columns: dict[int, Column], joints: list[int], width: int) -> sparse.csc_array:
    place = {joint: index for index, joint in enumerate(joints)}
    rows, at, values = [], [], []
    for number, column in enumerate(columns.values()):
        for joint, parts in column.items():
            for axis, part in enumerate(parts):
                rows.append(2 * place[joint] + axis)
                at.append(number)
                values.append(part)
    core = sparse.coo_array((values, (rows, at)), shape=(2 * len(joints), width))
    return sparse.csc_array(core)
