"""The parts of a model: units, picture, joints, members, supports, loads, dimensions, view.

`px` is where something is in the picture (x right, y down), `at` where it is in the plane (length units,
x right, y up).
"""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from cli.model.entry import Confidence, Entry, NotNegative, Number, Positive

__all__ = [
    "NAME_PATTERN",
    "DeckLoadEntry",
    "DimensionEntry",
    "JointEntry",
    "KnownJoint",
    "KnownRectangleEntry",
    "LoadEntry",
    "MemberEntry",
    "Name",
    "PictureEntry",
    "SupportEntry",
    "UnitsEntry",
    "ViewEntry",
]

Pair = tuple[Number, Number]
NAME_PATTERN = r"^[^\s\x00-\x1f\x7f\"]{1,40}$"
"""Of a joint's name: no blanks, so that `--load "D 0 -40 N"` can be told apart."""
Name = Annotated[str, Field(pattern=NAME_PATTERN)]


class UnitsEntry(Entry):
    """Units of every number in the file."""

    length: Literal["mm", "cm", "m", "in", "ft"] = Field(description="Of `at`, dimensions and stocks.")
    force: Literal["N", "kN", "lbf", "kip", "kgf"] = Field(description="Of loads.")


class PictureEntry(Entry):
    """The photograph the model was read from."""

    file: Annotated[str, Field(min_length=1)] = Field(
        description="Path as seen from the model file's folder."
    )
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")] = Field(description="Of the file's bytes.")
    width: Annotated[int, Field(gt=0)] = Field(description="Pixels of the upright picture.")
    height: Annotated[int, Field(gt=0)] = Field(description="Pixels of the upright picture.")


class JointEntry(Entry):
    """A joint."""

    name: Name
    px: Pair | None = Field(default=None, description="In the picture, pixels, x right, y down.")
    px_error: NotNegative | None = Field(default=None, description="Standard error in pixels, as read.")
    confidence: Confidence | None = Field(default=None, description="As read, 0 to 1.")
    at: Pair | None = Field(default=None, description="In the plane, length units, x right, y up.")
    holds: Positive | None = Field(
        default=None, description="Force units: what its glue or gusset holds of any one member."
    )

    lap: Positive | None = Field(
        default=None,
        description="Length units squared: glued area of one member's end; it holds by shear strength.",
    )

    @model_validator(mode="after")
    def _held_in_one_way(self) -> Self:
        """Take what it holds, or its lap, not both."""
        if self.holds is not None and self.lap is not None:
            raise ValueError(f'joint {self.name} has "holds" and "lap": give what it holds, or its lap')
        return self

    @model_validator(mode="after")
    def _somewhere(self) -> Self:
        """Make sure that it is in the picture, in the plane, or both."""
        if self.px is None and self.at is None:
            raise ValueError(f'joint {self.name} is nowhere: give it "at": [x, y] or "px": [x, y]')
        return self


class MemberEntry(Entry):
    """A straight member between two joints."""

    joints: tuple[Name, Name]
    confidence: Confidence | None = Field(default=None, description="As read, 0 to 1.")
    stock: str | None = Field(default=None, description="Key of `stocks`.")
    effective_length: Positive | None = Field(
        default=None, description="Factor on its length for buckling; 1 (ends turn freely) when left out."
    )
    net: Annotated[float, Field(gt=0, le=1)] | None = Field(
        default=None, description="Share of its area left in tension beside holes and notches."
    )
    bracing: Positive | None = Field(
        default=None, description="Length between points held against moving out of the plane, length units."
    )


class SupportEntry(Entry):
    """A pin, or a roller that pushes along `normal`."""

    joint: Name
    kind: Literal["pin", "roller"]
    normal: Pair | None = Field(default=None, description="Of a roller's surface; [0, 1] when left out.")
    confidence: Confidence | None = Field(default=None, description="As read, 0 to 1.")

    @model_validator(mode="after")
    def _normal_fits(self) -> Self:
        """Only a roller has a direction, and it must point somewhere."""
        if self.normal is not None and self.kind == "pin":
            raise ValueError('a pin holds both ways and has no "normal": leave it out, or make it a roller')
        if self.normal is not None and self.normal[0] == 0 and self.normal[1] == 0:
            raise ValueError('"normal" [0, 0] points nowhere: [0, 1] is straight up')
        return self


class LoadEntry(Entry):
    """A force on a joint, or an arrow that was seen in the picture and still wants its size."""

    joint: Name
    force: Pair | None = Field(default=None, description="Force units, x right, y up.")
    px_direction: Pair | None = Field(
        default=None,
        description="Direction of an arrow seen in the picture, x right, y down; its size is not known.",
    )
    confidence: Confidence | None = Field(default=None, description="As read, 0 to 1.")

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        """Make sure of a force or, for the time being, only an arrow seen in the picture."""
        if (self.force is None) == (self.px_direction is None):
            raise ValueError(
                'give "force": [x, y] (and no "px_direction": that is for an arrow whose size is unknown)'
            )
        return self


class DeckLoadEntry(Entry):
    """A load spread along a deck; its joints carry it by tributary length."""

    joints: Annotated[tuple[Name, ...], Field(min_length=2)] = Field(description="Deck joints in order.")
    force: Pair = Field(description="Force units per length unit of deck, x right, y up.")


class DimensionEntry(Entry):
    """What is written on the sheet: it overrules what is drawn."""

    kind: Literal["across", "up", "along", "angle"] = Field(
        description="Horizontal distance, vertical distance, length, or degrees from the horizontal."
    )
    start: Name = Field(validation_alias="from", serialization_alias="from")
    end: Name = Field(validation_alias="to", serialization_alias="to")
    value: NotNegative = Field(description="Length units, or degrees for `angle`. Never negative.")
    confidence: Confidence | None = Field(default=None, description="As read, 0 to 1.")


class KnownJoint(Entry):
    """A joint whose place in the plane is known, to set the view."""

    joint: Name
    at: Pair = Field(description="Length units, x right, y up.")


class KnownRectangleEntry(Entry):
    """A rectangle of known size in the picture, such as the page or a cutting mat, to set the view."""

    corners: tuple[Pair, Pair, Pair, Pair] = Field(description="Pixels, clockwise from top left.")
    width: Positive = Field(description="Length units.")
    height: Positive = Field(description="Length units.")


class ViewEntry(Entry):
    """What removes the perspective: four or more known joints, or a known rectangle."""

    known: Annotated[tuple[KnownJoint, ...], Field(min_length=4)] | None = None
    rectangle: KnownRectangleEntry | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        """One way or the other."""
        if (self.known is None) == (self.rectangle is None):
            raise ValueError('give either "known" (four or more joints) or "rectangle"')
        return self
