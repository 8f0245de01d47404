"""All that turns the linkage beside the driver, in the report."""

from typing import TYPE_CHECKING, Annotated, Literal

from plategen.tell.report.encode import Level, Maybe, about

if TYPE_CHECKING:
    from plategen.steering.study import SteeringStudy


class HelperReport(Level, frozen=True, kw_only=True):
    """One cylinder or steering box."""

    name: Annotated[str, about("What the shop calls it; a box by its arm.")]
    kind: Annotated[Literal["cylinder", "box"], about("Which of both.")]
    on: Annotated[str, about("The rod or lever that it turns.")]
    left_n: Annotated[Maybe, about("Force when turning left; null for a box.")]
    right_n: Annotated[Maybe, about("Force when turning right; null for a box.")]
    travel_mm: Annotated[Maybe, about("Travel from lock to lock; null for a box.")]
    least_nmm: Annotated[Maybe, about("Least moment about the box's arm over the sweep; null where it is not told.")]
    ahead_nmm: Annotated[Maybe, about("The same straight ahead.")]
    to_left_mm3: Annotated[Maybe, about("Oil that it takes from lock to lock, turning left; null where not told.")]
    to_right_mm3: Annotated[Maybe, about("The same turning right.")]


def helper_reports(study: "SteeringStudy") -> tuple[HelperReport, ...]:
    """Every cylinder and box where there is more than one of either."""
    sweep, team = study.sweep, study.team
    if sweep is None or (len(team.cylinders) < 2 and len(team.boxes) < 2):
        return ()
    from plategen.steering.rates import lever_rates

    found, rates = [], lever_rates(sweep.motion)
    for each in team.cylinders:
        moment, (left, right) = each.moment_nmm(sweep), each.thrust.left_right_n(each.pins)
        found.append(
            HelperReport(
                name=each.name,
                kind="cylinder",
                on=each.mount.pushes,
                left_n=left,
                right_n=right,
                travel_mm=each.pins.travel_mm,
                least_nmm=float(moment.min()),
                ahead_nmm=float(moment[sweep.straight]),
                to_left_mm3=each.poured_mm3(to_left=True),
                to_right_mm3=each.poured_mm3(to_left=False),
            )
        )
    for box in team.boxes:
        turns = abs(rates[box.lever])
        told = box.moment_nmm
        found.append(
            HelperReport(
                name=f"box of {box.lever}",
                kind="box",
                on=box.lever,
                left_n=None,
                right_n=None,
                travel_mm=None,
                least_nmm=None if told is None else told * float(turns.min()),
                ahead_nmm=None if told is None else told * float(turns[sweep.straight]),
                to_left_mm3=box.volume_mm3,
                to_right_mm3=box.volume_mm3,
            )
        )
    return tuple(found)
