"""`panelpoint batch`: every photograph of a folder, in parallel, with one report."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["batch"]


def batch(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="The pile: photographs, also in folders.")],
    *,
    output: Annotated[
        Path, typer.Option("-o", "--output", metavar="OUT", help="Folder for the report and all results.")
    ],
    key: Annotated[
        Path | None,
        typer.Option(metavar="MODEL", help="The truss that was set: every drawing is held against it."),
    ] = None,
    rubric: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Credits and tolerance for files of answers; see panelpoint mark."),
    ] = None,
    workers: Annotated[
        int | None, typer.Option(min=1, help="Processes that work at a time; one for each core by default.")
    ] = None,
    pseudonyms: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Show pseudonyms from this list (name,pseudonym); who is missing is added to it.",
        ),
    ] = None,
    cluster: Annotated[
        str | None,
        typer.Option(
            metavar="ADDRESS", help="Work on the Dask cluster with this scheduler: tcp://HOST:PORT."
        ),
    ] = None,
    send_files: Annotated[
        bool, typer.Option("--send-files", help="Send photographs to a cluster that does not see the folder.")
    ] = False,
    trust: Annotated[
        bool, typer.Option("--trust", help="Use what was read, and model files that nobody confirmed.")
    ] = False,
) -> None:
    """Read and solve every photograph of a folder, and write one report of all.

    A photograph is solved with its model file NAME.truss.json beside it, once that is confirmed. Without one
    it is read, and the report says what is needed.

    With --key, each is a student's drawing of the truss in that model file: missing and extra joints and
    members, supports and loads are named and drawn on it. A right truss sheared or stretched is right. Files
    of answers in the folder (CSV or JSON) are marked against it, as panelpoint mark does.

    Example: panelpoint batch photos -o photos-report

    Started again with the same output it goes on where it was: nothing is done twice, nothing is lost.
    """
    # Before anything loads NumPy: the workers have the cores.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from cli.drawing_check.job import key_bytes
    from cli.marking.desk import Wanted, rubric_of
    from cli.marking.key import open_key
    from cli.messages import note, say
    from cli.pile.batch import Batch
    from cli.pile.cluster import ClusterPool
    from cli.pile.marks import Marker, enlist
    from cli.pile.papers import sort_out
    from cli.pile.pool import LocalPool, Pool, usable_cores
    from cli.pile.progress import showing
    from cli.pile.store import Store
    from cli.pile.task import Settings
    from cli.pseudonyms import pseudonyms_for

    truss = None if key is None else key_bytes(key)
    pile = sort_out(folder, output=output, apart=(key, pseudonyms))
    marking = None if key is None or not pile.answers else open_key(key, trust=trust)
    files = pile.answers if marking is not None else ()
    names = [*(paper.name for paper in pile.papers), *(path.name for path in files)]
    shown: Callable[[str], str] = str
    if pseudonyms is not None:
        shown = pseudonyms_for(pseudonyms, names).shown
        if marking is not None:
            enlist(files, marking, pseudonyms)
    store = Store(output, pseudonyms=pseudonyms is not None)
    marker = None
    if marking is not None:
        marker = Marker(marking, Wanted(rubric_of(rubric), pseudonyms=pseudonyms), store)
    work = Batch(
        pile=pile,
        store=store,
        settings=Settings(trust=trust, blank_margins=pseudonyms is not None),
        truss=truss,
        send=send_files,
        marker=marker,
        title="Pile" if pseudonyms else f"Pile: {folder.resolve().name}",
        shown=shown,
    )
    if pile.answers and key is None:
        note(f"{len(pile.answers)} files that may hold answers are left alone: give --key to mark them.")
    if pile.drawn:
        note(f"Pictures that panelpoint drew are left out: {len(pile.drawn)}.")
    pool: Pool
    if cluster is None:
        pool = LocalPool(min(workers or usable_cores(), max(1, len(pile.papers))))
    else:
        pool = ClusterPool(cluster)
    try:
        with showing(len(names)) as tell:
            summary = work.run(pool, tell)
    finally:
        pool.close()
    before = f" {summary.done_before} of them were done before." if summary.done_before else ""
    say(f"{summary.sheets} sheets, {summary.need_look} need a look.{before} The report is {summary.report}.")
