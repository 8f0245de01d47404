"""The files of the job as it was last saved, made by a process of its own and kept until it is saved anew.

The page goes on answering while the solid kernel works, tells how far it is, and can call it off. What is made is what
``plategen make`` writes into a new folder, byte for byte.
"""

import io
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field

import msgspec

from plategen.ground.refusal import Refusal
from plategen.page.disk import fingerprint
from plategen.page.draft import Draft
from plategen.page.errand import Errand, Say, serve

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
    """What the process says beside the ZIP: why a file is missing, by name; or why the job is refused, and where."""

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
    _errands: dict[tuple[bool, str], Errand] = field(default_factory=dict)

    def begin(self, draft: Draft, *, solid: bool, paper: str) -> Errand:
        """Have the files of a draft made, unless they are or are being: with what the solid kernel makes or without."""
        if (now := fingerprint(draft)) != self._fingerprint:
            self.forget()
            self._fingerprint = now
        key = solid, paper
        before = self._errands.get(key)
        if before is None or before.failed:
            order = Order(job=draft.job, files=dict(draft.files), job_file=self.job_file, solid=solid, paper=paper)
            told = msgspec.json.encode(order)
            self._errands[key] = Errand.begin(__name__, told, name="the files", most_time_s=MOST_TIME_S)
        return self._errands[key]

    async def of(self, draft: Draft, *, solid: bool, paper: str) -> Made:
        """The files of a draft, with what the solid kernel makes and measures or without.

        Raises:
            Refusal: The job is refused, took too long or was called off.
        """
        told, data = await self.begin(draft, solid=solid, paper=paper).answer()
        reply = msgspec.json.decode(told, type=Reply)
        if reply.refused:
            raise Refusal(reply.refused, reply.where)
        return Made(data, reply.missing)

    def forget(self) -> None:
        """Let go of what is made, and call off what is being made."""
        for errand in self._errands.values():
            errand.stop()
        self._errands.clear()


def _answer(told: bytes, _: bytes, say: Say) -> tuple[bytes, bytes]:
    """What the process writes: the reply, and the files."""
    from plategen.delivery.deliver import first_files
    from plategen.delivery.zipped import zipped
    from plategen.page.draft import redraw

    def step(words: str) -> None:
        number, _, rest = words.partition(" of ")
        share = int(number) / int(rest.partition(":")[0]) if number.isdecimal() else 0.0
        say(words, share)

    order = msgspec.json.decode(told, type=Order)
    try:
        drawn = redraw(Draft(order.job, order.files), job_file=order.job_file)
        if drawn.refusal is not None:
            raise drawn.refusal
        assert drawn.work is not None  # what is not refused is drawn
        rendered = first_files(drawn.work, paper=order.paper, solid=order.solid, step=step)
    except Refusal as refusal:
        return msgspec.json.encode(Reply(refused=refusal.what, where=refusal.where)), b""
    return msgspec.json.encode(Reply(missing=dict(rendered.missing))), zipped(rendered.files)


if __name__ == "__main__":
    serve(_answer)
