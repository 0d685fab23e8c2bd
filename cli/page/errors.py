"""What the page can refuse, by meaning.

::

    cli.errors.InputError
        PageError
            EditError            the edit cannot be made, and why
            StaleError           the page that sent the edit had not seen the latest change
            ChangedOnDiskError   the model file was changed by somebody else
            UploadError          what was sent is no picture that can be used
            NothingToShowError   the page has no model yet
"""

from __future__ import annotations

from cli.errors import InputError

__all__ = [
    "ChangedOnDiskError",
    "EditError",
    "NothingToShowError",
    "PageError",
    "StaleError",
    "UploadError",
]


class PageError(InputError):
    """Anything that the page refuses."""


class EditError(PageError):
    """The edit cannot be made.

    Parameters
    ----------
    fault, cure
        Two sentences: what is in the way, and what to do.
    """

    def __init__(self, fault: str, cure: str) -> None:
        super().__init__(fault, cure)
        self.fault, self.cure = fault, cure

    def __str__(self) -> str:
        return f"{self.fault} {self.cure}"


class StaleError(PageError):
    """The page that sent the edit had not seen the latest change."""

    def __init__(self, seen: int, now: int) -> None:
        super().__init__(seen, now)
        self.seen, self.now = seen, now

    def __str__(self) -> str:
        return (
            "This model was changed in another tab or window in the meantime. Your last change was not made: "
            "look at the model as it is now, and make it again."
        )


class ChangedOnDiskError(PageError):
    """The model file was changed by another program since the page last wrote it."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name

    def __str__(self) -> str:
        return (
            f"The file {self.name} was changed by another program. Nothing was overwritten: choose whether "
            "to take the file as it is now, or to keep what this page shows."
        )


class UploadError(PageError):
    """What was sent is no picture that can be used.

    Parameters
    ----------
    fault, cure
        Two sentences.
    """

    def __init__(self, fault: str, cure: str) -> None:
        super().__init__(fault, cure)
        self.fault, self.cure = fault, cure

    def __str__(self) -> str:
        return f"{self.fault} {self.cure}"


class NothingToShowError(PageError):
    """The page has no model yet."""

    def __str__(self) -> str:
        return "There is no picture yet. Drop a photograph of a truss onto the page."
