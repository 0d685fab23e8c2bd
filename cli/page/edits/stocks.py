"""Edits of what members are made of."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cli.errors import AnswerError
from cli.model.file import Model
from cli.page.edits.base import Edit, JointName, changed, member_row
from cli.page.errors import EditError
from cli.strength.stock_words import stock_of_words
from solver import StockError

__all__ = ["PutStock", "RemoveStock"]

Ends = tuple[JointName, JointName]


class PutStock(Edit):
    """Say what members are made of: a stock that the model has, or one in words, `birch 10 x 2 mm`."""

    kind: Literal["put-stock"] = "put-stock"
    stock: Annotated[str, Field(strict=True, min_length=1, max_length=120)]
    members: tuple[Ends, ...] = Field(default=(), description="None means every member.")

    def apply(self, model: Model) -> Model:
        """Put it on, and list the stock when it is new."""
        name = " ".join(self.stock.split())
        entry = model.stocks.get(name)
        if entry is None:
            try:
                entry = stock_of_words(name, unit=model.units.length)
            except AnswerError as error:
                raise EditError(f'"{name}" is not understood:', error.cure) from None
            except StockError as error:
                raise EditError(str(error), "") from None
        return _with_stock(
            model.model_copy(update={"stocks": {**model.stocks, name: entry}}), name, self.members
        )

    def says(self) -> str:
        """Name the stock."""
        where = "-".join(self.members[0]) if len(self.members) == 1 else "the members"
        return f"Make {where} of {' '.join(self.stock.split())}"


class RemoveStock(Edit):
    """Say nothing any more about what members are made of."""

    kind: Literal["remove-stock"] = "remove-stock"
    members: tuple[Ends, ...] = Field(default=(), description="None means every member.")

    def apply(self, model: Model) -> Model:
        """Take it away; the stocks stay listed."""
        return _with_stock(model, None, self.members)

    def says(self) -> str:
        """Say what."""
        return "Leave open what it is made of"


def _with_stock(model: Model, name: str | None, ends: tuple[Ends, ...]) -> Model:
    rows = {member_row(model, *pair) for pair in ends} or set(range(len(model.members)))
    members = tuple(
        member.model_copy(update={"stock": name}) if row in rows else member
        for row, member in enumerate(model.members)
    )
    return changed(model, members=members)
