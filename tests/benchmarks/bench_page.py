"""From an edit to its painted answer, in a browser: median and worst for trusses of 10, 30 and 100 joints.

Run with `OPENBLAS_NUM_THREADS=1 pytest tests/benchmarks/bench_page.py -n 0 -s`: `panelpoint confirm` sets it
too. Each edit moves a joint a little, as the end of a drag does: it is sent, made, saved with fsync, answered
and drawn, and the time is taken in the frame after the drawing. Beside it stands the processor time that the
server and the page's main thread took for it, which says the same on a busy machine as on a quiet one; and,
in the same run, what the server alone takes (edit, save, answer, JSON), and the answer alone.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as `panelpoint confirm` does, before NumPy is loaded

import statistics
import time
from pathlib import Path
from typing import Any

import pytest
from page_browser import CHROMIUM, Sheet, chromium, empty_desk, served

from cli.model.file import Model, save
from cli.model.parts import JointEntry, LoadEntry, MemberEntry, SupportEntry, UnitsEntry
from cli.page.answer import answer_of
from cli.page.desk import Desk
from cli.page.edits.joints import MoveJoint
from cli.page.serve import set_aside_what_is_loaded
from cli.page.state import State

pytestmark = [
    pytest.mark.benchmark,
    pytest.mark.skipif(
        CHROMIUM is None, reason="no Chromium on this machine (Debian: apt-get install chromium)"
    ),
]

EDITS = {10: 40, 30: 40, 100: 8}
"""Edits for each number of joints."""


def strip(joints: int) -> Model:
    """Return a triangulated strip as read from a picture of 1600 x 900, so that it is surveyed."""
    span = 1400.0
    step = span / (joints - 1)
    places = [(100 + step * n, 600.0 - (n % 2) * 220.0) for n in range(joints)]
    pairs = [(n, n + 1) for n in range(joints - 1)] + [(n, n + 2) for n in range(joints - 2)]
    last = joints - 1 if joints % 2 else joints - 2
    return Model(
        units=UnitsEntry(length="mm", force="N"),
        picture=None,
        joints=tuple(
            JointEntry(name=f"J{n}", px=(x + 1.7 * (n % 3), y + 1.3 * (n % 4)), px_error=1.0)
            for n, (x, y) in enumerate(places)
        ),
        members=tuple(MemberEntry(joints=(f"J{a}", f"J{b}")) for a, b in pairs),
        supports=(
            SupportEntry(joint="J0", kind="pin"),
            SupportEntry(joint=f"J{last}", kind="roller"),
        ),
        loads=(LoadEntry(joint=f"J{2 * (joints // 4)}", force=(0.0, -100.0)),),
    )


def desk_with(folder: Path, model: Model) -> Desk:
    """Return a desk with the model."""
    save(folder / "strip.truss.json", model)
    desk = empty_desk(folder)
    desk.open_model(folder / "strip.truss.json")
    return desk


def moves(model: Model, lap: int = 0) -> list[MoveJoint]:
    """Return small moves of joints all over the truss, others each lap: nothing is answered from memory."""
    found = []
    for n in range(EDITS[len(model.joints)]):
        joint = model.joints[(7 * n) % len(model.joints)]
        assert joint.px is not None
        found.append(
            MoveJoint(joint=joint.name, px=(joint.px[0] + 0.1 * n + 0.013 * lap, joint.px[1] - 0.07 * n))
        )
    return found


def in_browser(sheet: Sheet, model: Model) -> list[float]:
    """Return milliseconds from each edit to its painted answer."""
    found: list[float] = sheet.page.evaluate(
        """async (changes) => {
            const { edit } = await import("/app/app.mjs");
            const frame = () => new Promise((next) => requestAnimationFrame(next));
            const times = [];
            for (const change of changes) {
                const begun = performance.now();
                await edit(change);
                await frame(); // in which it is drawn
                await frame(); // before which it was painted
                times.push(performance.now() - begun);
            }
            return times;
        }""",
        [move.model_dump(mode="json", exclude_none=True) for move in moves(model)],
    )
    return found


def main_thread(session: Any) -> float:
    """Return the processor time of the page's main thread so far, milliseconds."""
    metrics = session.send("Performance.getMetrics")["metrics"]
    return 1000 * float(next(one["value"] for one in metrics if one["name"] == "TaskDuration"))


def on_server(desk: Desk, model: Model) -> list[float]:
    """Return milliseconds of the server alone."""
    times = []
    for move in moves(model, 1):
        begun = time.perf_counter()
        state: State = desk.edit(move, desk.document.now().revision)
        state.model_dump_json(by_alias=True, exclude_none=True)
        times.append(1000 * (time.perf_counter() - begun))
    return times


def of_answer(model: Model) -> list[float]:
    """Return milliseconds of the answer alone."""
    times = []
    for move in moves(model, 2):
        changed = move.apply(model)
        begun = time.perf_counter()
        answer_of(changed)
        times.append(1000 * (time.perf_counter() - begun))
    return times


def test_edit_to_painted_answer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Print the table."""
    rows: list[tuple[int, list[float], float, float, list[float], list[float]]] = []
    set_aside_what_is_loaded()  # as serving does
    with chromium() as browser:
        for joints in EDITS:
            model = strip(joints)
            folder = tmp_path / str(joints)
            folder.mkdir()
            desk = desk_with(folder, model)
            with served(desk) as keys:
                page: Any = browser.new_page(viewport={"width": 1440, "height": 900})
                page.goto(keys.address)
                page.wait_for_selector("body[data-ready]")
                page.wait_for_timeout(500)
                session = page.context.new_cdp_session(page)
                session.send("Performance.enable", {"timeDomain": "threadTicks"})
                begun = time.process_time(), main_thread(session)
                painted = in_browser(Sheet(page), model)
                server = 1000 * (time.process_time() - begun[0]) / len(painted)
                shown = (main_thread(session) - begun[1]) / len(painted)
                page.close()
            rows.append((joints, painted, server, shown, on_server(desk, model), of_answer(model)))
    with capsys.disabled():
        print(
            "\njoints  edit to paint: median  worst   of that, processor: server   page"
            "   server alone: median  worst   answer alone"
        )
        for joints, painted, server, shown, alone, answer in rows:
            middle = [statistics.median(times) for times in (painted, alone, answer)]
            print(
                f"{joints:6d}  {middle[0]:18.1f} ms {max(painted):6.1f}  {server:25.1f} ms {shown:6.1f}"
                f"  {middle[1]:18.1f} ms {max(alone):6.1f}  {middle[2]:12.1f} ms"
            )
