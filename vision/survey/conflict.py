"""Can the statements all hold, and if not, which few of them are at fault.

A set of statements holds if some placement near the drawing meets every one to within its slack. When a set
does not hold, the deletion filter drops one statement after another, keeping out each without which the rest
still fails; what remains fails, and holds without any one of its members. A smaller such set may exist
elsewhere, so sets of fewer statements are then tried, smallest first, up to a stated number.

References
----------
J. Chinneck, Feasibility and Infeasibility in Optimization, Springer 2008, chapter 6 (deletion filter).
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from math import comb

import numpy as np

from vision.errors import ContradictionError
from vision.survey.constraints import Conditions, Floats
from vision.survey.settle import Settled, settle
from vision.survey.statements import Statement, together

__all__ = ["reconcile"]

Statements = tuple[Statement, ...]

# Lengths can trap Gauss-Newton in a fold of the drawing, so a few other starts are tried, this far off, in
# shares of the truss's size. The seed makes the answer the same every time.
_RESTARTS = 6
_RESTART_SPREAD = 0.5
_SEED = 20
# Sets looked through for one smaller than the deletion filter's; each costs some microseconds.
_MOST_SETS = 50_000


def reconcile(frame: Conditions, statements: Statements, z: Floats) -> tuple[Conditions, Floats]:
    """Return conditions that all hold exactly, and the point near z where they do.

    Numbers that disagree only by their rounding are moved by less than that rounding, so that they agree.

    Raises
    ------
    ContradictionError
        The statements cannot all hold; it carries the smallest set at fault.
    """
    conditions = together(frame, statements)
    settled = _hold(frame, statements, z)
    if not settled.met:
        faulty = _smallest_at_fault(frame, statements, z)
        raise ContradictionError(
            tuple(statement.words for statement in faulty),
            tuple(statement.dimension for statement in faulty if statement.dimension is not None),
        )
    return conditions.through(settled.z), settled.z


def _hold(frame: Conditions, statements: Statements, z: Floats) -> Settled:
    """Return where the statements hold together, or come nearest to holding."""
    conditions = together(frame, statements)
    settled = settle(conditions, z)
    if settled.met or not len(conditions.lengths):
        return settled
    dice = np.random.default_rng(_SEED)
    for _ in range(_RESTARTS):
        again = settle(conditions, z + dice.normal(scale=_RESTART_SPREAD, size=z.shape))
        if again.met:
            return again
    return settled


def _smallest_at_fault(frame: Conditions, statements: Statements, z: Floats) -> Statements:
    """Return the smallest set that cannot hold, of those that can be looked through."""
    known = _deletion_filter(frame, statements, z)
    suspects = _without_loose_ends(statements)
    for size in range(2, len(known)):
        if comb(len(suspects), size) > _MOST_SETS:
            break
        for few in combinations(suspects, size):
            if len(_without_loose_ends(few)) == size and not _hold(frame, few, z).met:
                return few
    return known


def _deletion_filter(frame: Conditions, statements: Statements, z: Floats) -> Statements:
    """Return a set that cannot hold, while it can without any one of its statements."""
    kept = _without_loose_ends(statements)
    for statement in kept:
        rest = tuple(other for other in kept if other is not statement)
        if not _hold(frame, rest, z).met:
            kept = rest
    return kept


def _without_loose_ends(statements: Statements) -> Statements:
    """Return the statements less those about a joint of which no other speaks.

    Such a joint can always move so that its one statement holds, so that statement is never at fault.
    """
    while True:
        spoken = Counter(joint for statement in statements for joint in statement.joints)
        kept = tuple(
            statement for statement in statements if all(spoken[joint] > 1 for joint in statement.joints)
        )
        if len(kept) == len(statements):
            return kept
        statements = kept
