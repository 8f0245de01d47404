"""Photographs that are open on the page, each trace's with a process of its own that reads them.

What is sent is kept nowhere else: a process ends when its readings are taken or put away, when nobody asks anything of
it for a while, when it takes too long, and with the page.
"""

import asyncio
import contextlib
import secrets
import sys
from dataclasses import dataclass, field

import msgspec

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.page.edits import Stale
from plategen.page.photo_process import HEAD, Answer, Order, part
from plategen.page.request import PhotoRead

MOST_OPEN = 2
"""Traces whose photographs are open at once; one more puts the oldest away."""

MOST_TIME_S, IDLE_S = 90.0, 900.0
"""A process that takes longer over an answer is given up, and one that nobody asks for so long is ended."""

MOST_NAME = 80
"""Signs of a photograph's name that are shown."""

GONE = "these photographs were put away; choose them once more"
"""What is said of photographs that are not open any more."""


@dataclass(eq=False)
class Photographs:
    """The photographs of one trace, and what was read off them last."""

    file: str
    was: str  # The trace's text when they were opened.
    process: asyncio.subprocess.Process
    number: int = 0  # Of the last answer.
    answer: Answer = field(default_factory=Answer)
    picture: bytes = b""
    picture_number: int = 0
    size_px: tuple[int, int] = (0, 0)
    _busy: asyncio.Lock = field(default_factory=asyncio.Lock)
    _timer: asyncio.TimerHandle | None = None

    async def ask(self, order: Order, data: bytes = b"") -> Answer:
        """What the process answers.

        Raises:
            Refusal: It refuses and has nothing to show, or is gone.
        """
        async with self._busy:
            self._wait()
            try:
                answer, jpeg = await asyncio.wait_for(self._asked(order, data), MOST_TIME_S)
            except TimeoutError:
                self.close()
                raise Refusal(
                    f"took longer than {MOST_TIME_S:.0f} s; send a smaller photograph", "the photograph"
                ) from None
            except (OSError, ValueError, EOFError, msgspec.MsgspecError):
                self.close()
                raise Refusal(
                    "could not be read, and the program that tried ended; send another", "the photograph"
                ) from None
        if answer.refused and not answer.ring:
            raise Refusal(answer.refused)
        if order.do == "read":
            self.number += 1
            self.answer = answer
            if jpeg:
                self.picture, self.picture_number, self.size_px = jpeg, self.number, (answer.wide, answer.tall)
        return answer

    async def _asked(self, order: Order, data: bytes) -> tuple[Answer, bytes]:
        to, back = self.process.stdin, self.process.stdout
        assert to is not None
        assert back is not None
        to.write(part(msgspec.json.encode(msgspec.structs.replace(order, size=len(data)))) + data)
        await to.drain()
        head = int(await back.readexactly(HEAD))
        answer = msgspec.json.decode(await back.readexactly(head), type=Answer)
        return answer, await back.readexactly(answer.size)

    def _wait(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
        self._timer = asyncio.get_running_loop().call_later(IDLE_S, self.close)

    def close(self) -> None:
        """End the process, and with it all it knows of the photographs."""
        if self._timer is not None:
            self._timer.cancel()
        with contextlib.suppress(ProcessLookupError):
            self.process.kill()

    @property
    def ended(self) -> bool:
        """Whether the process is gone."""
        return self.process.returncode is not None


@dataclass
class OpenPhotographs:
    """All photographs that are open, by the secret name under which their tab asks for them."""

    _open: dict[str, Photographs] = field(default_factory=dict)

    async def open(self, file: str, was: str) -> str:
        """Begin on a trace; the name of its photographs.

        Raises:
            Refusal: Photographs cannot be read here.
        """
        while len(self._open) >= MOST_OPEN:
            self.close(next(iter(self._open)))
        process = await asyncio.create_subprocess_exec(
            sys.executable, "-m", "plategen.page.photo_process",
            stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.DEVNULL,
        )  # fmt: skip
        name = secrets.token_urlsafe(12)
        self._open[name] = photographs = Photographs(file, was, process)
        try:
            await photographs.ask(Order(do="start"))
        except Refusal:
            self.close(name)
            raise
        return name

    def of(self, name: str) -> Photographs:
        """The photographs of that name.

        Raises:
            Stale: They were put away.
        """
        photographs = self._open.get(name)
        if photographs is None or photographs.ended:
            self._open.pop(name, None)
            raise Stale(GONE)
        return photographs

    async def add(self, name: str, called: str, data: bytes) -> Answer:
        """Take one more photograph in; how many pages it shows."""
        order = Order(do="picture", name=shown_name(called))
        return await self.of(name).ask(order, data)

    async def read(self, asked: PhotoRead, units: Units) -> Photographs:
        """Read the trace off the photographs that were taken in."""
        photographs = self.of(asked.id)
        order = Order(
            do="read", thickness=asked.thickness, bar=asked.bar, cross=asked.cross, units=units,
            corrections=asked.corrections,
        )  # fmt: skip
        await photographs.ask(order)
        return photographs

    def close(self, name: str) -> None:
        """Put the photographs of that name away."""
        photographs = self._open.pop(name, None)
        if photographs is not None:
            photographs.close()

    def forget(self) -> None:
        """Put all away."""
        for name in list(self._open):
            self.close(name)


def shown_name(called: str, otherwise: str = "photograph") -> str:
    """A sent file's name as words of one line: it is shown and written into what is made, and is the name of no file.

    >>> shown_name("yard/front.jpg"), shown_name(chr(10))
    ('front.jpg', 'photograph')
    """
    last = called.replace("\\", "/").rpartition("/")[2]
    return "".join(sign for sign in last if sign.isprintable())[:MOST_NAME].strip() or otherwise
