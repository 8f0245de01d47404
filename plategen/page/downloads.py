"""The files of the job as it was last saved, made by a process of its own and kept until it is saved anew.

The page goes on answering while the solid kernel works. Run as ``python -m plategen.page.downloads``, this file reads
a job's texts on standard input as JSON and writes a line of JSON and then a ZIP of the files. What is made is what
``plategen make`` writes into a new folder, byte for byte.
"""

import asyncio
import io
import os
import sys
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field

import msgspec

from plategen.ground.refusal import Refusal
from plategen.page.disk import fingerprint
from plategen.page.draft import Draft

MOST_TIME_S = 240.0
"""Files that take longer are given up."""


class Order(msgspec.Struct, frozen=True, kw_only=True):
    """What the process is to make: a job's texts and the job file's name, with solids or without, on which paper."""

    job: str
    files: dict[str, str]
    job_file: str
    solid: bool
    paper: str


class Reply(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What the process says before the ZIP: why a file is missing, by name; or why the job is refused, and where."""

    missing: dict[str, str] = {}
    refused: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class Made:
    """The files of one draft in one ZIP, and why a file could not be made, by its name."""

    zip: bytes
    missing: Mapping[str, str]

    def file(self, name: str) -> bytes:
        """One of the files.

        Raises:
            Refusal: It could not be made.
        """
        if name in self.missing:
            raise Refusal(self.missing[name], name)
        with zipfile.ZipFile(io.BytesIO(self.zip)) as whole:
            return whole.read(name)


@dataclass(slots=True)
class Downloads:
    """What was made of the draft that was saved last, with solids and without, on each paper that was asked for."""

    job_file: str
    _fingerprint: str = ""
    _tasks: dict[tuple[bool, str], asyncio.Task[Made]] = field(default_factory=dict)

    async def of(self, draft: Draft, *, solid: bool, paper: str) -> Made:
        """The files of a draft, with what the solid kernel makes and measures or without.

        Raises:
            Refusal: The job is refused, or took too long.
        """
        if (now := fingerprint(draft)) != self._fingerprint:
            self.forget()
            self._fingerprint = now
        key = solid, paper
        before = self._tasks.get(key)
        if before is None or (before.done() and (before.cancelled() or before.exception() is not None)):
            texts = dict(draft.files)
            order = Order(job=draft.job, files=texts, job_file=self.job_file, solid=solid, paper=paper)
            self._tasks[key] = asyncio.create_task(_make(order))
        return await asyncio.shield(self._tasks[key])

    def forget(self) -> None:
        """Let go of what is made or being made."""
        for task in self._tasks.values():
            task.cancel()
        self._tasks.clear()


async def _make(order: Order) -> Made:
    """Have the files made by a process of their own."""
    process = await asyncio.create_subprocess_exec(
        sys.executable, "-m", __name__,
        stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.DEVNULL,
    )  # fmt: skip
    try:
        out, _ = await asyncio.wait_for(process.communicate(msgspec.json.encode(order)), MOST_TIME_S)
    except TimeoutError:
        raise Refusal(f"took longer than {MOST_TIME_S:.0f} s; run `plategen make` instead", "the files") from None
    finally:
        if process.returncode is None:
            process.kill()
            await process.wait()
    head, _, data = out.partition(b"\n")
    try:
        reply = msgspec.json.decode(head, type=Reply)
    except msgspec.DecodeError:
        raise Refusal("could not be made; run `plategen make` to see why", "the files") from None
    if reply.refused:
        raise Refusal(reply.refused, reply.where)
    return Made(data, reply.missing)


def _answer(order: Order) -> bytes:
    """What the process writes: the reply, and the files."""
    from plategen.delivery.deliver import first_files
    from plategen.delivery.zipped import zipped
    from plategen.page.draft import redraw

    try:
        drawn = redraw(Draft(order.job, order.files), job_file=order.job_file)
        if drawn.refusal is not None:
            raise drawn.refusal
        assert drawn.work is not None  # what is not refused is drawn
        rendered = first_files(drawn.work, paper=order.paper, solid=order.solid)
    except Refusal as refusal:
        return msgspec.json.encode(Reply(refused=refusal.what, where=refusal.where)) + b"\n"
    return msgspec.json.encode(Reply(missing=dict(rendered.missing))) + b"\n" + zipped(rendered.files)


def main() -> None:
    """Read an order, write its files; see the top of this file."""
    if hasattr(os, "nice"):
        os.nice(10)  # the page's own process goes first
    order = msgspec.json.decode(sys.stdin.buffer.read(), type=Order)
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not get between the bytes
    out.write(_answer(order))
    out.close()


if __name__ == "__main__":
    main()
