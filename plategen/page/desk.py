"""What the page shows: the job that is open, or the first screen, where one is opened, begun or copied.

One job is open at a time, in every tab. Opening another one closes it: what is not saved is kept beside it, and a tab
that still shows it is told so before it changes anything.
"""

import asyncio
import contextlib
from collections.abc import AsyncIterator, Awaitable, Callable
from functools import cache
from typing import TypeVar

import msgspec
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.types import ASGIApp, Receive, Scope, Send

from plategen.delivery.starter import START_WORDS, Start, starter_texts
from plategen.ground.unit import Units
from plategen.job.load import JOB_FILE
from plategen.page.access import COOKIE, Access, Guard
from plategen.page.app import ANOTHER, PLAINLY, Handler, Page
from plategen.page.assets import own_text, static, template
from plategen.page.body import read_body
from plategen.page.disk import Folder
from plategen.page.draft import Draft, redraw
from plategen.page.request import CopyJob, NewJob, OpenJob
from plategen.page.session import Session
from plategen.page.shelf import Shelf
from plategen.paper.size import PAPERS, USUAL_PAPER
from plategen.tell.picture.drafter import alone
from plategen.tell.picture.view import bracket_view

USED_UP = "this link was used already; the page's terminal shows the next one"
"""Why a link lets nobody in."""

Asked = TypeVar("Asked", OpenJob, NewJob, CopyJob)
"""What the first screen is asked to do."""


class Desk:
    """The shelf, and the job that was taken from it, if one was."""

    def __init__(self, shelf: Shelf, access: Access, session: Session | None = None, units: Units = "in") -> None:
        self.shelf, self.access, self.units = shelf, access, units
        self.page = None if session is None else Page(session, shelf)
        self._opening = asyncio.Lock()

    @property
    def session(self) -> Session | None:
        """The open job's."""
        return None if self.page is None else self.page.session

    async def job(self, scope: Scope, receive: Receive, send: Send) -> None:
        """The addresses of the open job; the first screen where none is."""
        if self.page is not None:
            await self.page.addresses(scope, receive, send)
            return
        answer: Response = RedirectResponse("/jobs", 303)
        if scope["method"] != "GET" or scope["path"] != "/":
            answer = PlainTextResponse("no job is open; choose one first\n", 404)
        await answer(scope, receive, send)

    async def first_screen(self, _: Request) -> Response:
        """The jobs that are here, and what a new one needs."""
        jobs = await asyncio.to_thread(self.shelf.jobs)
        opened = "" if self.session is None else self.session.folder.path.name
        words = template("first.html").render(
            place=self.shelf.path.name, jobs=jobs, opened=opened, starts=START_WORDS, units=self.units, papers=PAPERS,
            usual=USUAL_PAPER,
        )  # fmt: skip
        return HTMLResponse(words)

    async def picture(self, request: Request) -> Response:
        """What a new job of some kind would be, drawn from its sample."""
        start = request.path_params["start"]
        if start not in START_WORDS:
            raise HTTPException(404, "there is no such picture")
        return Response(await asyncio.to_thread(_sample_picture, start), media_type="image/svg+xml")

    async def open(self, asked: OpenJob) -> None:
        """Open a job of the shelf."""
        await self._show(lambda: self.shelf.job(asked.name))

    async def begin(self, asked: NewJob) -> None:
        """Begin a job and open it."""
        await self._show(lambda: self.shelf.begin(asked.title, asked.units, asked.start, sample=asked.sample))

    async def copy(self, asked: CopyJob) -> None:
        """Copy the open job as it stands, and open the copy where the tab does not stay."""
        session = self.session
        if session is None or session.folder.mark != asked.job:
            raise HTTPException(410, ANOTHER)
        if asked.stay:
            await asyncio.to_thread(self.shelf.copy, session.draft, asked.title)
        else:
            await self._show(lambda: self.shelf.copy(session.draft, asked.title))

    async def _show(self, folder_of: Callable[[], Folder]) -> None:
        """Have another job open; the one before stays so where that cannot be read."""
        async with self._opening:
            session = await asyncio.to_thread(lambda: Session(folder_of()))
            before, self.page = self.page, Page(session, self.shelf)
            self.page.begin()
            if before is not None:
                await before.leave()

    def posting(self, shape: type[Asked], act: Callable[[Asked], Awaitable[None]]) -> Handler:
        """A request's body read as a shape and acted on; the answer is empty, and what is refused stands in a line."""

        async def serve(request: Request) -> Response:
            await act(read_body(await request.body(), request, shape))
            return Response(msgspec.json.encode({}), media_type="application/json")

        return serve

    async def enter(self, request: Request) -> Response:
        """A phone with a link: shown a button first, for a link that a program looked at must not be used up."""
        link = request.path_params["link"]
        if request.method == "POST":
            secret = self.access.enter(link, request.client.host if request.client else "")
            if secret is None:
                raise HTTPException(403, USED_UP)
            answer = RedirectResponse("/", 303)
            answer.set_cookie(COOKIE, secret, httponly=True, samesite="strict", path="/")
            return answer
        if not self.access.is_link(link):
            raise HTTPException(403, USED_UP)
        return HTMLResponse(own_text("templates/enter.html"))


def application(desk: Desk) -> ASGIApp:
    """The application of a desk, behind its access control."""

    @contextlib.asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        if desk.page is not None:
            desk.page.begin()
        yield
        if desk.page is not None:
            await desk.page.leave()

    routes = [
        Route("/jobs", desk.first_screen),
        Route("/jobs/picture/{start}", desk.picture),
        Route("/jobs/open", desk.posting(OpenJob, desk.open), methods=["POST"]),
        Route("/jobs/new", desk.posting(NewJob, desk.begin), methods=["POST"]),
        Route("/jobs/copy", desk.posting(CopyJob, desk.copy), methods=["POST"]),
        Route("/enter/{link}", desk.enter, methods=["GET", "POST"]),
        Route("/static/{name}", static),
        Mount("/", app=desk.job),
    ]
    plain = Starlette(routes=routes, lifespan=life, exception_handlers=PLAINLY)
    packed = GZipMiddleware(plain, minimum_size=2000, compresslevel=3)

    async def either(scope: Scope, receive: Receive, send: Send) -> None:
        """Texts go packed; not what comes line by line, nor files, most of which are packed in themselves."""
        as_it_is = scope.get("path", "").startswith(("/news", "/files"))
        await (plain if as_it_is else packed)(scope, receive, send)

    return Guard(either, desk.access)


@cache
def _sample_picture(start: Start) -> str:
    texts = starter_texts("in", start)
    work = redraw(Draft(job=texts.pop(JOB_FILE), files=texts)).work
    assert work is not None
    view = bracket_view(work.bracket, work.rail, work.job.rail.wall_mm, work.job.cylinder.body_diameter_mm)
    return alone(view)
