"""The document: the one model that a page shows, its history, and its file. The single source of truth.

Every change gives a new revision number. An edit names the revision it was made on, so that a second tab that
has not seen the latest change is told so; and before every save the file is looked at, so that what another
program wrote is never overwritten in silence.
"""

from __future__ import annotations

import glob
import hashlib
import time
from dataclasses import dataclass
from pathlib import Path
from threading import RLock

from cli.errors import InputError
from cli.model.file import Model, dumps, load
from cli.outputs import write_atomically
from cli.page.edits import Edit
from cli.page.errors import ChangedOnDiskError, EditError, StaleError
from cli.page.journal import Journal, journal_path

__all__ = ["Document", "Snapshot"]

ABANDONED = 60.0
"""Seconds after which a half-written side file is nobody's any more: a save takes some milliseconds."""


@dataclass(frozen=True, eq=False)
class Snapshot:
    """The document at one moment."""

    revision: int
    model: Model
    undo_says: str | None
    """What undo would take back; None when there is nothing."""
    redo_says: str | None
    """What redo would do again; None when there is nothing."""


class Document:
    """One model file under edit.

    Parameters
    ----------
    path
        The model file. It is written at once when it is not there yet.
    model
        What to begin with; the file itself when left out.

    Raises
    ------
    ModelFileError
        When the file is not a model file.
    OSError
        When the file cannot be read or written.
    """

    def __init__(self, path: Path, model: Model | None = None) -> None:
        self.path = path
        _sweep(path)
        self._lock = RLock()
        self._revision = 1
        if model is None:
            model = load(path)
            self._seen = _digest(path)
        else:
            self._seen = ""
            self._save(model)
        self._journal = Journal(journal_path(path), model)

    def now(self) -> Snapshot:
        """Return the document as it is."""
        with self._lock:
            journal = self._journal
            return Snapshot(self._revision, journal.now.model, journal.undo_says, journal.redo_says)

    def tried(self, edit: Edit, revision: int) -> Model:
        """Return what an edit would make, changing nothing: for answers while a joint is being dragged.

        Raises
        ------
        StaleError, EditError
            As for `apply`.
        """
        with self._lock:
            self._check(revision)
            return edit.apply(self._journal.now.model)

    def apply(self, edit: Edit, revision: int) -> Snapshot:
        """Make an edit and save.

        Parameters
        ----------
        edit
            What to change.
        revision
            The revision that the person saw.

        Raises
        ------
        StaleError
            When that is not the present one.
        ChangedOnDiskError
            When another program changed the file.
        EditError
            When the edit cannot be made.
        """
        with self._lock:
            self._check(revision)
            model = edit.apply(self._journal.now.model)
            if model != self._journal.now.model:
                self._check_disk()
                self._journal.push(model, edit.says())
                self._save(model)
                self._revision += 1
            return self.now()

    def undo(self, revision: int) -> Snapshot:
        """Take the last change back and save. Raises as `apply` does."""
        with self._lock:
            self._check(revision)
            before = self._journal.before()
            if before is None:
                raise EditError("There is nothing to take back.", "This is the first state.")
            self._check_disk()
            self._journal.back()
            self._save(before)
            self._revision += 1
            return self.now()

    def redo(self, revision: int) -> Snapshot:
        """Make the change again that was taken back last, and save. Raises as `apply` does."""
        with self._lock:
            self._check(revision)
            after = self._journal.after()
            if after is None:
                raise EditError("There is nothing to make again.", "This is the latest state.")
            self._check_disk()
            self._journal.forth()
            self._save(after)
            self._revision += 1
            return self.now()

    def changed_on_disk(self) -> bool:
        """Return whether another program changed the file, or took it away, since it was last seen here."""
        with self._lock:
            return _digest(self.path) != self._seen

    def take_disk(self) -> Snapshot:
        """Show the file as another program left it; what the page showed is one undo away.

        Raises
        ------
        InputError
            When the file is not a model file now.
        """
        with self._lock:
            digest = _digest(self.path)
            try:
                model = load(self.path)
            except FileNotFoundError:
                raise EditError(f"The file {self.path.name} is gone.", "Keep what this page shows.") from None
            if model != self._journal.now.model:
                self._journal.push(model, "Changes made outside the page")
            self._seen = digest
            self._revision += 1
            return self.now()

    def keep_mine(self) -> Snapshot:
        """Write what the page shows over what another program left, which the history keeps if it can."""
        with self._lock:
            mine = self._journal.now.model
            try:
                theirs = load(self.path)
            except (InputError, FileNotFoundError):
                theirs = mine
            if theirs != mine:
                self._journal.push(theirs, "Changes made outside the page")
                self._journal.push(mine, "Keep what the page showed")
            self._save(mine)
            self._revision += 1
            return self.now()

    def _check(self, revision: int) -> None:
        if revision != self._revision:
            raise StaleError(revision, self._revision)

    def _check_disk(self) -> None:
        if self.changed_on_disk():
            raise ChangedOnDiskError(self.path.name)

    def _save(self, model: Model) -> None:
        data = dumps(model).encode()
        write_atomically(self.path, data)
        self._seen = hashlib.sha256(data).hexdigest()


def _sweep(path: Path) -> None:
    """Take away what a killed save left half-written, unless it is so young that it may be under way."""
    for part in path.parent.glob(f".{glob.escape(path.name[:40])}.*.part"):
        if time.time() - part.stat().st_mtime > ABANDONED:
            part.unlink(missing_ok=True)


def _digest(path: Path) -> str:
    """Return the digest of a file, empty when it is not there."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except FileNotFoundError:
        return ""
