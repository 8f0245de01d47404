"""What takes its seconds, done by a process of its own beside the page: it tells how far it is, and can be called off.

The process runs a module of this room that calls :func:`serve`: it is given an order and the bytes that belong to it,
and answers with steps, as many as it likes, and at the end with a reply and the bytes that belong to that.
"""

import asyncio
import contextlib
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass, field

from plategen.ground.refusal import Refusal
from plategen.page.photo_process import HEAD, part, read_part

STEP, REPLY = b"s", b"r"
"""What a message of the process begins with: a step it has come to, or the reply."""

Say = Callable[[str, float], None]
"""Told what is being done, and which share of the whole is done."""


@dataclass(eq=False)
class Errand:
    """One process at work."""

    step: str = "beginning"
    share: float = 0.0  # Of the whole that is done; 0 to 1.
    _task: "asyncio.Task[tuple[bytes, bytes]] | None" = field(default=None, repr=False)

    @classmethod
    def begin(cls, module: str, order: bytes, data: bytes = b"", *, name: str, most_time_s: float) -> "Errand":
        """Send a process on it; ``name`` is what is refused where it takes too long or fails."""
        errand = cls()
        errand._task = asyncio.create_task(errand._run(module, part(order) + part(data), name, most_time_s))
        errand._task.add_done_callback(lambda task: task.cancelled() or task.exception())  # heard, or nobody asks
        return errand

    @property
    def done(self) -> bool:
        """Whether it has ended, well or not."""
        return self._task is not None and self._task.done()

    @property
    def failed(self) -> bool:
        """Whether it has ended without an answer."""
        return self._task is not None and self.done and (self._task.cancelled() or self._task.exception() is not None)

    async def answer(self) -> tuple[bytes, bytes]:
        """The reply and its bytes, once they are there.

        Raises:
            Refusal: It was called off, took too long, or failed.
        """
        assert self._task is not None
        try:
            return await asyncio.shield(self._task)
        except asyncio.CancelledError:
            if self._task.cancelled():
                raise Refusal("called off; ask once more to have it after all") from None
            raise

    def stop(self) -> None:
        """Call it off; the process ends."""
        if self._task is not None:
            self._task.cancel()

    async def _run(self, module: str, told: bytes, name: str, most_time_s: float) -> tuple[bytes, bytes]:
        process = await asyncio.create_subprocess_exec(
            sys.executable, "-m", module,
            stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.DEVNULL,
        )  # fmt: skip
        try:
            return await asyncio.wait_for(self._heard(process, told), most_time_s)
        except TimeoutError:
            raise Refusal(f"took longer than {most_time_s:.0f} s; use the command instead", name) from None
        except (OSError, ValueError, EOFError):
            raise Refusal("could not be made; use the command to see why", name) from None
        finally:
            if process.returncode is None:
                with contextlib.suppress(ProcessLookupError):
                    process.kill()
                await process.wait()

    async def _heard(self, process: asyncio.subprocess.Process, told: bytes) -> tuple[bytes, bytes]:
        to, back = process.stdin, process.stdout
        assert to is not None
        assert back is not None
        to.write(told)
        await to.drain()

        async def one_part() -> bytes:
            return await back.readexactly(int(await back.readexactly(HEAD)))

        while await back.readexactly(1) == STEP:
            share, _, self.step = (await one_part()).decode().partition(" ")
            self.share = float(share)
        return await one_part(), await one_part()


def serve(act: Callable[[bytes, bytes, Say], tuple[bytes, bytes]]) -> None:
    """Be the process: read the order and its bytes, have them acted on, write what comes of it."""
    if hasattr(os, "nice"):
        os.nice(10)  # the page's own process goes first
    order, data = (read_part(sys.stdin.buffer) for _ in range(2))
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not get between the bytes

    def say(words: str, share: float) -> None:
        out.write(STEP + part(f"{share:.4f} {words}".encode()))
        out.flush()

    reply, answered = act(order, data, say)
    out.write(REPLY + part(reply) + part(answered))
    out.close()
