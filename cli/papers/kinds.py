"""The kinds of sheets: one line each; a kind is a function from an `Order` to what it made."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from cli.papers.order import Made, Order

__all__ = ["KINDS", "make"]

KINDS = {
    "worked": ("cli.papers.worked", "worked_solution"),
    "handout": ("cli.papers.handout", "handout"),
    "worksheet": ("cli.papers.worksheet", "worksheet"),
    "key": ("cli.papers.worksheet_key", "worksheet_key"),
}
"""Module and function of each kind, imported when it is wanted."""


def make(kind: str, order: Order) -> Made:
    """Make a sheet of one of `KINDS`.

    Raises
    ------
    FaultsError, SurveyError, SolverError
        When the model cannot give such a sheet; a kind says which.
    """
    module, function = KINDS[kind]
    maker: Callable[[Order], Made] = getattr(import_module(module), function)
    return maker(order)
