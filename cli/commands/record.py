"""`panelpoint record`: take down the test of one model, before, during and after."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["record"]

Texts = list[str]


def record(
    model: Annotated[Path, typer.Argument(metavar="MODEL", help="The model file of the bridge.")],
    *,
    mass: Annotated[str | None, typer.Option(metavar="MASS", help='As weighed, all of it: "14.2 g".')] = None,
    width: Annotated[str | None, typer.Option(metavar="LENGTH", help='As measured: "60 mm".')] = None,
    glue: Annotated[str | None, typer.Option(metavar="MASS", help='Glue used: "2 g".')] = None,
    pieces: Annotated[
        int | None, typer.Option(min=1, metavar="COUNT", help="Pieces of stock in the whole bridge.")
    ] = None,
    trusses: Annotated[
        int | None,
        typer.Option(min=1, metavar="COUNT", help="Trusses like the model that share the load; 1 at first."),
    ] = None,
    guess: Annotated[
        Texts | None,
        typer.Option(metavar="GUESS", help='Who, what goes first, the whole load: "Ana E-F 90 N".'),
    ] = None,
    step: Annotated[
        Texts | None, typer.Option(metavar="STEP", help='Whole load then on it, time held: "20 N 10 s".')
    ] = None,
    held: Annotated[
        str | None, typer.Option(metavar="LOAD", help='Last whole load that it held: "95 N", "9.5 kg".')
    ] = None,
    let_go: Annotated[
        str | None,
        typer.Option(
            metavar="'HOW [WHAT]'",
            help='bent, snapped, joint, deck, tipped or nothing, and which: "bent E-F".',
        ),
    ] = None,
    before: Annotated[
        Path | None, typer.Option(metavar="PICTURE", help="Photograph before the test.")
    ] = None,
    after: Annotated[Path | None, typer.Option(metavar="PICTURE", help="Photograph after the test.")] = None,
    remark: Annotated[str | None, typer.Option("--note", help="Anything else worth keeping.")] = None,
    trust: Annotated[
        bool, typer.Option("--trust", help="Use a model that was read from a picture and not confirmed.")
    ] = False,
) -> None:
    """Take down the test of one bridge, in NAME.test.json beside its model.

    Example: panelpoint record heron.truss.json --mass "14.2 g" --guess "Ana E-F 90 N"

    During: panelpoint record heron.truss.json --step "40 N 10 s" --step "80 N 10 s"

    After: panelpoint record heron.truss.json --held "80 N" --let-go "bent E-F" --after broken.jpg

    The prediction is written down with the first call, and stays as it was once a load hangs on the bridge.
    Guesses and steps are added to what is there, everything else replaces it. Eye protection and a screen
    first, weights guarded.
    """
    from cli.job import open_model
    from cli.member_names import names_of
    from cli.messages import note
    from cli.progress import busy
    from cli.strength.job import strength_of
    from cli.testday.outcome import blank_record, state
    from cli.testday.record_file import load_record, record_beside, save_record
    from cli.testday.record_text import record_text
    from cli.testday.taking import Notes, note_down, seen_from

    opened = open_model(model, trust=trust)
    path = record_beside(model)
    kept = load_record(path) if path.exists() else blank_record(opened, model)
    notes = Notes(
        mass=mass,
        width=width,
        glue=glue,
        pieces=pieces,
        trusses=trusses,
        guesses=guess or (),
        steps=step or (),
        held=held,
        let_go=let_go,
        before=None if before is None else seen_from(path.parent, before, "--before"),
        after=None if after is None else seen_from(path.parent, after, "--after"),
        note=remark,
    )
    names = names_of([member.joints for member in opened.members], opened.names)
    taken = note_down(kept, notes, names)
    if not kept.steps and kept.last_held is None and held is None:
        with busy(f"Breaking {model.name} ten thousand times"):
            answer = strength_of(opened, curve="least", seed=0)
        for said in () if path.exists() else answer.remarks:
            note(said)
        taken = taken.model_copy(
            update={"stated": state(answer, trusses=taken.trusses, unit=taken.units.force)}
        )
    save_record(path, taken)
    sys.stdout.write(record_text(taken, path))
