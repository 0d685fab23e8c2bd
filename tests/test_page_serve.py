"""`panelpoint confirm` as a process: it tells its address, works, and ends as it said it would."""

from __future__ import annotations

import http.client
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from page_models import drawn, king_post

from cli.model.file import load, save

ROOT = Path(__file__).parent.parent


@contextmanager
def running(folder: Path, *arguments: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Start the command; yields the process and the address that it tells."""
    process = subprocess.Popen(
        [sys.executable, "-m", "cli.main", "confirm", "--no-browser", *arguments],
        cwd=folder,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "1"},
    )
    try:
        assert process.stderr is not None
        said = ""
        for line in process.stderr:
            said += line
            found = re.search(r"http://127\.0\.0\.1:\d+/open\?token=\S+", said)
            if found:
                yield process, found.group()
                return
        raise AssertionError(said)
    finally:
        process.kill()
        process.communicate()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with a picture and a model."""
    drawn(tmp_path / "king.png")
    save(tmp_path / "known.truss.json", king_post(tmp_path / "king.png"))
    return tmp_path


def test_it_reads_serves_and_ends_with_the_terminal(folder: Path) -> None:
    """A photograph becomes a model file beside it; the page opens; Ctrl-C ends it with exit code 0."""
    with running(folder, "king.png") as (process, address):
        assert len(load(folder / "king.truss.json").joints) == 4
        parts = urlsplit(address)
        connection = http.client.HTTPConnection(parts.hostname or "", parts.port or 0, timeout=20)
        connection.request("GET", f"{parts.path}?{parts.query}")
        opened = connection.getresponse()
        opened.read()
        cookie = (opened.headers["set-cookie"] or "").split(";")[0]
        connection.request("GET", "/", headers={"cookie": cookie})
        assert b"main.mjs" in connection.getresponse().read()
        connection.close()
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=30)
    assert process.returncode == 0
    assert "Everything is saved in" in said
    assert "Traceback" not in said


def test_it_ends_by_itself_when_no_page_is_open(folder: Path) -> None:
    """Three seconds of idle time, and everything is saved."""
    with running(folder, "known.truss.json", "--idle", "0.05") as (process, _):
        _, said = process.communicate(timeout=60)
    assert process.returncode == 0
    assert "The page has ended." in said


@pytest.mark.parametrize(
    ("name", "words"),
    [("text.jpg", "not a picture"), ("text.json", "not JSON")],
)
def test_bad_input_ends_in_a_sentence(folder: Path, name: str, words: str) -> None:
    """No page is opened, exit code 2, no traceback, nothing written."""
    (folder / "text.jpg").write_text("not a photograph")
    (folder / "text.json").write_text("not a model")
    before = sorted(folder.iterdir())
    result = subprocess.run(
        [sys.executable, "-m", "cli.main", "confirm", "--no-browser", name],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert result.returncode == 2
    assert words in result.stderr
    assert "Traceback" not in result.stderr
    assert sorted(folder.iterdir()) == before
