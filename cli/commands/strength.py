"""`panelpoint strength`: which member or joint gives way first, at what load, and how sure that is."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, Literal

import typer

__all__ = ["strength"]


def strength(
    model: Annotated[Path, typer.Argument(metavar="MODEL", help="A model file with stocks.")],
    *,
    curve: Annotated[
        Literal["least", "interaction"],
        typer.Option(help="Compression: the least of crushing and Euler, or a column curve between them."),
    ] = "least",
    tested: Annotated[
        str | None,
        typer.Option(metavar="'[WHAT] LOAD'", help="After the test: what let go and the whole load it held."),
    ] = None,
    target: Annotated[
        str | None,
        typer.Option(metavar="LOAD", help="Find the least stock that carries this load in all: '200 N'."),
    ] = None,
    seed: Annotated[int, typer.Option(min=0, help="Of the draws; the same seed, the same answer.")] = 0,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object for programs.")] = False,
    trust: Annotated[
        bool, typer.Option("--trust", help="Use a model that was read from a picture and not confirmed.")
    ] = False,
) -> None:
    """Say which member gives way first, and at what load.

    Example: panelpoint strength sample_images/contest-sticks-model.truss.json

    After the test: panelpoint strength bridge.truss.json --tested "C-F 95 N"

    Where to put the wood: panelpoint strength bridge.truss.json --target "200 N"

    Averages of clear wood, for models only: it approves nothing that carries people, vehicles or goods.
    """
    from cli.job import open_model
    from cli.messages import note
    from cli.progress import busy
    from cli.strength.job import strength_of
    from cli.strength.report import strength_json, strength_text

    opened = open_model(model, trust=trust)
    with busy(f"Breaking {model.name} ten thousand times"):
        answer = strength_of(opened, curve=curve, seed=seed, tested=tested, target=target)
    if as_json:
        sys.stdout.write(strength_json(answer))
        return
    for remark in answer.remarks:
        note(remark)
    sys.stdout.write(strength_text(answer))
