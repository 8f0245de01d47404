"""Every example job carried through once, for tests that look at all of them."""

from functools import cache
from pathlib import Path

from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.work import Work

PROFILES = Path(__file__).parents[2] / "profiles"
EXAMPLES = tuple(sorted(path.name for path in PROFILES.iterdir() if (path / "job.toml").is_file()))


@cache
def work_of(name: str) -> Work:
    """The finished job of one example."""
    loaded = load_job(PROFILES / name)
    return carry_through(loaded.job, loaded.traces)
