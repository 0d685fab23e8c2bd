"""The whole strength job on a model: place, solve, hold against the stock, draw, compare with a test."""

from __future__ import annotations

from dataclasses import replace

from cli.errors import AnswerError
from cli.member_names import names_of
from cli.model.file import Model
from cli.strength.cutting import cuts_of
from cli.strength.model import joint_strengths_of, options_of, pieces_of
from cli.strength.report import StrengthAnswer
from cli.strength.sizing import Sizing
from cli.translate.places import place
from cli.translate.to_truss import truss_of
from solver import NoUniqueSolutionError, UnitError, assess, convert_force, parse_force
from solver.strength import (
    Standing,
    chances_of,
    demand_of,
    least_stock,
    shape_gradient,
    standing_of,
    stressed_areas,
    update_strength,
    upgrades,
)

__all__ = ["strength_of"]


def strength_of(
    model: Model, *, curve: str, seed: int, tested: str | None = None, target: str | None = None
) -> StrengthAnswer:
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
    target
        The whole load that the truss should carry: `200 N`.

    Raises
    ------
    FaultsError
        When stocks or places are missing.
    AnswerError
        When `tested` or `target` cannot be understood.
    SolverError
        When the truss cannot be solved or its stock cannot be.
    """
    placed = place(model)
    truss = truss_of(model, placed.at)
    if model.supports:
        stability = assess(truss)
        if stability.mechanisms:
            raise NoUniqueSolutionError(stability)  # before stocks are asked for: no stock mends it
    pieces = pieces_of(model)
    demand = demand_of(truss, pieces)
    standing = standing_of(demand, pieces, joint_strengths=joint_strengths_of(model, pieces), curve=curve)
    sizing = None if target is None else _sized(target, standing, model)
    first, held = (None, None) if tested is None else _tested(tested, standing)
    chances = chances_of(standing, joint_covariance=placed.covariance, seed=seed)
    return StrengthAnswer(
        sizing=sizing,
        shape=shape_gradient(standing) if demand.determinate and standing.load_factor > 0 else None,
        cuts=cuts_of(model, demand.truss.lengths),
        title=model.title,
        standing=standing,
        chances=chances,
        seed=seed,
        remarks=(*placed.remarks, *(str(notice) for notice in demand.solution.warnings)),
        tested=held,
        tested_first=first,
        update=None
        if held is None or chances.median <= 0
        else update_strength(chances.median, (held,), scatter=chances.log_spread),
    )


def _sized(text: str, standing: Standing, model: Model) -> Sizing:
    """Find the least stock for a target and what to make stronger first."""
    unit = standing.demand.truss.force_unit
    try:
        target = convert_force(parse_force(text, unit), unit, "N")
    except UnitError:
        raise AnswerError("--target", text, 'give the whole load to carry, as in --target "200 N".') from None
    if target <= 0:
        raise AnswerError("--target", text, "a load to carry has no sign and is not zero.")
    truss, options = standing.demand.truss, options_of(model)
    choice = least_stock(
        truss,
        standing.pieces,
        options,
        target=target / standing.demand.total_load,
        joint_strengths=standing.joint_strengths,
        curve=standing.curve,
    )
    steps = upgrades(
        truss,
        standing.pieces,
        options,
        joint_strengths=standing.joint_strengths,
        curve=standing.curve,
    )
    names = tuple(member.stock or "" for member in model.members)
    return Sizing(target, standing, names, choice, _ideal(choice.standing, target), steps)


def _ideal(standing: Standing, target: float) -> float | None:
    """Return the grams at which every member of a determinate truss is at its strength under the target."""
    demand = standing.demand
    if not demand.determinate:
        return None
    share = target / demand.total_load
    grown = replace(demand, live=share * demand.live)
    grams = 0.0
    for row, piece in enumerate(standing.pieces):
        area = float(stressed_areas(grown, piece.material)[row])
        grams += area * float(demand.lengths[row]) * piece.material.density.value * 1e-6
    return grams


def _tested(text: str, standing: Standing) -> tuple[str | None, float]:
    """Take `C-F 95 N` apart: what let go, and the load in N."""
    truss = standing.demand.truss
    ends = [(member.start, member.end) for member in truss.members]
    names = names_of(ends, [joint.name for joint in truss.joints])
    unit = truss.force_unit
    first, _, rest = text.strip().partition(" ")
    if rest and first[:1].isalpha() and first not in names:
        listed = ", ".join(dict.fromkeys(names.values()))
        raise AnswerError("--tested", text, f"there is no member or joint {first} here; there are {listed}.")
    what = names.get(first)
    try:
        load = convert_force(parse_force(rest if what else text, unit), unit, "N")
    except UnitError:
        cure = 'give what let go and the whole load it held, as in --tested "C-F 95 N", or only the load.'
        raise AnswerError("--tested", text, cure) from None
    if load <= 0:
        raise AnswerError("--tested", text, "a load that was held has no sign and is not zero.")
    return what, load
