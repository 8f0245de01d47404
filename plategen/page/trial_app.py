"""The page's addresses for what is tried with the open job: a number run, jobs compared, a revision, a trim."""

import asyncio
import math
from collections.abc import Awaitable, Callable, Mapping
from functools import partial

import msgspec
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from plategen.bracket.style import style_of
from plategen.delivery.manifest import format_of
from plategen.delivery.recorded import Letter
from plategen.ground.refusal import Refusal
from plategen.page.body import read_body
from plategen.page.downloads_app import as_download
from plategen.page.draft import Draft
from plategen.page.edits import Stale, edited
from plategen.page.photos import shown_name
from plategen.page.request import Trial, TryBeside, TryCure, TryNumber, TryPlate, TryRevise
from plategen.page.session import Session
from plategen.page.shelf import Shelf
from plategen.page.trial_choice import numbers_of
from plategen.page.trial_order import Compare, Recorded, Revise, Source, Texts, Trim, Vary
from plategen.page.trials import Trials

HERE, SAVED, CURED = "as it stands here", "as saved", "with the cure"
"""What the open job is called, the same as it was saved, and with a cure that is tried."""


class TrialPage:
    """The addresses of the trials of one open job."""

    def __init__(self, session: Session, shelf: Shelf) -> None:
        self.session, self.shelf = session, shelf
        self.open_ones = Trials()

    @property
    def _now(self) -> Texts:
        return _texts(HERE, self.session.draft, self.session.folder.job_file)

    def _beside(self) -> Mapping[str, Callable[[], Source]]:
        """What the job can be laid beside, by what it is called: as saved, letters of it, other jobs of the shelf."""
        session, found = self.session, dict[str, Callable[[], Source]]()
        if session.unsaved:
            found[SAVED] = partial(_texts, SAVED, session.saved, session.folder.job_file)
        for letter in self.shelf.letters(session.folder):
            name = f"letter {letter.letter}"
            found.setdefault(name, partial(_recorded, name, letter))
        for job in self.shelf.jobs():
            if job.name != session.folder.path.name and not job.trouble:
                name = job.title if job.title not in found else f"{job.title} ({job.name})"
                found[name] = partial(self._of_shelf, name, job.name)
        return found

    def _of_shelf(self, name: str, folder: str) -> Texts:
        job = self.shelf.job(folder)
        return _texts(name, job.read(), job.job_file)

    async def _source(self, name: str) -> Source:
        def read() -> Source:
            found = self._beside().get(name)
            if found is None:
                raise Stale(f"{name} is not there any more; look at the list once more")
            return found()

        return await asyncio.to_thread(read)

    async def _choices(self, request: Request) -> object:
        read_body(await request.body(), request, Trial)
        beside = await asyncio.to_thread(self._beside)
        work = self.session.drawn.work
        fitted = () if work is None else style_of(work.job.bracket.style).fitted(work.job, work.job.bracket.plane_mm)
        return {
            "numbers": list(numbers_of(self.session.draft)),
            "beside": list(beside),
            "plates": [place.name for place in fitted],
        }

    async def _number(self, request: Request) -> object:
        asked = read_body(await request.body(), request, TryNumber)
        ranged = f"{asked.key}={asked.begin}:{asked.end}:{asked.step}"
        return {"id": self.open_ones.begin(Vary(now=self._now, ranged=ranged))}

    async def _compare(self, request: Request) -> object:
        asked = read_body(await request.body(), request, TryBeside)
        others = [await self._source(name) for name in dict.fromkeys(asked.beside)]
        return {"id": self.open_ones.begin(Compare(jobs=(self._now, *others)))}

    async def _cure(self, request: Request) -> object:
        """The job with a cure, beside it as it stands; nothing is written."""
        asked = read_body(await request.body(), request, TryCure)
        session = self.session
        cured = await asyncio.to_thread(edited, session.draft, asked.edits, session.drawn)
        return {"id": self.open_ones.begin(Compare(jobs=(self._now, _texts(CURED, cured, session.folder.job_file))))}

    async def _revise(self, request: Request) -> object:
        asked = read_body(await request.body(), request, TryRevise)
        old = await self._source(asked.old)
        return {"id": self.open_ones.begin(Revise(old=old, now=self._now, keep=asked.keep))}

    async def _plate(self, request: Request) -> object:
        """A plate's file, its bytes as they are; how it may be trimmed stands in the address."""
        if request.headers.get("content-type") != "application/octet-stream":
            raise HTTPException(415, "the plate's file is right here")
        try:
            asked = msgspec.convert(dict(request.query_params), TryPlate, strict=False)
        except msgspec.ValidationError as error:
            raise HTTPException(422, str(error)) from None
        order = Trim(
            now=self._now, file=shown_name(asked.name, "plate.dxf"), called=asked.called, play=asked.play or "0",
            turn=_degrees(asked.turn), this_face=asked.this_face, paper=asked.paper, thickness=asked.thickness,
            bar=asked.bar,
        )  # fmt: skip
        return {"id": self.open_ones.begin(order, await request.body())}

    async def _look(self, request: Request) -> object:
        name = read_body(await request.body(), request, Trial).id
        errand = self.open_ones.of(name)
        if not errand.done:
            return {"done": False, "step": errand.step, "share": errand.share}
        reply = (await self.open_ones.tried(name)).reply
        return {"done": True, "refused": reply.refused, "shown": reply.shown, "files": list(reply.files)}

    async def _stop(self, request: Request) -> object:
        self.open_ones.stop(read_body(await request.body(), request, Trial).id)
        return {}

    async def _file(self, request: Request) -> Response:
        name = request.path_params["name"]
        try:
            data = (await self.open_ones.tried(request.path_params["id"])).file(name)
        except Stale as stale:
            raise HTTPException(404, str(stale)) from None
        return Response(data, media_type=format_of(name).media_type, headers=as_download(name))

    @property
    def routes(self) -> list[Route]:
        """Where they are."""
        posts = {
            "choices": self._choices, "number": self._number, "compare": self._compare, "cure": self._cure,
            "revise": self._revise, "plate": self._plate, "look": self._look, "stop": self._stop,
        }  # fmt: skip
        return [
            *(Route(f"/trial/{name}", _answered(act), methods=["POST"]) for name, act in posts.items()),
            Route("/trial/files/{id}/{name}", self._file),
        ]


def _answered(act: Callable[[Request], Awaitable[object]]) -> Callable[[Request], Awaitable[Response]]:
    async def serve(request: Request) -> Response:
        try:
            told, status = await act(request), 200
        except (Stale, Refusal) as error:
            told, status = {"refused": str(error)}, 409 if isinstance(error, Stale) else 422
        return Response(msgspec.json.encode(told), status, media_type="application/json")

    return serve


def _texts(name: str, draft: Draft, job_file: str) -> Texts:
    return Texts(name=name, job=draft.job, files=dict(draft.files), job_file=job_file)


def _recorded(name: str, letter: Letter) -> Recorded:
    return Recorded(name=name, record=letter.record_text(), file=letter.file)


def _degrees(text: str) -> float:
    try:
        degrees = float(text or "180")
    except ValueError:
        degrees = math.nan
    if math.isnan(degrees):
        raise Refusal("a number of degrees is right", "turn")
    return degrees
