"""The front door itself: help, version, start-up, and every way out of it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import cli.main
from cli.messages import exit_code, known_errors, sentence
from tests.front_door import panelpoint, three_bars, write_model

ROOT = Path(__file__).parent.parent
COMMANDS = (
    "demo",
    "read",
    "confirm",
    "solve",
    "stock",
    "strength",
    "overlay",
    "run",
    "contest",
    "record",
    "testday",
)
HEAVY = (
    "cv2",
    "scipy",
    "matplotlib",
    "numpy",
    "pydantic",
    "onnxruntime",
    "fastapi",
    "uvicorn",
    "fontTools",
    "PIL",
    "pint",
    "rich.console",
)


def python(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the interpreter from the checkout."""
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
    )


def test_help_lists_every_command() -> None:
    """The commands of the design, each with a line that says what it does."""
    outcome = panelpoint("--help")
    assert outcome.code == 0
    for command in COMMANDS:
        assert f"\n  {command} " in outcome.text


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example(command: str) -> None:
    """`--help` and `-h` end in an example that can be copied."""
    outcome = panelpoint(command, "--help")
    assert outcome.code == 0
    assert f"Example: panelpoint {command}" in outcome.text
    assert panelpoint(command, "-h").text == outcome.text


def test_help_imports_nothing_heavy() -> None:
    """Start-up loads neither picture nor number libraries, by the interpreter's own account."""
    result = python("-X", "importtime", "-m", "cli.main", "--help")
    assert result.returncode == 0
    imported = {line.rsplit("|", 1)[-1].strip() for line in result.stderr.splitlines()}
    assert "typer" in imported
    assert not imported & set(HEAVY)


def test_an_unknown_option_or_command_is_exit_code_2() -> None:
    """Slips of the command line itself are explained on standard error."""
    for arguments in (("fly",), ("solve",), ("solve", "x.json", "--fly"), ("read", "x.jpg")):
        outcome = panelpoint(*arguments)
        assert outcome.code == 2
        assert outcome.out == b""
        assert "Error" in outcome.err
        assert "Traceback" not in outcome.err


def test_a_closed_pipe_is_no_accident(tmp_path: Path) -> None:
    """`panelpoint solve ... | head -1` ends quietly."""
    model = write_model(tmp_path, three_bars())
    line = f'"{sys.executable}" -m cli.main solve "{model}" --steps | true'
    result = subprocess.run(
        ["bash", "-c", line],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert result.stderr == ""


def test_a_narrow_encoding_does_not_stop_the_answer(tmp_path: Path) -> None:
    """A terminal without the minus sign gets the numbers all the same."""
    model = write_model(tmp_path, three_bars())
    result = python("-m", "cli.main", "solve", str(model), PYTHONIOENCODING="ascii")
    assert result.returncode == 0
    assert "?10.00" in result.stdout


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (KeyboardInterrupt(), 130, "Stopped"),
        (MemoryError(), 2, "not enough free memory"),
        (FileNotFoundError(2, "No such file or directory", "a.json"), 2, "a.json: there is no such file"),
        (PermissionError(13, "Permission denied", "b"), 2, "b: permission denied"),
        (OSError(28, "No space left on device", "c"), 2, "c: no space left on device"),
        (OSError("the disk is odd"), 2, "the disk is odd"),
    ],
)
def test_what_the_machine_refuses_is_a_sentence(
    error: BaseException, code: int, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Files, memory and Ctrl-C end like any other error."""
    assert isinstance(error, known_errors())
    assert exit_code(error) == code
    assert words in sentence(error)

    def fail(**_: object) -> None:
        raise error

    monkeypatch.setattr(cli.main, "_built", lambda: fail)
    outcome = panelpoint("solve", "x")
    assert outcome.code == code
    assert words in outcome.err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("strength", "m.json", "--curve", "banana"), "'banana' is not one of 'least', 'interaction'."),
        (("overlay", "m.json", "-o", "m.png", "--show", "x"), "not one of 'forces', 'used', 'moves'."),
        (("strength", "m.json", "--seed", "-1"), "'--seed': give 0 or more."),
        (("strength", "m.json", "--seed", "one"), "'--seed': give a whole number."),
        (("record", "m.json", "--pieces", "0"), "'--pieces': give 1 or more."),
    ],
)
def test_a_slip_in_an_option_is_told_in_plain_words(arguments: tuple[str, ...], words: str) -> None:
    """No word of the machinery that checks options."""
    outcome = panelpoint(*arguments)
    assert outcome.code == 2
    assert words in outcome.err
    assert "Value error" not in outcome.err
    assert "Input should" not in outcome.err
