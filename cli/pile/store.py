"""The results of a pile on disk: one small file a sheet, so that a run that was killed goes on where it was.

A sheet's file is written last and in one step: where it is, the sheet is done and its drawing is there too.
Sheets that failed are not kept, since the next start may do better.
"""

from __future__ import annotations

import json
from pathlib import Path

from pydantic import ValidationError

from cli.outputs import ensure_folder, write_atomically
from cli.pile.errors import OtherPileError
from cli.pile.outcome import Outcome
from cli.pile.task import Done

__all__ = ["REPORT", "TABLE", "Store"]

REPORT = "report.html"
TABLE = "table.csv"
MARK = "pile.json"
"""Says that a folder is that of a pile."""
SHEETS = "sheets"
"""Folder of the sheets' files, in folders of their own by the first two digits of the key."""


class Store:
    """The folder with the results of a pile.

    Parameters
    ----------
    folder
        Made when it is not there.
    pseudonyms
        The results carry pseudonyms.

    Raises
    ------
    OtherPileError
        When the folder holds something else, or results with names where pseudonyms are wanted.
    UnwritableError
        When it takes no files.
    """

    def __init__(self, folder: Path, *, pseudonyms: bool = False) -> None:
        ensure_folder(folder)
        self.folder = folder
        mark = folder / MARK
        wanted = {"format": "panelpoint pile", "version": 1, "pseudonyms": pseudonyms}
        if mark.is_file():
            if _document(mark) != wanted:
                raise OtherPileError(
                    folder,
                    "holds results with names, and pseudonyms are wanted"
                    if pseudonyms
                    else "holds results with pseudonyms, or of another version",
                )
            return
        # Half a file of ours is what a kill in the first moment leaves.
        if folder.is_dir() and any(not path.match(".*.part") for path in folder.iterdir()):
            raise OtherPileError(folder, "is not empty and holds no pile")
        folder.mkdir(parents=True, exist_ok=True)
        write_atomically(mark, (json.dumps(wanted) + "\n").encode())

    def find(self, key: str) -> Outcome | None:
        """Return what came of a sheet, None when it is not done or its file is damaged."""
        path = self._place(key, ".json")
        try:
            outcome = Outcome.model_validate_json(path.read_bytes())
        except (FileNotFoundError, ValidationError):
            return None
        if outcome.drawing and not self._place(key, ".jpg").is_file():
            return None
        return outcome

    def keep(self, done: Done) -> None:
        """Write down that a sheet is done, unless it failed."""
        outcome = done.outcome
        if outcome.state == "failed":
            return
        path = self._place(outcome.key, ".json")
        path.parent.mkdir(parents=True, exist_ok=True)
        if done.drawing is not None:
            write_atomically(path.with_suffix(".jpg"), done.drawing)
        write_atomically(path, outcome.model_dump_json(exclude_none=True).encode())

    def drawing_link(self, key: str) -> str:
        """Return where the drawing of a sheet is, as seen from the folder, with forward slashes."""
        return self._place(key, ".jpg").relative_to(self.folder).as_posix()

    def _place(self, key: str, suffix: str) -> Path:
        return self.folder / SHEETS / key[:2] / f"{key}{suffix}"


def _document(path: Path) -> object:
    try:
        return json.loads(path.read_bytes())
    except ValueError:
        return None
