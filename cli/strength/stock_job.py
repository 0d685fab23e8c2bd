"""Saying what members are made of, in a model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cli.errors import AnswerError
from cli.member_names import names_of
from cli.model.file import Model
from cli.model.stock import StockEntry
from cli.report import aligned

__all__ = ["Stocked", "with_stock"]


@dataclass(frozen=True)
class Stocked:
    """A model whose members have a stock, and which of them were given it just now."""

    model: Model
    members: tuple[str, ...]

    @property
    def text(self) -> str:
        """Every stock and what is made of it."""
        rows = [("stock", "members")]
        for name in self.model.stocks:
            made = ["-".join(member.joints) for member in self.model.members if member.stock == name]
            rows.append((name, " ".join(made) or "none"))
        missing = ["-".join(member.joints) for member in self.model.members if member.stock is None]
        if missing:
            rows.append(("no stock yet", " ".join(missing)))
        return "\n".join(aligned(rows, left=(0, 1))) + "\n"


def with_stock(model: Model, name: str, entry: StockEntry, *, on: Sequence[str]) -> Stocked:
    """Give members a stock.

    Parameters
    ----------
    model
        To start from.
    name
        Of the stock in the model file.
    entry
        What it is.
    on
        Members, either way round; without any, all that have no stock yet.

    Raises
    ------
    AnswerError
        When there is no such member, none is left without stock, or the name stands for another stock.
    """
    if name in model.stocks and model.stocks[name] != entry:
        raise AnswerError("--name", name, "the model has another stock of that name; give this one another.")
    names = names_of(member.joints for member in model.members)
    for given in on:
        if given not in names:
            listed = ", ".join(dict.fromkeys(names.values()))
            raise AnswerError("--on", given, f"there is no such member here; there are {listed}.")
    wanted = {names[given] for given in on}
    chosen = {
        row
        for row, member in enumerate(model.members)
        if ("-".join(member.joints) in wanted if wanted else member.stock is None)
    }
    if not chosen:
        raise AnswerError(
            "STOCK", name, 'every member has a stock already: name those to change, --on "A-E".'
        )
    members = tuple(
        member.model_copy(update={"stock": name}) if row in chosen else member
        for row, member in enumerate(model.members)
    )
    stocks = {**model.stocks, name: entry}
    changed = model.model_copy(update={"members": members, "stocks": stocks})
    return Stocked(changed, tuple("-".join(model.members[row].joints) for row in sorted(chosen)))
