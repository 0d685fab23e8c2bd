"""`panelpoint batch`: every sheet once, a bad one stops nothing, the same report however it was made."""

from __future__ import annotations

import base64
import csv
import io
import os
import random
import re
import shlex
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import Future
from html.parser import HTMLParser
from pathlib import Path

import cv2
import numpy as np
import pytest
from loky import ProcessPoolExecutor

from cli.cautions import CAUTIONS
from cli.pile.outcome import Outcome
from cli.pile.papers import sort_out
from cli.pile.pool import work_through
from cli.pile.report import PER_PAGE, ReportedSheet, ordered, pages
from cli.pile.task import Done, Settings, Task, task_for
from tests.front_door import assert_refused, panelpoint
from tests.page_browser import AXE, CHROMIUM, axe_faults, bring_axe, chromium
from tests.pile_pictures import draw_king_post, small_pile
from tests.pile_work import kill_or_name
from tests.samples import sampled

KILLS = sampled(20, 6)
LATEST = sampled(60, 8)
"""Seconds after which a run is killed at the latest: on a busy computer the sample stays short."""


@pytest.fixture(scope="module")
def pile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the pile once."""
    return small_pile(tmp_path_factory.mktemp("pile") / "class 9")


@pytest.fixture(scope="module")
def finished(pile: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, float]:
    """Work through the pile with two workers; return the output folder, what was printed, and the seconds."""
    out = tmp_path_factory.mktemp("out") / "report"
    start = time.monotonic()
    outcome = panelpoint("batch", pile, "-o", out, "--workers", "2")
    assert outcome.code == 0, outcome.err
    assert "7 sheets, 3 need a look" in outcome.err, outcome.err
    return out, outcome.text, time.monotonic() - start


def rows(out: Path) -> dict[str, dict[str, str]]:
    """Return the table by sheet."""
    return {row["sheet"]: row for row in csv.DictReader(io.StringIO((out / "table.csv").read_text("utf-8")))}


def everything(out: Path) -> dict[str, bytes]:
    """Return every file of an output folder."""
    return {
        path.relative_to(out).as_posix(): path.read_bytes()
        for path in out.rglob("*")
        if path.is_file() and not path.name.endswith(".part")
    }


def test_every_sheet_is_told(pile: Path, finished: tuple[Path, str, float]) -> None:
    """Solved with the model file beside it, read without one, and what is wrong with the others."""
    found = rows(finished[0])
    assert {name: row["result"] for name, row in found.items()} == {
        "ada.png": "Solved",
        "ben.png": "Not solved",
        "blank.png": "No truss found",
        "group b/cleo.png": "Read, not solved",
        "group b/dan.jpg": "Read, not solved",
        "text.jpg": "Not a readable picture",
        "twin.png": "Read, not solved",
    }
    command = re.search(r"`(panelpoint confirm .*?)`", found["group b/cleo.png"]["remarks"])
    assert command is not None
    assert shlex.split(command[1]) == ["panelpoint", "confirm", str(pile / "group b" / "cleo.png")]
    assert "load" in found["ben.png"]["remarks"]
    # 20 N to each side over a rise of 190 on a run of 250: 20 x hypot(250, 190) / 190 = 33.05.
    assert "33.05 N (C)" in found["ada.png"]["remarks"]
    assert (found["ada.png"]["joints"], found["ada.png"]["members"]) == ("4", "5")


def test_the_table_is_printed_as_it_goes(finished: tuple[Path, str, float]) -> None:
    """One row a sheet on standard output."""
    assert len(finished[1].splitlines()) == 7
    assert re.search(r"^ada\.png +Solved", finished[1], re.MULTILINE)


def test_pseudonyms_leave_no_name_behind(tmp_path: Path) -> None:
    """Names are in the list alone; pictures keep the drawing and lose what stands in the margins."""
    folder = tmp_path / "Ms Kovac 9b"
    folder.mkdir()
    for name in ("Ada Alvarez.png", "Ben.Baker.png"):
        draw_king_post(folder / name)
    picture = cv2.imread(str(folder / "Ada Alvarez.png"))
    assert picture is not None
    cv2.putText(picture, "Ada Alvarez", (500, 40), cv2.FONT_HERSHEY_SIMPLEX, 1.2, (0, 0, 0), 3)
    cv2.imwrite(str(folder / "Ada Alvarez.png"), picture)
    (folder / "Cleo.jpg").write_text("not a picture")
    names = tmp_path / "who.csv"
    names.write_text("name,pseudonym\nAda Alvarez,Heron\n", "utf-8")
    out = tmp_path / "out"
    outcome = panelpoint("batch", folder, "-o", out, "--pseudonyms", names)
    assert outcome.code == 0, outcome.err
    who = dict(csv.reader(io.StringIO(names.read_text("utf-8"))))
    assert who["Ada Alvarez"] == "Heron"
    assert sorted(who) == ["Ada Alvarez", "Ben.Baker.png", "Cleo.jpg", "name"]
    assert sorted(rows(out)) == sorted(set(who.values()) - {"pseudonym"})
    left_behind = "".join(everything(out)) + b"".join(everything(out).values()).decode("latin-1")
    for word in ("Ada", "Alvarez", "Baker", "Cleo.", "Kovac", str(tmp_path)):
        assert word not in left_behind + outcome.text, word
    for drawing in out.glob("sheets/*/*.jpg"):
        kept = cv2.imread(str(drawing))
        assert kept is not None
        assert kept[:70, 480:].min() > 240, "the name in the margin is blanked"
        assert kept.min() < 100, "the drawing is there"
    again = panelpoint("batch", folder, "-o", out, "--pseudonyms", names)
    assert "3 of them were done before" in again.err
    assert_refused(panelpoint("batch", folder, "-o", out), "holds results with pseudonyms")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("who,what\n", 'does not begin with the line "name,pseudonym"'),
        ("name,pseudonym\nAda\n", "in line 2"),
        ("name,pseudonym\nAda,X\nBen,X\n", '"Ada" and "Ben" the pseudonym "X"'),
        ("name,pseudonym\nAda,X\nAda,Y\n", 'has "Ada" twice'),
        ("name,pseudonym\nAda,\xff\n", "UTF-8"),
    ],
)
def test_a_list_of_pseudonyms_with_a_slip_is_refused(
    pile: Path, tmp_path: Path, text: str, words: str
) -> None:
    """Nobody is mistaken for somebody else."""
    (tmp_path / "who.csv").write_bytes(text.encode("latin-1"))
    refusal = panelpoint("batch", pile, "-o", tmp_path / "out", "--pseudonyms", tmp_path / "who.csv")
    assert_refused(refusal, words)


class _Parsed(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def test_the_report_stands_alone(finished: tuple[Path, str, float]) -> None:
    """Worst first, small pictures inside, each with a text for who cannot see it, cautions."""
    out = finished[0]
    parsed = _Parsed()
    parsed.feed((out / "report.html").read_text("utf-8"))
    pictures = [attributes for tag, attributes in parsed.tags if tag == "img"]
    assert len(pictures) == 6
    for attributes in pictures:
        assert attributes["alt"]
        data = base64.b64decode((attributes["src"] or "").removeprefix("data:image/jpeg;base64,"))
        small = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
        assert small is not None
        assert max(small.shape) == 320
    links = [attributes["href"] or "" for tag, attributes in parsed.tags if tag == "a"]
    assert all((out / link).read_bytes().startswith(b"\xff\xd8") for link in links)
    assert dict(parsed.tags)["html"] == {"lang": "en"}
    words = " ".join(parsed.words)
    assert (
        words.index("text.jpg") < words.index("blank.png") < words.index("ben.png") < words.index("ada.png")
    )
    assert all(caution in words for caution in CAUTIONS)


@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this computer")
@pytest.mark.skipif(AXE is None, reason="axe-playwright-python is not installed")
def test_axe_finds_nothing_in_the_report(finished: tuple[Path, str, float]) -> None:
    """axe-core (Deque) over the report, in light and in dark."""
    with chromium() as browser:
        for colours in ("light", "dark"):
            # Nothing may run in the report itself, so the script of the check goes past its policy.
            context = browser.new_context(color_scheme=colours, bypass_csp=True)
            page = context.new_page()
            page.goto((finished[0] / "report.html").as_uri())
            bring_axe(page)
            assert axe_faults(page) == []
            context.close()


def test_a_second_start_does_nothing_twice(pile: Path, finished: tuple[Path, str, float]) -> None:
    """Only what failed or changed is worked on; the report stays as it was."""
    before = everything(finished[0])
    touched = {path: path.stat().st_mtime_ns for path in finished[0].glob("sheets/*/*")}
    outcome = panelpoint("batch", pile, "-o", finished[0])
    assert "7 of them were done before" in outcome.err
    assert everything(finished[0]) == before
    assert {path: path.stat().st_mtime_ns for path in finished[0].glob("sheets/*/*")} == touched
    assert len(touched) == 2 * 5 + 1, "the same drawing under two names is one, text has no drawing"


def test_one_worker_gives_the_same(pile: Path, finished: tuple[Path, str, float], tmp_path: Path) -> None:
    """Byte by byte, every file."""
    assert panelpoint("batch", pile, "-o", tmp_path / "one", "--workers", "1").code == 0
    assert everything(tmp_path / "one") == everything(finished[0])


@pytest.mark.timeout(900)
def test_killed_at_any_moment_it_goes_on(
    pile: Path, finished: tuple[Path, str, float], tmp_path: Path
) -> None:
    """Killed many times, at random, with and without its workers: the same report, nothing lost."""
    chance = random.Random(8)  # noqa: S311  a seed, so that a failure can be run again
    out = tmp_path / "killed"
    command = [sys.executable, "-m", "cli.main", "batch", str(pile), "-o", str(out)]
    root = Path(__file__).parent.parent
    environment = {**os.environ, "PYTHONPATH": str(root)}

    def start() -> subprocess.Popen[bytes]:
        return subprocess.Popen(
            command, cwd=root, env=environment, stdout=subprocess.DEVNULL, start_new_session=True
        )

    done: set[str] = set()
    for kill in range(KILLS):
        process = start()
        time.sleep(chance.uniform(0.1, min(1.2 * finished[2], LATEST)))
        if kill % 2:
            process.kill()
        else:
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        now = {path.name for path in out.glob("sheets/*/*.json")}
        assert done <= now, "what was done is never lost"
        done = now
    assert start().wait() == 0
    assert everything(out) == everything(finished[0])


class _Workers:
    """Two real processes that do a stand-in for the work."""

    slots = 4
    killed = ()

    def __init__(self) -> None:
        self.renew()

    def renew(self) -> None:
        self.executor = ProcessPoolExecutor(2)

    def submit(self, task: Task) -> Future[Done]:
        future: Future[Done] = self.executor.submit(kill_or_name, task)
        return future

    def close(self) -> None:
        self.executor.shutdown(kill_workers=True)


def test_a_worker_that_the_system_kills_stops_nothing() -> None:
    """The sheet that kills its worker, and the one that breaks the program, are told; all others are done."""
    names = [
        *(f"{row}.png" for row in range(5)),
        "killer.png",
        "faulty.png",
        *(f"b{row}.png" for row in range(5)),
    ]
    tasks = [Task(name, Path("/nowhere") / name, "", Settings(), "") for name in names]
    workers = _Workers()
    try:
        outcomes = {done.outcome.key: done.outcome for done in work_through(tasks, workers)}
    finally:
        workers.close()
    assert sorted(outcomes) == sorted(names)
    failed = {key: outcome for key, outcome in outcomes.items() if outcome.state == "failed"}
    assert sorted(failed) == ["faulty.png", "killer.png"]
    assert "stopped the work on {file} more than once" in failed["killer.png"].says[0]
    assert "cannot do {file}" in failed["faulty.png"].says[0]


def test_the_key_is_of_content_and_settings(tmp_path: Path) -> None:
    """Another name is the same work; another byte, model file or setting is another."""
    draw_king_post(tmp_path / "a.png")
    (tmp_path / "b.png").write_bytes((tmp_path / "a.png").read_bytes())
    draw_king_post(tmp_path / "c.png", shift=1)
    a, b, c = sort_out(tmp_path, output=tmp_path / "out").papers
    key = task_for(a, settings=Settings()).key
    assert task_for(b, settings=Settings()).key == key
    assert task_for(b, settings=Settings(), send=True).key == key
    others = {
        task_for(c, settings=Settings()).key,
        task_for(a, settings=Settings(trust=True)).key,
        task_for(a, settings=Settings(), truss=b"{}").key,
    }
    (tmp_path / "a.truss.json").write_text("{}")
    others.add(task_for(sort_out(tmp_path, output=tmp_path / "out").papers[0], settings=Settings()).key)
    assert len(others | {key}) == 5


def test_a_large_pile_has_several_pages() -> None:
    """Each page stands alone and leads to the others; a page is never larger than a telephone opens."""
    entries = ordered(
        [
            ReportedSheet(
                f"{row:05}.jpg", Outcome(key=f"{row}", state="failed" if row == 1200 else "solved"), None
            )
            for row in range(2 * PER_PAGE + 300)
        ]
    )
    made = list(
        pages(entries, title="Pile", notes=(), thumbnail=lambda entry: entry.outcome, file_name="report.html")
    )
    assert [name for name, _ in made] == ["report.html", "report-2.html", "report-3.html"]
    first = made[0][1].decode()
    assert first.index("01200.jpg") < first.index("00000.jpg")
    assert all(f'href="{name}"' in content.decode() for name, _ in made for _, content in made)
    assert sum(content.decode().count("<li") for _, content in made) == len(entries)


def refused() -> Iterator[tuple[str, list[str]]]:
    """Yield folders that are no pile, and the words of the refusal."""
    yield "empty", ["holds no photograph", "JPEG"]
    yield "missing", ["missing", "no such file or folder"]


@pytest.mark.parametrize(("name", "words"), list(refused()))
def test_no_pile_no_output(tmp_path: Path, name: str, words: list[str]) -> None:
    """A folder without photographs is told, and nothing is left behind."""
    (tmp_path / "empty").mkdir()
    assert_refused(panelpoint("batch", tmp_path / name, "-o", tmp_path / "out"), *words)
    assert not (tmp_path / "out").exists()


def test_results_go_into_no_folder_of_something_else(pile: Path, tmp_path: Path) -> None:
    """The user's own files are never mixed with the results."""
    (tmp_path / "mine.txt").write_text("mine")
    assert_refused(panelpoint("batch", pile, "-o", tmp_path), "is not empty and holds no pile")
    assert_refused(panelpoint("batch", pile, "-o", tmp_path / "mine.txt"), "it is a file")
