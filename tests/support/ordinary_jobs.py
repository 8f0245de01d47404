"""Random ordinary jobs: what a fabricator would plausibly type, the foot and every small size left to the rules.

A cylinder from the usual series with its own pin and eye, plates and welds of a thickness that goes with it, hung as
near to the rail as its barrel lets it or a hand's breadth below; rails that are straight, kicked, rolled, flared along
the pin or turned at a corner, read with a rule and a straightedge's usual error. All is invented, no number published.
"""

import math
import random
from typing import Any, NamedTuple

from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cylinder import Cylinder, CylinderEnd
from plategen.job.rail import RailEntry, TraceEntry
from plategen.job.style_tables import Clamp, Closing, Pad, Seat, Split
from plategen.rail.trace import Reading, Trace
from tests.support.corners import corner_profile, turned_over
from tests.support.rails import KnownRail, flat_bend_flat

KINDS = ("ears", "closed", "corner", "closed corner", "split", "split corner", "seat")
"""The styles, with what they stand on where that makes another bracket of them."""

SERIES = {40.0: ((20.0, 25.0), (8.0, 10.0)), 50.0: ((25.0, 30.0), (10.0, 12.0)),
          63.0: ((30.0, 35.0), (12.0, 15.0)), 80.0: ((35.0, 40.0), (15.0, 20.0))}  # fmt: skip
"""Bores with the pins and plate thicknesses that go with them, mm."""

INCH_SERIES = {1.5: ((0.75, 1.0), (0.3125, 0.375)), 2.0: ((1.0, 1.125), (0.375, 0.5)),
               2.5: ((1.0, 1.25), (0.5, 0.625)), 3.0: ((1.25, 1.5), (0.5, 0.75))}  # fmt: skip
"""The same in inches."""

STATIONS = 25
SIGMA_MM, MARK_MM = 0.3, 0.5
"""Readings of a trace, and how well a rule is read."""


class OrdinaryJob(NamedTuple):
    """A job with its traces."""

    kind: str
    job: Job
    traces: tuple[Trace, ...]


def ordinary(rng: random.Random, kind: str) -> OrdinaryJob:
    """A job of a kind."""
    units: Units = rng.choice(("in", "mm"))
    cylinder, thickness_mm = _cylinder(rng, units)
    if "closed" in kind:  # a slit that no torch enters is closed by nobody
        eye = cylinder.base.replaced(eye_width_mm=_size(rng.uniform(1.4, 2.0) * cylinder.base.pin_mm, units))
        cylinder = cylinder.replaced(base=eye)
    low_mm = max(cylinder.body_diameter_mm / 2 + 8.0, 1.5 * cylinder.base.pin_mm)
    height_mm = rng.uniform(low_mm, low_mm + 70.0)
    leg_mm = _size(max(4.0, rng.uniform(0.5, 0.75) * thickness_mm), units)
    bracket: dict[str, Any] = {"thickness_mm": thickness_mm, "plane_mm": 20.0, "steel": "S355"}
    given: dict[str, Any] = {
        "title": kind, "units": units, "cylinder": cylinder, "weld": Weld(leg_mm=leg_mm),
        "rail": RailEntry(wall_mm=8.0, steel="S355"),
    }  # fmt: skip
    if kind == "seat":
        return OrdinaryJob(kind, _seat(rng, given, bracket, low_mm), ())
    if "split" in kind:
        table, height_mm = _split(rng, units, cylinder, leg_mm)
    known, foot_at, pin_at = _corner_rail(rng, cylinder) if "corner" in kind else _rail(rng)
    planes = (0.0,) if rng.random() < 0.3 else (0.0, 20.0 + cylinder.base.eye_width_mm + 2 * thickness_mm)
    traces = tuple(_read(rng, known, w, foot_at) for w in planes)
    station = _tape(pin_at, units)
    offset_mm = _tape(max(_below(known.section(w), station, height_mm) for w in (planes[0], planes[-1])), units)
    mount = Mount(inline_offset_mm=offset_mm, pin_station_mm=station)
    if kind.startswith("closed"):
        # a plate below the cylinder is asked for where one sees room for it between barrel and rail
        given["closing"] = _closing(rng, bottom=height_mm > low_mm + 6.0 * leg_mm)
    if "split" in kind:
        bracket["style"] = "split"
        given["split"] = Split(**table, built_for_mm=offset_mm)
    entries = tuple(TraceEntry(file=t.file, plane_mm=t.plane_mm) for t in traces)
    given["rail"] = given["rail"].replaced(trace=entries)
    return OrdinaryJob(kind, Job(**given, mount=mount, bracket=BracketEntry(**bracket)), traces)


def _size(mm: float, units: Units) -> float:
    """A leg or a thickness as a shop has it: sixteenths or whole millimetres."""
    step = 25.4 / 16 if units == "in" else 1.0
    return round(mm / step) * step


def _tape(mm: float, units: Units) -> float:
    """A length as read off a tape."""
    step = 25.4 / 16 if units == "in" else 1.0
    return round(mm / step) * step


def _cylinder(rng: random.Random, units: Units) -> tuple[Cylinder, float]:
    series, mm = (INCH_SERIES, 25.4) if units == "in" else (SERIES, 1.0)
    bore, (pins, plates) = rng.choice(sorted(series.items()))
    pin, thickness = rng.choice(pins) * mm, rng.choice(plates) * mm
    stroke = _size(rng.uniform(150.0, 350.0), units)
    eye = CylinderEnd(
        pin_mm=pin,
        eye_width_mm=_size(pin * rng.uniform(1.0, 1.6), units),
        eye_radius_mm=_size(pin * rng.uniform(0.9, 1.1), units),
    )
    made = Cylinder(
        bore_mm=bore * mm, rod_mm=_size(0.55 * bore * mm, units), stroke_mm=stroke, closed_length_mm=stroke + 200.0,
        body_diameter_mm=_size(bore * mm + 12.0, units), pressure_mpa=rng.choice((8.0, 10.0, 12.0, 16.0)), base=eye,
    )  # fmt: skip
    return made, thickness


def _rail(rng: random.Random) -> tuple[KnownRail, None, float]:
    """A rail of one face, about 700 mm of it: straight, kicked or rolled, flared or not."""
    kick = rng.choice((0.0001, *(math.radians(s * rng.uniform(2.0, 12.0)) for s in (1, 1, -1))))
    radius = 5000.0 if kick == 0.0001 else rng.choice((rng.uniform(20.0, 80.0), rng.uniform(200.0, 1200.0)))
    slope = math.radians(rng.uniform(-3.0, 3.0))
    profile = flat_bend_flat(rng.uniform(200.0, 450.0), kick, radius, 500.0)
    profile = profile.moved(complex(math.cos(slope), math.sin(slope)), -20 + rng.uniform(15.0, 50.0) * 1j)
    drift = complex(rng.choice((0.0, rng.uniform(-0.1, 0.1))), rng.choice((0.0, rng.uniform(-0.08, 0.08))))
    return KnownRail(profile, drift), None, rng.uniform(270.0, 400.0)


def _corner_rail(rng: random.Random, cylinder: Cylinder) -> tuple[KnownRail, float, float]:
    """A rail's lower corner at station 350, seen from either side; the pin under it or near."""
    profile = corner_profile(
        330.0, 260.0, math.radians(rng.uniform(80.0, 95.0)), rng.choice((0.0, rng.uniform(4.0, 30.0))),
        math.radians(rng.uniform(-2.0, 2.0)), at=350 + rng.uniform(15.0, 30.0) * 1j,
    )  # fmt: skip
    drift = complex(rng.choice((0.0, rng.uniform(-0.1, 0.1))), rng.choice((0.0, rng.uniform(-0.05, 0.05))))
    pin = 350.0 + rng.uniform(-70.0, 30.0)
    if rng.random() < 0.5:
        return KnownRail(turned_over(profile).moved(shift=700.0), drift), 350.0, 700.0 - pin
    return KnownRail(profile, drift), 350.0, pin


def _below(section: Chain, station: float, height_mm: float) -> float:
    """How far from the straightedge a pin at a station lies that is so far from the rail."""
    offset = height_mm - section.start.imag
    for _ in range(20):
        offset += height_mm + offset_from(section, complex(station, -offset))
    return offset


def _read(rng: random.Random, known: KnownRail, w_mm: float, corner: float | None) -> Trace:
    """A trace as someone reads it: offsets at stations, or points along both faces of a corner."""
    if corner is None:
        stations = [_mark(25.0 * k) for k in range(STATIONS + 1)]
        return known.read(w_mm, stations, SIGMA_MM, MARK_MM, rng)
    section = known.section(w_mm)
    steps = 2 * STATIONS
    points = (section.point(section.length * k / steps) for k in range(steps + 1))
    noisy = (
        complex(_mark(p.real + rng.gauss(0.0, SIGMA_MM)), _mark(p.imag + rng.gauss(0.0, SIGMA_MM))) for p in points
    )
    readings = tuple(Reading(p, line) for line, p in enumerate(noisy, 2))
    return Trace(file=f"w{w_mm:g}.csv", plane_mm=w_mm, readings=readings, round_corner=True)


def _mark(mm: float) -> float:
    return round(mm / MARK_MM) * MARK_MM


def _closing(rng: random.Random, bottom: bool) -> Closing:
    back, bottom = rng.choice(((True, False), (False, True), (True, True))) if bottom else (True, False)
    return Closing(back=back, bottom=bottom, joint=rng.choice(("butt", "slots")))


def _split(rng: random.Random, units: Units, cylinder: Cylinder, leg_mm: float) -> tuple[dict[str, Any], float]:
    """The table as someone sketches it, and the pin's height from the rail.

    The bolts lie where the ear's steel about them stays off the bead and the tab's off the pin's head, wherever the
    reach puts them; the pin is hung low enough that there is such a place.
    """
    pin, bore = cylinder.base.pin_mm, cylinder.bore_mm
    inch = 0.5 if bore < 55.0 else 0.75
    bolt = inch * 25.4 if units == "in" else 12.0 if bore < 45.0 else 16.0 if bore < 70.0 else 20.0
    adjust = rng.choice(("recut", "slots", "ladder"))
    reach = 0.0 if adjust == "recut" and rng.random() < 0.5 else _tape(rng.uniform(5.0, 10.0), units)
    step = _tape(rng.uniform(2.0, 2.5) * bolt, units) if adjust == "ladder" else None
    reach = step or reach
    nearest, beside = (
        pin + 1.8 * bolt + (2.0 * reach if adjust == "ladder" else reach),
        reach + 1.8 * bolt + leg_mm + 4.0,
    )
    lies = nearest + rng.uniform(0.0, 15.0)
    spacing = max(2.5 * pin, 4.0 * bolt) + rng.uniform(0.0, 40.0)
    table = {"bolt_mm": bolt, "row_spacing_mm": _tape(spacing, units), "height_mm": _tape(lies, units),
             "adjust": adjust, "reach_mm": reach, "step_mm": step}  # fmt: skip
    return table, lies + beside + rng.uniform(8.0, 30.0)


def _seat(rng: random.Random, given: dict[str, Any], bracket: dict[str, Any], low_mm: float) -> Job:
    units: Units = given["units"]
    hold = rng.choice(("weld", "weld", "clamp"))
    tube = rng.choice(("round", "square"))
    along = rng.choice(("cylinder", "cylinder", "pin"))
    # tabs along the tube stand on it on both sides of the eye: a tube that is narrower than they are far is no seat
    eye_mm = given["cylinder"].base.eye_width_mm
    wide = eye_mm + 2.0 * bracket["thickness_mm"] + 2.0 * given["weld"].leg_mm if along == "cylinder" else 60.0
    across = _size(rng.uniform(1.15, 1.6) * wide, units)
    table: dict[str, Any] = {"tube": tube, "across_mm": across, "made": "plain", "along": along, "hold": hold}
    over = 0.0
    if hold == "clamp":
        bolt, thick = rng.choice((12.0, 16.0)), rng.choice((20.0, 25.0))
        table |= {"made": "forged", "clamp": Clamp(bolt_mm=bolt, thickness_mm=thick)}
        over = thick * (2.0 if tube == "round" else 1.0)
    elif rng.random() < 0.4:
        # as wide as the tabs' beads and some more, on a square tube no wider than its flat
        width = min(wide + 10.0, across - 33.0) if tube == "square" else wide + 10.0
        if width > wide:
            table["pad"] = Pad(thickness_mm=8.0, width_mm=_tape(width, units))
            over = 8.0
    offset = across / 2 + over + low_mm + rng.uniform(0.0, 60.0)
    mount = Mount(inline_offset_mm=_tape(offset, units), pin_station_mm=150.0)
    return Job(
        **given, mount=mount, seat=Seat(**table), bracket=BracketEntry(**{**bracket, "style": "seat"}),
    )  # fmt: skip
