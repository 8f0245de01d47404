"""Every example job and starter carried through once, for tests that look at all of them."""

from functools import cache
from pathlib import Path
from typing import get_args

from plategen.delivery.starter import Start, starter_texts
from plategen.job.load import JOB_FILE, LoadedJob, job_of, load_job
from plategen.make import carry_through
from plategen.work import Work

PROFILES = Path(__file__).parents[2] / "profiles"
EXAMPLES = tuple(sorted(path.name for path in PROFILES.iterdir() if (path / "job.toml").is_file()))

STARTERS = {f"start-{start}": start for start in get_args(Start)}
"""The folders that ``plategen start`` lays out, by names of ours, in inches, whose words are the longer ones."""


@cache
def loaded_of(name: str) -> LoadedJob:
    """One example as its files hold it, or one starter."""
    if name not in STARTERS:
        return load_job(PROFILES / name)
    texts = starter_texts("in", STARTERS[name])
    return job_of(texts[JOB_FILE], texts.__getitem__)


@cache
def work_of(name: str) -> Work:
    """The finished job of one example."""
    loaded = loaded_of(name)
    return carry_through(loaded.job, loaded.traces)
