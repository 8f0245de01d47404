"""``make`` killed at random moments of its run: ``python -m tests.rugged.kill [--times N] [--solid N] [--seed N]``.

Each time an earlier delivery lies in the folder. After the kill nothing of it may be lost and no file may be half, and
the next run must finish what was begun; every second time that run is killed as well, and the one after it must. Exit
status 1, and the folder left to look at, when that does not hold.
"""

import argparse
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.rugged.program import PROFILE, ROOT, another_job, command, contents, make


def killed(times: int, home: Path, seed: int, *extra: str) -> Counter[str]:
    """Kill so many runs; how many of them with which part of the work done.

    Raises:
        AssertionError: A file was lost or half, or the next run did not finish.
    """
    chance, before, job = random.Random(seed), home / "before", another_job(home / "job")
    assert make(PROFILE, before, *extra).returncode in (0, 1)
    old = contents(before)
    shutil.copytree(before, home / "after")
    began = time.perf_counter()
    assert make(job, home / "after", *extra).returncode in (0, 1)
    takes = time.perf_counter() - began
    new = contents(home / "after")
    counts: Counter[str] = Counter()
    trials = 0
    while counts.total() < times:
        trials += 1
        folder = home / f"killed {trials}"
        shutil.copytree(before, folder)
        words = command("make", job, "--out", folder, *(extra or ("--no-solid",)))
        for again in ("", ", killed again")[: 1 + trials % 2]:
            # half of the kills fall on the last part of the run, where the files are written
            share = chance.uniform(0.0, 1.0) if chance.random() < 0.5 else chance.uniform(0.7, 1.0)
            with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as maker:
                time.sleep(share * takes)
                maker.send_signal(signal.SIGKILL)
            when = _checked(folder, old, new) + again
            counts[when] += maker.returncode == -signal.SIGKILL  # those that were quicker do not count
        assert make(job, folder, *extra).returncode in (0, 1), folder
        assert contents(folder) == new, folder
        assert contents(folder / "earlier" / "A") == old, folder
        shutil.rmtree(folder)
    return counts


def _checked(folder: Path, old: dict[str, bytes], new: dict[str, bytes]) -> str:
    """Hold the folder of a killed run to having lost nothing; how far the run had come."""
    everywhere = {path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    lost = [name for name, data in old.items() if data not in everywhere]
    assert not lost, f"{folder}: lost {lost}"
    now = contents(folder)
    half = [name for name, data in now.items() if data not in (old.get(name), new.get(name))]
    assert not half, f"{folder}: {half} neither old nor new"
    if now == new:
        return "with every file in place"
    return "before any file was in place" if now == old else "while files were put in place"


def main() -> int:
    """Kill as often as asked; the exit status."""
    parser = argparse.ArgumentParser(prog="python -m tests.rugged.kill", description=__doc__)
    parser.add_argument("--times", type=int, default=500, help="kills without the solid kernel")
    parser.add_argument("--solid", type=int, default=10, help="kills with it")
    parser.add_argument("--seed", type=int, default=int(time.time()))
    asked = parser.parse_args()
    home = Path(tempfile.mkdtemp(prefix="killed-"))
    try:
        for times, words in ((asked.times, ("--no-solid",)), (asked.solid, ("--paper", "letter"))):
            place = home / words[0].strip("-")
            place.mkdir()
            counts = killed(times, place, asked.seed, *words) if times else Counter()
            told = ", ".join(f"{count} {when}" for when, count in sorted(counts.items()))
            print(
                f"make {' '.join(words)}: killed {counts.total()} times: {told or 'none'}; nothing lost, no file half",
                flush=True,
            )
    except AssertionError as failure:
        print(f"FAILED (seed {asked.seed}): {failure}", file=sys.stderr)
        return 1
    shutil.rmtree(home)
    return 0


if __name__ == "__main__":
    sys.exit(main())
