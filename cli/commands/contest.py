"""`panelpoint contest`: write down the rules of a class's contest."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["contest"]


def contest(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Of the test day.")],
    *,
    title: Annotated[str | None, typer.Option(help="What the contest is called.")] = None,
    span: Annotated[
        str | None, typer.Option(metavar="LIMIT", help='Between the outermost supports: "at least 300 mm".')
    ] = None,
    height: Annotated[
        str | None, typer.Option(metavar="LIMIT", help='Lowest joint to highest: "at most 90 mm".')
    ] = None,
    width: Annotated[str | None, typer.Option(metavar="LIMIT", help='Across: "50 mm to 60 mm".')] = None,
    mass: Annotated[str | None, typer.Option(metavar="LIMIT", help='"at most 25 g".')] = None,
    pieces: Annotated[str | None, typer.Option(metavar="LIMIT", help='Of stock: "at most 30".')] = None,
    glue: Annotated[str | None, typer.Option(metavar="LIMIT", help='"at most 5 g".')] = None,
    hold: Annotated[
        float | None, typer.Option(min=0.1, metavar="SECONDS", help="For which a load must be held to count.")
    ] = None,
) -> None:
    """Write down the rules of a class's contest, for `panelpoint testday`.

    Example: panelpoint contest class-9b --title "Class 9b" --span "at least 300 mm" --mass "at most 25 g"

    Each call adds to the rules or changes them; "none" lifts a limit. They lie in the folder as
    class.contest.json. Lengths are from joint to joint.
    """
    from cli.outputs import ensure_folder
    from cli.testday.contest_file import find_contest
    from cli.testday.documents import save_document
    from cli.testday.rules import new_contest, rules_text, where_rules_lie, with_limits

    ensure_folder(folder)
    kept = find_contest(folder) or new_contest(folder)
    limits = {"span": span, "height": height, "width": width, "mass": mass, "pieces": pieces, "glue": glue}
    changed = with_limits(kept, limits)
    given = {key: value for key, value in (("title", title), ("hold", hold)) if value}
    changed = changed.model_copy(update=given)
    folder.mkdir(parents=True, exist_ok=True)
    save_document(where_rules_lie(folder), changed)
    sys.stdout.write(rules_text(changed))
