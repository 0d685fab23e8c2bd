"""`panelpoint stock`: say what members are made of."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["stock"]


def stock(
    model: Annotated[Path, typer.Argument(metavar="MODEL", help="A model file; it is changed.")],
    words: Annotated[
        str, typer.Argument(metavar="STOCK", help='Material, shape and size: "birch 10 x 2 mm".')
    ],
    *,
    on: Annotated[
        list[str] | None,
        typer.Option(metavar="MEMBER", help="Only this member, A-E; again for each further one."),
    ] = None,
    name: Annotated[str | None, typer.Option(help="What the stock is called; its words without it.")] = None,
    bars: Annotated[
        list[str] | None,
        typer.Option(metavar="LENGTH", help='A length in which it is sold, "1 m": asks for a cutting list.'),
    ] = None,
    kerf: Annotated[str | None, typer.Option(metavar="LENGTH", help='Lost with each cut: "1 mm".')] = None,
    density: Annotated[
        float | None, typer.Option(metavar="KG/M³", help="As weighed; balsa needs it.")
    ] = None,
) -> None:
    """Say in a model file what its members are made of.

    Example: panelpoint stock bridge.truss.json "birch 10 x 2 mm"

    Doubled ones: panelpoint stock bridge.truss.json "birch 10 x 2 mm, 2 glued" --on A-E --on D-G

    Other shapes: "balsa square 5 mm", "steel round 2 mm", "aluminium tube 6 x 0.5 mm", "birch 10 x 2 mm, gap
    4 mm" for two strips with blocks between. Without --on, every member that has no stock yet gets it. With
    --bars "1 m" `panelpoint strength` prints which member to cut from which bar.
    """
    from cli.model.file import load, save
    from cli.strength.stock_job import with_stock
    from cli.strength.stock_words import sold_in, stock_of_words

    opened = load(model)
    entry = stock_of_words(words, unit=opened.units.length, density=density)
    entry = sold_in(entry, bars or (), kerf, unit=opened.units.length)
    done = with_stock(opened, name or " ".join(words.split()), entry, on=on or ())
    save(model, done.model)
    sys.stdout.write(done.text)
