"""How many corrections a photograph costs: the program beside what a user would write in an hour.

    python tests/benchmarks/scoreboard.py                 40 pages a family, all readers, everything
    python tests/benchmarks/scoreboard.py --pages 5 --families pen sticks
    python tests/benchmarks/scoreboard.py --split tune    seeds that may be looked at

Seeds are fixed. Those of the split `report` were never trained on and are looked at only to report; those of
`tune` may be looked at. Needs no display and prints tables only; times are of this machine in this run.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")
ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests"), str(ROOT / "tests" / "benchmarks")]

import cv2  # noqa: E402
import numpy as np  # noqa: E402
from baselines import BASELINES, Found  # noqa: E402
from numpy.typing import NDArray  # noqa: E402
from real_photos import real_photos  # noqa: E402
from scoring import Score, score  # noqa: E402

from vision import NoTrussError, Photo, load_photo  # noqa: E402
from vision.read import read_sighting  # noqa: E402
from vision.settings import ReadSettings  # noqa: E402
from vision.sizes import Sighting, sight  # noqa: E402
from vision.training import FAMILIES, make_page  # noqa: E402
from vision.training.wild import make_wild  # noqa: E402


@dataclass(frozen=True, eq=False)
class Answer:
    """What a reader made of a picture, and how sure it says it is."""

    joints: NDArray[np.float64]
    members: tuple[tuple[int, int], ...]
    joint_confidence: NDArray[np.float64] | None = None
    member_confidence: NDArray[np.float64] | None = None


SPLITS = {"report": 900_000, "tune": 800_000}
"""First seed of each split; training starts at a thousand million."""
MADE = tuple(family for family in FAMILIES if family != "none")
WILD_SEEDS = 12
"""Seeds of the wild maker tried for one picture without a structure: about one in twelve has none."""
SIZES = (800, 1024, 1600)
"""Longer sides of the made pages, in turn."""


_LAST: list[tuple[NDArray[np.uint8], Sighting, float]] = []


def seen_in(rgb: NDArray[np.uint8]) -> Sighting:
    """Let the network see a picture; two readers share what it saw."""
    if not _LAST or _LAST[0][0] is not rgb:
        start = time.perf_counter()
        seen = sight(rgb)
        _LAST[:] = [(rgb, seen, time.perf_counter() - start)]
    return _LAST[0][1]


NOTHING = Answer(np.zeros((0, 2)), ())


def panelpoint(rgb: NDArray[np.uint8]) -> Answer:
    """Read as the program does: the network and its decoding, then the joints placed on the ink."""
    try:
        reading = read_sighting(Photo(rgb=rgb, path=Path("page"), sha256="0" * 64), seen_in(rgb))
    except NoTrussError:
        return NOTHING
    return Answer(reading.joints, reading.members, reading.joint_confidence, reading.member_confidence)


def network_only(rgb: NDArray[np.uint8]) -> Answer:
    """Read with the network and its decoding alone."""
    s = ReadSettings()
    seen = seen_in(rgb).structure
    if len(seen.members) < s.least_members or seen.confidence < s.least_confidence:
        return NOTHING
    return Answer(seen.joints, seen.members)


def by_hand(read: Callable[[NDArray[np.uint8]], Found], rgb: NDArray[np.uint8]) -> Answer:
    """Read as a competent user's own program would."""
    return Answer(*read(rgb))


READERS: dict[str, Callable[[NDArray[np.uint8]], Answer]] = {
    "panelpoint": panelpoint,
    "network only": network_only,
    **{name: partial(by_hand, read) for name, read in BASELINES.items()},
}


KEPT_BACK = ("03", "05", "07", "09", "12", "15", "17")
"""Real photographs that no choice was made by: scored, never looked at to tune."""
SUMMARIES: dict[str, Callable[[str], bool]] = {
    "all made": lambda group: not group.startswith("real"),
    "all real": lambda group: group.startswith("real"),
    "real models": lambda group: group.startswith("real") and group.endswith("model"),
    "real drawings": lambda group: group.startswith("real") and not group.endswith("model"),
    "real looked at": lambda group: group.startswith("real") and group[5:7] not in KEPT_BACK,
    "real kept back": lambda group: group.startswith("real") and group[5:7] in KEPT_BACK,
}
"""Groups summed up below the families, by name of the group."""


@dataclass(frozen=True, eq=False)
class Case:
    """One picture with its truth."""

    rgb: NDArray[np.uint8]
    joints: NDArray[np.float64]
    members: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Outcome:
    """What one reader made of one picture."""

    group: str
    reader: str
    score: Score
    seconds: float
    joints_said: tuple[tuple[float, bool], ...] = ()
    """How sure the reader was of each joint it read, and whether it was right."""
    members_said: tuple[tuple[float, bool], ...] = ()


def made_case(family: str, seed: int) -> Case:
    """Make one page of the split; the same on every machine."""
    page = make_page(seed, family=family, size=SIZES[seed % len(SIZES)])
    return Case(page.rgb, page.joints, page.members)


def bare_case(maker: str, seed: int) -> Case | None:
    """Make one picture without a truss; None where the wild maker put a structure in it."""
    if maker == "none":
        return Case(made_case("none", seed).rgb, np.zeros((0, 2)), ())
    picture = make_wild(seed)
    return Case(picture.rgb, np.zeros((0, 2)), ()) if len(picture.lines) == 0 else None


def outcomes(group: str, case: Case, readers: tuple[str, ...]) -> list[Outcome]:
    """Read one picture with every reader."""
    found = []
    for name in readers:
        shared = name in ("panelpoint", "network only")
        if shared:
            seen_in(case.rgb)
        start = time.perf_counter()
        answer = READERS[name](case.rgb)
        seconds = time.perf_counter() - start + (_LAST[0][2] if shared else 0.0)
        result = score(case.joints, case.members, answer.joints, answer.members)
        found.append(Outcome(group, name, result, seconds, *said(case, answer, result)))
    return found


def said(
    case: Case, answer: Answer, result: Score
) -> tuple[tuple[tuple[float, bool], ...], tuple[tuple[float, bool], ...]]:
    """Set what the reader said of its joints and members beside whether it was right."""
    if answer.joint_confidence is None or answer.member_confidence is None:
        return (), ()
    true = {read: truth for truth, read in result.pairs}
    wanted = {(min(pair), max(pair)) for pair in case.members}
    right = [
        a in true and b in true and (min(true[a], true[b]), max(true[a], true[b])) in wanted
        for a, b in answer.members
    ]
    joints = tuple((float(c), row in true) for row, c in enumerate(answer.joint_confidence))
    return joints, tuple(zip(answer.member_confidence.tolist(), right, strict=True))


def run_made(task: tuple[str, int], *, readers: tuple[str, ...]) -> list[Outcome]:
    """Make and read one page."""
    family, seed = task
    return outcomes(family, made_case(family, seed), readers)


def run_bare(task: tuple[str, int], *, readers: tuple[str, ...]) -> list[Outcome]:
    """Make and read one picture without a truss, if the seed gives one."""
    case = bare_case(*task)
    return [] if case is None else outcomes("no truss", case, readers)


def run_real(name: str, *, readers: tuple[str, ...]) -> list[Outcome]:
    """Read one real photograph."""
    truth = next(truth for truth in real_photos() if truth.picture.name == name)
    case = Case(load_photo(truth.picture).rgb, truth.joints, truth.members)
    return outcomes(f"real {truth.picture.stem[:2]} {truth.kind}", case, readers)


def quiet() -> None:
    """Keep each worker to one thread, so that times are those of one core."""
    cv2.setNumThreads(1)


def ratio(part: float, whole: float) -> float:
    """Give a share, 1 where there is nothing to find."""
    return part / whole if whole else 1.0


def line(label: str, results: list[Outcome]) -> str:
    """Sum up results of one reader in one row of the table."""
    scores = [result.score for result in results]
    cells = []
    for what in ("joints", "members"):
        found, read, true = (
            sum(getattr(s, f"{what}_{which}") for s in scores) for which in ("found", "read", "true")
        )
        precision, recall = ratio(found, read), ratio(found, true)
        f1 = 2 * precision * recall / (precision + recall) if precision + recall else 0.0
        cells.append(f"{precision:5.3f} {recall:5.3f} {f1:5.3f}")
    errors = [error for s in scores for error in s.joint_errors]
    median = f"{100 * float(np.median(errors)):6.3f}" if errors else "     -"
    corrections = np.array([s.corrections for s in scores])
    return (
        f"{label:18} {len(scores):4d}  {cells[0]}  {cells[1]}  {median}  {corrections.mean():6.2f}"
        f"  {100 * (corrections == 0).mean():5.1f}  {100 * (corrections <= 2).mean():5.1f}"
        f"  {np.mean([result.seconds for result in results]):6.3f}"
    )


BINS = (0.0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0)
"""Edges between which confidences are counted together."""


def calibration(results: list[Outcome]) -> Iterator[str]:
    """Give the rows of the table of confidences: of what was said so sure, how much was right."""
    made = [r for r in results if r.joints_said and not r.group.startswith("real") and r.group != "no truss"]
    if not made:
        return
    yield "\nsaid, on made pages    joints   right %   members   right %"
    every = [np.array([pair for r in made for pair in part(r)], float) for part in (
        lambda r: r.joints_said, lambda r: r.members_said)]  # fmt: skip
    for low, high in pairwise(BINS):
        cells = []
        for one in every:
            inside = one[(one[:, 0] >= low) & ((one[:, 0] < high) | (high == 1.0))]
            share = f"{100 * inside[:, 1].mean():8.1f}" if len(inside) else f"{'-':>8}"
            cells.append(f"{len(inside):8d}  {share}")
        yield f"{low:4.2f} to {high:4.2f}      {'  '.join(cells)}"


def table(results: list[Outcome], readers: tuple[str, ...]) -> Iterator[str]:
    """Give the rows of the whole scoreboard."""
    head = (
        f"{'':18} {'n':>4}  {'joints P / R / F1':17}  {'members P / R / F1':17}  err % of  corr.   0 corr"
        f"  <=2 %  seconds\n{'':64} span (median)  mean    %"
    )
    for reader in readers:
        yield f"\n{reader}\n{head}"
        mine = [result for result in results if result.reader == reader and result.group != "no truss"]
        groups = sorted(dict.fromkeys(result.group for result in mine), key=lambda g: g.startswith("real"))
        for group in groups:
            yield line(group, [result for result in mine if result.group == group])
        for label, belongs in SUMMARIES.items():
            part = [result for result in mine if belongs(result.group)]
            if part:
                yield line(label, part)
        bare = [r for r in results if r.reader == reader and r.group == "no truss"]
        if bare:
            alarms = sum(result.score.members_read >= 3 for result in bare)
            yield f"{'no truss':18} {len(bare):4d}  false alarms (3 members or more): {alarms}"


def main() -> None:
    """Run the scoreboard."""
    parser = argparse.ArgumentParser(description="Corrections per photograph, beside three baselines.")
    parser.add_argument("--pages", type=int, default=40, help="pages a family")
    parser.add_argument("--families", nargs="*", default=list(MADE), choices=MADE)
    parser.add_argument("--readers", nargs="*", default=list(READERS), choices=list(READERS))
    parser.add_argument("--split", choices=list(SPLITS), default="report")
    parser.add_argument(
        "--bare", type=int, default=50, help="pictures without a truss of each of the two makers, about"
    )
    parser.add_argument("--no-real", action="store_true", help="leave out the real photographs")
    parser.add_argument(
        "--minutes", type=float, default=1e6, help="begin no further round of pages after so many"
    )
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--json", type=Path, help="also write every outcome here")
    given = parser.parse_args()
    readers, first = tuple(given.readers), SPLITS[given.split]
    # Page by page through all families: where minutes run out, every family has been read as often.
    tasks = [(family, first + page) for page in range(given.pages) for family in given.families]
    names = [] if given.no_real else [truth.picture.name for truth in real_photos()]
    results: list[Outcome] = []
    end = time.monotonic() + 60 * given.minutes
    with ProcessPoolExecutor(given.workers, initializer=quiet) as pool:
        for run, work in (
            (run_real, names),
            (run_bare, [("none", first + seed) for seed in range(given.bare)]),
            (run_bare, [("wild", first + seed) for seed in range(WILD_SEEDS * given.bare)]),
        ):
            for batch in pool.map(partial(run, readers=readers), work, chunksize=4):
                results.extend(batch)
        while tasks and time.monotonic() < end:
            some, tasks = tasks[: len(given.families)], tasks[len(given.families) :]
            for batch in pool.map(partial(run_made, readers=readers), some):
                results.extend(batch)
    print(
        f"split {given.split}, up to {given.pages} pages a family, {os.cpu_count()} cores,"
        f" {given.workers} workers"
    )
    for row in table(results, readers):
        print(row)
    for row in calibration(results):
        print(row)
    if given.json:
        rows = [
            {"group": r.group, "reader": r.reader, "corrections": r.score.corrections, "seconds": r.seconds}
            for r in results
        ]
        given.json.write_text(json.dumps(rows, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
