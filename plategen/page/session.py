"""One job that is open on the page: what was saved, what is being edited, what it comes to, and who wants to know.

All tabs edit one draft, so what is typed on the phone stands on the desk a moment later. The state changes only here,
a whole value at a time, in the server's one thread; the computing is done beside it, so that the page answers
meanwhile. However many changes come while a redraw runs, one redraw of the latest draft answers them all. A change is
answered by a quick redraw; what that leaves out follows, as news of its own, once the draft has rested a moment.
"""

import asyncio
import contextlib
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import partial
from types import MappingProxyType
from typing import TypeVar

from plategen.ground.refusal import Refusal
from plategen.page.disk import Folder, StaleSave, differing, fingerprint
from plategen.page.draft import Draft, Drawn, named_files, redraw, thorough
from plategen.page.edits import Stale, edited
from plategen.page.history import History
from plategen.page.request import Edit, PutTrace

Answer = TypeVar("Answer")
"""What a piece of work gives."""

LOOK_EVERY_S = 1.0
"""How often the folder is looked at for what an editor wrote."""

REST_S = 0.2
"""How long a draft rests before what a quick redraw left out is made up for: longer than a hand that drags pauses."""


class Session:
    """The open job of a folder; refused when it cannot be read at all."""

    def __init__(self, folder: Folder) -> None:
        self.folder = folder
        folder.tidy()
        self.saved: Draft = folder.read()
        self.history = History(self.saved)
        self.saved_drawn: Drawn = redraw(self.saved, job_file=folder.job_file)
        self.drawn: Drawn = self.saved_drawn
        self._autosaved = folder.autosaved()
        if self._autosaved is not None:
            self.history = self.history.then(self._autosaved)
            self.drawn = redraw(self.draft, self.saved_drawn, folder.job_file)
        self.theirs: Draft | None = None
        """What someone else wrote into the folder meanwhile, until it is decided what becomes of it."""
        self.trouble = ""
        """Why the folder cannot be read at the moment, in one line; "" when it can."""
        self.version = self._drawn_version = self._since = 1  # the last: since which nothing but answers came
        self._editing = asyncio.Lock()
        self._drawing = asyncio.Lock()
        self._news = asyncio.Condition()
        self._thread = ThreadPoolExecutor(1, "redraw")
        self._beside = ThreadPoolExecutor(1, "thorough")  # lest the next change wait for what it makes needless
        self._following: asyncio.Task[None] | None = None

    @property
    def draft(self) -> Draft:
        """The texts as they stand on the page."""
        return self.history.draft

    @property
    def unsaved(self) -> tuple[str, ...]:
        """The files whose texts are not what was saved."""
        return differing(self.draft, self.saved, self.folder.job_file, named_files(self.draft.job))

    async def change(self, edits: Sequence[Edit | PutTrace], gesture: str = "", tab: str = "") -> None:
        """Make a tab's changes, all or none, and redraw.

        Raises:
            Stale: Something else stands where a change was meant to go.
            Refusal: A change cannot be written.
        """
        async with self._editing:
            before = self.draft
            draft = await asyncio.to_thread(edited, before, edits, self.drawn)
            draft = await asyncio.to_thread(self._with_fetched, draft)
            self._set_history(self.history.then(draft, gesture, tab))
        await self.redrawn()

    async def go(self, step: Callable[[History], History]) -> None:
        """One step back or forward again: ``History.undone`` or ``History.redone``.

        Raises:
            Refusal: Another tab has changed the same since.
        """
        async with self._editing:
            self._set_history(step(self.history))
        await self.redrawn()

    async def save(self, seen: int, over: str = "") -> None:
        """Write the draft into the folder.

        Args:
            seen: The version that whoever saves has before the eyes.
            over: Fingerprint of what someone else wrote and may be written over; "" if nothing may be.

        Raises:
            Stale: The draft has changed since that version, or the folder holds what nobody here has seen.
            Refusal: The folder cannot be written.
        """
        await self.redrawn()
        try:
            async with self._editing:
                await self._save(seen, over)
        finally:
            await self.redrawn()

    async def _save(self, seen: int, over: str) -> None:
        if not self._since <= seen <= self.version:
            raise Stale("another tab changed the job meanwhile; look at it, then save")
        mine, base = self.draft, self._seen(over) if over else self.saved
        try:
            self.saved = await asyncio.to_thread(self.folder.save, mine, base)
        except StaleSave as stale:
            self._set_theirs(stale.there)
            raise Stale("someone else wrote the file meanwhile; both are shown, choose one") from None
        if over and self.theirs is not None:  # what gave way stays within reach of undo
            self.history = self.history.then(self.theirs).then(mine)
        self.theirs, self.saved_drawn = None, self.drawn
        self._count()

    def _seen(self, over: str) -> Draft:
        if self.theirs is None or fingerprint(self.theirs) != over:
            raise Stale("the file was written once more meanwhile; look at it again")
        return self.theirs

    async def take_theirs(self, over: str) -> None:
        """Let what someone else wrote stand on the page; what stood there is one step of undo away.

        Raises:
            Stale: It was written once more meanwhile.
        """
        async with self._editing:
            self._adopt(self._seen(over))
        await self.redrawn()

    async def look(self) -> None:
        """Read what an editor wrote into the folder: it stands on the page at once if nothing here would be lost."""
        async with self._editing:
            await self._look()
        await self.redrawn()

    async def _look(self) -> None:
        try:
            there = await asyncio.to_thread(self.folder.read, named_files(self.draft.job))
        except Refusal as refusal:
            self._set_trouble(str(refusal))
            return
        self._set_trouble("")
        names = (*named_files(there.job), *named_files(self.saved.job), *named_files(self.draft.job))
        if not differing(there, self.saved, self.folder.job_file, names):
            self._set_theirs(None)
        elif self.unsaved:
            self._set_theirs(there)
        else:
            self._adopt(there)

    async def watch(self) -> None:
        """Look at the folder again and again, until cancelled."""
        stamps: tuple[object, ...] = ()
        while True:
            with contextlib.suppress(Refusal):
                now = await asyncio.to_thread(self.folder.stamps, self.draft)
                if now != stamps:
                    await self.look()
                    stamps = now
            await asyncio.to_thread(self.autosave)
            await asyncio.sleep(LOOK_EVERY_S)

    def autosave(self) -> None:
        """Keep what is not saved where the next page on this folder finds it."""
        wanted = self.draft if self.unsaved else None
        if wanted == self._autosaved:
            return
        try:
            if wanted is None:
                self.folder.discard_autosave()
            else:
                self.folder.autosave(wanted)
        except OSError:  # a folder that cannot be written says so when it is saved
            return
        self._autosaved = wanted

    async def redrawn(self) -> Drawn:
        """What the draft comes to, once it is computed."""
        wanted = self.version
        while self._drawn_version < wanted:
            async with self._drawing:
                if self._drawn_version >= wanted:
                    break
                now, draft = self.version, self.draft
                if draft != self.drawn.draft:
                    quickly = partial(redraw, draft, self.drawn, self.folder.job_file, quick=True)
                    self.drawn = await self.compute(quickly)
                if self.drawn.quick:
                    self._follow()
                if draft is self.draft and not self.unsaved:
                    self.saved_drawn = self.drawn
                self._drawn_version = now
            async with self._news:
                self._news.notify_all()
        return self.drawn

    def _follow(self) -> None:
        """Make up for what a quick redraw leaves out, unless a newer change comes first."""
        self._call_off()
        self._following = asyncio.create_task(self._thorough(self.drawn))

    def _call_off(self) -> None:
        if self._following is not None:
            self._following.cancel()
            self._following = None

    async def _thorough(self, drawn: Drawn) -> None:
        await asyncio.sleep(REST_S)
        work = partial(thorough, drawn, self.folder.job_file)
        whole = await asyncio.get_running_loop().run_in_executor(self._beside, work)
        async with self._drawing:
            if self.drawn is not drawn:
                return
            if self.saved_drawn is drawn:
                self.saved_drawn = whole
            self.drawn = whole
            asked = self._drawn_version < self.version  # who asked will count this one as well
            self.version += 1
            if not asked:
                self._drawn_version = self.version
        async with self._news:
            self._news.notify_all()

    async def news(self, seen: int) -> int:
        """The next drawn version after ``seen``, once there is one."""
        async with self._news:
            await self._news.wait_for(lambda: self._drawn_version > seen)
        return self._drawn_version

    async def compute(self, work: Callable[[], Answer]) -> Answer:
        """Compute beside the server, one thing after the other."""
        return await asyncio.get_running_loop().run_in_executor(self._thread, work)

    async def leave(self) -> None:
        """Keep what is not saved, have every tab ask what is new, and let go of the computing thread."""
        await asyncio.to_thread(self.autosave)
        self._call_off()
        async with self._news:
            self._count()
            self._drawn_version = self.version
            self._news.notify_all()
        for thread in (self._thread, self._beside):
            thread.shutdown(wait=False, cancel_futures=True)

    def _with_fetched(self, draft: Draft) -> Draft:
        """The draft with the files that it newly names, if they lie in the folder; known as saved from then on."""
        names = named_files(draft.job)
        if all(name in draft.files or name in draft.unread for name in names):
            return draft
        texts, unread = self.folder.fetch(names)
        fresh = {name: text for name, text in texts.items() if name not in draft.files}
        self.saved = replace(self.saved, files=MappingProxyType({**fresh, **self.saved.files}))
        return Draft(draft.job, MappingProxyType({**draft.files, **fresh}), MappingProxyType(unread))

    def _adopt(self, there: Draft) -> None:
        self.saved, self.theirs = there, None
        self._set_history(self.history.then(there))

    def _set_trouble(self, words: str) -> None:
        if self.trouble != words:
            self.trouble = words
            self._count()

    def _set_theirs(self, there: Draft | None) -> None:
        if there != self.theirs:
            self.theirs = there
            self._count()

    def _set_history(self, history: History) -> None:
        self.history = history
        self._call_off()  # it would be of what is not wanted any more
        self._count()

    def _count(self) -> None:
        """One version more, of which whoever saves must have known."""
        self.version += 1
        self._since = self.version
