"""The tables of ``[steering]`` for what stands around the linkage: tyres, bars, ports, stops, marks, oil circuit."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

import msgspec

from plategen.ground.message import Quantity, message
from plategen.ground.refusal import Refusal
from plategen.job.quantities import (
    Angle,
    Flow,
    Force,
    Length,
    LengthFromZero,
    Moment,
    Number,
    NumberFromZero,
    PositiveAngle,
    PositiveLength,
    PositiveNumber,
    Pressure,
    SteelName,
    Table,
    Volume,
)

_INCH_MM = 25.4
_DEGREE_RAD = 0.017453292519943295

Place: TypeAlias = tuple[Length, Length, Length]
Direction: TypeAlias = tuple[Number, Number, Number]
"""A point, and a direction of any length, in the vehicle frame."""


class TyreEntry(Table, frozen=True, kw_only=True):
    """A steered tyre on the ground, and its size for the clearances."""

    load_n: Annotated[Force, "Load of one wheel."]
    width_mm: Annotated[PositiveLength, "Section width."]
    contact_mm: Annotated[PositiveLength | None, "Length of the contact patch; the width when left out."] = None
    offset_mm: Annotated[LengthFromZero, "Kingpin offset at the ground."] = 0.0
    friction: Annotated[PositiveNumber, "On the ground; 0.7 is dry concrete."] = 0.7
    radius_mm: Annotated[
        PositiveLength | None, "Outside radius; with it the clearance to bars and linkage is given."
    ] = None
    centre_mm: Annotated[Place | None, "Middle of the left tyre; the right one mirrors it."] = None
    rim_diameter_mm: Annotated[
        PositiveLength | None,
        "Of the rim, where arms and rods reach inside of it; left out, the tyre counts as a full disc.",
    ] = None

    def __post_init__(self) -> None:
        if (self.radius_mm is None) != (self.centre_mm is None):
            raise Refusal(
                "a tyre's `radius` and `centre` go together: with both the clearances are given",
                "centre" if self.centre_mm is None else "radius",
            )
        if self.rim_diameter_mm is not None and self.rim_diameter_mm >= 2.0 * (self.radius_mm or 0.0):
            raise Refusal(
                "the rim is smaller than its tyre; give `radius`, and a `rim_diameter` under twice that", "rim_diameter"
            )


class BarEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.bar]]``: a radius arm, rail edge or other straight bar that must be cleared."""

    name: Annotated[str, "What it is."]
    start_mm: Annotated[Place, "One end of its middle line."] = msgspec.field(name="from")
    end_mm: Annotated[Place, "The other end."] = msgspec.field(name="to")
    diameter_mm: Annotated[LengthFromZero, "Its outside diameter."] = 0.0
    clears: Annotated[Literal["tyres", "fittings"], "Whether the tyres or the cylinder's fittings are to clear it."] = (
        "tyres"
    )


class PortEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.port]]`` of the cylinder."""

    name: Annotated[str, "Which port."]
    station_mm: Annotated[LengthFromZero, "From the fixed pin along the cylinder."]
    radius_mm: Annotated[PositiveLength | None, "From the centre line to its face; half the body when left out."] = None
    clock_rad: Annotated[Angle, "Round the barrel from straight up, seen from the fixed pin; clockwise positive."] = 0.0
    fitting_mm: Annotated[LengthFromZero, "How far fitting and crimp stand off."] = 0.0
    hose_to_mm: Annotated[Place | None, "Where its hose is made fast on the frame."] = None
    hose_length_mm: Annotated[PositiveLength | None, "Length of the hose, when it is there already."] = None
    bend_radius_mm: Annotated[PositiveLength | None, "Least bend radius of the hose."] = None


class StopBoltEntry(Table, frozen=True, kw_only=True):
    """A stop's bolt and the welded tab that holds it, to judge whether they carry what leans on the stop."""

    diameter_mm: Annotated[PositiveLength, "Of its thread."]
    out_mm: Annotated[PositiveLength, "How far it stands out of its nut."]
    yield_mpa: Annotated[Pressure, "Yield stress of the bolt."]
    off_square_rad: Annotated[PositiveAngle, "How far off its axis it may be pushed."] = 10.0 * _DEGREE_RAD
    tab_width_mm: Annotated[PositiveLength, "Of the tab, along its weld."]
    tab_thickness_mm: Annotated[PositiveLength, "Of the tab, along the bolt."]
    tab_height_mm: Annotated[PositiveLength, "From the tab's weld to the bolt's axis."]
    leg_mm: Annotated[PositiveLength, "Leg of the fillet along each face of the tab."]


class StopEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.stops.stop]]``."""

    name: Annotated[str, "What it is."]
    lever: Annotated[str, "The lever that runs against it."]
    turn: Annotated[Literal["left", "right"], "In which turn it is met."]
    at_rad: Annotated[PositiveAngle, "How far the lever has turned then; for a wheel its steer angle."]
    kind: Annotated[Literal["spindle", "box", "other"], '"box" for the steering box\'s internal stop.'] = "spindle"
    contact_radius_mm: Annotated[PositiveLength | None, "From the lever's axis to the contact."] = None
    pitch_mm: Annotated[PositiveLength | None, "Thread pitch when it is a bolt."] = None
    bolt: Annotated[StopBoltEntry | None, "That bolt and its tab, to be judged."] = None

    def __post_init__(self) -> None:
        if self.bolt is not None and (self.contact_radius_mm is None or self.pitch_mm is None):
            key = "pitch" if self.pitch_mm is None else "contact_radius"
            raise Refusal("a bolt is judged by `contact_radius` and `pitch`; give both", key)


class PadEntry(Table, frozen=True, kw_only=True):
    """A stop-pad plate to be cut."""

    width_mm: Annotated[PositiveLength, "Outside width."]
    height_mm: Annotated[PositiveLength, "Outside height."]
    thickness_mm: Annotated[PositiveLength, "Plate."]
    corner_radius_mm: Annotated[LengthFromZero, "Of its corners."] = 0.0
    hole_mm: Annotated[
        PositiveLength | None, "Diameter of its hole or holes; left out for a pad that is welded on."
    ] = None
    bolt_mm: Annotated[
        PositiveLength | None, "Diameter of the bolt in such a hole; left out, it is taken to fill it."
    ] = None
    hole_spacing_mm: Annotated[LengthFromZero, "Between two holes along the width; zero for one."] = 0.0
    leg_mm: Annotated[PositiveLength | None, "Leg of the fillet round a pad that is welded on."] = None
    steel: Annotated[SteelName, "Its steel; the bracket's when left out."] = ""
    count: Annotated[int, "How many alike are cut; two when left out, one for each side."] = 2

    def __post_init__(self) -> None:
        if not 1 <= self.count <= 100:
            raise Refusal("from 1 to 100 pads are right", "count")
        if self.bolt_mm is not None and self.bolt_mm > (self.hole_mm or 0.0):
            raise Refusal("a bolt goes through its hole; less than `hole` is right", "bolt")


class StopsEntry(Table, frozen=True, kw_only=True):
    """What stops the steering."""

    tolerance_rad: Annotated[
        PositiveAngle, "How far apart the stops may be met, in angle of the steering box's arm."
    ] = _DEGREE_RAD
    box_moment_nmm: Annotated[Moment | None, "What the steering box gives at its arm's shaft, at relief."] = None
    strike_n: Annotated[
        Force | None, "Blow on a tyre's edge that the stops are to carry; a wheel's load, left out."
    ] = None
    stop: Annotated[tuple[StopEntry, ...], "The stops."] = ()
    pad: Annotated[PadEntry | None, "A stop-pad plate to be cut."] = None


class MarksEntry(Table, frozen=True, kw_only=True):
    """Marks on the steering box's arm."""

    hub_diameter_mm: Annotated[PositiveLength, "Of the arm's hub, where the marks are."]
    reading_error_mm: Annotated[PositiveLength, "How well they are read."] = _INCH_MM / 16
    splines: Annotated[int | None, "Of the arm's shaft."] = None
    column_splines: Annotated[
        int | None, "Of the steering column; with `column_ratio` one spline of it is given too."
    ] = None

    def __post_init__(self) -> None:
        for key, count in (("splines", self.splines), ("column_splines", self.column_splines)):
            if count is not None and not 4 <= count <= 200:
                raise Refusal("a shaft has from 4 to 200 splines", key)


class LineEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.circuit.line]]``: a hose or pipe."""

    name: Annotated[str, "What it joins."]
    kind: Annotated[Literal["suction", "pressure", "return"], "Which limit of velocity it keeps."]
    inside_mm: Annotated[PositiveLength, "Inside diameter."]
    length_mm: Annotated[PositiveLength, "Its length."]
    hose: Annotated[
        Literal["", "1SN", "2SN"],
        "Kind of rubber hose, one or two layers of wire braid; its rating and least bend radius by its inside diameter "
        "follow. Left out: a pipe, or a hose whose `rated` is given.",
    ] = ""
    rated_mpa: Annotated[Pressure | None, "Working pressure that it is rated for, as printed on it."] = None
    burst_mpa: Annotated[Pressure | None, "Pressure at which it bursts, as its maker states."] = None
    bend_radius_mm: Annotated[PositiveLength | None, "Least radius that it may be bent to."] = None
    ends: Annotated[tuple[str, ...], "Its two ends, thread and shape of each."] = ()
    clock_rad: Annotated[Angle | None, "Between its bent ends, seen along it from the first; clockwise positive."] = (
        None
    )
    port: Annotated[str, "The cylinder's port that it comes from: its reach and bend are followed."] = ""

    def __post_init__(self) -> None:
        if len(self.ends) not in (0, 2):
            raise Refusal("a hose has two ends; name both or neither", "ends")
        if self.clock_rad is not None and not self.ends:
            raise Refusal("the angle lies between two bent ends; name them under `ends`", "clock")
        if self.port and self.kind != "pressure":
            raise Refusal('either of the cylinder\'s ports sees full pressure; kind = "pressure" is right', "kind")


class CircuitEntry(Table, frozen=True, kw_only=True):
    """The oil circuit; heights are above the ground."""

    flow_lpm: Annotated[Flow, "The pump's flow at working speed."]
    idle_flow_lpm: Annotated[Flow | None, "The same with the engine idling, as measured."] = None
    speed: Annotated[PositiveNumber | None, "Working speed of the engine, turns a minute."] = None
    idle_speed: Annotated[
        PositiveNumber | None, "Its idle speed; with `speed` it gives the idle flow that was not measured."
    ] = None
    priority: Annotated[PositiveNumber, "Share of the flow that the steering is sure of, 0 to 1."] = 1.0
    box_volume_mm3: Annotated[Volume | None, "Oil that the box's own piston takes from lock to lock."] = None
    reservoir_mm: Annotated[Length, "Height of the oil level in the reservoir."]
    pump_mm: Annotated[Length, "Height of the pump's inlet."]
    box_mm: Annotated[Length | None, "Height of the steering box's upper port."] = None
    cylinder_mm: Annotated[Length | None, "Height of the cylinder's upper port."] = None
    cooler_mm: Annotated[Length | None, "Height of the cooler's upper port."] = None
    relief_share: Annotated[NumberFromZero, "Share of the time that the oil goes over the relief valve, 0 to 1."] = 0.1
    viscosity: Annotated[PositiveNumber, "Of the oil at work, mm^2/s."] = 46.0
    cooler_kw: Annotated[PositiveNumber | None, "What the cooler carries, when there is one."] = None
    cooler_rise: Annotated[PositiveNumber, "With the oil so many degrees C over the air."] = 40.0
    cooler_loss_mpa: Annotated[Pressure | None, "Pressure lost in the cooler at the pump's flow."] = None
    return_most_mpa: Annotated[Pressure | None, "Back-pressure that the box's return may stand."] = None
    neutral_loss_mpa: Annotated[Pressure, "What drives the oil round while nobody steers."] = 0.5
    air_temperature: Annotated[Number | None, "Hottest air that it works in, degrees C."] = None
    reservoir_volume_mm3: Annotated[Volume | None, "Oil in the reservoir."] = None
    reservoir_surface: Annotated[
        PositiveNumber | None, "Of its walls that air reaches, m^2; five sides of a cube of its oil when left out."
    ] = None
    cooler_volume_mm3: Annotated[Volume | None, "Oil in the cooler."] = None
    cylinder_rated_mpa: Annotated[Pressure | None, "Working pressure that the cylinder is rated for."] = None
    box_rated_mpa: Annotated[Pressure | None, "The same of the steering box."] = None
    pump_rated_mpa: Annotated[Pressure | None, "The same of the pump."] = None
    line: Annotated[tuple[LineEntry, ...], "Hoses and pipes."] = ()

    def __post_init__(self) -> None:
        if self.relief_share > 1.0:
            raise Refusal("a share of the time is from 0 to 1", "relief_share")
        if self.air_temperature is not None and not -60.0 <= self.air_temperature <= 70.0:
            words = "air from {} to {} is right, written in degrees C: 35 for 95 °F"
            raise Refusal(message(words, Quantity(-60.0, "°C"), Quantity(70.0, "°C")), "air_temperature")
        if self.priority > 1.0:
            raise Refusal("a share of the flow is more than 0 and up to 1", "priority")
        if (self.speed is None) != (self.idle_speed is None):
            raise Refusal("give `speed` and `idle_speed`, or neither", "idle_speed" if self.speed else "speed")
        if self.at_idle_lpm is not None and self.at_idle_lpm > self.flow_lpm:
            key = "idle_speed" if self.idle_flow_lpm is None else "idle_flow"
            raise Refusal("an idling pump gives no more than at working speed", key)

    @property
    def ratings_mpa(self) -> dict[str, float | None]:
        """Working pressure that each part is rated for, by its name; None where it is not told."""
        return {"pump": self.pump_rated_mpa, "box": self.box_rated_mpa, "cylinder": self.cylinder_rated_mpa}

    @property
    def at_idle_lpm(self) -> float | None:
        """Flow with the engine idling: as measured, else in proportion to its speed; None where neither is told."""
        if self.idle_flow_lpm is not None or self.speed is None or self.idle_speed is None:
            return self.idle_flow_lpm
        return self.flow_lpm * self.idle_speed / self.speed
