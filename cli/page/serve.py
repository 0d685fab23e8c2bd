"""Serving the page: a free port on this computer, the browser opened, an end that is said."""

from __future__ import annotations

import gc
import socket
import threading
import time
import webbrowser
from collections.abc import Callable

import uvicorn

from cli.page.desk import Desk
from cli.page.guard import Guard, Keys
from cli.page.server import create_app

__all__ = ["serve", "set_aside_what_is_loaded"]

LOOK_EVERY = 2.0
"""Seconds between two looks at how long the page has been quiet."""


def serve(desk: Desk, *, port: int, idle_minutes: float, browser: bool, say: Callable[[str], None]) -> None:
    """Serve a desk until the terminal or the idle time ends it.

    Parameters
    ----------
    desk
        What the page works on.
    port
        0 takes any free one.
    idle_minutes
        The server ends after so long without an open page.
    browser
        Open the address in the browser.
    say
        Tells the person something on the terminal.

    Raises
    ------
    OSError
        When the port is taken.
    """
    # Only this computer can reach the loopback address, whatever the firewall thinks.
    listener = socket.create_server(("127.0.0.1", port))
    keys = Keys(listener.getsockname()[1], lambda address: say(f"To open it in another browser: {address}"))
    guard = Guard(create_app(desk), keys)
    config = uvicorn.Config(
        guard,
        http="h11",
        ws="none",
        lifespan="off",
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=2,
    )
    server = uvicorn.Server(config)
    threading.Thread(target=_watch, args=(server, guard, idle_minutes), daemon=True).start()
    say(f"The page is at {keys.address}")
    say(f"It ends with Ctrl-C, or by itself after {idle_minutes:g} minutes without an open page.")
    if browser:
        threading.Thread(target=webbrowser.open, args=(keys.address,), daemon=True).start()
    set_aside_what_is_loaded()
    try:
        server.run(sockets=[listener])
    except KeyboardInterrupt:
        # The server has closed already; ending it this way is how it is meant to end.
        pass
    finally:
        listener.close()
    say(
        "The page has ended."
        if desk.path is None
        else f"The page has ended. Everything is saved in {desk.path}."
    )


def set_aside_what_is_loaded() -> None:
    """Keep the garbage collector off all that is loaded by now and stays until the end.

    Going through the imported libraries once more held up one answer in forty by 100 ms.
    """
    gc.collect()
    gc.freeze()


def _watch(server: uvicorn.Server, guard: Guard, idle_minutes: float) -> None:
    """End the server when no page has asked for anything for a while."""
    while not server.should_exit:
        time.sleep(LOOK_EVERY)
        if time.monotonic() - guard.last_seen > 60 * idle_minutes:
            server.should_exit = True
