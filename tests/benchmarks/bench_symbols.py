"""How well supports and arrows are read: precision and recall per family of made pages.

    python tests/benchmarks/bench_symbols.py                    10 pages a family, tuning seeds
    python tests/benchmarks/bench_symbols.py --split report     seeds looked at only to report

A support is right when it stands at its joint and is of its kind, an arrow when it is at its joint and within
15 degrees of the truth. Recall counts every one that is drawn, at joints that were not read too.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")
ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests"), str(ROOT / "tests" / "benchmarks")]

import numpy as np  # noqa: E402
from scoreboard import MADE, SIZES, SPLITS, quiet, ratio  # noqa: E402
from scoring import score  # noqa: E402

from vision import NoTrussError, Photo, Reading, read_photo  # noqa: E402
from vision.training import Page, make_page  # noqa: E402

RIGHT_WAY = np.cos(np.radians(15))
RIGHT_NORMAL = np.cos(np.radians(25))
SHOWN_AT = (0.65, 0.75, 0.85, 0.95, 1.001)
"""Borders of the classes of confidence in the last table."""


@dataclass(frozen=True)
class Seen:
    """One support or arrow that was offered."""

    family: str
    what: str
    place: bool
    """At the right joint."""
    right: bool
    """And of the right kind, or the right way."""
    confidence: float
    miss: float = float("nan")
    """Of an arrow at its joint: distance of the tip from the truth, as a share of the span."""
    normal: bool | None = None
    """Of a support at its joint: whether its normal is right; None where it was not told."""


@dataclass(frozen=True)
class Sheet:
    """What one page has, and what was offered on it."""

    family: str
    supports: int
    arrows: int
    seen: tuple[Seen, ...]


def check(task: tuple[str, int]) -> Sheet:
    """Make and read one page."""
    family, seed = task
    page = make_page(seed, family=family, size=SIZES[seed % len(SIZES)])
    try:
        reading = read_photo(Photo(rgb=page.rgb, path=Path("page"), sha256="0" * 64))
    except NoTrussError:
        return Sheet(family, len(page.supports), len(page.loads), ())
    pairs = score(page.joints, page.members, reading.joints, reading.members).pairs
    truth = {read: true for true, read in pairs}
    seen = (*_supports(family, page, reading, truth), *_arrows(family, page, reading, truth))
    return Sheet(family, len(page.supports), len(page.loads), seen)


def _supports(family: str, page: Page, reading: Reading, truth: dict[int, int]) -> Iterable[Seen]:
    held = {support.joint: support for support in page.supports}
    for one in reading.supports:
        true = held.get(truth.get(one.joint, -1))
        if true is None:
            yield Seen(family, "support", False, False, one.confidence)
            continue
        normal = None if one.normal is None else bool(np.dot(one.normal, true.normal) > RIGHT_NORMAL)
        yield Seen(family, "support", True, one.kind == true.kind, one.confidence, normal=normal)


def _arrows(family: str, page: Page, reading: Reading, truth: dict[int, int]) -> Iterable[Seen]:
    span = float(np.ptp(page.joints, axis=0).max())
    for one in reading.arrows:
        here = [load for load in page.loads if load.joint == truth.get(one.joint, -1)]
        ways = [float(np.dot(load.direction, one.direction)) for load in here]
        right = bool(ways and max(ways) > RIGHT_WAY)
        miss = np.hypot(*np.subtract(here[int(np.argmax(ways))].head, one.head)) / span if right else np.nan
        yield Seen(family, "arrow", bool(here), right, one.confidence, float(miss))


def row(label: str, sheets: list[Sheet]) -> str:
    """Sum up some pages."""
    cells = [f"{label:12} {len(sheets):4d}"]
    for what, drawn in (("support", "supports"), ("arrow", "arrows")):
        seen = [one for sheet in sheets for one in sheet.seen if one.what == what]
        true = sum(getattr(sheet, drawn) for sheet in sheets)
        place, right = sum(one.place for one in seen), sum(one.right for one in seen)
        cells.append(
            f"{true:5d} {len(seen):5d}  {ratio(place, len(seen)):5.3f} {ratio(right, len(seen)):5.3f}"
            f" {ratio(right, true):5.3f}"
        )
    return "   ".join(cells)


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(description="Precision and recall of supports and arrows.")
    parser.add_argument("--pages", type=int, default=10, help="pages a family")
    parser.add_argument("--families", nargs="*", default=list(MADE), choices=MADE)
    parser.add_argument("--split", choices=list(SPLITS), default="tune")
    parser.add_argument("--first", type=int, default=0, help="leave out so many seeds of the split")
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args()
    start = SPLITS[given.split] + given.first
    tasks = [(family, start + page) for family in given.families for page in range(given.pages)]
    with ProcessPoolExecutor(given.workers, initializer=quiet) as pool:
        sheets = list(pool.map(check, tasks, chunksize=2))
    print(f"split {given.split} from {start}, {given.pages} pages a family")
    print(f"{'':12} {'':4}   {'supports':31}   arrows")
    heads = ("drawn", "seen", " P place", "P", "R")
    print(f"{'':12}    n   {'  '.join(heads):31}   {'  '.join(heads)}")
    for family in given.families:
        print(row(family, [sheet for sheet in sheets if sheet.family == family]))
    print(row("all", sheets))
    seen = [one for sheet in sheets for one in sheet.seen]
    normals = [one.normal for one in seen if one.normal is not None]
    misses = [one.miss for one in seen if one.what == "arrow" and one.right]
    if normals:
        print(f"normals told {len(normals)}, within 25 degrees {np.mean(normals):.3f}")
    if misses:
        print(f"arrow tips off by {100 * np.median(misses):.2f} % of the span (median)")
    for what in ("support", "arrow"):
        for low, high in pairwise(SHOWN_AT):
            part = [one.right for one in seen if one.what == what and low <= one.confidence < high]
            if part:
                print(f"{what}s said {low:.2f} to {min(high, 1):.2f}: {len(part)}, right {np.mean(part):.3f}")


if __name__ == "__main__":
    main()
