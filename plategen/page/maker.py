"""The files of a job, made by a process of its own: the page goes on answering while the solid kernel works.

Run as ``python -m plategen.page.maker``: a job's texts come in on standard input as JSON, and a line of JSON and then a
ZIP of the files go out. What is made is what ``plategen make`` writes into a new folder, byte for byte.
"""

import asyncio
import io
import json
import os
import sys
import zipfile
from dataclasses import dataclass

from plategen.ground.refusal import Refusal
from plategen.page.draft import Draft

OLDEST = (1980, 1, 1, 0, 0, 0)
"""The time on every file in the ZIP, the earliest it can hold: the same job gives the same bytes."""

MOST_TIME_S = 240.0
"""Files that take longer are given up."""


@dataclass(frozen=True, slots=True)
class Made:
    """The files of one draft.

    Args:
        zip: All of them in one ZIP.
        names: Their names, in the order they are listed for people.
        missing: A line for each that could not be made.
    """

    zip: bytes
    names: tuple[str, ...]
    missing: tuple[str, ...]

    def file(self, name: str) -> bytes:
        """One of the files; KeyError if there is none of that name."""
        with zipfile.ZipFile(io.BytesIO(self.zip)) as whole:
            return whole.read(name)


async def make(draft: Draft, job_file: str, *, solid: bool, paper: str = "letter") -> Made:
    """Have the files made.

    Args:
        draft: The job's texts.
        job_file: Name of the job file, for messages.
        solid: With the files that the solid kernel makes.
        paper: Paper of the template.

    Raises:
        Refusal: The job is refused, or took too long.
    """
    told = {"job": draft.job, "files": dict(draft.files), "name": job_file, "solid": solid, "paper": paper}
    process = await asyncio.create_subprocess_exec(
        sys.executable, "-m", __name__,
        stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.DEVNULL,
    )  # fmt: skip
    try:
        out, _ = await asyncio.wait_for(process.communicate(json.dumps(told).encode()), MOST_TIME_S)
    except TimeoutError:
        raise Refusal(f"took longer than {MOST_TIME_S:.0f} s; run `plategen make` instead", "the files") from None
    finally:
        if process.returncode is None:
            process.kill()
            await process.wait()
    head, _, data = out.partition(b"\n")
    try:
        said = json.loads(head)
    except ValueError:
        raise Refusal("could not be made; run `plategen make` to see why", "the files") from None
    if "refused" in said:
        raise Refusal(said["refused"], said["where"])
    return Made(data, tuple(said["names"]), tuple(said["missing"]))


def _made(told: dict[str, object]) -> tuple[dict[str, bytes], tuple[str, ...]]:
    from plategen.delivery.deliver import first_files
    from plategen.page.redraw import redraw

    files = told["files"]
    assert isinstance(files, dict)
    drawn = redraw(Draft(str(told["job"]), files), job_file=str(told["name"]))
    if drawn.refusal is not None:
        raise drawn.refusal
    assert drawn.work is not None
    return first_files(drawn.work, paper=str(told["paper"]), solid=bool(told["solid"]))


def _zipped(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as whole:
        for name, data in files.items():
            whole.writestr(zipfile.ZipInfo(name, OLDEST), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def main() -> None:
    """Read a job, write its files; see the top of this file."""
    if hasattr(os, "nice"):
        os.nice(10)  # the page's own process goes first
    told = json.loads(sys.stdin.buffer.read())
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not get between the bytes
    try:
        files, missing = _made(told)
    except Refusal as refusal:
        out.write(json.dumps({"refused": refusal.what, "where": refusal.where}).encode() + b"\n")
    else:
        out.write(json.dumps({"names": list(files), "missing": missing}).encode() + b"\n" + _zipped(files))
    out.close()


if __name__ == "__main__":
    main()
