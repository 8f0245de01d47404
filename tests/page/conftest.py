"""A job folder of one's own, the page served on it by the real command, and a real browser to look at it."""

import contextlib
import shutil
import socket
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest

from tests.support.warm_server import Server

pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")

PROFILES = Path(__file__).parents[2] / "profiles"


@dataclass
class Served:
    """A page that is being served."""

    folder: Path
    port: int
    process: Server
    ended: bool = False
    """Set by a test that ends the server itself."""

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def client(self) -> httpx.Client:
        return httpx.Client(base_url=self.url, timeout=150.0, trust_env=False)

    def post(self, path: str, told: dict) -> httpx.Response:
        with self.client() as client:
            return client.post(path, json=told)

    def version(self) -> int:
        return self.post("/state", {}).json()["version"]


def free_port() -> int:
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        return sock.getsockname()[1]


@contextlib.contextmanager
def serving(folder: Path | None, *words: str, cwd: Path | None = None, port: int = 0) -> Iterator[Served]:
    """The real command on a folder, as a process of its own."""
    port = port or free_port()
    command = ["page", *([str(folder)] if folder else []), "--port", str(port), *words]
    process = Server(command, cwd)
    try:
        for _ in range(1500):
            if process.poll() is not None:
                raise AssertionError(process.stdout.read())
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
                break
            time.sleep(0.02)
        page = Served(folder or Path(), port, process)
        yield page
        assert page.ended or process.poll() is None, "the server is still there"
    finally:
        process.terminate()
        process.wait(20)
        process.stdout.close()


@pytest.fixture
def job(tmp_path) -> Path:
    folder = tmp_path / "sprayer"
    shutil.copytree(PROFILES / "sprayer-kicked-rail", folder)
    return folder


@pytest.fixture
def served(job) -> Iterator[Served]:
    with serving(job) as page:
        yield page


@pytest.fixture(scope="module")
def standing(tmp_path_factory) -> Iterator[Served]:
    """A page for all tests of a file that change nothing, or put back what they change."""
    folder = tmp_path_factory.mktemp("standing") / "sprayer"
    shutil.copytree(PROFILES / "sprayer-kicked-rail", folder)
    with serving(folder) as page:
        yield page
