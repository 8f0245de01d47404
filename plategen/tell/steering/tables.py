"""Every table of a steering study, made from its report, and all of them as the command prints them."""

from collections.abc import Iterator

from plategen.checks.steering import findings
from plategen.ground.show import Show
from plategen.steering.study import SteeringStudy
from plategen.tell.report.steering import SteeringReport, steering_report
from plategen.tell.screen import findings_lines
from plategen.tell.steering.around import marks_table, stops_table, tyres_table
from plategen.tell.steering.cylinder import best_pin_table, in_line_table, push_table, stroke_table
from plategen.tell.steering.linkage import attachments_table, locks_table, rods_table, travel_table, what_if_table
from plategen.tell.steering.oil import circuit_table, lines_table, oil_table, ports_table
from plategen.tell.table import Block


def tables(report: SteeringReport, show: Show) -> tuple[Block, ...]:
    """Every table that has something to say."""
    return tuple(block for block in _tables(report, show) if block.rows)


def _tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    if report.sweep is not None:
        yield locks_table(report.sweep, show)
    yield rods_table(report.rods, show)
    yield travel_table(report.travel, show)
    if report.stroke is not None:
        yield stroke_table(report.stroke, show)
    if report.in_line is not None:
        yield in_line_table(report.in_line, show)
        yield push_table(report.in_line, show)
        if report.in_line.best_pin is not None:
            yield best_pin_table(report.in_line.best_pin, show)
    yield oil_table(report.oil, report.sizing, show)
    yield ports_table(report.ports, show)
    if report.stops is not None:
        yield stops_table(report.stops, show)
    yield tyres_table(report.tyre_clearance, show)
    yield marks_table(report.marks, show)
    if report.circuit is not None:
        yield lines_table(report.circuit, show)
        yield circuit_table(report.circuit, show)
    yield what_if_table(report.what_if, show)
    yield attachments_table(report.attachments, show)


def steer_lines(study: SteeringStudy, show: Show) -> list[str]:
    """Every table of the study and its findings, in the job's units."""
    lines = [study.title]
    for block in tables(steering_report(study), show):
        lines += ["", *block.lines]
    return [*lines, "", "Judged", *findings_lines(findings(study), show, opinions=False)]
