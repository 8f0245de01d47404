"""The whole steering study of a job as one frozen value, each part there when the job tells enough for it."""

from collections.abc import Mapping
from dataclasses import dataclass

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.bracket import PinName
from plategen.job.job import Job
from plategen.job.parse import SteeringJob
from plategen.job.rules import Driven, Rules
from plategen.job.steering import Steering
from plategen.steering import parts
from plategen.steering.alignment import InLine, in_line
from plategen.steering.axle import AxleTravel, beyond_mm
from plategen.steering.bottomed import Bottomed
from plategen.steering.circuit import Circuit
from plategen.steering.clearance import Clearance
from plategen.steering.cylinder import CylinderSize, StrokeAdvice
from plategen.steering.hands import Hands
from plategen.steering.hydraulics import Assist, Oil, Sizing, Thrust, assist, oil, thrust
from plategen.steering.marks import READING_ERROR, MarkError
from plategen.steering.mount import Mount, Swing
from plategen.steering.moving_end import AlongRod, along_rod, beside_rod_mm, moving_swing
from plategen.steering.ports import PortAngle
from plategen.steering.roll import Roll, Rolled
from plategen.steering.standard import Series
from plategen.steering.stop_pad import StopPad, stop_pad
from plategen.steering.stops import StopOrder
from plategen.steering.sweep import Sweep
from plategen.steering.team import Team
from plategen.steering.team_of_job import team_of
from plategen.steering.travel import RodAngles, Travel, rod_angles
from plategen.steering.tyre_room import Barrel, clearances_of
from plategen.steering.what_if import Attachment, Sensitivity, attachments, sensitivities

AnyJob = Job | SteeringJob
"""A job with a steering, or a steering alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SteeringStudy:
    """Everything that was found; a part is None, or empty, when the job does not tell what it needs.

    ``steering``, ``rules`` and ``driven`` are the job's own tables, for those who judge the study.
    """

    title: str
    series: Series
    units: Units
    steering: Steering
    rules: Rules
    driven: Driven | None
    size: CylinderSize | None
    sweep: Sweep | None
    rods: tuple[RodAngles, ...]
    travels: tuple[tuple[str, Travel], ...]
    stroke: StrokeAdvice | None
    in_line: InLine | None
    axle: AxleTravel | None  # With the axle moved; None where the job does not ask.
    team: Team  # All that turns the linkage beside the driver.
    roll: Roll | None  # Of the pushed rod about its own line; None where nothing turns it.
    rolled: tuple[Rolled, ...]  # With that rod at its joints' limits, where they are what holds it.
    thrust: Thrust | None
    oil: Oil | None
    assist: Assist | None
    hands: Hands | None  # Of the driver; None where the job tells nothing of them.
    sizing: Sizing | None
    ports: tuple[PortAngle, ...]
    stops: StopOrder | None
    bottomed: tuple[Bottomed, ...]  # The turns in which the cylinder ends before a wheel's stop is met.
    pad: StopPad | None
    barrels: Mapping[str, Barrel]  # Every cylinder as the tyres meet it, by its name.
    clearances: tuple[Clearance, ...]
    marks: tuple[MarkError, ...]
    circuit: Circuit | None
    sensitivities: tuple[Sensitivity, ...]
    attachments: tuple[Attachment, ...]

    @property
    def mounts(self) -> dict[str, Mount]:
        """Where every cylinder sits, by its name, the one whose bracket is made first; empty without a linkage."""
        first = {} if self.in_line is None else {"cylinder": self.in_line.mount}
        return first | {each.name: each.mount for each in self.team.cylinders}

    def swings_about(self, pin: PinName) -> tuple[Swing, ...]:
        """How the cylinder swings about one of its pins, in the frame of the plates that hold it: with the pushed rod
        as drawn, rolled to its joints' limits where they hold it, and with the axle moved where that is asked.

        Empty without a linkage, and about a moving pin beside which no plates can stand.
        """
        if self.in_line is None or self.sweep is None:
            return ()
        if pin == "fixed pin":
            moved = () if self.axle is None or self.axle.swing is None else (self.axle.swing,)
            return (self.in_line.swing, *(each.swing for each in self.rolled), *moved)
        pins = [self.in_line.pins, *(each.pins for each in self.rolled)]
        lies = [(self.sweep.motion, each) for each in pins]
        if self.axle is not None and self.axle.pins is not None:
            lies.append((self.axle.motion, self.axle.pins))
        found = (moving_swing(motion, self.in_line.mount, pins) for motion, pins in lies)
        return tuple(swing for swing in found if swing is not None)

    @property
    def beside_rod_mm(self) -> float | None:
        """How far the moving pin is drawn beside the pushed rod's line; None where a lever is pushed, or nothing."""
        if self.in_line is None or self.sweep is None:
            return None
        return beside_rod_mm(self.sweep.motion, self.in_line.mount)

    @property
    def along_rod(self) -> AlongRod | None:
        """Where the moving pin stands along the pushed rod; None where a lever is pushed, or nothing."""
        if self.in_line is None or self.sweep is None:
            return None
        return along_rod(self.sweep.motion, self.in_line.mount)

    @property
    def read_to(self) -> MarkError | None:
        """What the marks on the box may be out by, as they are read; None without marks."""
        return next((mark for mark in self.marks if mark.what == READING_ERROR), None)

    @property
    def axle_takes_mm(self) -> tuple[float, float]:
        """How much shorter and longer than in the sweep the cylinder gets as the axle moves; none where that is not
        asked.
        """
        moved = None if self.axle is None else self.axle.cylinder_mm
        if moved is None or self.in_line is None:
            return 0.0, 0.0
        return beyond_mm(self.in_line.pins, moved)

    @property
    def cylinder_mm(self) -> tuple[float, float] | None:
        """Least and greatest pin to pin over the sweep, a rolled rod's included; None without a linkage."""
        if self.in_line is None:
            return None
        pins = (self.in_line.pins, *(each.pins for each in self.rolled))
        return min(p.shortest_mm for p in pins), max(p.longest_mm for p in pins)


def study(job: AnyJob) -> SteeringStudy:
    """Study the steering of a job.

    Raises:
        Refusal: when the job has no steering, when the linkage cannot be or cannot turn so far, naming the part.
    """
    steering = job.steering
    if steering is None:
        raise Refusal("there is no [steering] in this job; add it, with its levers or a travel", key="steering")
    series: Series = "inch" if job.units == "in" else "metric"
    size = parts.size_of(job.cylinder)
    rules = job.rules or Rules()
    forces = None if size is None else thrust(size)
    swept = parts.swept_of(steering)
    mount, installed = None, None
    stroke = parts.measured_of(steering, size, series)
    if swept is not None and steering.cylinder_mount is not None:
        entry = steering.cylinder_mount
        drawn = Mount(entry.pushes, entry.fixed_pin_mm, entry.moving_pin_mm, entry.pin_axis, entry.in_line_with)
        stroke, mount = parts.stroke_of(steering, entry, swept, drawn, size, series)
        installed = in_line(steering, swept, mount, size, forces)
    team = team_of(steering, swept, installed, size)
    tyre, helped = steering.tyre, None
    if swept is not None and installed is not None and tyre is not None and swept.steer_rad:
        share = team.first_share(swept) if team.further else 1.0
        helped = assist(swept, installed.mount, installed.pins, tyre, forces, share)
    poured = None
    if size is not None and stroke is not None:
        opens_to_left = installed is None or installed.pins.opens_to_left
        poured = oil(
            size,
            stroke.travel_mm,
            steering.circuit,
            lock_to_lock_s=steering.lock_to_lock_s,
            wheel_turns=None if swept is None else swept.wheel_turns,
            boxes_mm3=team.boxes_mm3 if steering.box else None,
            further_mm3=(team.further_mm3(to_left=opens_to_left), team.further_mm3(to_left=not opens_to_left)),
        )
    axle = parts.axle_of(steering, swept, installed)
    ports = parts.ports_of(steering, job.cylinder, installed, size, axle)
    order = parts.stops_of(steering, swept, installed, stroke, forces, team)
    turned, lying = parts.roll_of(steering, swept, installed, forces)
    barrels = parts.barrels_of(steering, job.cylinder, installed, team, lying)
    tried: tuple[Attachment, ...] = ()
    if swept is not None and mount is not None:
        tried = attachments(swept, mount, None if forces is None else min(forces.push_n, forces.pull_n))
    return SteeringStudy(
        title=job.title,
        series=series,
        units=job.units,
        steering=steering,
        rules=rules,
        driven=job.driven,
        size=size,
        sweep=swept,
        rods=() if swept is None else tuple(rod_angles(swept.motion, rod.name) for rod in swept.linkage.rods),
        travels=() if swept is None else parts.travels_of(steering, swept),
        stroke=stroke,
        in_line=installed,
        axle=axle,
        team=team,
        roll=turned,
        rolled=lying,
        thrust=forces,
        oil=poured,
        assist=helped,
        hands=parts.hands_of(steering, swept, team, poured),
        sizing=parts.sizing_of(steering, rules, size, stroke, helped, series),
        ports=ports,
        stops=order,
        bottomed=parts.bottomed_of(steering, swept, installed, order, team),
        pad=stop_pad(steering.stops.pad) if steering.stops and steering.stops.pad else None,
        barrels=barrels,
        clearances=clearances_of(steering, swept, barrels, None if axle is None else axle.motion),
        marks=parts.marks_of(steering, swept, mount),
        circuit=parts.circuit_of(steering, size, ports, forces, poured),
        sensitivities=() if swept is None else sensitivities(swept, mount),
        attachments=tried,
    )
