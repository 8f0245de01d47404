"""The page's addresses for the files of the job as saved: begun, looked at while made, called off, handed out."""

from collections.abc import Awaitable, Callable

import msgspec
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from plategen.delivery.manifest import Item, format_of
from plategen.ground.refusal import Refusal
from plategen.page.body import read_body
from plategen.page.downloads import Downloads
from plategen.page.parts import Moment
from plategen.page.request import MakeFiles
from plategen.page.session import Session
from plategen.paper.size import PAPERS, USUAL_PAPER


class FilesPage:
    """The addresses of the files of one open job."""

    def __init__(self, session: Session, moment: Callable[[], Awaitable[Moment]]) -> None:
        self.session = session
        self.downloads = Downloads(session.folder.job_file)
        self._moment = moment

    async def _file(self, request: Request) -> Response:
        """One file of the job as saved."""
        name = request.path_params["name"]
        solid, paper = await self._wanted(name, _paper(request.query_params.get("paper", USUAL_PAPER)))
        made = await self.downloads.of(self.session.saved, solid=solid, paper=paper)
        return Response(made.file(name), media_type=format_of(name).media_type, headers=as_download(name))

    async def _zip(self, request: Request) -> Response:
        """All files of the job as saved."""
        _, paper = await self._wanted("", _paper(request.query_params.get("paper", USUAL_PAPER)))
        made = await self.downloads.of(self.session.saved, solid=True, paper=paper)
        return Response(made.zip, media_type="application/zip", headers=as_download("plategen.zip"))

    async def _make(self, request: Request) -> Response:
        """Begin on a file, or on all, or tell how far they are."""
        asked = read_body(await request.body(), request, MakeFiles)
        solid, paper = await self._wanted(asked.name, _paper(asked.paper))
        errand = self.downloads.begin(self.session.saved, solid=solid, paper=paper)
        told: dict[str, object] = {"done": errand.done, "step": errand.step, "share": errand.share}
        if errand.done:
            try:
                made = await self.downloads.of(self.session.saved, solid=solid, paper=paper)
                told["refused"] = made.missing.get(asked.name, "")
            except Refusal as refusal:
                told["refused"] = str(refusal)
        return Response(msgspec.json.encode(told), media_type="application/json")

    async def _stop(self, request: Request) -> Response:
        """Call off what is being made."""
        read_body(await request.body(), request, MakeFiles)
        self.downloads.forget()
        return Response(msgspec.json.encode({}), media_type="application/json")

    async def _wanted(self, name: str, paper: str) -> tuple[bool, str]:
        """Whether the solid kernel is asked for a file, or for all ("") files, and the paper that they differ with."""
        items = await self._offered()
        if not name:
            return True, paper
        item = next((item for item in items if item.name == name), None)
        if item is None:
            raise HTTPException(404, "there is no such file")
        return item.kind.kernel != "unused", paper if item.kind.on_paper else USUAL_PAPER

    async def _offered(self) -> tuple[Item, ...]:
        """The files that may be asked for."""
        if self.session.unsaved:
            raise HTTPException(409, "save first: files are made of the job as saved")
        moment = await self._moment()
        offer = await self.session.compute(lambda: moment.offer)
        if offer.refused:
            raise HTTPException(422, offer.refused)
        return offer.items

    @property
    def routes(self) -> list[Route]:
        """Where they are."""
        return [
            Route("/files.zip", self._zip),
            Route("/files/make", self._make, methods=["POST"]),
            Route("/files/stop", self._stop, methods=["POST"]),
            Route("/files/{name}", self._file),
        ]


def _paper(paper: str) -> str:
    if paper not in PAPERS:
        raise HTTPException(422, f"no such paper; there are {', '.join(PAPERS)}")
    return paper


def as_download(name: str) -> dict[str, str]:
    """The head of an answer that is a file of that name."""
    return {"content-disposition": f'attachment; filename="{name}"'}
