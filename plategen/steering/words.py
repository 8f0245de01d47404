"""The study said in rows of words, in the job's units: the command prints them, the sheet sets them in tables."""

import math

from plategen.show import Show
from plategen.steering.block import Block, Row, angle, signed
from plategen.steering.study import SteeringStudy
from plategen.steering.words_cylinder import best_pin_block, in_line_block, oil_block, ports_block, stroke_block

CAUTIONS = (
    "Steering kills when it fails. Nothing here certifies a steering, a part or a vehicle.",
    "Your local vehicle code decides what may be changed on a steering and who must inspect it. Ask before you cut.",
    "Have a licensed engineer check linkage, loads and brackets, and a qualified welder make the welds.",
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
        best_pin_block(study, show),
        oil_block(study, show),
        ports_block(study, show),
        _stops(study, show),
        _clearance(study, show),
        _marks(study, show),
        _circuit(study, show),
        _what_if(study, show),
        _attachments(study, show),
    ]
    return tuple(block for block in found if block is not None and block.rows)


def _locks(study: SteeringStudy, show: Show) -> Block | None:
    swept = study.sweep
    if swept is None:
        return None
    box = swept.driver_rad
    rows: list[Row] = [(swept.motion.driver, angle(show, float(box[-1])), angle(show, float(box[0])))]
    for side, values in swept.steer_rad.items():
        rows.append((f"{side} wheel", angle(show, float(values[-1])), angle(show, float(values[0]))))
    if swept.toe_error_rad is not None:
        error = swept.toe_error_rad
        rows.append(("toe-out beyond free rolling", angle(show, float(error[-1])), angle(show, float(error[0]))))
    if swept.ackermann_percent is not None:
        percent = swept.ackermann_percent
        rows.append(("share of Ackermann", f"{percent[-1]:.0f} %", f"{percent[0]:.0f} %"))
    if swept.ratio is not None:
        rows.append(("ratio box to wheel", f"{swept.ratio[-1]:.2f}", f"{swept.ratio[0]:.2f}"))
        rows.append(("ratio straight ahead", f"{swept.ratio[swept.straight]:.2f}", ""))
    if swept.straight_toe_rad is not None:
        rows.append(("toe-in straight ahead", angle(show, swept.straight_toe_rad), ""))
    if swept.wheel_turns is not None:
        rows.append(("turns of the steering wheel", f"{swept.wheel_turns:.2f}", ""))
    return Block("Lock to lock", ("", "left lock", "right lock"), tuple(rows))


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
                angle(show, met.set_by_rad) if far else "",
                setting,
                per_turn,
                "" if met.force_n is None else show.force(met.force_n),
            )
        )
    heading = ("turn", "stop", "met at, box", "travel", "to be met later by", "bolt", "a turn is", "force on it")
    return Block("Stops, in the order in which they are met", heading, tuple(rows))


def _clearance(study: SteeringStudy, show: Show) -> Block | None:
    rows = tuple(
        (c.tyre, c.bar, show.length(c.least_mm), show.length(c.left_mm(12.7)), show.length(c.left_mm(25.4)))
        for c in study.clearances
    )
    deflected = (f"deflected {show.short(12.7)}", f"deflected {show.short(25.4)} {show.units}")
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


def _circuit(study: SteeringStudy, show: Show) -> Block | None:
    c = study.circuit
    if c is None:
        return None
    rows: list[Row] = [
        (
            line.name,
            line.kind,
            f"{line.velocity_m_s:.2f} of {line.limit_m_s:.1f} m/s",
            show.length(line.least_inside_mm),
            show.pressure(line.loss_mpa),
        )
        for line in c.lines
    ]
    rows += [
        ("return lines together", "", "", "", show.pressure(c.return_loss_mpa)),
        ("heat at relief, and on the long run", "", f"{c.heat_w / 1000:.2f} kW, {c.cooler_w / 1000:.2f} kW", "", ""),
        ("oil level above the pump", "", show.length(c.head_mm), "", ""),
        (f"oil level above the {c.highest}", "", show.length(c.reservoir_over_mm), "", ""),
        ("air has to go down after", "", ", ".join(c.air_traps) or "nothing", "", ""),
    ]
    return Block("Oil circuit", ("line", "kind", "velocity", "least inside", "loss"), tuple(rows))


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
            show.length(a.least_arm_mm),
            "" if a.moment_nmm is None else show.moment(a.moment_nmm),
        )
        for number, a in enumerate(study.attachments, 1)
    )
    heading = ("", "cylinder on", "stroke it needs", "arm straight ahead", "least arm", "least moment, pulling")
    return Block("Travel against force", heading, rows)
