"""The page's addresses for photographs: opened on a trace, sent, measured, set right, taken or put away."""

from collections.abc import Awaitable, Callable

import msgspec
import numpy as np
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from plategen.ground.refusal import Refusal
from plategen.page.body import read_body
from plategen.page.edits import Stale, trace_text
from plategen.page.photos import OpenPhotographs, Photographs
from plategen.page.request import PhotoClose, PhotoOpen, PhotoRead, PhotoTake, PutTrace
from plategen.page.session import Session
from plategen.page.trace_rows import units_of
from plategen.tell.picture.photograph import lies_mm

IMAGES = ("image/", "application/octet-stream")
"""Beginnings of the content types that a photograph is sent as."""


class PhotoPage:
    """The addresses of the photographs of one open job."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.open_ones = OpenPhotographs()

    async def take(self, asked: PhotoTake) -> None:
        """Make what was read off photographs the trace, and put them away.

        Raises:
            Stale: They were put away, or read anew since, or the trace was changed.
            Refusal: No trace was read off them.
        """
        photographs = self.open_ones.of(asked.id)
        if asked.number != photographs.number:
            raise Stale("the edge was read anew meanwhile; look at it, then take it")
        if photographs.answer.refused or not photographs.answer.trace:
            raise Refusal(photographs.answer.refused or "nothing was measured yet", photographs.file)
        edit = PutTrace(photographs.file, photographs.answer.trace, photographs.was)
        try:
            await self.session.change((edit,), tab=asked.tab)
        except Stale:
            photographs.was = trace_text(self.session.draft, photographs.file)  # seen by now
            raise
        self.open_ones.close(asked.id)

    async def _open(self, request: Request) -> object:
        asked = read_body(await request.body(), request, PhotoOpen)
        return {"id": await self.open_ones.open(asked.file, trace_text(self.session.draft, asked.file))}

    async def _add(self, request: Request) -> object:
        if not request.headers.get("content-type", "").startswith(IMAGES):
            raise HTTPException(415, "a photograph is right here")
        query = request.query_params
        answer = await self.open_ones.add(query.get("id", ""), query.get("name", ""), await request.body())
        return {"pages": answer.pages}

    async def _measure(self, request: Request) -> object:
        asked = read_body(await request.body(), request, PhotoRead)
        return _told(asked.id, await self.open_ones.read(asked, units_of(self.session.draft)))

    async def _close(self, request: Request) -> object:
        self.open_ones.close(read_body(await request.body(), request, PhotoClose).id)
        return {}

    async def _picture(self, request: Request) -> Response:
        try:
            photographs = self.open_ones.of(request.query_params.get("id", ""))
        except Stale as stale:
            raise HTTPException(404, str(stale)) from None
        return Response(photographs.picture, media_type="image/jpeg")

    @property
    def routes(self) -> list[Route]:
        """Where they are."""
        posts = {"open": self._open, "add": self._add, "read": self._measure, "close": self._close}
        return [
            *(Route(f"/photo/{name}", _answered(act), methods=["POST"]) for name, act in posts.items()),
            Route("/photo/picture", self._picture),
        ]


def _answered(act: Callable[[Request], Awaitable[object]]) -> Callable[[Request], Awaitable[Response]]:
    async def serve(request: Request) -> Response:
        try:
            told, status = await act(request), 200
        except (Stale, Refusal) as error:
            told, status = {"words": str(error)}, 409 if isinstance(error, Stale) else 422
        return Response(msgspec.json.encode(told), status, media_type="application/json")

    return serve


def _told(name: str, of: Photographs) -> dict[str, object]:
    """What the page is told of an answer; the trace itself stays here until it is taken."""
    answer = of.answer
    bounds = np.array(answer.box[:2]), np.array(answer.box[2:])
    return {
        "number": of.number,
        "refused": answer.refused,
        "picture": f"/photo/picture?id={name}&n={of.picture_number}",
        "box": answer.box,
        "picture_mm": lies_mm(bounds, of.size_px),
        "ring": answer.ring,
        "straight": answer.straight,
        "rail": answer.rail,
        "marks": answer.marks,
        "lines": answer.lines,
        "readings": answer.readings,
    }
