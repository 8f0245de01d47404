"""The steering part of a job file, read alone: a steering is studied before there is a rail or a bracket."""

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.cylinder import Cylinder
from plategen.job.job import Job
from plategen.job.parse import parse_document, parse_table, parse_units
from plategen.job.quantities import Table
from plategen.job.rules import Driven, Rules
from plategen.job.schema import fields
from plategen.job.steering import Steering


class SteeringJob(Table, frozen=True, kw_only=True):
    """A job as far as its steering goes.

    Args:
        title: One line that names the job.
        units: What a bare length means, and how lengths are shown.
        steering: The linkage and what is asked about it.
        cylinder: The cylinder, when it is chosen.
        rules: What decides whether the pushed rod holds; the usual rules when left out.
        driven: The rod that the cylinder pushes, where its sizes are given apart from the linkage.
    """

    title: str
    units: Units
    steering: Steering
    cylinder: Cylinder | None = None
    rules: Rules | None = None
    driven: Driven | None = None


def parse_steering(text: str, name: str = "job.toml") -> SteeringJob:
    """The steering that a job file describes; its other known tables are left for the other commands.

    Args:
        text: TOML.
        name: Name of the file, for messages.

    Raises:
        Refusal: It is not TOML, or a key is missing, unknown or wrong.
    """
    units = None
    try:
        data = parse_document(text)
        units = parse_units(data)
        if "steering" not in data:
            raise Refusal("there is no [steering] in this job; add it, with its levers or a travel", "steering")
        own = {field.key for field in fields(SteeringJob)}
        others = {field.key for field in fields(Job)} - own
        return parse_table(SteeringJob, {k: v for k, v in data.items() if k not in others}, units)
    except Refusal as refusal:
        raise refusal.in_units(units).at(name) from None
