"""Who may speak to the page? Its own browser tab on this machine, and nobody else.

A wrapper round the whole application. It lets a request pass only when: its Host is one the server
was started under (against DNS rebinding); anything that changes something comes from the page's own
Origin, and no request was sent by another site (against cross-site requests); it carries the cookie
that this start of the server gave out through a one-time address (against other programs and users
of the machine); and its body is small enough and arrives in time. Every answer says what a browser
may do with it: no script but our own files, no frames, no request to anywhere else.

Sources: Host and Origin checks as in OWASP's CSRF Prevention Cheat Sheet and RFC 6454; Fetch
Metadata (W3C); Content Security Policy Level 3 (W3C).
"""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from typing import Any

from starlette.datastructures import Headers, MutableHeaders, QueryParams
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, PlainTextResponse, Response

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

MAX_BODY = 130 * 1024 * 1024
MAX_SECONDS = 120.0
SAFE_METHODS = {"GET", "HEAD"}
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
# a file that the maker made is shown, never run
FILE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), usb=(), serial=()",
    "cache-control": "no-store",
}
_ENTER = (
    '<!doctype html><html lang="en"><meta charset="utf-8"><title>kitloom</title>'
    '<meta http-equiv="refresh" content="0;url=/"><p><a href="/">Open the page</a></p></html>'
)
_USED = (
    "This address has been used. It opens the page in one browser only; "
    "the terminal where kitloom runs shows a fresh one.\n"
)
_NO_KEY = "Open the page with the address that the terminal shows where kitloom runs.\n"


@dataclass
class Door:
    """What one start of the server lets in.

    Attributes:
        hosts: the Host headers it answers to, such as "127.0.0.1:8765".
        token: what the cookie must hold.
        key: what the one-time address must hold; a fresh one after each use.
        cookie: the cookie's name; it holds the port, because cookies are shared by ports.
    """

    hosts: frozenset[str]
    token: str
    key: str
    cookie: str

    @classmethod
    def at(cls, names: Iterable[str], port: int) -> Door:
        """Return a new door for these host names and this port."""
        hosts = frozenset(f"{name}:{port}" for name in names)
        return cls(hosts, secrets.token_urlsafe(32), secrets.token_urlsafe(24), f"kitloom-{port}")

    def is_key(self, key: str) -> bool:
        """Tell whether a key is the right one; it stays so."""
        return secrets.compare_digest(key.encode(), self.key.encode())

    def opens(self, key: str) -> bool:
        """Tell whether a key is the right one, and change it if it is."""
        right = self.is_key(key)
        if right:
            self.key = secrets.token_urlsafe(24)
        return right

    def knows(self, cookies: str) -> bool:
        """Tell whether a Cookie header holds this start's token."""
        try:
            cookie = SimpleCookie(cookies).get(self.cookie)
        except CookieError:
            return False
        return cookie is not None and secrets.compare_digest(
            cookie.value.encode(), self.token.encode()
        )


class Guard:
    """The application behind a door."""

    def __init__(self, app: App, door: Door, on_entry: Callable[[], None] = lambda: None) -> None:
        """Wrap an application; ``on_entry`` is called whenever the one-time address was used."""
        self.app, self.door, self.on_entry = app, door, on_entry

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let one request pass, or refuse it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        send = _with_headers(send)
        if scope["type"] != "http":  # no web sockets here
            await PlainTextResponse("no\n", 403)(scope, receive, send)
            return
        answer = self._refusal(scope) or self._entrance(scope)
        if answer is not None:
            await answer(scope, receive, send)
            return
        await self._limited(scope, receive, send)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        hosts = headers.getlist("host")
        if len(hosts) != 1 or hosts[0].lower() not in self.door.hosts:
            return PlainTextResponse("this is not the address of the page\n", 421)
        site = headers.get("sec-fetch-site", "none")
        # a link from elsewhere may open the page, but nothing elsewhere may load or send
        opens = scope["method"] == "GET" and headers.get("sec-fetch-mode") == "navigate"
        if site not in {"none", "same-origin"} and not opens:
            return PlainTextResponse("another page may not drive this one\n", 403)
        if scope["method"] in SAFE_METHODS:
            return None
        origin = headers.get("origin", "")
        if origin.lower() != f"http://{hosts[0].lower()}":
            return PlainTextResponse("another page may not drive this one\n", 403)
        return None

    def _entrance(self, scope: Scope) -> Response | None:
        known = self.door.knows(Headers(scope=scope).get("cookie", ""))
        if scope["path"] != "/enter":
            return None if known else PlainTextResponse(_NO_KEY, 403)
        key = QueryParams(scope["query_string"]).get("key", "")
        if scope["method"] == "HEAD":  # a second start asks whether this page is still here
            return Response(status_code=204 if self.door.is_key(key) else 403)
        if known:
            return HTMLResponse(_ENTER)
        if not self.door.opens(key):
            return PlainTextResponse(_USED, 403)
        answer = HTMLResponse(_ENTER)
        answer.set_cookie(
            self.door.cookie, self.door.token, httponly=True, samesite="strict", path="/"
        )
        self.on_entry()
        return answer

    async def _limited(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with a limit on its body's size, and on the time until it is in."""
        length = Headers(scope=scope).get("content-length", "0")
        if not length.isdigit() or int(length) > MAX_BODY:
            await PlainTextResponse(_too_large(), 413)(scope, receive, send)
            return
        seen, loop = 0, asyncio.get_running_loop()
        deadline = loop.time() + MAX_SECONDS
        complete = False

        async def limited() -> Message:
            nonlocal seen, complete
            if complete:
                return await receive()
            try:
                async with asyncio.timeout_at(deadline):
                    message = await receive()
            except TimeoutError as error:
                raise HTTPException(408, "the upload took too long") from error
            seen += len(message.get("body", b""))
            if seen > MAX_BODY:
                raise HTTPException(413, _too_large())
            complete = not message.get("more_body", False)
            return message

        await self.app(scope, limited, send)


def _too_large() -> str:
    return f"too much at once; the limit is {MAX_BODY // 2**20} MiB\n"


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
