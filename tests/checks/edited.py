"""An example job with some of its lines changed: for checks that the bench has no parts for."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from plategen.checks.finding import Finding
from plategen.ground.cure import Change
from plategen.job.change import changed
from plategen.job.load import read_text, read_traces
from plategen.job.parse import parse_job
from plategen.make import carry_through

PROFILES = Path(__file__).parents[2] / "profiles"


@dataclass(frozen=True)
class Edited:
    """A profile and what is changed in its job file: pairs of what stands there and what is to stand there."""

    profile: str
    changes: tuple[tuple[str, str], ...]
    traces: tuple[tuple[str, str], ...] = ()  # Texts that stand in place of the profile's trace files, by name.

    @property
    def text(self) -> str:
        """The job file, changed; every change must find its place."""
        text = (PROFILES / self.profile / "job.toml").read_text(encoding="utf-8")
        for old, new in self.changes:
            assert old in text, old
            text = text.replace(old, new, 1)
        return text

    def findings(self, changes: tuple[Change, ...] = ()) -> tuple[Finding, ...]:
        """What the whole way says of it, or of it with the keys changed that a cure changes."""
        return _findings(self.profile, self.text, changes, self.traces)


@cache
def _findings(
    profile: str, text: str, changes: tuple[Change, ...], files: tuple[tuple[str, str], ...]
) -> tuple[Finding, ...]:
    job = changed(parse_job(text), changes)
    given = dict(files)
    traces = read_traces(job, lambda name: given.get(name) or read_text(PROFILES / profile / name, 1_000_000, name))
    return carry_through(job, traces).findings
