"""The files that a sheet is written as: by the suffix of the output, or a folder of its figures."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from cli.errors import NoTableError, UnknownSuffixError
from cli.outputs import STANDARD_OUTPUT, ensure_folder, ensure_free, put_into, write_output
from cli.papers.as_json import document_json
from cli.papers.content import figures_of
from cli.papers.order import Made
from cli.sheets.svg import letters_of, typeface_rules, with_typeface

__all__ = ["FOLDER", "SUFFIXES", "beside", "ensure_all_free", "files_of", "form_of", "write_all"]

SUFFIXES = (".pdf", ".html", ".md", ".csv", ".json")
"""What a sheet can be written as; without a suffix, a folder with an SVG of every figure."""
FOLDER = "folder"
"""The form of an output without a suffix."""


def form_of(output: Path) -> str:
    """Return what an output is by its suffix: `pdf`, `html`, `md`, `csv`, `json` or `folder`.

    Standard output gets a PDF.

    Raises
    ------
    UnknownSuffixError
        When its suffix names none of them.
    """
    if output == STANDARD_OUTPUT:
        return "pdf"
    suffix = output.suffix.lower()
    if not suffix:
        return FOLDER
    if suffix not in SUFFIXES:
        raise UnknownSuffixError(output, SUFFIXES, "sheet")
    return suffix[1:]


def ensure_all_free(output: Path, *, form: str, force: bool, inputs: tuple[tuple[Path, str], ...]) -> None:
    """Make sure, before any work is done, that an output may be written; see `cli.outputs.ensure_free`.

    A folder may be there already: only files of other bytes in it are in the way, and `write_all` finds them.
    """
    if form == FOLDER:
        ensure_folder(output)
    else:
        ensure_free(output, force=force, inputs=inputs)


def write_all(files: Mapping[Path, bytes], output: Path, *, force: bool) -> None:
    """Write what `files_of` returned: figures into their folder first, then the output itself."""
    folders: dict[Path, dict[str, bytes]] = {}
    for path, data in files.items():
        if path != output:
            folders.setdefault(path.parent, {})[path.name] = data
    for folder, inside in folders.items():
        put_into(folder, inside, force=force)
    if output in files:
        write_output(output, files[output])


def files_of(made: Made, output: Path, *, form: str, kind: str, paper: str) -> Mapping[Path, bytes]:
    """Return the files of a sheet: bytes by path.

    Parameters
    ----------
    made
        The sheet.
    output
        The file, or the folder of figures, that is asked for.
    form
        Of `form_of`.
    kind
        Of the sheet.
    paper
        `a4` or `letter`.

    Raises
    ------
    NoTableError
        When a CSV is asked for of a sheet without forces.
    """
    match form:
        case "pdf":
            # Typst is quick, and still nothing that a page or a table needs.
            from cli.papers.as_pdf import paper_pdf  # noqa: PLC0415

            return {output: paper_pdf(made.document, paper=paper)}
        case "html":
            from cli.papers.as_html import page_html  # noqa: PLC0415 (as above)

            return {output: page_html(made.document).encode()}
        case "md":
            return _markdown(made, output)
        case "csv":
            if made.members is None:
                raise NoTableError(output)
            return {output: made.members.encode()}
        case "json":
            return {output: document_json(made.document, kind=kind).encode()}
        case _:
            return {output / name: data for name, data in _drawn(made).items()}


def beside(made: Made, output: Path, *, form: str) -> Mapping[Path, bytes]:
    """Return the files that go with a sheet, in its folder; none where it goes to standard output."""
    if output == STANDARD_OUTPUT:
        return {}
    folder = output if form == FOLDER else output.parent
    return {folder / name: data for name, data in made.beside.items()}


def _markdown(made: Made, output: Path) -> Mapping[Path, bytes]:
    """Return the text and, in a folder beside it, the figures that it links to."""
    from cli.papers.as_markdown import page_markdown  # noqa: PLC0415 (as above)

    folder = output.with_name(f"{output.stem}-figures")
    text = page_markdown(made.document, link=lambda figure: f"{folder.name}/{figure.name}.svg")
    return {output: text.encode()} | {folder / name: data for name, data in _drawn(made).items()}


def _drawn(made: Made) -> Mapping[str, bytes]:
    """Return the figures as SVG files. All carry the same letters: cutting a typeface takes its time."""
    figures = tuple(figures_of(made.document.blocks))
    rules = typeface_rules(letters_of(*(figure.svg for figure in figures)))
    return {f"{figure.name}.svg": with_typeface(figure.svg, rules).encode() for figure in figures}
