"""``plategen steer``: the steering study of a job."""

import sys
from pathlib import Path

import click

from plategen.commands.one_line import AS_JSON, JOB, STOPPED, in_units, say, working


@click.command()
@JOB
@AS_JSON
def steer(job: Path, as_json: bool) -> None:
    """The steering study of JOB: travel, stroke, in line, ports, stops and marks."""
    from plategen.checks.finding import must_stop
    from plategen.checks.steering import findings
    from plategen.ground.show import Show
    from plategen.job.load import job_text
    from plategen.job.parse import parse_document, parse_steering
    from plategen.job.toml_edit import held_at, path_of
    from plategen.steering.study import study
    from plategen.tell.report.steering import steer_report
    from plategen.tell.steering.tables import steer_lines

    text, name = job_text(job)
    read = parse_steering(text, name)
    with in_units(read.units, name), working("sweeping from lock to lock"):
        result = study(read)
    # with this key the bracket is built about the advised pin, so nothing is left to move
    there = held_at(parse_document(text), path_of("mount.pin")) == "study"
    say(as_json, lambda: steer_report(result), lambda: steer_lines(result, Show(read.units), pin_there=there))
    sys.exit(STOPPED if must_stop(findings(result)) else 0)
