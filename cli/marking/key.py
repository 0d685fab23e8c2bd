"""The key as the desk needs it: a model file solved, or found to have no unique answer."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from cli.job import open_model, solve_model
from cli.model.file import Model
from cli.translate.places import place
from cli.translate.to_truss import truss_of
from solver import (
    Answers,
    Marking,
    NoUniqueSolutionError,
    Rubric,
    Solution,
    Stability,
    Truss,
    mark,
    mark_stability,
)
from solver.steps import Quantity

__all__ = ["Key", "open_key"]

_DUST = 1e-9
"""Of the largest force: less is no compression."""


@dataclass(frozen=True, eq=False)
class Key:
    """What papers are marked against."""

    model: Model
    truss: Truss
    stability: Stability
    solution: Solution | None
    """None where the truss has no unique answer: verdict and count are marked then."""
    remarks: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """What the truss is called."""
        return self.model.title or "Truss"

    @property
    def quantities(self) -> tuple[Quantity, ...]:
        """Members, then reaction parts."""
        return () if self.solution is None else tuple(self.solution.board().quantities)

    @property
    def compression(self) -> bool:
        """Whether any member is in compression."""
        if self.solution is None:
            return False
        return bool((self.solution.forces < -_DUST * np.abs(self.solution.forces).max(initial=1.0)).any())

    def mark(self, answers: Answers, rubric: Rubric) -> Marking:
        """Mark one paper."""
        if self.solution is None:
            return mark_stability(self.stability, answers, rubric)
        return mark(self.solution, answers, rubric)


def open_key(path: Path, *, trust: bool = False) -> Key:
    """Read a model file as the key.

    Raises
    ------
    UnconfirmedError, ModelFileError, FaultsError, SurveyError, TrussError
        As solving it does; a truss without a unique answer is a key all the same.
    """
    model = open_model(path, trust=trust)
    try:
        solved = solve_model(model)
    except NoUniqueSolutionError as error:
        return Key(model, truss_of(model, place(model).at), error.stability, None)
    return Key(model, solved.solution.truss, solved.solution.stability, solved.solution, solved.remarks)
