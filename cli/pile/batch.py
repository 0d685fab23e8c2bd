"""The whole pile: what is done already is found, the rest is worked on, and the report is written."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from cli.outputs import write_atomically
from cli.pile.marks import Marker
from cli.pile.outcome import Outcome
from cli.pile.papers import Paper, Pile
from cli.pile.pool import Pool, work_through
from cli.pile.report import ReportedSheet, ordered, pages, table
from cli.pile.store import REPORT, TABLE, Store
from cli.pile.task import Settings, Task, task_for

__all__ = ["Batch", "Line", "Summary"]


@dataclass(frozen=True)
class Line:
    """One sheet that is done, for the table as it goes."""

    entry: ReportedSheet
    before: bool
    """It was done by an earlier run."""


@dataclass(frozen=True)
class Summary:
    """What came of the pile."""

    report: Path
    sheets: int
    need_look: int
    done_before: int


@dataclass(eq=False)
class Batch:
    """A pile in work."""

    pile: Pile
    store: Store
    settings: Settings
    title: str
    truss: bytes | None = None
    """The key's model file: drawings are held against it, and not solved."""
    shown: Callable[[str], str] = str
    """The name under which a sheet is shown."""
    send: bool = False
    """Send photographs with their tasks, for workers that do not see the folder."""
    marker: Marker | None = None
    """Marks files of answers; None without a key."""
    notes: tuple[str, ...] = ()
    _keys: dict[str, str] = field(default_factory=dict)
    """Key of each paper by its name."""
    _outcomes: dict[str, Outcome] = field(default_factory=dict)
    """By key, without small pictures: a pile of 100,000 must fit into memory."""
    _before: set[str] = field(default_factory=set)
    """Keys of what an earlier run has done."""
    _waiting: dict[str, list[Paper]] = field(default_factory=dict)
    """Papers by the key of the work that they wait for."""

    def run(self, pool: Pool, tell: Callable[[Line], None]) -> Summary:
        """Do what is not done yet, and write report and table.

        Parameters
        ----------
        pool
            Who does the work.
        tell
            Is called with each sheet when it is done.
        """
        before = 0
        marks: list[ReportedSheet] = []

        def said(line: Line) -> None:
            nonlocal before
            before += line.before
            tell(line)

        if self.marker is not None:
            for path in self.pile.answers:
                shown = self.shown(path.name)
                outcome, earlier = self.marker.mark(path, shown)
                folder = self.marker.folder_of(shown) if outcome.state == "marked" else None
                marks.append(ReportedSheet(shown, outcome, None, folder))
                said(Line(marks[-1], before=earlier))
        for done in work_through(self._open_tasks(said), pool):
            self.store.keep(done)
            key = done.outcome.key
            self._outcomes[key] = _without_picture(done.outcome)
            for paper in self._waiting.pop(key):
                said(Line(self._entry(paper), before=False))
        return self._report(before, marks)

    def _open_tasks(self, tell: Callable[[Line], None]) -> Iterator[Task]:
        """Yield what has to be done, one task for the same photograph under several names."""
        for paper in self.pile.papers:
            task = task_for(paper, settings=self.settings, truss=self.truss, send=self.send)
            self._keys[paper.name] = task.key
            if task.key in self._waiting:
                self._waiting[task.key].append(paper)
                continue
            if task.key not in self._outcomes and (found := self.store.find(task.key)) is not None:
                self._outcomes[task.key] = _without_picture(found)
                self._before.add(task.key)
            if task.key in self._outcomes:
                tell(Line(self._entry(paper), before=task.key in self._before))
                continue
            self._waiting[task.key] = [paper]
            yield task

    def _entry(self, paper: Paper) -> ReportedSheet:
        outcome = self._outcomes[self._keys[paper.name]]
        drawing = self.store.drawing_link(outcome.key) if outcome.drawing else None
        shown = self.shown(paper.name)
        entry = ReportedSheet(shown, outcome, drawing)
        return entry if shown != paper.name else replace(entry, typed=shlex.quote(str(paper.path)))

    def _report(self, before: int, marks: list[ReportedSheet]) -> Summary:
        entries = ordered([*marks, *(self._entry(paper) for paper in self.pile.papers)])

        def with_picture(entry: ReportedSheet) -> Outcome:
            return self.store.find(entry.outcome.key) or entry.outcome

        folder = self.store.folder
        for name, content in pages(
            entries, title=self.title, notes=self.notes, thumbnail=with_picture, file_name=REPORT
        ):
            write_atomically(folder / name, content)
        write_atomically(folder / TABLE, table(sorted(entries, key=lambda entry: entry.name)))
        return Summary(
            folder / REPORT, len(entries), sum(entry.outcome.needs_look for entry in entries), before
        )


def _without_picture(outcome: Outcome) -> Outcome:
    return outcome.model_copy(update={"thumbnail": None, "thumbnail_size": None})
