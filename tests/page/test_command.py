"""``plategen page`` itself: refusals in one line, and an end that loses nothing."""

import signal
import socket
import subprocess
import sys

import pytest
from click.testing import CliRunner

from plategen.cli import main
from tests.page.conftest import serving


def refused(*words: str) -> str:
    result = CliRunner().invoke(main, ["page", *words])
    assert result.exit_code == 2, result.output
    assert len(result.stderr.splitlines()) == 1
    assert "Traceback" not in result.output
    return result.stderr


def test_where_there_is_no_job(tmp_path):
    assert "left out, the page begins a new job" in refused(str(tmp_path / "nowhere"))
    assert list(tmp_path.iterdir()) == []


def test_a_job_file_that_is_no_toml(job):
    (job / "job.toml").write_text("units = [[[")
    assert "job.toml" in refused(str(job))


def test_a_port_that_is_taken(job):
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        sock.listen()
        assert "is taken" in refused(str(job), "--port", str(sock.getsockname()[1]))


@pytest.mark.parametrize("port", ["0", "70000", "x"])
def test_a_port_that_is_none(job, port):
    refused(str(job), "--port", port)


def test_its_help_loads_no_server():
    code = (
        "import sys\nfrom click.testing import CliRunner\nfrom plategen.cli import main\n"
        "assert CliRunner().invoke(main, ['page', '--help']).exit_code == 0\n"
        "sys.exit(any(name in sys.modules for name in ('uvicorn', 'starlette', 'tomlkit', 'numpy')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_ended_with_something_unsaved_it_says_so_and_keeps_it(job):
    with serving(job) as page:
        page.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}]})
        page.process.send_signal(signal.SIGINT)
        assert page.process.wait(20) == 0
        page.ended = True
        told = page.process.stdout.read()
    assert "sprayer: not saved: job.toml; kept for the next" in told
    assert "Traceback" not in told
    with serving(job) as page:
        assert "Not saved: job.toml" in page.post("/state", {}).json()["parts"]["head"]["text"]
        assert page.post("/undo", {}).status_code == 200
        assert "Not saved" not in page.post("/state", {}).json()["parts"]["head"]["text"]
