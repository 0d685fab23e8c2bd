"""The side journal: every state the model has been in, so that undo survives a reload, a restart and a crash.

One line of JSON a step, added at the end and never rewritten:

    {"state": {...}, "says": "Move joint B", "after": 3}    a new state after state 3; later ones are gone
    {"go": 2}                                               undo or redo: state 2 is the present one

The journal is written before the model file. Killed between the two, the file is the state before, which the
journal still knows. A last line that was cut short is dropped. Saving the model file stays the one thing that
matters: a journal that is lost or does not fit costs the undo steps and nothing else.
"""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from cli.model.file import Model, dumps

__all__ = ["Journal", "Step", "journal_path"]

LARGEST = 64 * 1024 * 1024
"""Bytes. A longer journal is begun anew when the model is next opened: a thousand hours of work."""


def journal_path(model_path: Path) -> Path:
    """Return where the journal of a model file is: hidden beside it."""
    return model_path.with_name(f".{model_path.name}.history")


@dataclass(frozen=True, eq=False)
class Step:
    """A state of the model and what led to it."""

    model: Model
    says: str
    """What the undo button says; empty for the state the model was opened in."""


class _Line(BaseModel):
    """One line of the journal."""

    model_config = ConfigDict(extra="forbid")

    state: Model | None = None
    says: str = ""
    after: int | None = Field(default=None, ge=0)
    go: int | None = Field(default=None, ge=0)


class Journal:
    """The states of one model file and which one is present."""

    def __init__(self, path: Path, first: Model) -> None:
        self._path = path
        self._steps: list[Step] = []
        self._now = 0
        self._read()
        self._settle(first)

    @property
    def now(self) -> Step:
        """The present state."""
        return self._steps[self._now]

    @property
    def undo_says(self) -> str | None:
        """What undo would take back, None when there is nothing."""
        return self._steps[self._now].says or "the first state" if self._now > 0 else None

    @property
    def redo_says(self) -> str | None:
        """What redo would do again, None when there is nothing."""
        further = self._now + 1
        return self._steps[further].says if further < len(self._steps) else None

    def before(self) -> Model | None:
        """Return the state that undo leads to."""
        return self._steps[self._now - 1].model if self._now > 0 else None

    def after(self) -> Model | None:
        """Return the state that redo leads to."""
        further = self._now + 1
        return self._steps[further].model if further < len(self._steps) else None

    def push(self, model: Model, says: str) -> None:
        """Add a state after the present one; what had been undone is gone."""
        self._write({"state": json.loads(dumps(model)), "says": says, "after": self._now})
        del self._steps[self._now + 1 :]
        self._steps.append(Step(model, says))
        self._now += 1

    def back(self) -> None:
        """Make the state before the present one."""
        self._go(self._now - 1)

    def forth(self) -> None:
        """Make the state after the present one."""
        self._go(self._now + 1)

    def _go(self, row: int) -> None:
        if not 0 <= row < len(self._steps):
            raise IndexError(row)
        self._write({"go": row})
        self._now = row

    def _write(self, line: dict[str, object]) -> None:
        with self._path.open("ab") as file:
            file.write(json.dumps(line, ensure_ascii=False).encode() + b"\n")
            file.flush()
            os.fsync(file.fileno())

    def _read(self) -> None:
        """Take up what an earlier run wrote, as far as it makes sense."""
        if not self._path.exists() or self._path.stat().st_size > LARGEST:
            return
        whole, _, _ = self._path.read_bytes().rpartition(b"\n")
        for text in whole.splitlines():
            try:
                line = _Line.model_validate_json(text)
            except ValidationError:
                continue  # a line cut short by a crash, and mended by the newline of the next one
            if line.state is not None:
                keep = 0 if line.after is None else line.after + 1
                if keep <= len(self._steps):
                    del self._steps[keep:]
                    self._steps.append(Step(line.state, line.says))
                    self._now = keep
            elif line.go is not None and line.go < len(self._steps):
                self._now = line.go

    def _settle(self, first: Model) -> None:
        """Find the state that the model file is in: the file counts, whatever the journal thinks."""
        near = [self._now, self._now - 1, self._now + 1]
        for row in near:
            if 0 <= row < len(self._steps) and dumps(self._steps[row].model) == dumps(first):
                if row != self._now:
                    self._mend()
                    self._go(row)
                return
        if self._steps:
            self._mend()
            self.push(first, "Changes made outside the page")
            return
        self._path.unlink(missing_ok=True)
        self._write({"state": json.loads(dumps(first)), "says": ""})
        self._steps, self._now = [Step(first, "")], 0

    def _mend(self) -> None:
        """End a line that was cut short, so that the next one stands alone."""
        if self._path.exists() and not self._path.read_bytes().endswith(b"\n"):
            with self._path.open("ab") as file:
                file.write(b"\n")
