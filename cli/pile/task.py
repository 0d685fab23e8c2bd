"""What is to be done with one photograph, and the key under which it is done once."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import cli
import solver
import vision
from cli.pile.outcome import Outcome
from cli.pile.papers import Paper, sha256_of

__all__ = ["Done", "Settings", "Task", "program_sha256", "task_for"]

_PROGRAM = (".py", ".onnx", ".ttf")
"""Suffixes of the files that decide what comes out of a photograph."""


@dataclass(frozen=True)
class Settings:
    """What holds for the whole pile."""

    trust: bool = False
    """Use what was read, and model files that nobody confirmed."""
    blank_margins: bool = False
    """Leave nothing in the pictures but the drawing and what is close to it: names stand in the margins."""


@dataclass(frozen=True)
class Task:
    """One photograph and all that its result depends on."""

    key: str
    """SHA-256 of everything below and of the program, in hexadecimal."""
    path: Path
    """Where the photograph is, as the worker sees it."""
    sha256: str
    """Of the photograph."""
    settings: Settings
    program: str
    """SHA-256 of the program that made the task; see `program_sha256`."""
    model: bytes | None = None
    """Its model file."""
    truss: bytes | None = None
    """The key: the model file of the truss that was set."""
    content: bytes | None = None
    """The photograph itself, where the worker cannot see the path."""


@dataclass(frozen=True)
class Done:
    """What a worker hands back."""

    outcome: Outcome
    drawing: bytes | None = None
    """JPEG of what was found, on the photograph."""


@lru_cache(maxsize=1)
def program_sha256() -> str:
    """Return the SHA-256 of the program that reads and solves: results of another program are not reused."""
    digest = hashlib.sha256()
    for package in (vision, solver, cli):
        assert package.__file__ is not None
        root = Path(package.__file__).parent
        files = (path for path in root.rglob("*") if path.suffix in _PROGRAM and "training" not in path.parts)
        for path in sorted(files):
            digest.update(path.relative_to(root).as_posix().encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()


def task_for(paper: Paper, *, settings: Settings, truss: bytes | None = None, send: bool = False) -> Task:
    """Return the task of a photograph.

    Parameters
    ----------
    paper
        The photograph.
    settings
        Of the pile.
    truss
        The key's model file.
    send
        Put the photograph itself into the task.

    Raises
    ------
    OSError
        When the photograph or its model file cannot be read.
    """
    content = paper.path.read_bytes() if send else None
    sha256 = sha256_of(paper.path) if content is None else hashlib.sha256(content).hexdigest()
    model = None if paper.model is None else paper.model.read_bytes()
    parts = {
        "program": program_sha256(),
        "photograph": sha256,
        "model": None if model is None else hashlib.sha256(model).hexdigest(),
        "truss": None if truss is None else hashlib.sha256(truss).hexdigest(),
        "trust": settings.trust,
        "blank margins": settings.blank_margins,
    }
    key = hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()
    # What is sent away carries no name.
    path = paper.path.resolve() if content is None else Path(f"{key}{paper.path.suffix}")
    return Task(
        key,
        path,
        sha256,
        settings,
        program_sha256(),
        model=model,
        truss=truss,
        content=content,
    )
