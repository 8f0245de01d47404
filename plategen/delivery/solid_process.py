"""The solid kernel at work in a process of its own, beside everything that needs no solids.

The kernel takes most of a second to load and as long to build: with a second core that is time saved. The process runs
:mod:`plategen.delivery.solid_server`; the same bytes and the same refusals come from it as are made without it, and
whoever asks makes for himself what does not come.
"""

import contextlib
import copyreg
import io
import pickle
import subprocess
import sys
import threading
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from plategen.ground.refusal import Refusal

if TYPE_CHECKING:
    from plategen.work import Work

CLEARANCES, ROD_END_CLEARANCES = "clearances", "clearances at the rod's end"
"""What the clearances are called among the answers."""


class SolidProcess:
    """A process that loads the solid kernel at once and waits for a job; leave the block and it ends."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-m", "plategen.delivery.solid_server"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self._answers: dict[str, Any] = {}
        self._sent: threading.Thread | None = None

    def __enter__(self) -> "SolidProcess":
        return self

    def __exit__(self, *_: object) -> None:
        self._process.kill()
        self._process.wait()
        if self._sent is not None:
            self._sent.join()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()

    def begin(self, work: "Work") -> None:
        """Hand over the job. Only one is taken."""
        self._sent = threading.Thread(target=self._send, args=(pickled(work),), daemon=True)
        self._sent.start()

    def answer(self, name: str) -> Any:
        """The clearances, or the bytes of the file of that name; None where the process failed.

        Raises:
            Refusal: That which making it here would raise.
        """
        stream = self._process.stdout
        while name not in self._answers:
            try:
                assert stream is not None
                key, value = pickle.load(stream)
            except (EOFError, pickle.UnpicklingError, OSError):
                return None
            self._answers[key] = value
        answer = self._answers[name]
        if isinstance(answer, Refusal):
            raise answer
        return answer

    def _send(self, data: bytes) -> None:
        stream = self._process.stdin
        assert stream is not None
        with contextlib.suppress(OSError, ValueError):  # it ended: then nothing comes, and that is heard
            stream.write(data)
            stream.close()


def pickled(value: object) -> bytes:
    """A value pickled, mappings that cannot be written included."""
    stream = io.BytesIO()
    pickler = pickle.Pickler(stream, pickle.HIGHEST_PROTOCOL)
    pickler.dispatch_table = {**copyreg.dispatch_table, MappingProxyType: lambda view: (_view, (dict(view),))}
    pickler.dump(value)
    return stream.getvalue()


def _view(mapping: dict[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(mapping)
