"""A document as one JSON object for programs: its blocks in order, words and mathematics as plain text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from cli.model.readable_json import readable_json
from cli.papers.as_markdown import equation_lines
from cli.papers.content import (
    Beside,
    Blanks,
    Block,
    Bullets,
    Caution,
    Document,
    Equations,
    Figure,
    Heading,
    KeepTogether,
    PageBreak,
    Paragraph,
    Table,
    Title,
    text_of,
)
from cli.papers.maths import plain

__all__ = ["document_json"]


def document_json(document: Document, *, kind: str) -> str:
    """Return a document as one JSON object; its keys are stable, more may be added.

    Parameters
    ----------
    document
        What a sheet says.
    kind
        Of the sheet: `worked`, `handout` ...
    """
    return readable_json(
        {
            "kind": kind,
            "title": document.title,
            "language": document.language,
            "blocks": [_block(block) for block in _flat(document.blocks)],
        }
    )


def _flat(blocks: Iterable[Block]) -> Iterable[Block]:
    for block in blocks:
        match block:
            case KeepTogether(inner):
                yield from _flat(inner)
            case Beside(figure, inner):
                yield figure
                yield from _flat(inner)
            case PageBreak():
                continue
            case _:
                yield block


def _block(block: Block) -> dict[str, Any]:
    found: dict[str, Any]
    match block:
        case Title(words, below):
            found = {"block": "title", "text": words, "below": text_of(below)}
        case Heading(words, level):
            found = {"block": "heading", "level": level, "text": text_of(words)}
        case Paragraph(text):
            found = {"block": "paragraph", "text": text_of(text)}
        case Bullets(items, numbered):
            found = {"block": "list", "numbered": numbered, "items": [text_of(item) for item in items]}
        case Equations(lines):
            equations = [
                {
                    "left": plain(line.left),
                    "sign": line.sign,
                    "right": [plain(side) for side in line.right],
                    "after": text_of(line.after),
                }
                for line in lines
            ]
            found = {"block": "equations", "lines": equations, "text": equation_lines(lines)}
        case Figure():
            found = {
                "block": "figure",
                "name": block.name,
                "alt": block.alt,
                "caption": text_of(block.caption),
            }
        case Table():
            found = {
                "block": "table",
                "name": block.name,
                "caption": text_of(block.caption),
                "head": [text_of(cell) for cell in block.head],
                "rows": [[text_of(cell) for cell in row] for row in block.rows],
            }
        case Blanks(lines):
            found = {"block": "blanks", "lines": [text_of(line) for line in lines]}
        case Caution(head, sentences):
            found = {"block": "caution", "head": head, "sentences": list(sentences)}
        case _:
            raise TypeError(block)
    return found
