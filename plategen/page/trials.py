"""What is being tried with the open job, each by an errand of its own; the last few answers are kept."""

import io
import secrets
import zipfile
from dataclasses import dataclass, field

import msgspec

from plategen.ground.refusal import Refusal
from plategen.page.edits import Stale
from plategen.page.errand import Errand
from plategen.page.trial_order import Order, Reply

MOST_OPEN = 4
"""Trials whose answers are kept; one more puts the oldest away."""

MOST_TIME_S = 180.0
"""A trial that takes longer is given up."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of a trial: its reply, and a ZIP of files where there are any."""

    reply: Reply
    zip: bytes

    def file(self, name: str) -> bytes:
        """One of its files.

        Raises:
            Stale: There is none of that name.
        """
        if name not in self.reply.files:
            raise Stale("there is no such file")
        with zipfile.ZipFile(io.BytesIO(self.zip)) as whole:
            return whole.read(name)


@dataclass
class Trials:
    """All trials that are open, by the secret name under which their tab asks for them."""

    _open: dict[str, Errand] = field(default_factory=dict)

    def begin(self, order: Order, data: bytes = b"") -> str:
        """Begin one; its name."""
        while len(self._open) >= MOST_OPEN:
            self.stop(next(iter(self._open)))
        name = secrets.token_urlsafe(12)
        told = msgspec.json.encode(order)
        module = "plategen.page.trial_process"
        self._open[name] = Errand.begin(module, told, data, name="this trial", most_time_s=MOST_TIME_S)
        return name

    def of(self, name: str) -> Errand:
        """The trial of that name.

        Raises:
            Stale: It was put away.
        """
        if name not in self._open:
            raise Stale("this was put away; ask for it once more")
        return self._open[name]

    async def tried(self, name: str) -> Tried:
        """What came of a trial, once it is done; a refusal is a reply too.

        Raises:
            Stale: It was put away.
        """
        try:
            reply, files = await self.of(name).answer()
        except Refusal as refusal:
            return Tried(Reply(refused=str(refusal)), b"")
        return Tried(msgspec.json.decode(reply, type=Reply), files)

    def stop(self, name: str) -> None:
        """Call a trial off, or put its answer away."""
        errand = self._open.pop(name, None)
        if errand is not None:
            errand.stop()

    def forget(self) -> None:
        """Put all away."""
        for name in list(self._open):
            self.stop(name)
