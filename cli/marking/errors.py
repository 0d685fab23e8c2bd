"""What can be wrong with files of answers and rubrics.

::

    InputError
        AnswersFileError        the file of answers cannot be used
        RubricFileError         the rubric cannot be used
"""

from __future__ import annotations

from pathlib import Path

from cli.errors import InputError

__all__ = ["AnswersFileError", "RubricFileError"]


class _FileError(InputError):
    """A file cannot be used."""

    def __init__(self, path: Path, fault: str) -> None:
        super().__init__(path, fault)
        self.path, self.fault = path, fault

    def __str__(self) -> str:
        """Name the file, the fault and the cure."""
        return f"{self.path}: {self.fault}"


class AnswersFileError(_FileError):
    """The file of answers cannot be used."""


class RubricFileError(_FileError):
    """The rubric cannot be used."""
