"""Versions of an exercise: the same truss with other dimensions and loads, that come out well.

1. The whole-number pattern of the truss is found (`lattice`).
2. Shapes that keep it are drawn and rated by their slopes (`shapes`).
3. The best are solved, for each group of loads by itself; sets of loads are then only added up, and rated by
   how many reactions and forces come out in three figures.
4. The best that is not too near to an earlier version is solved once more, in floating point and in
   fractions.

Every step takes its chances from one seed, so that a seed and a number give the same version again.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from solver.equilibrium import Equilibrium
from solver.errors import NoVersionError, QuestionError
from solver.factors import factorize
from solver.judge import judge
from solver.practice.exact import ExactSolution, fraction_of, solve_exactly
from solver.practice.lattice import find_lattice
from solver.practice.loading import LoadGroup, groups_of, loaded, multipliers, unloaded
from solver.practice.settings import PRACTICE, PracticeSettings
from solver.practice.shapes import Shape, original_shape, shapes_of
from solver.practice.surd import root_of
from solver.settings import TOLERANCES
from solver.solution import Solution
from solver.solving import solve
from solver.truss import Truss

__all__ = ["Version", "make_versions"]

Array = NDArray[np.float64]
_TIDY_WEIGHT = 1.5
"""What forces in three figures throughout are worth, in the unit of slopes: as much as from an odd slope to a
whole-number triangle."""
_REACTION = 2.0
"""A reaction counts as so many members: everything else is worked out from it."""
_ZERO_CHANGE = 4.0
"""What it costs when other members carry nothing than in the original, in the same unit."""
_LIKE_ANOTHER = 0.5
"""What it costs to be enlarged from the original or from an earlier version, for each."""
_THREE_FIGURES = 1e-9
"""Relative; what is nearer to its rounding to three figures than this has no more figures."""


@dataclass(frozen=True, eq=False)
class Version:
    """One version of an exercise, with its key."""

    number: int
    """Counted from 0."""
    solution: Solution
    exact: ExactSolution | None
    """The key in fractions and roots; none where a weight lies along a length that is a root, or where the
    shape could not be brought to whole numbers."""
    same_shape: bool
    """Whether only the loads are new: no whole-number pattern shows what the original shows."""
    zero_now: tuple[int, ...]
    """Rows of members that carry nothing here, and something in the original."""
    zero_before: tuple[int, ...]
    """Rows of members that carry something here, and nothing in the original."""

    @property
    def truss(self) -> Truss:
        """Its truss."""
        return self.solution.truss


@dataclass(frozen=True, eq=False)
class _Original:
    """What versions are held against."""

    truss: Truss
    groups: tuple[LoadGroup, ...]
    zero: NDArray[np.bool_]
    """(M,) members that carry nothing."""
    least: float
    """Smallest force that is not zero, of the largest load."""
    most: float
    """Largest force, of all loads together."""
    condition: float


@dataclass(frozen=True, eq=False)
class _Candidate:
    """A version that may be taken."""

    cost: float
    shape: Shape
    truss: Truss
    forces: Array
    zero: NDArray[np.bool_]


def make_versions(
    truss: Truss, count: int, *, seed: int, settings: PracticeSettings = PRACTICE
) -> tuple[Version, ...]:
    """Make versions of a truss: other dimensions and loads, everything else as it was.

    Parameters
    ----------
    truss : Truss
        A determinate truss with loads.
    count : int
        How many, 1 or more. The first of five are the same as the first of three.
    seed : int
        The same seed gives the same versions.

    Returns
    -------
    tuple of Version
        No two with the same forces, none with those of the original.

    Raises
    ------
    TrussError
        When the truss has no supports or no loads.
    NoUniqueSolutionError
        When it has no unique solution.
    NoVersionError
        When so many versions cannot be found within the limits.
    QuestionError
        When `count` is less than 1.
    """
    if count < 1:
        raise QuestionError("Ask for one version at least.")
    solution = solve(truss)
    groups = groups_of(truss, settings)
    lattice = find_lattice(truss, settings=settings)
    as_drawn = truss.at if lattice is None else original_shape(lattice)
    original = _judge_original(truss, groups, as_drawn)
    found: list[Version] = []
    known = [solution.forces]
    used = [_shape_at(as_drawn)]
    for number in range(count):
        draw = random.Random(f"{seed}/{number}")  # noqa: S311  a worksheet is no secret
        if lattice is None:
            shapes = [_shape_at(truss.at)]
        else:
            shapes = _freshest(shapes_of(lattice, draw, settings), used)
        best = min(
            _candidates(original, shapes, draw, settings, known=known, limit=settings.shapes_tried),
            key=lambda candidate: candidate.cost,
            default=None,
        )
        if best is None:
            raise NoVersionError(count, number)
        found.append(_finished(number, best, original, same_shape=lattice is None))
        known.append(best.forces)
        used.append(best.shape)
    return tuple(found)


def _shape_at(at: Array) -> Shape:
    return Shape(tuple((fraction_of(x), fraction_of(y)) for x, y in at.tolist()), 0.0)


def _freshest(shapes: Sequence[Shape], used: Sequence[Shape]) -> list[Shape]:
    """Put shapes that are the original or an earlier version again, or enlarged, behind others as tidy."""
    rated = []
    for shape in shapes:
        again = sum(shape.like(other) for other in used)
        rated.append(replace(shape, cost=shape.cost + _LIKE_ANOTHER * again))
    return sorted(rated, key=lambda shape: round(shape.cost, 1))


def _judge_original(truss: Truss, groups: tuple[LoadGroup, ...], at: Array) -> _Original:
    """Solve the original on its pattern, so that what only rounding makes carry something carries nothing."""
    tidied = loaded(truss, unloaded(truss, _shape_at(at)), groups, [group.original for group in groups])
    equilibrium = Equilibrium(tidied)
    stability = judge(equilibrium).stability
    forces = solve(tidied).forces
    loads = np.hypot(*equilibrium.loads.reshape(-1, 2).T)
    zero = _nothing(forces, loads)
    carried = np.abs(forces[~zero])
    return _Original(
        truss=truss,
        groups=groups,
        zero=zero,
        least=float(carried.min(initial=np.inf) / loads.max()),
        most=float(carried.max(initial=0.0) / loads.sum()),
        condition=stability.condition or np.inf,
    )


def _nothing(forces: Array, loads: Array) -> NDArray[np.bool_]:
    scale = max(float(np.abs(forces).max()), float(loads.max()))
    return np.asarray(np.abs(forces) <= 10 * TOLERANCES.zero_force * scale)


def _candidates(
    original: _Original,
    shapes: Sequence[Shape],
    draw: random.Random,
    settings: PracticeSettings,
    *,
    known: Sequence[Array],
    limit: int,
) -> Iterator[_Candidate]:
    """Give the best loading of each of the first shapes that have one."""
    taken = 0
    for shape in shapes:
        best = _best_loading(original, shape, draw, settings, known=known)
        if best is None:
            continue
        yield best
        taken += 1
        if taken == limit:
            return


def _best_loading(
    original: _Original,
    shape: Shape,
    draw: random.Random,
    settings: PracticeSettings,
    *,
    known: Sequence[Array],
) -> _Candidate | None:
    """Find the set of loads under which most forces of a shape come out well, within the limits."""
    bare = unloaded(original.truss, shape)
    matrix = Equilibrium(bare)
    stability = judge(matrix).stability
    worse = settings.worse_than_original
    if stability.condition is None or stability.verdict != "determinate":
        return None
    if stability.condition > max(settings.condition, worse * original.condition):
        return None
    factors = factorize(matrix.matrix)
    if factors is None:
        return None
    groups = original.groups
    alone = np.array(
        [Equilibrium(loaded(original.truss, bare, (group,), (Fraction(1),))).loads for group in groups]
    )  # (G, 2N)
    answers = factors.solve(-alone.T).T  # (G, M + R)
    amounts = multipliers(groups, draw, settings.loads_tried)
    shares = np.array([[float(amount) for amount in amount_set] for amount_set in amounts])
    unknowns = shares @ answers
    loads = np.hypot(*np.moveaxis((shares @ alone).reshape(len(shares), -1, 2), 2, 0))
    members = len(bare.members)
    forces = unknowns[:, :members]
    size = np.abs(forces)
    scale = np.maximum(size.max(axis=1), loads.max(axis=1))
    zero = size <= 10 * TOLERANCES.zero_force * scale[:, None]
    carried = np.where(zero, np.inf, size).min(axis=1)
    least = min(settings.least_force, original.least / worse)
    most = max(settings.most_force, original.most * worse)
    fine = (carried >= least * loads.max(axis=1)) & (size.max(axis=1) <= most * loads.sum(axis=1))
    for other in known:
        fine &= np.abs(forces - other).max(axis=1) > settings.different * np.abs(other).max()
    if not fine.any():
        return None
    radicands = [root_of(_squared(shape, *row)).radicand for row in bare.ends.tolist()]
    roots = np.array(radicands, dtype=float)
    whole = _in_three_figures(np.concatenate([forces / np.sqrt(roots), unknowns[:, members:]], axis=1))
    weight = np.concatenate([np.ones(members), np.full(unknowns.shape[1] - members, _REACTION)])
    tidy = (whole * weight).sum(axis=1) / weight.sum()
    changed = (zero != original.zero).any(axis=1)
    cost = shape.cost - _TIDY_WEIGHT * tidy + _ZERO_CHANGE * changed
    cost[~fine] = np.inf
    row = int(cost.argmin())
    return _Candidate(
        float(cost[row]), shape, loaded(original.truss, bare, groups, amounts[row]), forces[row], zero[row]
    )


def _squared(shape: Shape, start: int, end: int) -> Fraction:
    (x, y), (far_x, far_y) = shape.at[start], shape.at[end]
    return (far_x - x) ** 2 + (far_y - y) ** 2


def _in_three_figures(values: Array) -> NDArray[np.bool_]:
    size = np.abs(values)
    largest = size.max(axis=1, keepdims=True)
    nothing = size <= TOLERANCES.zero_force * largest
    power = 10.0 ** (2 - np.floor(np.log10(np.where(nothing, 1.0, size))))
    rest = np.abs(size * power - np.rint(size * power)) / power
    return np.asarray(nothing | (rest <= _THREE_FIGURES * largest))


def _finished(number: int, best: _Candidate, original: _Original, *, same_shape: bool) -> Version:
    exact = None
    if not same_shape:
        try:
            exact = solve_exactly(best.truss)
        except QuestionError:
            exact = None  # a weight along a root: the key is in decimals
    return Version(
        number=number,
        solution=solve(best.truss),
        exact=exact,
        same_shape=same_shape,
        zero_now=tuple(np.flatnonzero(best.zero & ~original.zero).tolist()),
        zero_before=tuple(np.flatnonzero(original.zero & ~best.zero).tolist()),
    )
