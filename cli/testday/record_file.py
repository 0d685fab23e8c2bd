"""The record of one test (`NAME.test.json`): what was predicted, what was hung on the bridge, what let go."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from cli.model.entry import Entry, NotNegative, Positive
from cli.model.file import MODEL_SUFFIX
from cli.model.json_schema import json_schema
from cli.model.parts import UnitsEntry
from cli.testday.documents import load_document, save_document

__all__ = [
    "HOW",
    "RECORD_SUFFIX",
    "GuessEntry",
    "How",
    "LetGoEntry",
    "Record",
    "StatedEntry",
    "StepEntry",
    "load_record",
    "models_in",
    "record_beside",
    "save_record",
]

RECORD_SUFFIX = ".test.json"

How = Literal["member bent sideways", "member snapped", "joint let go", "deck", "tipped", "nothing"]
HOW: dict[str, How] = {
    "bent": "member bent sideways",
    "snapped": "member snapped",
    "joint": "joint let go",
    "deck": "deck",
    "tipped": "tipped",
    "nothing": "nothing",
}
"""What let go, by the word for the command line; `nothing` when it held all that there was to hang on it."""

Text = Annotated[str, Field(min_length=1)]


class StatedEntry(Entry):
    """What the program predicted before the test, for the whole bridge."""

    load: Positive = Field(description="Median of the draws, force units.")
    low: NotNegative = Field(description="Nine of ten draws lie between this and `high`, force units.")
    high: Positive
    first: Annotated[tuple[Text, ...], Field(min_length=1)] = Field(
        description="Members or joints that are predicted to be the first."
    )
    sentence: Text


class GuessEntry(Entry):
    """What a person predicted."""

    by: Text
    first: Text | None = Field(default=None, description="Member or joint.")
    load: Positive | None = Field(default=None, description="Force units.")


class StepEntry(Entry):
    """One step of loading."""

    load: Positive = Field(description="The whole load then on the bridge, force units.")
    seconds: NotNegative | None = Field(default=None, description="For which it was held.")


class LetGoEntry(Entry):
    """How the test ended."""

    how: How
    what: tuple[Text, ...] = Field(default=(), description="Members or joints, as seen.")


class Record(Entry):
    """One bridge on the test day."""

    format: Literal["panelpoint test"] = "panelpoint test"
    version: Literal[1] = 1
    bridge: Text = Field(description="What the bridge, or its team, is called.")
    model: Text = Field(description="Path of its model file as seen from this file's folder.")
    units: UnitsEntry
    trusses: Annotated[int, Field(ge=1)] = Field(
        default=1, description="Trusses like the model side by side that share the load."
    )
    mass: Positive | None = Field(default=None, description="As weighed, grams, glue and deck and all.")
    width: Positive | None = Field(default=None, description="As measured, length units.")
    pieces: Annotated[int, Field(ge=1)] | None = Field(
        default=None, description="Of stock, as counted, in the whole bridge."
    )
    glue: NotNegative | None = Field(default=None, description="Used, grams.")
    stated: StatedEntry | None = None
    guesses: tuple[GuessEntry, ...] = ()
    steps: tuple[StepEntry, ...] = ()
    last_held: Positive | None = Field(
        default=None, description="The largest whole load that it held, force units."
    )
    let_go: LetGoEntry | None = None
    before: Text | None = Field(default=None, description="Photograph, as seen from this file's folder.")
    after: Text | None = Field(default=None, description="Photograph, as seen from this file's folder.")
    note: Text | None = None

    @model_validator(mode="after")
    def _ends_fit(self) -> Self:
        """Make sure that what let go did so at some load, and no load was held above every step."""
        if self.let_go is not None and self.last_held is None:
            raise ValueError('"let_go" ends a test: give the load "last_held" too')
        highest = max((step.load for step in self.steps), default=0.0)
        if self.last_held is not None and highest and self.last_held > highest:
            raise ValueError(
                f'"last_held" ({self.last_held:g}) is more than every step ({highest:g} at most): '
                "put the step in, or mend one of the two"
            )
        return self

    @property
    def failed_at(self) -> float | None:
        """The lowest step above the load that it held, force units; none where no such step was written."""
        above = [step.load for step in self.steps if self.last_held and step.load > self.last_held]
        return min(above, default=None)


def models_in(folder: Path) -> list[Path]:
    """List the model files of a day, in its folder or one folder down, by name.

    `run -o class-9b/heron` leaves a folder for each bridge.
    """
    return sorted([*folder.glob(f"*{MODEL_SUFFIX}"), *folder.glob(f"*/*{MODEL_SUFFIX}")])


def record_beside(model: Path) -> Path:
    """Return where the record of a model's test lies: `heron.test.json` beside `heron.truss.json`."""
    return model.with_name(model.name.removesuffix(".json").removesuffix(".truss") + RECORD_SUFFIX)


def load_record(path: Path) -> Record:
    """Read a record; see `load_document` for what can go wrong."""
    return load_document(path, Record, suffix=RECORD_SUFFIX)


def save_record(path: Path, record: Record) -> None:
    """Write a record in one step."""
    save_document(path, record)


if __name__ == "__main__":
    print(json.dumps(json_schema(Record), indent=2))
