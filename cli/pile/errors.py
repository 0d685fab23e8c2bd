"""What can go wrong with a whole pile; what is wrong with one sheet is told on that sheet.

::

    InputError
        EmptyPileError          no photograph and no answers in the folder
        OtherPileError          the output folder holds something else
        ClusterError            the cluster cannot be reached, or was lost
        OtherProgramError       a worker of it runs another panelpoint
"""

from __future__ import annotations

from pathlib import Path

from cli.errors import InputError

__all__ = ["ClusterError", "EmptyPileError", "OtherPileError", "OtherProgramError"]


class EmptyPileError(InputError):
    """There is nothing to work on."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.folder = folder

    def __str__(self) -> str:
        """Name the folder and what is wanted in it."""
        return (
            f"{self.folder} holds no photograph and no file of answers: put JPEG, PNG, WebP, TIFF, BMP or "
            "HEIC pictures into it, or give another folder."
        )


class OtherPileError(InputError):
    """The output folder is there and is not that of this pile."""

    def __init__(self, folder: Path, what: str) -> None:
        super().__init__(folder, what)
        self.folder, self.what = folder, what

    def __str__(self) -> str:
        """Name the folder and what is in it."""
        return f"{self.folder} {self.what}: give an empty or a new folder with -o."


class ClusterError(InputError):
    """The cluster does not work."""

    def __init__(self, address: str, what: str) -> None:
        super().__init__(address, what)
        self.address, self.what = address, what

    def __str__(self) -> str:
        """Name the address and the cure."""
        return f"The cluster at {self.address} {self.what}"


class OtherProgramError(InputError):
    """A worker runs another panelpoint than the one that hands out the work."""

    def __init__(self, computer: str) -> None:
        super().__init__(computer)
        self.computer = computer

    def __str__(self) -> str:
        """Name the computer and the cure."""
        return f"{self.computer} runs another panelpoint: install the same version on all computers"
