"""Jobs carried through whose traces are each fitted once: a fit is a plain value, and costs more than all the rest."""

from functools import lru_cache, partial

from plategen.job import Job
from plategen.make import carry_through, fit_rail
from plategen.rail.fit import fit_trace
from plategen.rail.trace import Trace
from plategen.work import Work

rail_of = partial(fit_rail, fit=lru_cache(maxsize=32)(fit_trace))
"""The rail of traces, each fitted once."""


def carried(job: Job, traces: tuple[Trace, ...]) -> Work:
    """What every command comes to; see :func:`plategen.make.carry_through`."""
    return carry_through(job, traces, rail_of=rail_of)
