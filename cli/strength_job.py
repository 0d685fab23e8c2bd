"""The whole strength job on a model: place, solve, hold against the stock, draw, compare with a test."""

from __future__ import annotations

from cli.errors import AnswerError
from cli.model_file import Model
from cli.strength_model import joint_strengths_of, pieces_of
from cli.strength_report import StrengthAnswer
from cli.translate import place, truss_of
from solver import UnitError, convert_force, parse_force
from solver.strength import Standing, chances_of, demand_of, standing_of, update_strength

__all__ = ["strength_of"]


def strength_of(model: Model, *, curve: str, seed: int, tested: str | None = None) -> StrengthAnswer:
    """Answer which member gives way first and how sure that is.

    Parameters
    ----------
    model
        With stocks, supports and loads.
    curve
        `least` or `interaction`.
    seed
        Of the draws.
    tested
        What let go, if known, and the whole load it held: `C-F 95 N`, `95 N`.

    Raises
    ------
    FaultsError
        When stocks or places are missing.
    AnswerError
        When `tested` cannot be understood.
    SolverError
        When the truss cannot be solved or its stock cannot be.
    """
    pieces = pieces_of(model)
    placed = place(model)
    demand = demand_of(truss_of(model, placed.at), pieces)
    standing = standing_of(demand, pieces, joint_strengths=joint_strengths_of(model), curve=curve)
    first, held = (None, None) if tested is None else _tested(tested, standing)
    chances = chances_of(standing, joint_covariance=placed.covariance, seed=seed)
    return StrengthAnswer(
        title=model.title,
        standing=standing,
        chances=chances,
        seed=seed,
        remarks=(*placed.remarks, *(str(notice) for notice in demand.solution.warnings)),
        tested=held,
        tested_first=first,
        update=None if held is None else update_strength(chances.median, (held,), scatter=chances.log_spread),
    )


def _tested(text: str, standing: Standing) -> tuple[str | None, float]:
    """Take `C-F 95 N` apart: what let go, and the load in N."""
    names = {check.name: check.name for check in standing.checks}
    names |= {"-".join(reversed(check.joints)): check.name for check in standing.checks}
    for joint in standing.demand.truss.joints:
        names.setdefault(joint.name, joint.name)
    unit = standing.demand.truss.force_unit
    first, _, rest = text.strip().partition(" ")
    what = names.get(first)
    try:
        load = convert_force(parse_force(rest if what else text, unit), unit, "N")
    except UnitError:
        cure = 'give what let go and the whole load it held, as in --tested "C-F 95 N", or only the load.'
        raise AnswerError("--tested", text, cure) from None
    if load <= 0:
        raise AnswerError("--tested", text, "a load that was held has no sign and is not zero.")
    return what, load
