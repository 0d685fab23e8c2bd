"""The `panelpoint` command: wiring only, one file a command in `cli.commands`."""

from __future__ import annotations


def main() -> None:
    """Run the command line."""
    raise SystemExit("panelpoint has no commands yet")
