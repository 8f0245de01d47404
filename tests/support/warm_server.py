"""The command that serves the page, in processes that split off from one which has its modules loaded already.

They are the command's own, with their arguments, folder and output, but begin in a tenth of the time.
"""

import os
import signal
import sys
from collections.abc import Mapping, Sequence
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path

CONTEXT = get_context("forkserver")
CONTEXT.set_forkserver_preload(
    [__name__, "plategen.cli", "plategen.commands.page", "plategen.page.serve", "uvicorn.loops.auto"]
    + [f"uvicorn.protocols.{name}" for name in ("http.auto", "websockets.auto")]
    + ["uvicorn.lifespan.on", "plategen.tell.sheet.sheet", "plategen.delivery.manifest", "anyio._backends._asyncio"]
)


def _run(words: Sequence[str], cwd: Path | None, environment: Mapping[str, str], says: Connection) -> None:
    """The command in an environment, with what it says going into the pipe."""
    os.environ.clear()
    os.environ.update(environment)
    for stream in (1, 2):
        os.dup2(says.fileno(), stream)
    os.chdir(cwd or Path())
    sys.argv = ["plategen", *words]
    from plategen.cli import main

    main()


class Server:
    """A command that runs, with what a :class:`subprocess.Popen` has that tests ask of one."""

    def __init__(self, words: Sequence[str], cwd: Path | None) -> None:
        read, write = CONTEXT.Pipe(duplex=False)
        self._process = CONTEXT.Process(target=_run, args=(words, cwd or Path.cwd(), dict(os.environ), write))
        self._process.start()
        write.close()
        self.stdout = os.fdopen(os.dup(read.fileno()), encoding="utf-8")
        read.close()

    @property
    def pid(self) -> int:
        assert self._process.pid is not None
        return self._process.pid

    def poll(self) -> int | None:
        return self._process.exitcode

    def wait(self, timeout_s: float) -> int | None:
        self._process.join(timeout_s)
        return self._process.exitcode

    def send_signal(self, which: int) -> None:
        if self._process.is_alive():
            os.kill(self.pid, which)

    def terminate(self) -> None:
        self.send_signal(signal.SIGTERM)
