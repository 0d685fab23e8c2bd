"""Kill a process that saves again and again; look at what it left. Run by test_page_document.py.

Each child tells over a pipe that it begins edit n, and that edit n is done. After SIGKILL the file must be
the state after the last edit that is done, or after the one that was begun; and the history must lead back to
the first state.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from pathlib import Path

from page_models import king_post

from cli.page.document import Document
from cli.page.edits.sizes import SetTitle

FRESH_EVERY = 20
"""Kills after which a new file is begun."""


def child(path: Path, pipe: int) -> None:
    """Edit and save until killed."""
    document = Document(path)
    number = int((document.now().model.title or "0").split()[-1])
    while True:
        number += 1
        os.write(pipe, b"b%d\n" % number)
        document.apply(SetTitle(title=f"state {number}"), document.now().revision)
        os.write(pipe, b"d%d\n" % number)


def main() -> None:
    """Kill so many times, and print what was counted. A fresh file now and then keeps the histories short."""
    folder, kills = Path(sys.argv[1]), int(sys.argv[2])
    chance = random.Random(20)  # noqa: S311  a seed, so that a failure can be run again
    mid_save = 0
    for number in range(kills):
        path = folder / f"killed-{number // FRESH_EVERY}.truss.json"
        if number % FRESH_EVERY == 0:
            Document(path, king_post(title="state 0"))
        mid_save += kill_once(path, chance.uniform(0.004, 0.03))
        if number % FRESH_EVERY == FRESH_EVERY - 1:
            walk_back(path)
    print(json.dumps({"kills": kills, "mid_save": mid_save}))


def kill_once(path: Path, after: float) -> bool:
    """Start a child, kill it after some seconds, look at the file; returns whether it was in an edit."""
    read, write = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(read)
        child(path, write)
    os.close(write)
    time.sleep(after)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    with os.fdopen(read, "rb") as pipe:
        told = pipe.read().split(b"\n")[:-1]
    done = max((int(word[1:]) for word in told if word.startswith(b"d")), default=None)
    begun = max((int(word[1:]) for word in told if word.startswith(b"b")), default=None)
    found = int((Document(path).now().model.title or "").split()[-1])
    allowed = {number for number in (done, begun) if number is not None}
    if done is None and begun is not None:
        allowed.add(begun - 1)
    if told and found not in allowed:
        raise SystemExit(f"found state {found}, allowed {allowed}")
    return begun is not None and begun != done


def walk_back(path: Path) -> None:
    """Undo everything."""
    document = Document(path)
    while document.now().undo_says is not None:
        document.undo(document.now().revision)
    if document.now().model.title != "state 0":
        raise SystemExit(f"history leads back to {document.now().model.title}")


if __name__ == "__main__":
    main()
