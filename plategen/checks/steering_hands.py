"""The driver's hands: the force at the rim beside published limits, as a help and never as an approval."""

from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.ground.message import Quantity, message
from plategen.rules.steering_effort import TEST_SPEED_MM_S
from plategen.steering.hands import Hands
from plategen.steering.study import SteeringStudy

_row = partial(
    Check,
    subject="steering",
    unit="N",
    limit="at most",
    needs="the driver's hands and a vehicle's limit",
    most="caution",
)
ASSISTED = _row(
    "force at the rim, rolling",
    not_covered="The force at the rim is computed by published formulas of the tyre, not measured: it is no approval. "
    "Whether a steering may go on a road is for the vehicle code and its tests. A stiff joint, a worn valve and a soft "
    "tyre ask more.",
)
UNASSISTED = _row("force at the rim, rolling, assist dead")
CHECKS = (ASSISTED, UNASSISTED)
"""The checks of this file."""


def check_hands(study: SteeringStudy) -> Iterator[Finding]:
    """Findings about the force at the rim; none without a vehicle whose limit is looked at."""
    found = study.hands
    if found is None or found.limit is None or found.rolling is None:
        return
    limit, rolling = found.limit, found.rolling
    radius_mm = limit.intact_radius_mm
    far = None if radius_mm is None else Quantity(radius_mm / 1000.0, "m")
    into = message("full lock") if far is None else message("a circle of {}", far)
    speed_km_h = TEST_SPEED_MM_S * 3.6e-3
    speed = Quantity(speed_km_h, "km/h")
    assumed = message("{}: from straight ahead into {} at {}; {}", limit.vehicle, into, speed, counted(found))
    circle = "" if radius_mm is None else f"{radius_mm / 1000.0:g} m, "
    source = f"{limit.source} ({circle}{speed_km_h:g} km/h)"
    for about, efforts in (("steering wheel", rolling.assisted_n), ("steering wheel, engine idling", rolling.idle_n)):
        if efforts is not None:
            yield ASSISTED.at_most(
                part(about),
                limit.intact_n,
                efforts[1],
                source=source,
                assumed=assumed,
                cure="a larger cylinder, more flow at idle, or a longer arm",
            )
    yield UNASSISTED.at_most(
        part("steering wheel"),
        limit.failed_n,
        rolling.unassisted_n[1],
        source=limit.source,
        assumed="pump or engine dead, the hands alone against tyres, friction and what oil they send round",
        cure="a larger steering wheel, a slower ratio, less load on the axle, or a second source of oil",
    )


def counted(found: Hands) -> str:
    """Whether the box's own moment is in it."""
    return "cylinder and box help" if found.box_known else "the cylinder helps; the box's own moment is NOT told"
