"""Strength on the page: at averages with every change, with its uncertainty once the page rests."""

from __future__ import annotations

import math

from cli.errors import FaultsError
from cli.model.file import Model
from cli.page.document import Snapshot
from cli.page.errors import EditError
from cli.page.strength_types import MemberUse, Prediction, Ranked, StrengthShown
from cli.page.trust import trusted
from cli.sheets.numerals import Numerals
from cli.sheets.palette import USE, use_tone
from cli.strength.job import strength_of
from cli.strength.model import joint_strengths_of, pieces_of
from cli.strength.picture import used_label
from cli.strength.words import AVERAGES, at_averages, event, formula, rough
from solver import Solution, StockError, convert_force
from solver.strength import Check, Standing, demand_of, standing_of

__all__ = ["prediction_of", "strength_shown"]

NUMERALS = Numerals(figures=3)
SEED = 1
"""Of the draws: the same every time, and that of `panelpoint strength`."""


def strength_shown(model: Model, solution: Solution) -> StrengthShown | None:
    """Return the strength of a solved truss, None when nothing says what it is made of.

    Parameters
    ----------
    model
        What of the model may be used.
    solution
        Of its truss.
    """
    bare = ["–".join(member.joints) for member in model.members if member.stock is None]
    if len(bare) == len(model.members):
        return None
    if bare:
        return StrengthShown(sentence=f"Say what the others are made of, too: {', '.join(bare)}.")
    try:
        pieces = pieces_of(model)
        standing = standing_of(
            demand_of(solution.truss, pieces), pieces, joint_strengths=joint_strengths_of(model, pieces)
        )
    except FaultsError as error:
        return StrengthShown(sentence=" ".join(error.faults))
    except StockError as error:
        return StrengthShown(sentence=str(error))
    return _shown(standing, solution.senses)


def prediction_of(snapshot: Snapshot) -> Prediction:
    """Return what lets go first with how sure that is.

    Raises
    ------
    CliError, SurveyError, SolverError
        When there is no strength to predict; the sentence says why.
    """
    used = trusted(snapshot.model).model
    if not used.stocks:
        raise EditError("Nothing says what the members are made of.", "Say it first.")
    return Prediction(
        revision=snapshot.revision,
        sentence=strength_of(used, curve="least", seed=SEED).prediction,
        note=AVERAGES,
    )


def _shown(standing: Standing, senses: tuple[str, ...]) -> StrengthShown:
    unit = standing.demand.truss.force_unit
    first = {check.name for check in standing.governing}
    members = standing.checks[: len(senses)]
    largest = max((check.utilization for check in members), default=0.0)

    def write(newtons: float) -> str:
        return f"{rough(convert_force(newtons, 'N', unit))} {unit}"

    def use(check: Check, sense: str) -> MemberUse:
        share = check.utilization / largest if largest > 0 else 0.0
        return MemberUse(
            share=share,
            tone=USE.index(use_tone(share)),
            label=used_label(check.utilization, sense, first=check.name in first),
            first=check.name in first,
            says=f"It {event(check)} at {formula(check.capacity)}.",
        )

    return StrengthShown(
        sentence=at_averages(standing.governing, load=standing.failure_load, write=write),
        members=tuple(use(check, sense) for check, sense in zip(members, senses, strict=True)),
        ranking=tuple(
            Ranked(
                name=check.name,
                joints=check.joints,
                event=event(check),
                used=used_label(check.utilization, "", first=False),
                load=write(check.load_factor * standing.demand.total_load),
                first=check.name in first,
            )
            for check in standing.ranking
            if math.isfinite(check.load_factor)
        ),
    )
