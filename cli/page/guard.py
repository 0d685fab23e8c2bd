"""Who may talk to the page: this computer's browser, with the opened address's token, from the page itself.

Against DNS rebinding the Host header must be ours; against other sites in the same browser the cookie is
strictly same-site, and whatever is not a plain look must come from our own Origin. The token of an address
works once.
"""

from __future__ import annotations

import hmac
import json
import secrets
import time
from collections.abc import Callable
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["CONTENT_SECURITY", "Guard", "Keys"]

CONTENT_SECURITY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
    "connect-src 'self'; media-src 'self' blob:; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": CONTENT_SECURITY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(self), microphone=(), geolocation=()",
    "cache-control": "no-store",
}
POLICY_VIOLATION = 1008
"""Close code of a web socket (RFC 6455, 7.4.1): the page uses none."""
LOOKS = {"GET", "HEAD"}
"""Methods that change nothing."""


class Keys:
    """The token of the opened address and the cookie that takes its place.

    Parameters
    ----------
    port
        Cookies do not know ports, so the cookie's name does.
    renewed
        Is told the next address whenever one has been used.
    """

    def __init__(self, port: int, renewed: Callable[[str], None] = lambda _: None) -> None:
        self.port = port
        self.cookie_name = f"panelpoint-{port}"
        self.cookie = secrets.token_urlsafe(32)
        self._token = secrets.token_urlsafe(32)
        self._renewed = renewed

    @property
    def address(self) -> str:
        """The address to open, which works once."""
        return f"http://127.0.0.1:{self.port}/open?token={self._token}"

    def spend(self, token: str) -> bool:
        """Use a token up; returns whether it was the right one."""
        right = hmac.compare_digest(token.encode(), self._token.encode())
        if right:
            self._token = secrets.token_urlsafe(32)
            self._renewed(self.address)
        return right

    def known(self, cookie: str) -> bool:
        """Return whether a cookie is ours."""
        return hmac.compare_digest(cookie.encode(), self.cookie.encode())


class Guard:
    """The door in front of the application.

    Parameters
    ----------
    app
        What it guards.
    keys
        Token and cookie.
    """

    def __init__(self, app: ASGIApp, keys: Keys) -> None:
        self._app = app
        self._keys = keys
        self._hosts = {f"127.0.0.1:{keys.port}", f"localhost:{keys.port}"}
        self._origins = {f"http://{host}" for host in self._hosts}
        self.last_seen = time.monotonic()
        """When a known page last asked for something, seconds of the monotonic clock."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or say why not."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": POLICY_VIOLATION})
            return
        headers = Headers(scope=scope)

        async def send_safely(message: Message) -> None:
            if message["type"] == "http.response.start":
                ours = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    ours[name] = value
            await send(message)

        if headers.get("host") not in self._hosts:
            await _refuse(send_safely, 403, "This address is not the page's own.")
        elif scope["path"] == "/open" and scope["method"] == "GET":
            await self._open(scope, send_safely)
        elif not self._keys.known(self._cookie(headers)):
            await _refuse(
                send_safely, 403, "This page opens from the address that panelpoint printed in the terminal."
            )
        elif not self._same_origin(scope["method"], headers):
            await _refuse(send_safely, 403, "This request does not come from the page.")
        else:
            self.last_seen = time.monotonic()
            await self._app(scope, receive, send_safely)

    def _same_origin(self, method: str, headers: Headers) -> bool:
        """Return whether a request comes from the page itself."""
        if headers.get("sec-fetch-site", "same-origin") not in {"same-origin", "none"}:
            return False
        origin = headers.get("origin")
        if origin is None:
            return method in LOOKS
        return origin in self._origins and origin == f"http://{headers.get('host')}"

    def _cookie(self, headers: Headers) -> str:
        try:
            cookies = SimpleCookie(headers.get("cookie", ""))
        except CookieError:
            return ""
        morsel = cookies.get(self._keys.cookie_name)
        return morsel.value if morsel is not None else ""

    async def _open(self, scope: Scope, send: Send) -> None:
        tokens = parse_qs(scope["query_string"].decode("latin-1")).get("token", [""])
        if not self._keys.spend(tokens[0]):
            await _refuse(
                send,
                403,
                "This address was used already. Look in the terminal: a new one is printed there.",
            )
            return
        self.last_seen = time.monotonic()
        cookie = f"{self._keys.cookie_name}={self._keys.cookie}; Path=/; HttpOnly; SameSite=Strict"
        await send(
            {
                "type": "http.response.start",
                "status": 303,
                "headers": [(b"location", b"/"), (b"set-cookie", cookie.encode()), (b"content-length", b"0")],
            }
        )
        await send({"type": "http.response.body", "body": b""})


async def _refuse(send: Send, status: int, sentence: str) -> None:
    body = json.dumps({"kind": "forbidden", "message": sentence}).encode()
    await send(
        {
            "type": "http.response.start",
            "status": status,
            "headers": [(b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())],
        }
    )
    await send({"type": "http.response.body", "body": body})
