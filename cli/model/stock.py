"""The `stocks` of the model file: what members are made of, and what broken samples of it showed."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from cli.model.entry import Entry, NotNegative, Positive

__all__ = ["StockEntry", "StockTestsEntry"]

Loads = Annotated[tuple[Positive, ...], Field(min_length=3)]
"""Three or more: fewer say nothing about the spread."""


class StockTestsEntry(Entry):
    """Loads at which single pieces of the stock gave way, in force units."""

    tension: Loads | None = Field(default=None, description="Snapped when pulled.")
    compression: Loads | None = Field(default=None, description="Crushed: pieces too short to buckle.")
    buckling: Loads | None = Field(default=None, description="Bent out sideways, ends free to turn.")
    buckling_length: Positive | None = Field(default=None, description="Of those pieces, length units.")
    lap: Loads | None = Field(default=None, description="A glued lap of two pieces let go when pulled.")
    lap_area: Positive | None = Field(default=None, description="Of those laps, length units squared.")

    @model_validator(mode="after")
    def _length_with_buckling(self) -> Self:
        """Ask for length and area too: such loads say nothing without them."""
        if (self.buckling is None) != (self.buckling_length is None):
            raise ValueError('"buckling" loads and their "buckling_length" belong together: give both')
        if (self.lap is None) != (self.lap_area is None):
            raise ValueError('"lap" loads and their "lap_area" belong together: give both')
        return self


class StockEntry(Entry):
    """What a member is made of: a material and one of the shapes."""

    material: Annotated[str, Field(min_length=1)]
    width: Positive | None = Field(default=None, description="Of a strip, length units.")
    thickness: Positive | None = Field(default=None, description="Of a strip, length units.")
    diameter: Positive | None = Field(default=None, description="Of a round bar or tube, length units.")
    wall: Positive | None = Field(default=None, description="Of a tube, length units.")
    area: Positive | None = Field(default=None, description="Of any other shape, length units squared.")
    inertia: Positive | None = Field(
        default=None, description="Second moment about its weaker axis, length units to the fourth power."
    )
    sticks: Annotated[int, Field(ge=1)] | None = Field(
        default=None, description="Pieces side by side in one member; 1 when left out."
    )
    glued: bool | None = Field(
        default=None, description="Strips glued flat on each other (the default), or loose side by side."
    )
    gap: Positive | None = Field(
        default=None, description="Between two strips with glued blocks between them, length units."
    )
    bars: Annotated[tuple[Positive, ...], Field(min_length=1)] | None = Field(
        default=None, description="Lengths in which it is sold, length units: asks for a cutting list."
    )
    kerf: NotNegative | None = Field(default=None, description="Lost with each cut, length units.")
    density: Positive | None = Field(default=None, description="kg/m³, as weighed.")
    tests: StockTestsEntry | None = None

    @model_validator(mode="after")
    def _one_shape(self) -> Self:
        """Allow a strip, a round, or a shape given by its numbers; name what does not go together."""
        strip = self.width is not None or self.thickness is not None
        rod = self.diameter is not None or self.wall is not None
        other = self.area is not None or self.inertia is not None
        if strip + rod + other > 1:
            raise ValueError(
                'a stock has one shape: "width" and "thickness", or "diameter" (and "wall"), or "area" and '
                '"inertia"'
            )
        if self.wall is not None and self.diameter is None:
            raise ValueError('a tube has a "diameter" besides its "wall": give both')
        if other and (self.area is None or self.inertia is None):
            raise ValueError('"area" and "inertia" belong together: give both')
        if self.gap is not None and (not strip or self.sticks is not None or self.glued is not None):
            raise ValueError(
                'a "gap" is between two strips: give "width" and "thickness", no "sticks" or "glued"'
            )
        if self.sticks is not None and self.sticks > 1 and not strip and self.glued is not False:
            raise ValueError('only strips are glued flat on each other: give "glued": false, or one stick')
        return self
