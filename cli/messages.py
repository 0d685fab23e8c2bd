"""What a person reads when something does not work: one sentence, and the exit code that goes with it.

Exit codes: 0 done; 1 the honest answer is no; 2 the input is wrong; 130 stopped by Ctrl-C, as shells have it.
"""

from __future__ import annotations

import sys

__all__ = [
    "ANSWER_IS_NO",
    "INPUT_IS_WRONG",
    "STOPPED",
    "exit_code",
    "known_errors",
    "note",
    "say",
    "sentence",
]

ANSWER_IS_NO = 1
INPUT_IS_WRONG = 2
STOPPED = 130

_TREES = (("cli.errors", "CliError"), ("solver.errors", "SolverError"), ("vision.errors", "VisionError"))
_ANSWERS_NO = (
    ("cli.errors", "NoAnswerError"),
    ("solver.errors", "NoUniqueSolutionError"),
    ("solver.errors", "OutOfReachError"),
    ("vision.errors", "NoTrussError"),
)


def _loaded(names: tuple[tuple[str, str], ...]) -> tuple[type[BaseException], ...]:
    """Return those classes whose module is in use: one that was never imported has raised nothing."""
    return tuple(getattr(sys.modules[module], name) for module, name in names if module in sys.modules)


def known_errors() -> tuple[type[BaseException], ...]:
    """Return every error that the front door turns into a sentence.

    The three error trees, and what the machine can refuse: files, memory, and the person's own Ctrl-C.
    Anything else is a fault of this program and is not hidden.
    """
    return (*_loaded(_TREES), OSError, MemoryError, KeyboardInterrupt)


def exit_code(error: BaseException) -> int:
    """Return the exit code for an error of `known_errors`."""
    if isinstance(error, KeyboardInterrupt):
        return STOPPED
    return ANSWER_IS_NO if isinstance(error, _loaded(_ANSWERS_NO)) else INPUT_IS_WRONG


def sentence(error: BaseException) -> str:
    """Return what to tell the person about an error of `known_errors`."""
    if isinstance(error, KeyboardInterrupt):
        return "Stopped. Nothing was left half-written."
    if isinstance(error, MemoryError):
        return (
            "This computer has not enough free memory for it: close other programs or give a smaller picture."
        )
    if "solver.errors" in sys.modules:
        # Both load the solver, which most slips of a command never reach.
        from cli.stability_words import no_answer_words  # noqa: PLC0415
        from solver.errors import NoUniqueSolutionError  # noqa: PLC0415

        if isinstance(error, NoUniqueSolutionError):
            return no_answer_words(error.stability)
    if isinstance(error, OSError):
        return _file_sentence(error)
    return str(error)


def _file_sentence(error: OSError) -> str:
    name = error.filename2 or error.filename
    what = error.strerror[0].lower() + error.strerror[1:] if error.strerror else str(error)
    where = f"{name}: " if name else ""
    if isinstance(error, FileNotFoundError):
        return f"{where}there is no such file or folder; check the name."
    if isinstance(error, PermissionError):
        return f"{where}permission denied; choose a place that you may use."
    if isinstance(error, IsADirectoryError):
        return f"{where}this is a folder; give the name of a file."
    return f"{where}{what}; mend that and try again."


def say(text: str) -> None:
    """Print a message on standard error."""
    print(text, file=sys.stderr)


def note(text: str) -> None:
    """Print something on standard error that the person should know but need not act on."""
    say(f"Note: {text}")
