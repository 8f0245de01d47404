"""Every table of a steering study, made from its report, and all of them as the command prints them."""

from itertools import chain

from plategen.checks.steering import findings
from plategen.ground.show import Show
from plategen.steering.study import SteeringStudy
from plategen.tell.report.steering import SteeringReport, steering_report
from plategen.tell.screen import findings_lines
from plategen.tell.steering.around import around_tables
from plategen.tell.steering.cylinder import cylinder_tables
from plategen.tell.steering.linkage import change_tables, linkage_tables
from plategen.tell.steering.oil import oil_tables
from plategen.tell.table import Block

PARTS = (linkage_tables, cylinder_tables, oil_tables, around_tables, change_tables)
"""What makes the tables, in the order in which they are set."""


def tables(report: SteeringReport, show: Show) -> tuple[Block, ...]:
    """Every table that has something to say."""
    return tuple(block for block in chain.from_iterable(part(report, show) for part in PARTS) if block.rows)


def steer_lines(study: SteeringStudy, show: Show) -> list[str]:
    """Every table of the study and its findings, in the job's units."""
    lines = [study.title]
    for block in tables(steering_report(study), show):
        lines += ["", *block.lines]
    return [*lines, "", "Judged", *findings_lines(findings(study), show)]
