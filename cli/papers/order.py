"""What is asked of a sheet, and what comes back: the seam between the command and each kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from cli.errors import PictureMissingError
from cli.job import Solved, solve_model
from cli.model.file import Model
from cli.papers.content import Document
from cli.pictures import open_picture
from cli.sheets.numerals import Numerals
from cli.sheets.paper_truss import FigureSettings
from cli.wording import Wording, words_of
from vision import Photo

__all__ = ["Made", "Order"]


_HEIGHT = 165.0
"""Points that a truss takes upwards at most, so that its equations stand on the same page."""


@dataclass(frozen=True, eq=False)
class Order:
    """A sheet that is wanted of a model."""

    model: Model
    path: Path
    """Of the model file: its picture lies beside it."""
    language: str = "en"
    figures: int = 3
    """Significant figures of forces."""
    paper: str = "a4"
    """`a4` or `letter`: what a sheet is to fill."""

    @property
    def wording(self) -> Wording:
        """The words of the language."""
        return words_of(self.language)

    @property
    def numerals(self) -> Numerals:
        """How numbers are written."""
        return Numerals(self.figures, self.wording.decimal)

    @property
    def drawn(self) -> FigureSettings:
        """How figures are drawn: with the numbers of the text, no higher than a third of a page."""
        return FigureSettings(height=_HEIGHT, numerals=self.numerals)

    @property
    def title(self) -> str:
        """What the truss is called."""
        return self.model.title or self.wording.worked.untitled

    @cached_property
    def solved(self) -> Solved:
        """The answer; raises as `solve_model` does."""
        return solve_model(self.model)

    @cached_property
    def photo(self) -> tuple[Photo | None, tuple[str, ...]]:
        """The picture that the model was read from, none without one, and remarks about it."""
        if self.model.picture is None or any(joint.px is None for joint in self.model.joints):
            return None, ()
        try:
            return open_picture(self.model, self.path)
        except PictureMissingError as error:
            return None, (f"{error} The sheet is made without it.",)


@dataclass(frozen=True, eq=False)
class Made:
    """A sheet, ready to be set."""

    document: Document
    remarks: tuple[str, ...] = ()
    """For the person at the command line."""
    beside: Mapping[str, bytes] = field(default_factory=dict)
    """Files that go with the sheet, by name: the model of a worksheet with other lengths than the order's."""
    members: str | None = None
    """CSV of the members, in full precision; none where the sheet has no forces."""
    answer: bool = True
    """Whether the sheet has the answer; false where it explains why there is none."""
