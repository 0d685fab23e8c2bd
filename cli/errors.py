"""What can go wrong at the front door, by meaning.

::

    CliError
        InputError                     the input is wrong (exit code 2)
            ModelFileError             the model file cannot be used
            FaultsError                the model is not complete enough for what was asked
            NewerVersionError          the model file is of a later version
            UnconfirmedError           nobody has confirmed what was read
            AnswerError                an option such as --load cannot be understood
            OutputExistsError          an output is there already
            OutputIsInputError         an output would replace the user's own picture or model
            UnwritableError            an output folder takes no files
            MissingExtraError          a part of the program that is installed on request is not there
            PictureChangedError        the picture has another size than when it was read
            PictureMissingError        the overlay needs a picture that is not there
            PseudonymsError            the list of pseudonyms cannot be used
            UnknownSuffixError         the suffix does not say what to write
        NoAnswerError                  the honest answer is no (exit code 1)
            NoGainError                moving joints gains nothing that is known
            ReadingDiffersError        a picture is not read as it was confirmed before

Every error stores its parts and builds one sentence that names the thing and the cure.
"""

from __future__ import annotations

from pathlib import Path

__all__ = [
    "AnswerError",
    "CliError",
    "FaultsError",
    "InputError",
    "MissingExtraError",
    "ModelFileError",
    "NewerVersionError",
    "NoAnswerError",
    "NoGainError",
    "NoTableError",
    "OutputExistsError",
    "OutputIsInputError",
    "PictureChangedError",
    "PictureMissingError",
    "PseudonymsError",
    "ReadingDiffersError",
    "UnconfirmedError",
    "UnknownSuffixError",
    "UnwritableError",
]

FAULTS_SHOWN = 6
"""Faults of a model file that are listed before the rest is only counted: what fits on a screen."""


class CliError(Exception):
    """Any error of the application itself."""


class InputError(CliError):
    """The input is wrong."""


class NoAnswerError(CliError):
    """The input is fine, and the honest answer is no."""


class ModelFileError(InputError):
    """The model file cannot be used.

    Parameters
    ----------
    path
        The file.
    faults
        What is wrong, each with its place in the file and the cure.
    """

    def __init__(self, path: Path, faults: tuple[str, ...]) -> None:
        super().__init__(path, faults)
        self.path, self.faults = path, faults

    def __str__(self) -> str:
        """Name the file and its faults, the first few of them."""
        shown = list(self.faults[:FAULTS_SHOWN])
        if len(self.faults) > FAULTS_SHOWN:
            shown.append(f"and {len(self.faults) - FAULTS_SHOWN} more.")
        if len(shown) == 1:
            return f"{self.path}: {shown[0]}"
        return "\n  ".join([f"{self.path}:", *shown])


class FaultsError(InputError):
    """The model is not complete enough for what was asked of it.

    Parameters
    ----------
    faults
        What is missing, each with its place in the model file and the cure.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        """List the faults."""
        return "\n".join(self.faults)


class NewerVersionError(InputError):
    """The model file was written by a later version of the program."""

    def __init__(self, path: Path, found: int, known: int) -> None:
        super().__init__(path, found, known)
        self.path, self.found, self.known = path, found, known

    def __str__(self) -> str:
        """Name both versions."""
        return (
            f"{self.path} has version {self.found} of the model file, and this panelpoint knows versions "
            f"up to {self.known}: update panelpoint to use it."
        )


class UnconfirmedError(InputError):
    """The model was read from a picture and no person has confirmed it."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.path = path

    def __str__(self) -> str:
        """Say both ways on."""
        return (
            f"{self.path} was read from a picture and not confirmed: put it right with "
            f'`panelpoint confirm {self.path}`, or set "confirmed": true in it, or give --trust.'
        )


class AnswerError(InputError):
    """An answer given on the command line cannot be understood."""

    def __init__(self, option: str, text: str, cure: str) -> None:
        super().__init__(option, text, cure)
        self.option, self.text, self.cure = option, text, cure

    def __str__(self) -> str:
        """Name the option, quote what was given, and say what to give."""
        return f'{self.option} "{self.text}": {self.cure}'


class OutputExistsError(InputError):
    """The output is there already and --force was not given."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.path = path

    def __str__(self) -> str:
        """Name the file."""
        return f"{self.path} is there already: give --force to replace it, or choose another place."


class OutputIsInputError(InputError):
    """The output would replace a file the user gave."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(path, what)
        self.path, self.what = path, what

    def __str__(self) -> str:
        """Name the file."""
        return f"{self.path} is {self.what} and is never replaced: give another name with -o."


class UnwritableError(InputError):
    """An output cannot be put where it should go."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(path, reason)
        self.path, self.reason = path, reason

    def __str__(self) -> str:
        """Name the output and the reason."""
        return f"{self.path} cannot be written ({self.reason}): choose another place with -o."


class MissingExtraError(InputError):
    """A part of the program that is installed on request is not there.

    Parameters
    ----------
    what
        What was asked for, as the start of a sentence.
    needed
        Names of the packages.
    extra
        Under which name they are installed together.
    """

    def __init__(self, what: str, needed: tuple[str, ...], extra: str) -> None:
        super().__init__(what, needed, extra)
        self.what, self.needed, self.extra = what, needed, extra

    def __str__(self) -> str:
        """Name the packages and how to get them."""
        listed = " and ".join(self.needed)
        return f'{self.what} need {listed}: install with `pip install "panelpoint[{self.extra}]"`.'


class PictureMissingError(InputError):
    """The overlay needs a picture, and the model has none or it is not where the model says."""

    def __init__(self, model: Path, picture: Path | None) -> None:
        super().__init__(model, picture)
        self.model, self.picture = model, picture

    def __str__(self) -> str:
        """Say what is missing and where it was looked for."""
        if self.picture is None:
            return (
                f"{self.model} has no picture to draw on: only a model that was read from a photograph has "
                "an overlay; `panelpoint solve` prints the forces of any model."
            )
        return (
            f"{self.model} names the picture {self.picture}, which is not there: put it back, "
            "or mend picture.file in the model file."
        )


class PictureChangedError(InputError):
    """The picture has another size than when it was read, so that the joints cannot be where they were."""

    def __init__(self, path: Path, was: tuple[int, int], found: tuple[int, int]) -> None:
        super().__init__(path, was, found)
        self.path, self.was, self.found = path, was, found

    def __str__(self) -> str:
        """Name both sizes."""
        return (
            f"{self.path} was {self.was[0]} × {self.was[1]} pixels when it was read and is "
            f"{self.found[0]} × {self.found[1]} now: put the old picture back, or read the new one."
        )


class UnknownSuffixError(InputError):
    """The name of an output does not end in a suffix that says what to write."""

    def __init__(self, path: Path, known: tuple[str, ...], what: str = "picture") -> None:
        super().__init__(path, known, what)
        self.path, self.known, self.what = path, known, what

    def __str__(self) -> str:
        """List the suffixes."""
        return (
            f"{self.path} does not end in {', '.join(self.known)}: choose one of these for the {self.what}."
        )


class NoTableError(NoAnswerError):
    """A table of member forces is wanted, and the truss or the sheet has none."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.path = path

    def __str__(self) -> str:
        """Say that there is nothing to write."""
        return f"{self.path} is not written: there are no member forces to put into it."


class NoGainError(NoAnswerError):
    """Nothing is gained by moving joints, or nothing is known about it."""

    def __init__(self, *, determinate: bool) -> None:
        super().__init__(determinate)
        self.determinate = determinate

    def __str__(self) -> str:
        """Say which of the two it is."""
        if self.determinate:
            return "No small move of a joint makes it hold more for every gram: change the stock instead."
        return (
            "What moving a joint gains is worked out for statically determinate trusses only: take redundant "
            "members or supports away, or move a joint in the model and compare."
        )


class PseudonymsError(InputError):
    """The list of pseudonyms cannot be used."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(path, what)
        self.path, self.what = path, what

    def __str__(self) -> str:
        """Name the file, what is wrong, and the cure."""
        return (
            f"{self.path} {self.what}: each line is a name, a comma and its own pseudonym, below the line "
            '"name,pseudonym".'
        )


class ReadingDiffersError(NoAnswerError):
    """A picture is not read as it was when a person confirmed it."""

    def __init__(self, joints_known: int, joints_read: int, members_differ: int = 0) -> None:
        super().__init__(joints_known, joints_read, members_differ)
        self.joints_known, self.joints_read, self.members_differ = joints_known, joints_read, members_differ

    def __str__(self) -> str:
        """Say how far apart the two are."""
        return (
            f"The picture was read with {self.joints_read} joints where {self.joints_known} were confirmed, "
            f"and {self.members_differ} members differ: reinstall panelpoint and its libraries."
        )
