"""The page's save killed at random moments: ``python -m tests.rugged.save_kill [--times N] [--seed N]``.

Each time a process saves a job and its two traces again and again, every text of one number, and is killed. Of every
file the folder must then hold a whole text, and never a trace that is newer than the job file; the next page on it
finds job and traces of one save, and leaves nothing lying. Exit status 1 where that does not hold.
"""

import argparse
import os
import random
import re
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from plategen.page.disk import Folder
from tests.rugged.program import ROOT

PROFILE = ROOT / "profiles" / "sprayer-kicked-rail"


def _save_on(path: Path) -> None:
    """Save again and again until killed, the page's file of what is not saved among it."""
    folder = Folder(path)
    draft = folder.read()
    job, files = draft.job, dict(draft.files)
    for number in range(1, 1_000_000):
        mark = f"# save {number}\n"
        now = replace(draft, job=job + mark, files=MappingProxyType({n: t + mark for n, t in files.items()}))
        folder.autosave(now)
        draft = folder.save(now, draft)


def killed(times: int, home: Path, seed: int) -> Counter[str]:
    """Kill so many savers; how many of them left what.

    Raises:
        AssertionError: A file is half, a trace is newer than its job, or something is left lying.
    """
    chance, found, saved = random.Random(seed), Counter[str](), 0
    names = tuple(sorted(path.name for path in PROFILE.iterdir() if path.suffix in (".toml", ".csv")))
    old = {name: (PROFILE / name).read_text() for name in names}
    for trial in range(times):
        folder = home / f"job {trial}"
        shutil.copytree(PROFILE, folder)
        saver = os.fork()
        if saver == 0:
            try:
                _save_on(folder)
            finally:
                os._exit(1)  # nothing of what called this goes on in the child
        time.sleep(chance.uniform(0.0, 0.15))
        os.kill(saver, signal.SIGKILL)
        os.waitpid(saver, 0)
        saves = {name: _save_of((folder / name).read_text(), old[name], folder / name) for name in names}
        assert all(saves["job.toml"] >= number for number in saves.values()), f"{folder}: {saves}, a trace is newer"
        saved = max(saved, *saves.values())
        apart = len(set(saves.values())) > 1
        found["between two files, finished by the next page" if apart else "between two saves"] += 1
        Folder(folder).tidy()
        left = [path.name for path in folder.iterdir() if path.name.endswith(".part") or "plategen-save" in path.name]
        assert not left, f"{folder}: {left}"
        after = {_save_of((folder / name).read_text(), old[name], folder / name) for name in names}
        assert len(after) == 1, f"{folder}: {after}, not of one save"
        shutil.rmtree(folder)
    assert saved > 1, "nothing was saved at all"
    return found


def _save_of(text: str, old: str, file: Path) -> int:
    """The number of the save that wrote a text, 0 for none; a text that is not whole is refused."""
    if text == old:
        return 0
    last = re.fullmatch(re.escape(old) + r"# save (\d+)\n", text)
    assert last, f"{file} is half"
    return int(last[1])


def main() -> int:
    """Kill as often as asked; the exit status."""
    parser = argparse.ArgumentParser(prog="python -m tests.rugged.save_kill", description=__doc__)
    parser.add_argument("--times", type=int, default=200, help="kills")
    parser.add_argument("--seed", type=int, default=2611)
    asked = parser.parse_args()
    home = Path(tempfile.mkdtemp(prefix="save-killed-"))
    try:
        found = killed(asked.times, home, asked.seed)
    except AssertionError as failure:
        print(f"FAILED (seed {asked.seed}): {failure}", file=sys.stderr)
        return 1
    print(f"killed {asked.times} times: {', '.join(f'{n} {what}' for what, n in sorted(found.items()))}; no file half")
    shutil.rmtree(home)
    return 0


if __name__ == "__main__":
    sys.exit(main())
