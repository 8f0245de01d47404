"""The steering with its axle moved: bump steer and the cylinder's stroke."""

import math
from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.ground.cure import Cure, advise
from plategen.ground.message import message, mm, rad
from plategen.steering.axle import AxleTravel, best_height
from plategen.steering.study import SteeringStudy

BUMP_STEER_DEG = 2.0
"""More than this, with the steering wheel held, is felt as wander on a rough road (common practice, no source)."""

NOT_ASKED = (
    "The axle's travel was not asked: bump steer, the stroke, the joints and the loads with the axle up, down or "
    "rolled are not checked (`[steering.axle]`)."
)
"""What is said beside the verdict of a linkage whose axle stands still."""

_row = partial(Check, subject="steering", needs="the axle's travel")
BUMP_STEER = _row("bump steer, steering wheel held", unit="deg", limit="at most", most="caution")
STROKE_AXLE = _row(
    "stroke covers travel, axle moved",
    unit="mm",
    limit="at least",
    source="geometry",
    not_covered="With the axle moved the wheels are turned to their locks as drawn, where their stops hold them; the "
    "wheels' own stops are not followed, and no rod is taken as rolled.",
)
BOX_AXLE = _row("wheels at their locks before the box's own stop, axle moved", unit="deg", limit="at most")
CHECKS = (BUMP_STEER, STROKE_AXLE, BOX_AXLE)
"""The checks of this file."""


def check_axle(study: SteeringStudy, axle: AxleTravel) -> Iterator[Finding]:
    """Findings about a steering whose axle moves."""
    yield BUMP_STEER.at_most(
        part("axle"),
        BUMP_STEER_DEG,
        math.degrees(float(abs(axle.heading_rad).max())),
        assumed="mean of the wheels, over all heights and rolls asked; springs and rubber do not give",
        cure=lambda: _lessen(study),
    )
    yield from _box(study, axle)
    advice, reach, size = study.stroke, axle.cylinder_mm, study.size
    if advice is not None and reach is not None and size is not None:
        closed_mm, open_mm = advice.ends_mm
        short_mm = max(closed_mm - float(reach[0].min()), float(reach[1].max()) - open_mm, 0.0)
        yield STROKE_AXLE.at_least(
            part("cylinder"),
            size.stroke_mm + short_mm,
            size.stroke_mm,
            assumed=message("its ends must be {} further apart, lock to lock at every place of the axle", mm(short_mm)),
            cure="thinner stroke spacers, a longer stroke, or bump stops that are met sooner",
        )


def _box(study: SteeringStudy, axle: AxleTravel) -> Iterator[Finding]:
    """The box's own stops, which stand on the frame, are met by no place of the axle before the wheels' locks."""
    for turn, most_rad in zip(("right", "left"), axle.lock_driver_rad, strict=True):
        met = () if study.stops is None else study.stops.of("left" if turn == "left" else "right")
        for box in (each for each in met if each.kind == "box" and math.isfinite(each.box_rad)):
            yield BOX_AXLE.at_most(
                part(f"{turn} lock"),
                math.degrees(box.box_rad),
                math.degrees(float(most_rad.max())),
                assumed="the wheels turned to their locks as drawn, the box's arm as far as the rod then takes it",
                cure="the box's own stop further out, less lock, or a rod that follows the axle's path",
            )


def _lessen(study: SteeringStudy) -> Cure:
    """What was tried and steers least."""
    entry = study.steering.axle
    best = None if entry is None or study.sweep is None else best_height(study.sweep, entry)
    if best is None or best.up_mm == 0.0:
        return advise("make the rod from frame to axle follow the axle's own path: as long, and as high at its front")
    words = "set ball '{}' of '{}' {} {}, with the rod made to fit: tried, it brings it to {}"
    way = "higher" if best.up_mm > 0.0 else "lower"
    return advise(words, best.ball, best.lever, mm(abs(best.up_mm)), way, rad(best.worst_rad))
