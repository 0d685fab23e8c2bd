"""Versions of a worksheet in one folder: each with key and model file, and a cover that lists them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from cli.model.file import dumps
from cli.papers.content import Block, Document, Paragraph, Strong, Table, Title
from cli.papers.exercises import Exercise, with_other_numbers
from cli.papers.order import Made, Order
from cli.papers.truss_blocks import caution_block
from cli.papers.worksheet import worksheet_document
from cli.papers.worksheet_key import key_document

__all__ = ["COVER", "make_versions"]

COVER = "cover.pdf"


def make_versions(order: Order, output: Path, *, count: int, seed: int) -> tuple[Made, Mapping[Path, bytes]]:
    """Make versions of a worksheet.

    Parameters
    ----------
    order
        The model, the language, the figures and the paper.
    output
        The folder that the files are for.
    count, seed
        How many, and what they are drawn from: the same seed gives the same versions.

    Returns
    -------
    made, files
        The cover, which lists the versions, and all files: bytes by path.

    Raises
    ------
    FaultsError, SurveyError, SolverError
        As `cli.job.solve_model` does, or when so many versions cannot be found.
    """
    # Typst is for PDF alone; --help and the other forms do not wait for it.
    from cli.papers.as_pdf import paper_pdf  # noqa: PLC0415

    exercises = with_other_numbers(order.solved, count, seed=seed)
    cover = _cover(order, exercises, seed)
    documents = {COVER: cover}
    for exercise in exercises:
        documents[_worksheet(exercise)] = worksheet_document(order, exercise)
        documents[_key(exercise)] = key_document(order, exercise)
    files = {output / name: paper_pdf(document, paper=order.paper) for name, document in documents.items()}
    files |= {output / exercise.model_file: dumps(exercise.model).encode() for exercise in exercises}
    remarks = order.solved.remarks
    if exercises[0].same_shape:
        remarks = (*remarks, order.wording.worksheet.same_shape)
    return Made(cover, remarks), files


def _worksheet(exercise: Exercise) -> str:
    return f"{exercise.code}-worksheet.pdf"


def _key(exercise: Exercise) -> str:
    return f"{exercise.code}-key.pdf"


def _cover(order: Order, exercises: Sequence[Exercise], seed: int) -> Document:
    said = order.wording.worksheet
    rows = tuple(
        (Strong(each.letter), each.code, _worksheet(each), _key(each), each.model_file) for each in exercises
    )
    blocks: list[Block] = [
        Title(f"{order.title} · {said.cover}"),
        Paragraph(said.cover_text.format(seed=seed)),
        Table(said.cover_head, rows, "lllll", name="versions"),
    ]
    if exercises[0].same_shape:
        blocks.append(Paragraph(said.same_shape))
    return Document(
        title=f"{order.title} · {said.cover}",
        blocks=(*blocks, caution_block(order)),
        language=order.language,
        foot=order.title,
    )
