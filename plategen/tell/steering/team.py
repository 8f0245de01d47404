"""The table of all cylinders and boxes, where there is more than one of either."""

from collections.abc import Iterator

from plategen.ground.show import Show
from plategen.tell.report.steering import SteeringReport
from plategen.tell.table import Block, cells


def team_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """What each gives about the box's arm, all at relief."""
    keys = ("name", "on", "left_n", "right_n", "travel_mm", "ahead_nmm", "least_nmm", "to_left_mm3", "to_right_mm3")
    rows = tuple(cells(show, each, *keys) for each in report.helpers)
    if rows:
        heading = (
            "at relief",
            "turns",
            "left",
            "right",
            "travel",
            "about the box's arm, ahead",
            "least",
            "oil, turning left",
            "turning right",
        )
        yield Block("All cylinders and boxes", heading, rows)
