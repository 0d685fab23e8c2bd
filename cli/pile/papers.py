"""What lies in the folder of a pile: photographs, each with its model file if it has one, and what else."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from cli.model.file import MODEL_SUFFIX
from cli.own_pictures import drawn_here
from cli.pile.errors import EmptyPileError

__all__ = ["PHOTOGRAPHS", "Paper", "Pile", "sha256_of", "sort_out"]

PHOTOGRAPHS = frozenset(
    {".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".bmp", ".heic", ".heif"},
)
"""Suffixes taken for photographs, in small letters; what is in them is decided by their content."""
ANSWERS = frozenset({".csv", ".json"})
"""Suffixes taken for files of answers, unless they are model files."""
_BLOCK = 1 << 20
"""Bytes read at a time while a file is hashed."""


@dataclass(frozen=True)
class Paper:
    """A photograph of the pile."""

    name: str
    """As seen from the pile's folder, with forward slashes."""
    path: Path
    model: Path | None
    """Its model file `NAME.truss.json` beside it, if there is one."""


@dataclass(frozen=True)
class Pile:
    """Everything in the folder, in the order of the names."""

    papers: tuple[Paper, ...]
    answers: tuple[Path, ...]
    drawn: tuple[Path, ...]
    """Pictures that panelpoint drew: they are no photographs."""


def sort_out(folder: Path, *, output: Path, apart: Sequence[Path | None] = ()) -> Pile:
    """List a folder and the folders in it.

    Hidden files, the output folder, pictures that panelpoint drew (wherever they lie: results of an earlier
    run, overlays beside the photographs), and files that are nothing a pile is made of are left out.

    Parameters
    ----------
    folder
        The pile.
    output
        Where results go; it may lie inside the pile.
    apart
        Files that may lie in the folder and are no part of the pile: the key, the list of pseudonyms.

    Raises
    ------
    EmptyPileError
        When there is neither a photograph nor a file of answers.
    OSError
        When the folder cannot be read.
    """
    others = {path.resolve() for path in apart if path is not None}
    papers, answers, drawn = [], [], []
    for path in _files(folder, output.resolve()):
        name = path.relative_to(folder).as_posix()
        suffix = path.suffix.lower()
        if suffix in PHOTOGRAPHS and drawn_here(path):
            drawn.append(path)
        elif suffix in PHOTOGRAPHS:
            model = path.with_name(f"{path.stem}{MODEL_SUFFIX}")
            papers.append(Paper(name, path, model if model.is_file() else None))
        elif path.name.endswith(MODEL_SUFFIX) or path.resolve() in others:
            continue
        elif suffix in ANSWERS:
            answers.append(path)
    if not papers and not answers:
        raise EmptyPileError(folder)
    papers.sort(key=lambda paper: paper.name)
    return Pile(tuple(papers), tuple(sorted(answers)), tuple(sorted(drawn)))


def _files(folder: Path, output: Path) -> Iterator[Path]:
    for place, folders, files in os.walk(folder, onerror=_refuse):
        here = Path(place)
        folders[:] = sorted(
            name for name in folders if not name.startswith(".") and (here / name).resolve() != output
        )
        yield from (here / name for name in sorted(files) if not name.startswith("."))


def _refuse(error: OSError) -> None:
    """Stop at a folder that cannot be listed: a pile with sheets missing must not look complete."""
    raise error


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file's bytes, in hexadecimal."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while block := file.read(_BLOCK):
            digest.update(block)
    return digest.hexdigest()
