"""What several commands share: open a model file, solve it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from cli.errors import FaultsError, UnconfirmedError
from cli.model.file import Model, load
from cli.scale_check import far_apart
from cli.translate.places import Placed, place
from cli.translate.to_truss import truss_of
from solver import Solution, TrussError, solve

__all__ = ["Solved", "open_model", "solve_model"]


@dataclass(frozen=True, eq=False)
class Solved:
    """A model with its answer."""

    model: Model
    placed: Placed
    solution: Solution

    @property
    def remarks(self) -> tuple[str, ...]:
        """Sentences for the person: of the survey first, then of the solver."""
        return (*self.placed.remarks, *(str(notice) for notice in self.solution.warnings))


def open_model(path: Path, *, trust: bool) -> Model:
    """Read a model file that may be solved.

    Parameters
    ----------
    path
        The model file.
    trust
        Use what was read from a picture although nobody confirmed it.

    Raises
    ------
    UnconfirmedError
        When nobody has confirmed it and `trust` is not given.
    """
    model = load(path)
    if not (model.confirmed or trust):
        raise UnconfirmedError(path)
    return model


def solve_model(model: Model) -> Solved:
    """Place the joints, find the forces, and carry the errors of the places to the forces.

    Raises
    ------
    FaultsError
        When the model is not complete.
    SurveyError
        When its dimensions do not fit.
    TrussError
        When its truss has faults.
    NoUniqueSolutionError
        When equilibrium does not give one answer.
    """
    placed = place(model)
    try:
        truss = truss_of(model, placed.at)
        return Solved(model, placed, solve(truss, joint_covariance=placed.covariance))
    except TrussError as error:
        slip = far_apart(model)
        if slip is None:
            raise
        # A truss that a wrong length squashed has faults that are not in the drawing: the cause comes first.
        raise FaultsError((slip, str(error))) from None
