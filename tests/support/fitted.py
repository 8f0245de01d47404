"""Jobs carried through whose traces are each fitted once: a fit is a plain value, and costs more than all the rest."""

from functools import lru_cache, partial

from plategen.job import Job
from plategen.make import carry_through, fit_rail
from plategen.rail.fit import fit_trace
from plategen.rail.trace import Trace
from plategen.work import Work

_fit = lru_cache(maxsize=None)(fit_trace)  # those of every example, its mirror image and the other unit at once

rail_of = partial(fit_rail, fit=_fit)
"""The rail of traces, each fitted once."""


def carried(job: Job, traces: tuple[Trace, ...]) -> Work:
    """What every command comes to; see :func:`plategen.make.carry_through`."""
    return carry_through(job, traces, rail_of=rail_of, fit=_fit)
