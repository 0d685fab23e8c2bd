"""The desk: what one running page works on. The document if there is one, its picture, where new files go."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from threading import RLock

from cli.model.file import Model
from cli.page.document import Document, Snapshot
from cli.page.edits import Edit
from cli.page.errors import NothingToShowError
from cli.page.pictures import free_model_path, model_from, shown, store_upload
from cli.page.state import PictureShown, Preview, Pulse, State, preview_of, state_of
from cli.translate.from_reading import picture_path
from vision import PhotoError, load_photo

__all__ = ["Desk", "Reader"]

Reader = Callable[[Path, Path], tuple[Model, tuple[str, ...]]]
"""From a photograph's path and the model's folder to a model and remarks."""


class Desk:
    """One page's work.

    Parameters
    ----------
    folder
        Where pictures that are dropped on the page, and their models, are stored.
    idle_minutes
        Told to the page.
    reader
        Reads a photograph.
    """

    def __init__(self, folder: Path, *, idle_minutes: int, reader: Reader = model_from) -> None:
        self._folder = folder
        self._idle_minutes = idle_minutes
        self._reader = reader
        self._document: Document | None = None
        self._notices: tuple[str, ...] = ()
        self._picture: tuple[PictureShown, bytes] | None = None
        self._lock = RLock()

    @property
    def document(self) -> Document:
        """The document.

        Raises
        ------
        NothingToShowError
            When there is none yet.
        """
        if self._document is None:
            raise NothingToShowError
        return self._document

    @property
    def path(self) -> Path | None:
        """The model file, if there is a document."""
        return None if self._document is None else self._document.path

    def open_model(self, path: Path) -> None:
        """Open a model file, with its picture where it is found."""
        with self._lock:
            self._show(Document(path), ())

    def open_photo(self, photo: Path, model_path: Path) -> None:
        """Read a photograph into a new model file."""
        model, remarks = self._reader(photo, model_path.parent)
        with self._lock:
            self._show(Document(model_path, model), remarks)

    def take_upload(self, data: bytes) -> State:
        """Store a picture that was dropped on the page, read it, and show it.

        Raises
        ------
        UploadError
            When it is no picture that can be used.
        """
        photo = store_upload(data, self._folder)
        self.open_photo(photo, free_model_path(photo))
        return self.state()

    def state(self) -> State:
        """Return everything that the page shows."""
        with self._lock:
            if self._document is None:
                return State(revision=0, file=None, model=None, idle_minutes=self._idle_minutes)
            return self._state(self._document, self._document.now())

    def edit(self, edit: Edit, revision: int) -> State:
        """Make an edit; raises as `Document.apply` does."""
        with self._lock:
            return self._state(self.document, self.document.apply(edit, revision))

    def preview(self, edit: Edit, revision: int) -> Preview:
        """Return the answer to an edit that is not made; raises as `Document.tried` does."""
        return preview_of(self.document.tried(edit, revision), revision)

    def undo(self, revision: int) -> State:
        """Take the last change back."""
        with self._lock:
            return self._state(self.document, self.document.undo(revision))

    def redo(self, revision: int) -> State:
        """Make the change again that was taken back last."""
        with self._lock:
            return self._state(self.document, self.document.redo(revision))

    def take_disk(self) -> State:
        """Show the file as another program left it."""
        with self._lock:
            return self._state(self.document, self.document.take_disk())

    def keep_mine(self) -> State:
        """Write what the page shows over what another program left."""
        with self._lock:
            return self._state(self.document, self.document.keep_mine())

    def pulse(self) -> Pulse:
        """Tell whether anything happened elsewhere."""
        if self._document is None:
            return Pulse(revision=0, changed_on_disk=False)
        return Pulse(revision=self._document.now().revision, changed_on_disk=self._document.changed_on_disk())

    def picture(self) -> bytes:
        """Return the photograph as the page shows it.

        Raises
        ------
        NothingToShowError
            When there is none.
        """
        if self._picture is None:
            raise NothingToShowError
        return self._picture[1]

    def _state(self, document: Document, snapshot: Snapshot) -> State:
        return state_of(
            snapshot,
            file=document.path.name,
            picture=self._picture[0] if self._picture else None,
            notices=self._notices,
            idle_minutes=self._idle_minutes,
        )

    def _show(self, document: Document, notices: tuple[str, ...]) -> None:
        self._document = document
        model = document.now().model
        self._picture = None
        trouble: tuple[str, ...] = ()
        path = picture_path(model, document.path.parent)
        if path is not None and model.picture is not None:
            try:
                photo = load_photo(path)
            except PhotoError as error:
                trouble = (f"The photograph cannot be shown. {error}",)
            else:
                jpeg = shown(photo)
                key = hashlib.sha256(jpeg).hexdigest()[:16]
                self._picture = PictureShown(width=photo.width, height=photo.height, key=key), jpeg
                if photo.sha256 != model.picture.sha256:
                    trouble = (
                        f"{path.name} has changed since it was read: check that the joints still fit it.",
                    )
        self._notices = (*notices, *trouble)
