"""The idealised truss: joints, members, supports and loads, known to make sense."""

from __future__ import annotations

from dataclasses import dataclass

from solver.checks import faults_of
from solver.errors import TrussError
from solver.layout import Layout
from solver.shown import truss_html, truss_svg

__all__ = ["Truss"]


@dataclass(frozen=True)
class Truss(Layout):
    """A planar truss, checked when it is made.

    Raises
    ------
    TrussError
        When the model has faults, with all of them. A truss that only lacks supports or loads is made, since
        its stability can be asked before it is loaded; `solve` refuses it.
    """

    def __post_init__(self) -> None:
        for name in ("joints", "members", "supports", "loads", "deck_loads", "member_loads"):
            object.__setattr__(self, name, tuple(getattr(self, name)))
        faults, lacking = faults_of(self)
        if faults:
            raise TrussError((*faults, *lacking))

    def _repr_svg_(self) -> str:
        return truss_svg(self)

    def _repr_html_(self) -> str:
        return truss_html(self)
