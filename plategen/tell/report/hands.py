"""The driver's hands in the report."""

from typing import TYPE_CHECKING, Annotated

from plategen.tell.report.encode import Level, Maybe, Pair, about, mirrored

if TYPE_CHECKING:
    from plategen.steering.hands import RimEffort
    from plategen.steering.study import SteeringStudy


class EffortReport(Level, frozen=True, kw_only=True):
    """Greatest force at the rim, by the least and the greatest tyre moment."""

    assisted_n: Annotated[Pair, about("Engine at working speed.")]
    idle_n: Annotated[Pair | None, about("Engine idling; null where its flow is not told.")]
    unassisted_n: Annotated[Pair, about("Pump or engine dead.")]
    pressure_mpa: Annotated[Maybe, about("Most pressure that the assist then needs; null without a cylinder.")]


class LimitReport(Level, frozen=True, kw_only=True):
    """The published limit that is looked at; no approval."""

    vehicle: Annotated[str, about("Of which vehicle.")]
    intact_n: Annotated[float, about("Assist working.")]
    failed_n: Annotated[float, about("Assist failed.")]
    source: Annotated[str, about("Where it stands.")]


class HandsReport(Level, frozen=True, kw_only=True):
    """What the driver's hands feel at the rim."""

    standing: Annotated[EffortReport, about("Standing on dry ground, to full lock.")]
    rolling: Annotated[EffortReport | None, about("At 10 km/h into the test's circle; null without a wheelbase.")]
    box_known: Annotated[bool, about("Whether the box's own moment is told and counted.")]
    push_n: Annotated[float, about("Force at the rim that is counted on, standing.")]
    needed_n: Annotated[Maybe, about("Force of the cylinder that turns the standing tyres, box and driver helping.")]
    limit: Annotated[LimitReport | None, about("The limit that is looked at; null where no vehicle is told.")]


def hands_report(study: "SteeringStudy") -> HandsReport | None:
    """The driver's hands; None where the job tells nothing of them."""
    found = study.hands
    if found is None:
        return None

    def effort(of: "RimEffort") -> EffortReport:
        relief = None if study.size is None else study.size.pressure_mpa * of.pressure_share
        return mirrored(EffortReport, of, pressure_mpa=relief)

    return mirrored(
        HandsReport,
        found,
        standing=effort(found.standing),
        rolling=None if found.rolling is None else effort(found.rolling),
        needed_n=None if found.needed_n is None else float(found.needed_n.max()),
        limit=None if found.limit is None else mirrored(LimitReport, found.limit),
    )
