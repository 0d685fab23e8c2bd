"""`panelpoint batch`: every photograph of a folder, in parallel, with one report."""

from __future__ import annotations

import os
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
    members, supports and loads are named and drawn on it. A right truss sheared or stretched is right.

    Example: panelpoint batch photos -o photos-report

    Started again with the same output it goes on where it was: nothing is done twice, nothing is lost.
    """
    # Before anything loads NumPy: the workers have the cores.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from cli.drawing_check.job import key_bytes
    from cli.messages import say
    from cli.pile.batch import Batch
    from cli.pile.cluster import ClusterPool
    from cli.pile.papers import sort_out
    from cli.pile.pool import LocalPool, Pool, usable_cores
    from cli.pile.progress import showing
    from cli.pile.store import Store
    from cli.pile.task import Settings
    from cli.pseudonyms import pseudonyms_for

    truss = None if key is None else key_bytes(key)
    pile = sort_out(folder, output=output, apart=(key, pseudonyms))
    names = [paper.name for paper in pile.papers]
    shown = str if pseudonyms is None else pseudonyms_for(pseudonyms, names).shown
    store = Store(output, pseudonyms=pseudonyms is not None)
    work = Batch(
        pile=pile,
        store=store,
        settings=Settings(trust=trust, blank_margins=pseudonyms is not None),
        truss=truss,
        send=send_files,
        title="Pile" if pseudonyms else f"Pile: {folder.resolve().name}",
        shown=shown,
    )
    pool: Pool
    if cluster is None:
        pool = LocalPool(min(workers or usable_cores(), max(1, len(pile.papers))))
    else:
        pool = ClusterPool(cluster)
    try:
        with showing(len(pile.papers)) as tell:
            summary = work.run(pool, tell)
    finally:
        pool.close()
    before = f" {summary.done_before} of them were done before." if summary.done_before else ""
    say(f"{summary.sheets} sheets, {summary.need_look} need a look.{before} The report is {summary.report}.")
