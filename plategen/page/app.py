"""The page's addresses: each reads what is asked, has the session do it, and answers with what the tab has not yet.

Status: 200 done; 400 not to be understood; 404 no such address; 405 no such method there; 409 something else stands
there by now, look first; 413 too large; 415 not JSON; 421 and 403 not let in; 422 understood, and refused.
"""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from functools import cached_property, partial
from typing import Any, TypeAlias, TypeVar

import msgspec
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import Receive, Scope, Send

from plategen.ground.refusal import Refusal
from plategen.page.body import read_body
from plategen.page.downloads_app import FilesPage
from plategen.page.edits import Stale
from plategen.page.parts import Moment, page, update
from plategen.page.photo_app import PhotoPage
from plategen.page.request import ChangeRequest, PhotoTake, SaveRequest
from plategen.page.session import Session
from plategen.page.shelf import Shelf
from plategen.page.trial_app import TrialPage

MOST_LISTENERS = 64
HEARTBEAT_S = 15.0
"""A sleeping phone is noticed when this is not taken."""

ANOTHER = "another job was opened on this page meanwhile; load it anew"
"""What a tab is told that shows a job which is not open any more."""

Handler: TypeAlias = Callable[[Request], Awaitable[Response]]
"""Answers one request."""

Body = TypeVar("Body", ChangeRequest, SaveRequest, PhotoTake)
"""What a request's body is read as."""


class Page:
    """The addresses of one open job."""

    def __init__(self, session: Session, shelf: Shelf) -> None:
        self.session = session
        self._watching: asyncio.Task[None] | None = None
        self.files = FilesPage(session, self.moment)
        self.photographs = PhotoPage(session)
        self.trials = TrialPage(session, shelf)
        self._moment: Moment | None = None
        self._listeners = 0

    def begin(self) -> None:
        """Look at the job's folder from now on."""
        self._watching = asyncio.create_task(self.session.watch())

    async def leave(self) -> None:
        """Let go of the job; what is not saved is kept, and tabs that show it are told to look."""
        if self._watching is not None:
            self._watching.cancel()
        self.files.downloads.forget()
        self.photographs.open_ones.forget()
        self.trials.open_ones.forget()
        await self.session.leave()

    async def moment(self) -> Moment:
        """What is shown now; a new one whenever the version is."""
        s = self.session
        drawn = await s.redrawn()
        if self._moment is None or self._moment.version != s.version or self._moment.drawn is not drawn:
            now = Moment(
                version=s.version, draft=s.draft, saved=s.saved, drawn=drawn, saved_drawn=s.saved_drawn,
                theirs=s.theirs, disk=s.trouble, unsaved=s.unsaved, history=s.history, job_file=s.folder.job_file,
                job_mark=s.folder.mark,
            )  # fmt: skip
            if self._moment is not None:
                now.take_over(self._moment)
            self._moment = now
        return self._moment

    async def shell(self, _: Request) -> Response:
        """The whole page."""
        moment = await self.moment()
        return HTMLResponse(await self.session.compute(lambda: page(moment)))

    async def news(self, request: Request) -> Response:
        """A line whenever there is a new version; the one channel by which every tab hears of every change."""
        try:
            seen = int(request.query_params.get("seen", "0"))
        except ValueError:
            raise HTTPException(400, "seen is no number") from None
        if self._listeners >= MOST_LISTENERS:
            raise HTTPException(503, "too many tabs are open; close some")
        self._listeners += 1
        return _Listening(self._news(seen), self._leave)

    def _leave(self) -> None:
        self._listeners -= 1

    async def _news(self, seen: int) -> AsyncIterator[bytes]:
        yield b"retry: 1500\n\n"
        while True:
            try:
                seen = await asyncio.wait_for(self.session.news(seen), HEARTBEAT_S)
                yield f"data: {seen}\n\n".encode()
            except TimeoutError:
                yield b": still here\n\n"

    @cached_property
    def addresses(self) -> Starlette:
        """All of them as an application."""
        routes = [
            Route("/", self.shell),
            Route("/news", self.news),
            *(Route(path, serve, methods=["POST"]) for path, serve in self._posts.items()),
            *self.files.routes,
            *self.photographs.routes,
            *self.trials.routes,
        ]
        return Starlette(routes=routes, exception_handlers=PLAINLY)

    @property
    def _posts(self) -> dict[str, Handler]:
        """What is posted, by address: each has the session act, and is answered with what the tab has not yet."""
        session = self.session

        async def nothing(_: ChangeRequest) -> None:
            """A tab asks what is new."""

        return {
            "/state": self._post(ChangeRequest, nothing),
            "/change": self._post(ChangeRequest, lambda asked: session.change(asked.edits, asked.gesture, asked.tab)),
            "/undo": self._post(ChangeRequest, lambda asked: session.go(lambda h: h.undone(asked.tab, asked.gesture))),
            "/redo": self._post(ChangeRequest, lambda asked: session.go(lambda h: h.redone(asked.tab))),
            "/save": self._post(SaveRequest, lambda asked: session.save(asked.seen, asked.over)),
            "/photo/take": self._post(PhotoTake, self.photographs.take),
            "/theirs": self._post(SaveRequest, lambda asked: session.take_theirs(asked.over)),
        }

    def _post(self, shape: type[Body], act: Callable[[Body], Awaitable[None]]) -> Handler:
        async def serve(request: Request) -> Response:
            asked = read_body(await request.body(), request, shape)
            if asked.job not in ("", self.session.folder.mark):
                raise HTTPException(410, ANOTHER)
            status, words = 200, ""
            try:
                await act(asked)
            except (Stale, Refusal) as error:
                status, words = 409 if isinstance(error, Stale) else 422, str(error)
            moment = await self.moment()
            shown = partial(update, moment, asked.have, asked.open, asked.tab, held=asked.held)
            news = await self.session.compute(shown)
            data = msgspec.json.encode({**news, "words": words} if words else news)
            return Response(data, status, media_type="application/json")

        return serve


class _Listening(StreamingResponse):
    """A tab that listens, counted from when it asked until it is gone, whether or not it ever read a line."""

    def __init__(self, lines: AsyncIterator[bytes], leave: Callable[[], None]) -> None:
        super().__init__(lines, media_type="text/event-stream")
        self._leave = leave

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        try:
            await super().__call__(scope, receive, send)
        finally:
            self._leave()


async def _plainly(_: Request, error: Exception) -> Response:
    if isinstance(error, HTTPException):
        return PlainTextResponse(f"{error.detail}\n", error.status_code, headers=error.headers)
    return PlainTextResponse(f"{error}\n", 422)


PLAINLY: Mapping[Any, Any] = {HTTPException: _plainly, Refusal: _plainly}
"""What is refused is said in one line of text."""
