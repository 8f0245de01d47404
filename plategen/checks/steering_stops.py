"""Whether the wheels' stops carry all that leans on them at once: bolt, pad, tab and welds; and whether each wheel has
a stop of its own.
"""

import math
from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.ground.message import Message, message, rad
from plategen.rules.material import steel, weld_metal
from plategen.rules.safety import AISC, RUPTURE, YIELDING
from plategen.rules.weld import throat_stress_mpa
from plategen.steering.stop_load import (
    StopLoad,
    bolt_stress_mpa,
    pad_weld_mpa,
    stop_loads,
    stress_diameter_mm,
    tab_stress_mpa,
    tab_weld_mpa,
)
from plategen.steering.study import SteeringStudy

PAD_STEEL, TAB_FILLER = "A36", "E70"
"""What a pad is taken to be where the job does not say, and what tab and pad are welded with (common practice)."""

_row = partial(Check, subject="steering stop", needs="the size of the stops' bolts")
EACH_WHEEL = Check(
    "turns that a wheel has no stop of its own for", "steering stop", "whole", "at most", needs="stops", most="caution"
)
BOLT = _row(
    "stop bolt, push and bending",
    unit="MPa",
    source=f"beam theory, Fy/1.67 as {AISC} F1",
    not_covered="What carries a stop's tab, the spindle or the axle, is not checked, nor the fatigue of a stop.",
)
PAD = _row("stop pad in bearing", unit="N", source=f"{AISC} J7, 1.8 Fy A")
PAD_WELD = _row("weld of the stop pad", unit="MPa", source=f"{AISC} J2.4")
TAB = _row("stop tab bending", unit="MPa", source=f"beam theory, Fy/1.67 as {AISC} F1")
TAB_WELD = _row("weld of the stop tab", unit="MPa", source=f"{AISC} J2.4; the two fillets as a couple")
CHECKS = (EACH_WHEEL, BOLT, PAD, PAD_WELD, TAB, TAB_WELD)
"""The checks of this file."""


def check_steering_stops(study: SteeringStudy) -> Iterator[Finding]:
    """Findings about what the stops carry; none without stops."""
    order, stops = study.stops, study.steering.stops
    if study.sweep is None or order is None or stops is None:
        return
    for wheel, lever in study.sweep.linkage.wheels().items():
        have = {s.turn for s in stops.stop if s.kind == "spindle" and s.lever == lever}
        yield EACH_WHEEL.at_most(
            part(f"{wheel} wheel"),
            0.0,
            float(len({"left", "right"} - have)),
            assumed="a wheel without one is stopped through the tie rod and its balls, which then take its blow",
            cure="a stop for both turns on each wheel, set to meet together",
        )
    for load in stop_loads(study.sweep, order, stops, study.steering.tyre, study.rules.shock_factor, study.team.boxes):
        yield from _carries(study, load)


def _carries(study: SteeringStudy, load: StopLoad) -> Iterator[Finding]:
    bolt, about = load.entry.bolt, part(load.entry.name)
    if bolt is None or load.entry.pitch_mm is None:
        return
    d, assumed = stress_diameter_mm(bolt.diameter_mm, load.entry.pitch_mm), _assumed(load)
    yield BOLT.strength(
        about,
        bolt_stress_mpa(bolt, load.entry.pitch_mm, load.force_n),
        YIELDING.available(bolt.yield_mpa, "aisc-asd"),
        assumed=assumed,
        cure="a thicker bolt, one that stands out less, or a contact further from the kingpin",
    )
    name = (None if study.pad is None else study.pad.steel) or PAD_STEEL
    yield PAD.strength(
        about,
        load.force_n,
        RUPTURE.available(1.8 * steel(name).fy_mpa * math.pi / 4.0 * d**2, "aisc-asd"),
        assumed=message("{}; pad of {}, the bolt's stress area on it", assumed, name),
        cure="a thicker bolt, or a harder pad",
    )
    pad = None if study.steering.stops is None else study.steering.stops.pad
    can = throat_stress_mpa(weld_metal(TAB_FILLER).fexx_mpa, "aisc-asd")
    if pad is not None and pad.leg_mm is not None:
        yield PAD_WELD.strength(
            about,
            pad_weld_mpa(load.force_n, bolt.off_square_rad, 2.0 * (pad.width_mm + pad.height_mm), pad.leg_mm),
            can,
            assumed=message("{}; all round, {}", assumed, TAB_FILLER),
            cure="a larger leg, or a contact more square",
        )
    yield TAB.strength(
        about,
        tab_stress_mpa(bolt, load.force_n),
        YIELDING.available(steel(PAD_STEEL).fy_mpa, "aisc-asd"),
        assumed=message("{}; tab of {}", assumed, PAD_STEEL),
        cure="a thicker or a lower tab",
    )
    yield TAB_WELD.strength(
        about,
        tab_weld_mpa(bolt, load.force_n),
        can,
        assumed=message("{}; two fillets along the tab's width, {}", assumed, TAB_FILLER),
        cure="a larger leg, or a wider tab",
    )


def _assumed(load: StopLoad) -> Message:
    """What leans on the stop, and what of it is not told."""
    assert load.entry.bolt is not None
    box = "box" if load.box_nmm is not None else "the box's moment NOT told and not counted"
    strike = "a blow on the tyre's edge" if load.strike_nmm is not None else "a blow on the wheel NOT counted, no tyre"
    words = "cylinder with shock, {}, {}, all at once; contact {} off square"
    return message(words, box, strike, rad(load.entry.bolt.off_square_rad))
