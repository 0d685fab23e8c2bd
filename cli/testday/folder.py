"""A folder of models and records becomes the day's table."""

from __future__ import annotations

from pathlib import Path

from cli.errors import CliError, FaultsError
from cli.job import open_model
from cli.messages import sentence
from cli.model.file import MODEL_SUFFIX
from cli.progress import busy
from cli.testday.contest_file import Contest, find_contest
from cli.testday.outcome import Bridge, bridge_of
from cli.testday.record_file import load_record, models_in, record_beside
from cli.testday.table import Day
from solver import SolverError
from vision import VisionError

__all__ = ["open_day"]


def open_day(folder: Path, *, trust: bool) -> tuple[Day, tuple[str, ...]]:
    """Work out every bridge of a folder.

    Parameters
    ----------
    folder
        With `NAME.truss.json`, in it or one folder down, perhaps `NAME.test.json` beside each, perhaps one
        `NAME.contest.json`.
    trust
        Use models that nobody confirmed.

    Returns
    -------
    day, troubles
        The table, and a sentence for each bridge that could not be worked out.

    Raises
    ------
    FaultsError
        When there is no bridge at all, or none that could be worked out.
    """
    if not folder.is_dir():
        raise FaultsError((f"{folder} is not a folder: give the one in which the model files are.",))
    contest = find_contest(folder)
    models = models_in(folder)
    if not models:
        raise FaultsError(
            (f"{folder} holds no model file (NAME{MODEL_SUFFIX}): put one in for each bridge.",)
        )
    bridges: list[Bridge] = []
    troubles: list[str] = []
    for path in models:
        try:
            with busy(f"Breaking {path.name} ten thousand times"):
                bridges.append(_bridge(path, trust=trust, contest=contest))
        except (CliError, SolverError, VisionError) as error:
            where = path.relative_to(folder)
            troubles.append(f"{where} is not in the table: {sentence(error)}")
    if not bridges:
        raise FaultsError(tuple(troubles))
    return Day.of(bridges, contest, title=f"Test day, {folder.resolve().name}"), tuple(troubles)


def _bridge(path: Path, *, trust: bool, contest: Contest | None) -> Bridge:
    kept = record_beside(path)
    record = load_record(kept) if kept.exists() else None
    return bridge_of(open_model(path, trust=trust), path, record, contest)
