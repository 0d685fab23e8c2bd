"""What a worksheet asks about: a truss as it is, or versions of it with other numbers, each with its key."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from cli.job import Solved
from cli.model.file import MODEL_SUFFIX, Model
from cli.model.parts import DimensionEntry
from cli.papers.maths import Symbol
from cli.papers.sheet_code import code_of, is_sheet_code, letter_of
from cli.sheets.figures import pushes_up
from cli.sheets.written import Written
from cli.truss_model import model_of_truss
from solver import NoUniqueSolutionError, QuestionError, Solution, Support, Truss, solve
from solver.practice import ExactSolution, Surd, as_meant, make_versions, root_of, solve_exactly

__all__ = ["Exercise", "as_it_is", "reaction_symbols", "reaction_values", "with_other_numbers"]

_SAME_LENGTH, _SAME_ANGLE = 1e-4, 0.05
"""Relative, and degrees: as near as four figures and tenths of a degree on a drawing tell."""
_GIVEN = ".4g"
"""How `Numerals.given` rounds: a number that passes through it unchanged is printed whole."""


@dataclass(frozen=True, eq=False)
class Exercise:
    """One truss to be found out, with its answers."""

    code: str
    """Ties the sheet to its key: `B-7K2Q`."""
    letter: str
    """Of the version; empty for a truss as it is."""
    solution: Solution
    exact: ExactSolution | None
    """Answers in fractions and roots, where the printed numbers are the whole truth."""
    model: Model
    """For a file of its own: joints in the plane, no picture, with the code in it."""
    zero_now: tuple[int, ...] = ()
    """Rows of members that carry nothing in this version only."""
    zero_before: tuple[int, ...] = ()
    """Rows of members that carry nothing in the original only."""
    written: tuple[Written, ...] = ()
    """Lengths and angles as a person wrote them, where the truss holds them."""
    moved: float = 0.0
    """Length units: how far a joint was moved at most so that lengths come out round."""
    same_shape: bool = False
    """Whether a version has new loads only: no whole numbers show what the original shows."""

    @property
    def model_file(self) -> str:
        """Name of the model's own file."""
        return f"{self.code}{MODEL_SUFFIX}"

    @property
    def truss(self) -> Truss:
        """Its truss."""
        return self.solution.truss


def as_it_is(solved: Solved) -> Exercise:
    """Return a truss with its own lengths and loads.

    Places that were measured off a picture become those that were meant: joints on levels with round lengths
    between them, as the drawing shows and what is written on it demands. Where there are none, and for places
    that a person gave, they stay.

    A file that was written as the key of a worksheet keeps its code, unless its truss was changed since.
    """
    solution = solved.solution
    if solved.placed.covariance is not None:
        solution = next(_meant(solved), solution)
    truss = solution.truss
    plain = model_of_truss(truss, title=solved.model.title)
    known = solved.model.sheet
    letter = known.rpartition("-")[0] if known is not None and is_sheet_code(known) else ""
    code = code_of(plain, letter)
    if code != known:
        letter, code = "", code_of(plain)
    return Exercise(
        code=code,
        letter=letter,
        solution=solution,
        exact=_exact(truss),
        model=plain.model_copy(update={"sheet": code}),
        written=tuple(_written(solved.model, truss)),
        moved=_moved(solved.solution.truss, truss),
    )


def _meant(solved: Solved) -> Iterator[Solution]:
    """Give the trusses that may be meant and hold what is written on the drawing, roundest lengths first."""
    for truss in as_meant(solved.solution.truss):
        if all(_holds(entry, truss) for entry in solved.model.dimensions):
            try:
                yield solve(truss)
            except NoUniqueSolutionError:  # the pattern straightened what kept it from moving
                continue


def _holds(entry: DimensionEntry, truss: Truss) -> bool:
    across, up = (truss.at[truss.row[entry.end]] - truss.at[truss.row[entry.start]]).tolist()
    if entry.kind == "angle":
        found = math.degrees(math.atan2(abs(up), abs(across)))
        return math.isclose(found, min(entry.value, 180 - entry.value), abs_tol=_SAME_ANGLE)
    found = {"across": abs(across), "up": abs(up), "along": math.hypot(across, up)}[entry.kind]
    return math.isclose(found, entry.value, rel_tol=_SAME_LENGTH)


def _written(model: Model, truss: Truss) -> Iterator[Written]:
    if all(_holds(entry, truss) for entry in model.dimensions):
        for entry in model.dimensions:
            yield Written(entry.kind, truss.row[entry.start], truss.row[entry.end], entry.value)


def _moved(drawn: Truss, meant: Truss) -> float:
    """Return the farthest that a joint moved, the middles of both trusses on each other."""
    apart = (drawn.at - drawn.at.mean(axis=0)) - (meant.at - meant.at.mean(axis=0))
    return float(np.hypot(*apart.T).max())


def with_other_numbers(solved: Solved, count: int, *, seed: int) -> tuple[Exercise, ...]:
    """Return versions of a truss: A, B, C and so on.

    Raises
    ------
    NoVersionError
        When so many cannot be found.
    """
    exercises = []
    for version in make_versions(solved.solution.truss, count, seed=seed):
        letter = letter_of(version.number)
        model = model_of_truss(version.truss, title=solved.model.title)
        code = code_of(model, letter)
        exercises.append(
            Exercise(
                code=code,
                letter=letter,
                solution=version.solution,
                exact=version.exact,
                model=model.model_copy(update={"sheet": code}),
                zero_now=version.zero_now,
                zero_before=version.zero_before,
                same_shape=version.same_shape,
            )
        )
    return tuple(exercises)


def reaction_symbols(truss: Truss) -> tuple[Symbol, ...]:
    """Return the letters of the reactions as blanks ask for them: x and y of a pin, y or n of a roller."""
    return tuple(Symbol(support.joint, index) for support in truss.supports for index in _indices(support))


def _indices(support: Support) -> tuple[str, ...]:
    if support.kind == "pin":
        return ("x", "y")
    return ("y" if pushes_up(support.normal) else "n",)


def reaction_values(exercise: Exercise) -> tuple[tuple[float, Surd | None], ...]:
    """Return the reactions in the order of `reaction_symbols`: in decimals, and exactly where known."""
    found: list[tuple[float, Surd | None]] = []
    for row, (support, item) in enumerate(
        zip(exercise.truss.supports, exercise.solution.reactions, strict=True)
    ):
        exact = exercise.exact.reactions[row] if exercise.exact else None
        if support.kind == "pin":
            parts = (None, None) if exact is None else (Surd(exact[0]), Surd(exact[1]))
            found += [(item.fx, parts[0]), (item.fy, parts[1])]
        else:
            x, y = support.normal
            size = math.hypot(x, y)
            along = (item.fx * x + item.fy * y) / size
            surd = None
            if exact is not None:
                root = root_of(exact[0] ** 2 + exact[1] ** 2) if any(exact) else Surd(Fraction(0))
                surd = root if along >= 0 else root * Fraction(-1)
            found.append((along, surd))
    return tuple(found)


def _exact(truss: Truss) -> ExactSolution | None:
    """Solve in fractions a truss whose numbers are printed whole; none for one that was measured."""
    numbers = [
        *truss.at.ravel().tolist(),
        *truss.load_vectors.ravel().tolist(),
        *truss.weights.tolist(),
        *(part for deck in truss.deck_loads for part in (deck.fx, deck.fy)),
        *(part for support in truss.supports for part in support.normal),
    ]
    if any(float(format(number, _GIVEN)) != number for number in numbers):
        return None
    try:
        return solve_exactly(truss)
    except QuestionError:  # a weight along a length that is a root
        return None
