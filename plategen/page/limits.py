"""What one request may cost: its head's and its body's time, its body's size, and the time until it is answered.

Around the whole application stands one guard. It asks the access control first, reads the body whole within its limits,
and gives every answer the headers that keep a browser from doing more with it than it should.
"""

import asyncio
import logging
from typing import Any

from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from uvicorn.protocols.http.h11_impl import H11Protocol

from plategen.page.access import Access, Refused

MOST_BODY = 256_000
"""Bytes of a request's body: a hundred times what a change needs."""

BODY_TIME_S = 10.0
ANSWER_TIME_S = 30.0
FILES_TIME_S = 300.0
"""Files wait for the solid kernel, which takes its seconds, or minutes for many plates."""

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
            body = b"" if refused else await asyncio.wait_for(_body(receive), BODY_TIME_S)
        except TimeoutError:
            refused = Refused(408, "That took too long.")
        except _TooLarge:
            refused = Refused(413, "That is too much at once.")
        except ConnectionError:
            return
        if refused is not None:
            closing = {"connection": "close"} if refused.status in (408, 413) else None
            await PlainTextResponse(f"{refused.words}\n", refused.status, closing)(scope, receive, answer)
            return
        await self._answered(scope, _replayed(body, receive), answer)

    async def _answered(self, scope: Scope, receive: Receive, answer: "_Answer") -> None:
        path = scope["path"]
        limit = None if path == "/news" else FILES_TIME_S if path.startswith("/files") else ANSWER_TIME_S
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


async def _body(receive: Receive) -> bytes:
    parts: list[bytes] = []
    size = 0
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            raise ConnectionError
        part = message.get("body", b"")
        size += len(part)
        if size > MOST_BODY:
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
