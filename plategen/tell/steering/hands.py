"""The table of the driver's hands."""

from collections.abc import Iterator

from plategen.ground.show import Show
from plategen.tell.report.encode import Pair
from plategen.tell.report.hands import EffortReport
from plategen.tell.report.steering import SteeringReport
from plategen.tell.table import Block, Row, cells

FORMULAS: tuple[Row, ...] = (
    ("  standing: the moments above, and W d sin k cos k sin(s)", "Barton, Fieldhouse (2018), ch. 2: lift of the load"),
    ("  rolling: W v²/(g R) (caster trail + a/6), and that lift", "bicycle model; brush model, Pacejka; from memory"),
    ("  k kingpin's lean, s steer angle, a length of the patch", "R radius of the turn, v speed"),
)
"""Where the moments come from."""


def hands_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """Force at the rim, standing and rolling."""
    found = report.hands
    if found is None:
        return
    rows: list[Row] = list(_rows("standing", found.standing, show))
    if found.rolling is not None:
        rows += _rows("rolling at 10 km/h", found.rolling, show)
    if found.needed_n is not None:
        box = "the box" if found.box_known else "no box (NOT told)"
        name = f"cylinder's force that turns them standing, beside {box} and {show.force(found.push_n)} at the rim"
        rows.append((name, *cells(show, found, "needed_n")))
    if (limit := found.limit) is not None:
        name = f"limit, no approval: {limit.vehicle}, assist working, failed ({limit.source})"
        rows.append((name, ", ".join(cells(show, limit, "intact_n", "failed_n"))))
    yield Block("The driver's hands: force at the rim", (), (*rows, *FORMULAS))


def _rows(how: str, effort: EffortReport, show: Show) -> Iterator[Row]:
    yield f"{how}, assist working", _range(effort.assisted_n, show)
    if effort.idle_n is not None:
        yield f"{how}, engine idling", _range(effort.idle_n, show)
    yield f"{how}, without assist", _range(effort.unassisted_n, show)
    if effort.pressure_mpa is not None:
        yield f"{how}, pressure that the assist needs", *cells(show, effort, "pressure_mpa")


def _range(forces_n: Pair, show: Show) -> str:
    """Both forces, or the one that they are."""
    return " to ".join(dict.fromkeys(map(show.force, forces_n)))
