"""How often a student's drawing is judged as a person would, on made pages with known truth.

Each page is read once and held against five keys: its own truss sheared, stretched and a little off; the same
with a member more and one less; with a support of the other kind or at another joint; with a load at another
joint. The same is done with a perfect reading, which tells what is lost in the reading.
"""

from __future__ import annotations

import json
import os
from collections import Counter
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from cli.drawing_check.check import check_drawing
from cli.drawing_check.second_look import second_look
from cli.drawing_check.slips import DrawingCheck
from cli.model.file import Model
from cli.model.parts import UnitsEntry
from cli.translate.from_reading import model_of
from vision import NoTrussError, Photo, read_photo
from vision.training import FAMILIES, make_page
from vision.training.page import Page

PAGES = int(os.environ.get("PANELPOINT_BENCH_PAGES", "60"))
FIRST = 700_000
"""Seeds from here on were never trained on."""
SIDE = 1280
FAMILIES_DRAWN = [family for family in FAMILIES if family not in {"none", "sticks", "rods", "lattice"}]
Pair = tuple[int, int]


def model(document: dict[str, object]) -> Model:
    """Return a model from plain values."""
    head = {"format": "panelpoint truss", "version": 1, "units": {"length": "m", "force": "kN"}}
    return Model.model_validate_json(json.dumps({**head, **document}), by_alias=True, by_name=False)


def key_of(
    at: NDArray[np.float64],
    members: list[Pair],
    supports: list[tuple[int, str]],
    loads: list[tuple[int, tuple[float, float]]],
) -> Model:
    """Return a key with the page's joints at other places, y up."""
    return model(
        {
            "joints": [{"name": f"N{row}", "at": place} for row, place in enumerate((at * [1, -1]).tolist())],
            "members": [{"joints": [f"N{a}", f"N{b}"]} for a, b in members],
            "supports": [{"joint": f"N{row}", "kind": kind} for row, kind in supports],
            "loads": [{"joint": f"N{row}", "force": [x, -y]} for row, (x, y) in loads],
        }
    )


def truth_of(page: Page) -> Model:
    """Return a perfect reading of the page."""
    return model(
        {
            "joints": [{"name": f"R{row}", "px": place} for row, place in enumerate(page.joints.tolist())],
            "members": [{"joints": [f"R{a}", f"R{b}"]} for a, b in page.members],
            "supports": [{"joint": f"R{seen.joint}", "kind": seen.kind} for seen in page.supports],
            "loads": [
                {"joint": f"R{seen.joint}", "px_direction": list(map(float, seen.direction))}
                for seen in page.loads
            ],
        }
    )


def keys(page: Page, rng: np.random.Generator) -> dict[str, tuple[Model, set[str]]]:
    """Return keys, each with what has to be told."""
    shear, stretch = rng.uniform(-0.4, 0.4), float(np.exp(rng.uniform(-0.4, 0.4)))
    at = page.joints @ np.array([[1, shear], [0, stretch]]).T
    at = at + rng.normal(0, 0.006, at.shape) * np.ptp(at, axis=0).max()
    members = list(page.members)
    supports = [(seen.joint, seen.kind) for seen in page.supports]
    loads = [(seen.joint, seen.direction) for seen in {seen.joint: seen for seen in page.loads}.values()]
    made = {"right": (key_of(at, members, supports, loads), set[str]())}
    gone = members[int(rng.integers(len(members)))]
    fewer = [member for member in members if member != gone]
    if all(any(row in member for member in fewer) for row in gone):
        told = {f"Member N{gone[0]}-N{gone[1]} is too many."}
        made["member too many"] = (key_of(at, fewer, supports, loads), told)
    free = [pair for pair in combinations(range(len(at)), 2) if pair not in members]
    near = sorted(free, key=lambda pair: float(np.hypot(*(page.joints[pair[0]] - page.joints[pair[1]]))))[:5]
    if near:
        one, other = near[int(rng.integers(len(near)))]
        told = {f"Member N{one}-N{other} is missing."}
        made["member missing"] = (key_of(at, [*members, (one, other)], supports, loads), told)
    if len(supports) > 1:
        row, kind = supports[0]
        set_kind = "roller" if kind == "pin" else "pin"
        told = {f"A {set_kind} was set at N{row}, and a {kind} is drawn there."}
        made["wrong support"] = (key_of(at, members, [(row, set_kind), *supports[1:]], loads), told)
    held = {row for row, _ in supports} | {row for row, _ in loads}
    elsewhere = [row for row in range(len(at)) if row not in held]
    if loads and elsewhere and loads[0][0] not in {row for row, _ in supports}:
        row, direction = loads[0]
        to = elsewhere[int(rng.integers(len(elsewhere)))]
        told = {f"The load that was set at N{to} is drawn at N{row}."}
        made["load elsewhere"] = (key_of(at, members, supports, [(to, direction), *loads[1:]]), told)
    return made


def judged(checked: DrawingCheck, told: set[str]) -> str:
    """Say how a drawing was judged."""
    said = {slip.says for slip in checked.slips if slip.sure}
    unsure = {slip.says for slip in checked.slips if not slip.sure}
    if said == told:
        return "as a person would"
    if told and told <= said | unsure:
        return "found, and more"
    if said - told:
        return "wrongly accused"
    return "left to a person's look" if checked.doubts else "missed"


@pytest.mark.benchmark
@pytest.mark.timeout(3600)
def test_judged_as_a_person_would() -> None:
    """Print the counts for each kind of key, for the reading and for a perfect one."""
    counts: dict[tuple[str, str], Counter[str]] = {}
    for number in range(PAGES):
        rng = np.random.default_rng([FIRST, number])
        family = FAMILIES_DRAWN[number % len(FAMILIES_DRAWN)]
        page = make_page(FIRST + number, family=family, size=SIDE, fonts=False)
        photo = Photo(rgb=page.rgb, path=Path("page.png"), sha256="0" * 64)
        readings = {"perfect": truth_of(page)}
        try:
            reading = read_photo(photo)
        except NoTrussError:
            counts.setdefault(("read", "no truss"), Counter())["pages"] += 1
        else:
            units = UnitsEntry(length="mm", force="N")
            readings["read"] = model_of(reading, photo, model_folder=Path(), units=units)
        for what, (key, told) in keys(page, rng).items():
            for how, drawn in readings.items():
                counts.setdefault((how, what), Counter())[
                    judged(second_look(photo, drawn, check_drawing(key, drawn)), told)
                ] += 1
    print(f"\n{PAGES} pages of {SIDE} px")
    for (how, what), count in sorted(counts.items()):
        print(f"  {how:8} {what:16} {count.total():4}: {dict(count.most_common())}")
