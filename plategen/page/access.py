"""What is let in, and what it may cost: only the names this page goes by, only its own pages as origin, over the
network only a phone that was given a link; and limits to a request's time and size.

A browser can be made to send requests here by any page it visits. Such a page's own name then stands in ``Origin``, and
a name of its owner's in ``Host`` when it plays tricks with name servers; neither is one of ours, and both are refused
before anything else is looked at. Then the body is read whole within its limits, and every answer is given the headers
that keep a browser from doing more with it than it should.
"""

import asyncio
import hmac
import logging
import secrets
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from ipaddress import ip_address
from typing import Any

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from uvicorn.protocols.http.h11_impl import H11Protocol

from plategen.photo.picture import MOST_BYTES

COOKIE = "plategen-page"
MOST_PHONES = 20
"""The cookie that lets a phone in, and how many are let in."""


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a request is not let in: status and one line."""

    status: int
    words: str


@dataclass(slots=True)
class Access:
    """Who may come in."""

    hosts: frozenset[str]  # What may stand in ``Host``: ``"127.0.0.1:8731"`` and the like.
    links: set[str] = field(default_factory=set)  # Given out and not used yet.
    phones: set[str] = field(default_factory=set)  # Secrets of those that used one.
    used: Callable[[str], None] = field(default=lambda _: None)  # Told who used a link; gives out the next.

    def refusal(self, scope: Scope) -> Refused | None:
        """Why a request may not come in; None if it may."""
        headers = Headers(scope=scope)
        names = headers.getlist("host")
        if len(names) != 1 or names[0].lower() not in self.hosts:
            return Refused(421, "This page does not go by that name; use the address that `plategen page` printed.")
        origins = headers.getlist("origin")
        if origins and origins != [f"http://{names[0].lower()}"]:
            return Refused(403, "Only this page's own pages may ask that.")
        if headers.get("sec-fetch-site") == "cross-site" and scope["path"] != "/":
            return Refused(403, "Only this page's own pages may ask that.")
        if not from_here(scope) and not scope["path"].startswith("/enter/") and not self._known(headers):
            return Refused(403, "Open the link that `plategen page --share` printed; each link opens one phone.")
        return None

    def give_link(self) -> str:
        """A new link's secret, good for one phone."""
        link = secrets.token_urlsafe(24)
        self.links = {link}
        return link

    def is_link(self, link: str) -> bool:
        """Whether a link was given out and not used yet."""
        return any(hmac.compare_digest(link.encode(), known.encode()) for known in self.links)

    def enter(self, link: str, who: str) -> str | None:
        """Use a link up; the secret that the phone keeps, None if the link is none or was used."""
        if not self.is_link(link) or len(self.phones) >= MOST_PHONES:
            return None
        self.links.clear()
        secret = secrets.token_urlsafe(32)
        self.phones.add(secret)
        self.used(who)
        return secret

    def _known(self, headers: Headers) -> bool:
        try:
            cookie = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
        except CookieError:
            return False
        return cookie is not None and any(hmac.compare_digest(cookie.value.encode(), p.encode()) for p in self.phones)


def from_here(scope: Scope) -> bool:
    """Whether a request comes from this machine, to an address that only this machine can use."""
    try:
        sender, receiver = (ip_address(scope[end][0]) for end in ("client", "server"))
    except (KeyError, TypeError, ValueError):
        return False
    return sender.is_loopback and receiver.is_loopback


def host_names(addresses: Iterable[str], port: int) -> frozenset[str]:
    """What may stand in ``Host`` for a server at these addresses."""
    names = {f"[{a}]" if ":" in a else a for a in addresses}
    return frozenset(f"{name}:{port}" for name in names) | (names if port == 80 else frozenset())


MOST_BODY = 256_000
"""Bytes of a request's body: a hundred times what a change needs."""

BODY_TIME_S = 10.0
ANSWER_TIME_S = 30.0
FILES_TIME_S = 300.0
"""Files wait for the solid kernel, which takes its seconds, or minutes for many plates."""

PHOTOGRAPHS = "/photo/"
SENDING = frozenset({"/photo/add", "/trial/plate"})
SEND_TIME_S, PHOTO_TIME_S = 120.0, 200.0
"""Where photographs are asked about, and where they or drawings are sent: both take their time."""

MOST_SENDING = 2
"""Files that are being sent at once: each is held whole in memory."""

HEAD_TIME_S = 15.0
"""A request whose head takes longer is dropped."""

_log = logging.getLogger("plategen.page")

HEADERS = (
    (
        b"content-security-policy",
        b"default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        b"form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=(), usb=()"),
    (b"cache-control", b"no-store"),
)
"""What every answer says to the browser: nothing from elsewhere, in no frame, reported to nobody."""


class Guard:
    """The application behind its access control and within its limits."""

    def __init__(self, app: ASGIApp, access: Access) -> None:
        self._app, self._access = app, access
        self._sending = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let one request in, or say why not; see the ASGI specification, version 3."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        answer = _Answer(send)
        refused = self._access.refusal(scope)
        try:
            body = b"" if refused else await self._taken(scope["path"], receive)
        except _Crowded:
            refused = Refused(503, "Other files are being sent; send this one in a minute.")
        except TimeoutError:
            refused = Refused(408, "That took too long.")
        except _TooLarge:
            refused = Refused(413, "That is too much at once.")
        except ConnectionError:
            return
        if refused is not None:
            closing = {"connection": "close"} if refused.status in (408, 413, 503) else None
            await PlainTextResponse(f"{refused.words}\n", refused.status, closing)(scope, receive, answer)
            return
        await self._answered(scope, _replayed(body, receive), answer)

    async def _taken(self, path: str, receive: Receive) -> bytes:
        """A request's body, within the limits of its address."""
        if path not in SENDING:
            return await asyncio.wait_for(_body(receive, MOST_BODY), BODY_TIME_S)
        if self._sending >= MOST_SENDING:
            raise _Crowded
        self._sending += 1
        try:
            return await asyncio.wait_for(_body(receive, MOST_BYTES), SEND_TIME_S)
        finally:
            self._sending -= 1

    async def _answered(self, scope: Scope, receive: Receive, answer: "_Answer") -> None:
        path = scope["path"]
        slow = {"/files": FILES_TIME_S, PHOTOGRAPHS: PHOTO_TIME_S, "/news": None}
        limit = next((limit for begin, limit in slow.items() if path.startswith(begin)), ANSWER_TIME_S)
        try:
            await asyncio.wait_for(self._app(scope, receive, answer), limit)
        except TimeoutError:
            if not answer.begun:
                await PlainTextResponse("That took too long; try it again.\n", 503)(scope, receive, answer)
            else:
                raise ConnectionError("the reader was too slow") from None
        except Exception as error:
            _log.error("the page could not answer %s: %s: %s", path, type(error).__name__, " ".join(str(error).split()))
            if not answer.begun:
                words = "That went wrong in the program itself; what you typed before still stands.\n"
                await PlainTextResponse(words, 500)(scope, receive, answer)


class _TooLarge(Exception):
    """A body of more bytes than are taken."""


class _Crowded(Exception):
    """Enough files are being sent already."""


async def _body(receive: Receive, most: int) -> bytes:
    parts: list[bytes] = []
    size = 0
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            raise ConnectionError
        part = message.get("body", b"")
        size += len(part)
        if size > most:
            raise _TooLarge
        parts.append(part)
        if not message.get("more_body", False):
            return b"".join(parts)


def _replayed(body: bytes, receive: Receive) -> Receive:
    """The body that was read, and after it whatever comes: that the reader went away."""
    sent = False

    async def replay() -> Message:
        nonlocal sent
        if sent:
            return await receive()
        sent = True
        return {"type": "http.request", "body": body, "more_body": False}

    return replay


class _Answer:
    """Sends an answer on, with our headers, and knows whether it has begun."""

    def __init__(self, send: Send) -> None:
        self._send, self.begun = send, False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.begun = True
            own = {name for name, _ in message.get("headers", [])}
            headers = [*message.get("headers", []), *(h for h in HEADERS if h[0] not in own)]
            message = {**message, "headers": headers}
        await self._send(message)


class ImpatientProtocol(H11Protocol):
    """The server's protocol, which hangs up on who takes ages to say what is wanted."""

    _patience: asyncio.TimerHandle | None = None

    def connection_made(self, transport: Any) -> None:
        """A connection is there: its first request must follow soon."""
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        """A part of a request: if its head is not whole yet, the rest must follow soon."""
        super().data_received(data)
        if self.cycle is None or self.cycle.response_complete:
            self._wait()
        else:
            self._stop_waiting()

    def connection_lost(self, exc: Exception | None) -> None:
        """The connection is gone, and its timer with it."""
        self._stop_waiting()
        super().connection_lost(exc)

    def _wait(self) -> None:
        if self._patience is None:
            self._patience = self.loop.call_later(HEAD_TIME_S, self.transport.abort)

    def _stop_waiting(self) -> None:
        if self._patience is not None:
            self._patience.cancel()
            self._patience = None
