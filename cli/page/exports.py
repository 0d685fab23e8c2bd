"""Files to keep, made from the model as the page shows it: overlay, model file, member table, sheets."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Literal

from cli.job import solve_model
from cli.model.file import MODEL_SUFFIX, Model, dumps
from cli.page.errors import EditError
from cli.page.trust import trusted
from cli.papers.files import files_of
from cli.papers.kinds import KINDS, make
from cli.papers.order import Order
from cli.pictures import open_picture, overlay_bytes
from cli.report import members_csv

__all__ = ["EXPORTS", "Export", "ExportKind", "SheetStyle", "export"]


class ExportKind(StrEnum):
    """What can be kept."""

    PNG = "overlay.png"
    SVG = "overlay.svg"
    PDF = "overlay.pdf"
    MODEL = "model.json"
    MEMBERS = "members.csv"
    WORKED = "worked.pdf"
    HANDOUT = "handout.pdf"
    WORKSHEET = "worksheet.pdf"
    KEY = "key.pdf"


@dataclass(frozen=True)
class Export:
    """How a kind is sent."""

    media_type: str
    suffix: str


EXPORTS = {
    ExportKind.PNG: Export("image/png", "-forces.png"),
    ExportKind.SVG: Export("image/svg+xml", "-forces.svg"),
    ExportKind.PDF: Export("application/pdf", "-forces.pdf"),
    ExportKind.MODEL: Export("application/json", MODEL_SUFFIX),
    ExportKind.MEMBERS: Export("text/csv", "-members.csv"),
    ExportKind.WORKED: Export("application/pdf", "-worked.pdf"),
    ExportKind.HANDOUT: Export("application/pdf", "-handout.pdf"),
    ExportKind.WORKSHEET: Export("application/pdf", "-worksheet.pdf"),
    ExportKind.KEY: Export("application/pdf", "-key.pdf"),
}


@dataclass(frozen=True)
class SheetStyle:
    """How sheets for the class are set."""

    paper: Literal["a4", "letter"] = "a4"
    language: Literal["en", "de"] = "en"


def export(path: Path, model: Model, kind: ExportKind, style: SheetStyle = SheetStyle()) -> tuple[str, bytes]:
    """Make a file to keep.

    Parameters
    ----------
    path
        The model file: its name gives that of the export, and its picture is found from there.
    model
        As the page shows it.
    kind
        What to make.
    style
        How it is set when it is a sheet; nothing else has a language.

    Returns
    -------
    name, content
        A plain name for the download, and the bytes.

    Raises
    ------
    EditError
        When there is no picture to draw on.
    CliError, SurveyError, SolverError
        When the model has no answer yet; the sentence says why.
    """
    stem = path.name.removesuffix(".json").removesuffix(".truss")
    plain = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-_.") else "-" for sign in stem)
    name = (plain.strip(".-") or "truss") + EXPORTS[kind].suffix
    if kind is ExportKind.MODEL:
        return name, dumps(model).encode()
    used = trusted(model).model
    sheet = kind.value.removesuffix(".pdf")
    if sheet in KINDS:
        order = Order(used, path, language=style.language, paper=style.paper)
        (content,) = files_of(
            make(sheet, order), Path(name), form="pdf", kind=sheet, paper=order.paper
        ).values()
        return name, content
    solved = solve_model(used)
    if kind is ExportKind.MEMBERS:
        return name, members_csv(solved.solution).encode()
    if model.picture is None:
        raise EditError("There is no photograph to draw the forces on.", "Keep the member table instead.")
    photo, _ = open_picture(model, path)
    return name, overlay_bytes(photo, solved, kind.value.rpartition(".")[2])
