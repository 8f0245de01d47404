"""The steering part of a job file: read alone, so that a steering can be studied before there is a rail or a bracket."""

from plategen.job.cylinder import Cylinder
from plategen.job.job import Job
from plategen.job.parse import parse_document
from plategen.job.quantities import Table
from plategen.job.schema import fields
from plategen.job.steering import Steering
from plategen.refusal import Refusal
from plategen.unit import Units
