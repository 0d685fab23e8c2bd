"""A page served in this process and a Chromium that shows it, for the tests and the benchmark of the page."""

from __future__ import annotations

import importlib.util
import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import uvicorn

from cli.page.desk import Desk
from cli.page.guard import Guard, Keys
from cli.page.server import create_app

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

CHROMIUM = next(
    (found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))),
    None,
)

CHROMIUM_ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--use-fake-device-for-media-stream"]
"""No sandbox, since tests run as root in a container; a test card in place of a camera."""

LONGEST = 45.0
"""Seconds that something on the page may take on a busy machine."""


@contextmanager
def served(desk: Desk) -> Iterator[Keys]:
    """Serve a desk on a free port, in a thread."""
    listener = socket.create_server(("127.0.0.1", 0))
    keys = Keys(listener.getsockname()[1])
    config = uvicorn.Config(
        Guard(create_app(desk), keys), http="h11", ws="none", lifespan="off", log_level="critical"
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    try:
        yield keys
    finally:
        server.should_exit = True
        thread.join(10)
        listener.close()


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start the Chromium that Debian ships."""
    # Only where it is installed: the tests skip themselves elsewhere.
    from playwright.sync_api import sync_playwright  # noqa: PLC0415

    assert CHROMIUM is not None
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_ARGUMENTS)
        try:
            yield browser
        finally:
            browser.close()


class Sheet:
    """A page as a person uses it, with what went wrong on it.

    Parameters
    ----------
    page
        Playwright's page, opened already.
    """

    def __init__(self, page: Page) -> None:
        self.page = page

    def painted(self) -> None:
        """Wait until what the page knows is on the screen: it draws in the frame after a change."""
        self.page.evaluate(
            "() => new Promise((next) => requestAnimationFrame(() => requestAnimationFrame(() => next())))"
        )

    def ready(self) -> None:
        """Wait until a page that was just opened shows everything, its photograph's ink included."""
        self.page.wait_for_selector("body[data-ready]", timeout=1000 * LONGEST)
        self.painted()
        if self.page.query_selector("#photo"):
            self.page.wait_for_selector("#stage[data-ink]", timeout=1000 * LONGEST)

    def joint(self, name: str) -> tuple[float, float]:
        """Return where a joint is in the window."""
        self.painted()
        x, y = self.page.evaluate(
            """(name) => {
                const all = [...document.querySelectorAll("#over .joint")];
                const joint = all.find((one) => one.dataset.key === `joint ${name}`);
                const box = joint.querySelector(".dot").getBoundingClientRect();
                return [box.x + box.width / 2, box.y + box.height / 2];
            }""",
            name,
        )
        return float(x), float(y)

    def joints(self) -> list[str]:
        """Return the names of the joints."""
        found: list[str] = self.page.evaluate(
            '() => [...document.querySelectorAll("#over .joint")].map((one) => one.dataset.key.slice(6))'
        )
        return found

    def members(self) -> dict[str, str]:
        """Return what the table says of each member: "26.7 T"."""
        rows: list[list[str]] = self.page.evaluate(
            """() => [...document.querySelectorAll("#table tbody")].slice(0, 1).flatMap((body) =>
                [...body.rows].map((row) => [...row.cells].map((cell) => cell.textContent)))"""
        )
        return {cells[0].replace("–", ""): f"{cells[1]} {cells[-1]}" for cells in rows}

    def text(self, selector: str) -> str:
        """Return the text of an element, empty when it is hidden."""
        found: str = self.page.evaluate(
            """(selector) => {
                const one = document.querySelector(selector);
                return one && !one.hidden ? one.textContent : "";
            }""",
            selector,
        )
        return found

    def wait(self, what: str, ready: Callable[[], Any]) -> None:
        """Wait until something is so.

        Playwright's own waiting for a condition needs `eval`, which the page's security policy forbids.
        """
        end = time.monotonic() + LONGEST
        while not ready():
            if time.monotonic() > end:
                raise AssertionError(f"waited in vain for {what}; the page says: {self.text('#panel')[:600]}")
            self.page.wait_for_timeout(30)

    def shown(self, change: str) -> None:
        """Wait until the page itself shows a change, named as its undo names it.

        The document is a moment ahead of the picture: a place read off the page before that is an old one.
        """
        self.wait(
            f"'{change}' on the page", lambda: change in (self.page.get_attribute("#undo", "title") or "")
        )

    def tool(self, key: str) -> None:
        """Take up a tool."""
        self.page.click(f"[data-tool={key}]")

    def press(self, name: str) -> None:
        """Press a joint with the mouse."""
        self.page.mouse.click(*self.joint(name))

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Drag with the mouse."""
        self.page.mouse.move(*start)
        self.page.mouse.down()
        self.page.mouse.move((start[0] + end[0]) / 2, (start[1] + end[1]) / 2, steps=3)
        self.page.mouse.move(*end, steps=3)
        self.page.mouse.up()

    def answer(self, field: str, value: str) -> None:
        """Fill the popup's field and send its form."""
        self.page.fill(f"#popup input[name={field}]", value)
        self.page.keyboard.press("Enter")
        self.wait(
            "the popup to close", lambda: self.page.evaluate('() => document.querySelector("#popup").hidden')
        )

    def solved(self) -> None:
        """Wait for the forces."""
        self.wait("the forces", lambda: "solved" in self.text("#headline"))


def empty_desk(folder: Path) -> Desk:
    """Return a desk with nothing on it."""
    return Desk(folder, idle_minutes=60)


AXE = importlib.util.find_spec("axe_playwright_python")
"""The package that brings axe-core (Deque) along; tests skip themselves where it is not installed."""

AXE_OPTIONS = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "resultTypes": ["violations"],
}
"""All rules; told is only what breaks one, since all that is right takes seconds to hand over."""


def bring_axe(page: Page) -> None:
    """Put axe-core into a page that lets a script in."""
    assert AXE is not None
    assert AXE.submodule_search_locations is not None
    page.add_script_tag(path=Path(AXE.submodule_search_locations[0]) / "axe.min.js")


def axe_faults(page: Page) -> list[tuple[str, str]]:
    """Return what axe-core finds wrong on a page that it was brought to: rule and first place."""
    faults = page.evaluate("async (options) => (await axe.run(document, options)).violations", AXE_OPTIONS)
    return [(fault["id"], fault["nodes"][0]["html"]) for fault in faults]
