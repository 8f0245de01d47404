"""The study as plain text for the command line: its tables one after another, then what was judged."""

from plategen.checks.steering import findings
from plategen.ground.show import Show
from plategen.steering.study import SteeringStudy
from plategen.tell.screen import findings_lines, table
from plategen.tell.steering.words import blocks


def steer_lines(study: SteeringStudy, show: Show) -> list[str]:
    """Every table of the study and its findings, in the job's units."""
    lines = [study.title]
    for block in blocks(study, show):
        rows = [block.heading, *block.rows] if block.heading else list(block.rows)
        lines += ["", block.title, *(f"  {line}" for line in table(rows))]
    return [*lines, "", "Judged", *findings_lines(findings(study), show, opinions=False)]
