"""The job file: what it holds, typed, and how it is read."""

from plategen.job.job import Job
from plategen.job.quantities import Table

__all__ = ["Job", "Table"]
