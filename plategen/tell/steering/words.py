"""The study said in rows of words, in the job's units: the command prints them, the sheet sets them in tables."""

import math
from collections.abc import Callable

from plategen.ground.show import Show
from plategen.steering.clearance import DEFLECTION_MM
from plategen.steering.stops import Met
from plategen.steering.study import SteeringStudy
from plategen.steering.vector import Floats
from plategen.tell.steering.block import Block, Row, angle, signed
from plategen.tell.steering.words_cylinder import (
    best_pin_block,
    in_line_block,
    oil_block,
    ports_block,
    push_block,
    stroke_block,
)

CAUTIONS = (
    "Steering kills when it fails. Nothing here certifies a steering, a part or a vehicle.",
    "Your local vehicle code decides what may be changed on a steering and who must inspect it. Ask before you cut.",
    "Have a licensed engineer check linkage, loads and brackets, and a qualified welder make the welds.",
    "The box's own stop is no stop to lean on: its shaft and housing would bear the whole force. Spindle stops first.",
    "Oil under pressure goes through skin: engine off and pressure let out before a fitting is touched.",
    "Suspension travel is not in these figures: turn lock to lock with the axle up, down and crossed before the road.",
    "If anything goes wrong while filling or bleeding, stop the pump first: a dry pump is ruined within seconds.",
)
"""What every steering section says."""


def blocks(study: SteeringStudy, show: Show) -> tuple[Block, ...]:
    """Every table of the study that has something to say."""
    found = [
        _locks(study, show),
        _rods(study, show),
        _travel(study, show),
        stroke_block(study, show),
        in_line_block(study, show),
        push_block(study, show),
        best_pin_block(study, show),
        oil_block(study, show),
        ports_block(study, show),
        _stops(study, show),
        _clearance(study, show),
        _marks(study, show),
        _oil_lines(study, show),
        _circuit(study, show),
        _what_if(study, show),
        _attachments(study, show),
    ]
    return tuple(block for block in found if block is not None and block.rows)


def _locks(study: SteeringStudy, show: Show) -> Block | None:
    swept = study.sweep
    if swept is None:
        return None
    box, ahead = swept.driver_rad, swept.straight

    def places(values: Floats, told: Callable[[float], str]) -> Row:
        return tuple(told(float(values[i])) for i in (-1, ahead, 0))

    def degrees(rad: float) -> str:
        return angle(show, rad)

    rows: list[Row] = [(swept.motion.driver, *places(box, degrees))]
    rows += [(f"{side} wheel", *places(values, degrees)) for side, values in swept.steer_rad.items()]
    if swept.toe_error_rad is not None:
        rows.append(("toe-out beyond free rolling", *places(swept.toe_error_rad, degrees)))
    if swept.ackermann_percent is not None:
        left, _, right = places(swept.ackermann_percent, lambda share: f"{share:.0f} %")
        rows.append(("share of Ackermann", left, "", right))
    if swept.ratio is not None:
        rows.append(("ratio box to wheel", *places(swept.ratio, lambda ratio: f"{ratio:.2f}")))
    if swept.straight_toe_rad is not None:
        rows.append(("toe-in as the rods are set", "", degrees(swept.straight_toe_rad), ""))
    if swept.wheel_turns is not None and swept.column_ratio is not None:
        left, right = (f"{abs(float(box[i])) * swept.column_ratio / (2.0 * math.pi):.2f}" for i in (-1, 0))
        rows.append((f"turns of the steering wheel, {swept.wheel_turns:.2f} in all", left, "", right))
    return Block("Lock to lock", ("", "left lock", "ahead", "right lock"), tuple(rows))


def _rods(study: SteeringStudy, show: Show) -> Block | None:
    rows = tuple(
        (
            rod.rod,
            f"{angle(show, float(rod.plan_rad.min()))} to {angle(show, float(rod.plan_rad.max()))}",
            f"{angle(show, float(rod.rise_rad.min()))} to {angle(show, float(rod.rise_rad.max()))}",
            angle(show, rod.largest_tilt_rad),
            angle(show, rod.least_transmission_rad),
        )
        for rod in study.rods
    )
    return Block("Rods", ("rod", "from above", "rise", "joint tilts", "least transmission angle"), rows)


def _travel(study: SteeringStudy, show: Show) -> Block | None:
    rows = tuple(
        (name, show.length(t.chord_mm), show.length(t.path_mm), show.length(t.to_left_mm), show.length(t.to_right_mm))
        for name, t in study.travels
    )
    return Block("Travel", ("point", "lock to lock", "along its path", "to the left", "to the right"), rows)


def _stops(study: SteeringStudy, show: Show) -> Block | None:
    if study.stops is None:
        return None
    rows: list[Row] = []
    for met in (*study.stops.left, *study.stops.right):
        far = math.isfinite(met.box_rad)
        turns = met.bolt_turns
        setting = ""
        if turns is not None and abs(turns) >= 0.05:
            setting = f"{abs(turns):.1f} turns {'in' if turns < 0.0 else 'out'}"
        per_turn = ""
        if met.per_turn_rad is not None:
            per_turn = angle(show, met.per_turn_rad)
            per_turn += "" if met.per_turn_mm is None else f", {show.length(met.per_turn_mm)}"
        rows.append(
            (
                met.turn,
                met.name,
                angle(show, met.box_rad) if far else "never",
                "" if met.travel_mm is None else show.length(met.travel_mm),
                angle(show, met.set_by_rad) if far and met.kind != "box" else "",
                setting,
                per_turn,
                _borne(met, show),
            )
        )
    heading = ("turn", "stop", "met at, box", "travel", "to be met later by", "bolt", "a turn is", "it bears")
    return Block("Stops, in the order in which they are met", heading, tuple(rows))


def _borne(met: Met, show: Show) -> str:
    """What a stop bears: a force where it is told how far out it stands, else the moment on its lever's shaft."""
    if met.force_n is not None:
        return show.force(met.force_n)
    return "" if met.moment_nmm is None else f"{show.moment(met.moment_nmm)} on the shaft"


def _clearance(study: SteeringStudy, show: Show) -> Block | None:
    rows = tuple(
        (c.tyre, c.bar, show.length(c.least_mm), *(show.length(c.left_mm(mm)) for mm in DEFLECTION_MM))
        for c in study.clearances
    )
    deflected = tuple(f"deflected {show.short(mm)} {show.units}" for mm in DEFLECTION_MM)
    return Block("Tyre clearance", ("tyre on", "to", "least", *deflected), rows)


def _marks(study: SteeringStudy, show: Show) -> Block | None:
    rows = tuple(
        (
            m.what,
            show.length(m.error_mm),
            angle(show, m.box_rad),
            "" if m.wheel_rad is None else angle(show, m.wheel_rad),
            "" if m.travel_mm is None else show.length(m.travel_mm),
            "" if m.splines is None else f"{m.splines:.2f}",
        )
        for m in study.marks
    )
    return Block("What a mark is worth", ("mark", "on the hub", "box", "wheel", "travel", "splines"), rows)


def _oil_lines(study: SteeringStudy, show: Show) -> Block | None:
    c = study.circuit
    if c is None:
        return None
    rows = tuple(
        (
            line.name,
            line.kind,
            f"{line.velocity_m_s:.2f} m/s",
            f"{line.limit_m_s:.1f} m/s",
            show.length(line.least_inside_mm),
            show.pressure(line.loss_mpa),
        )
        for line in c.lines
    )
    return Block("Oil lines", ("line", "kind", "velocity", "at most", "least inside", "loss"), rows)


def _circuit(study: SteeringStudy, show: Show) -> Block | None:
    c, entry = study.circuit, study.steering.circuit
    if c is None or entry is None:
        return None
    rows: tuple[Row, ...] = (
        ("loss of the return lines together", show.pressure(c.return_loss_mpa)),
        ("heat while all oil goes over relief", f"{c.heat_w / 1000:.2f} kW"),
        (f"cooler has to carry, {entry.relief_share:.0%} of the time at relief", f"{c.cooler_w / 1000:.2f} kW"),
        ("oil level above the pump", show.length(c.head_mm)),
        (f"oil level above the {c.highest}, the highest other part", show.length(c.reservoir_over_mm)),
        ("air has to go down after", ", ".join(c.air_traps) or "nothing: it rises all the way"),
    )
    return Block("Oil circuit", (), rows)


def _what_if(study: SteeringStudy, show: Show) -> Block | None:
    per = 25.4 if show.units == "in" else 10.0
    unit = "1 in" if show.units == "in" else "10 mm"
    rows = tuple(
        (
            s.part,
            s.change,
            f"{signed(math.degrees(s.wheel_rad_per_mm) * per, 2)}°",
            "quicker" if s.quickens else "slower",
            f"{signed(math.degrees(s.toe_rad_per_mm) * per, 2)}°",
            "" if s.travel_mm_per_mm is None else signed(s.travel_mm_per_mm, 3),
        )
        for s in sorted(study.sensitivities, key=lambda s: -abs(s.wheel_rad_per_mm))
    )
    heading = ("part", f"by {unit}", "wheel, lock to lock", "steering", "toe-in ahead", "travel for each length")
    return Block("What if", heading, rows)


def _attachments(study: SteeringStudy, show: Show) -> Block | None:
    rows = tuple(
        (
            str(number),
            a.place,
            show.length(a.travel_mm),
            show.length(a.arm_mm),
            show.length(a.least_arm_mm) if a.dead_rad is None else f"dead point, box at {angle(show, a.dead_rad)}",
            "" if a.moment_nmm is None or a.dead_rad is not None else show.moment(a.moment_nmm),
        )
        for number, a in enumerate(study.attachments, 1)
    )
    heading = ("", "cylinder on", "stroke it needs", "arm straight ahead", "least arm", "least moment, pulling")
    return Block("Travel against force", heading, rows)


def circuit_words(study: SteeringStudy, show: Show) -> str:
    """What stands under the circuit's picture; empty without a circuit."""
    c = study.circuit
    if c is None:
        return ""
    over = f"Oil {show.length(abs(c.head_mm))} {'above' if c.head_mm >= 0.0 else 'BELOW'} the pump's inlet."
    return f"{over} Heat at relief {c.heat_w / 1000.0:.1f} kW. Heights are to scale, distances are not."


def marks_apart(study: SteeringStudy, show: Show) -> str:
    """How far apart the two lines on the hub have to come out; empty without marks or a linkage."""
    swept, marks = study.sweep, study.steering.marks
    if swept is None or marks is None:
        return ""
    turn = float(swept.driver_rad[-1] - swept.driver_rad[0])
    arc = show.length(marks.hub_diameter_mm / 2.0 * turn)
    left, right = (angle(show, abs(float(swept.driver_rad[i]))) for i in (-1, 0))
    return (
        f"The box arm turns {left} to the left and {right} to the right, {angle(show, turn)} in all. On a hub of "
        f"{show.length(marks.hub_diameter_mm)} the lines L and R come out {arc} apart, laid round the hub. If they do "
        "not, stop: a lock, a rod or the drawing is not what it was taken for."
    )
