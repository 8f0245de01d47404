"""Every example job carried through once, for tests that look at all of them."""

from functools import cache
from pathlib import Path

from plategen.job.load import LoadedJob, load_job
from plategen.make import carry_through
from plategen.work import Work

PROFILES = Path(__file__).parents[2] / "profiles"
EXAMPLES = tuple(sorted(path.name for path in PROFILES.iterdir() if (path / "job.toml").is_file()))


@cache
def loaded_of(name: str) -> LoadedJob:
    """One example as its files hold it."""
    return load_job(PROFILES / name)


@cache
def work_of(name: str) -> Work:
    """The finished job of one example."""
    loaded = loaded_of(name)
    return carry_through(loaded.job, loaded.traces)
