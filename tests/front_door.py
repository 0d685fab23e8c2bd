"""The command line as a test calls it: the real front door, in this process."""

from __future__ import annotations

import io
import json
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cli.main import main


@dataclass(frozen=True)
class Outcome:
    """What a person gets back."""

    code: int
    out: bytes
    err: str

    @property
    def text(self) -> str:
        """Standard output as text."""
        return self.out.decode()

    @property
    def document(self) -> Any:
        """Standard output as one JSON document."""
        return json.loads(self.out)


def panelpoint(*arguments: str | Path, stdin: str = "") -> Outcome:
    """Run one command with standard output and standard error apart."""
    out, err = io.TextIOWrapper(io.BytesIO(), "utf-8"), io.StringIO()
    before = sys.stdin
    sys.stdin = io.StringIO(stdin)
    code: object = 0
    try:
        with redirect_stdout(out), redirect_stderr(err):
            main([str(argument) for argument in arguments])
    except SystemExit as leaving:
        code = leaving.code
    finally:
        sys.stdin = before
    out.flush()
    assert isinstance(out.buffer, io.BytesIO)
    assert isinstance(code, int | None)
    return Outcome(code or 0, out.buffer.getvalue(), err.getvalue())


def assert_refused(outcome: Outcome, *words: str, code: int = 2) -> None:
    """Check that a command refused with a helpful sentence and nothing else."""
    assert outcome.code == code, outcome
    assert "Traceback" not in outcome.err
    for word in words:
        assert word in outcome.err, outcome.err
    assert outcome.out == b"" or code == 1


def three_bars(**changes: Any) -> dict[str, Any]:
    """Return a 3-4-5 triangle, A pin, B roller, 12 N down at C; whole-number forces worked by hand.

    At C the two sloping members (run 4 or 4, rise 3, length 5) share 12 N: each 6 N up, so 6 × 5/3 = 10 N of
    compression; at A their run needs 10 × 4/5 = 8 N of tension in the bottom member.
    """
    return {
        "format": "panelpoint truss",
        "version": 1,
        "title": "Three bars",
        "units": {"length": "m", "force": "N"},
        "joints": [{"name": "A", "at": [0, 0]}, {"name": "B", "at": [8, 0]}, {"name": "C", "at": [4, 3]}],
        "members": [{"joints": ["A", "B"]}, {"joints": ["A", "C"]}, {"joints": ["B", "C"]}],
        "supports": [{"joint": "A", "kind": "pin"}, {"joint": "B", "kind": "roller", "normal": [0, 1]}],
        "loads": [{"joint": "C", "force": [0, -12]}],
        **changes,
    }


def write_model(folder: Path, document: dict[str, Any], name: str = "some.truss.json") -> Path:
    """Write a model file as a person's editor would."""
    path = folder / name
    path.write_text(json.dumps(document), encoding="utf-8")
    return path
