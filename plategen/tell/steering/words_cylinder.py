"""The cylinder's tables: stroke and spacers, alignment, best pin, force and oil, ports."""

import math

from plategen.ground.show import Show
from plategen.steering.hydraulics import Oil
from plategen.steering.sizing import Sizing
from plategen.steering.study import SteeringStudy
from plategen.steering.vector import array
from plategen.tell.steering.block import Block, Row, angle

SCRUB: tuple[Row, ...] = (
    ("  patch a disc: Barton, Fieldhouse (2018), ch. 2", "f W √(d² + (a/3)²)"),
    ("  by its width: common practice, no source", "f W √(B²/8 + d²)"),
    ("  f friction, W load, d kingpin offset", "a length of the patch, B width"),
)
"""Where the moment of a standing tyre comes from."""


def stroke_block(study: SteeringStudy, show: Show) -> Block | None:
    """Stroke, spacers and fixed pin."""
    advice = study.stroke
    if advice is None:
        return None
    rows: list[Row] = [
        ("travel lock to lock", show.length(advice.travel_mm)),
        ("stroke wanted, with margin", show.length(advice.needed_mm)),
        ("stroke", show.length(advice.stroke_mm)),
    ]
    if advice.standard is not None:
        rows.append(("next standard stroke", f"{show.length(advice.standard.size_mm)} ({advice.standard.source})"))
    if study.size is not None:
        rows += [
            ("limit the stroke by", show.length(advice.limit_mm)),
            ("spacer at the cap end", show.length(advice.at_cap_mm)),
            ("spacer on the rod", show.length(advice.at_rod_mm)),
            ("pin to pin, closed on its spacer", show.length(advice.limited_closed_mm)),
            ("pin to pin, open on its spacer", show.length(advice.limited_open_mm)),
            ("pin to pin, straight ahead", show.length(advice.straight_mm)),
            ("fixed pin, from where it is drawn", _moved(advice.moved_mm, show)),
        ]
    else:
        rows.append(("closed length that suits the drawn pins", show.length(advice.closed_for_drawn_mm)))
    if advice.fixed_mm is not None:
        places = ", ".join(f"{axis} {show.length(p)}" for axis, p in zip("xyz", advice.fixed_mm, strict=True))
        rows.append(("fixed pin goes to", places))
    if study.in_line is not None and study.steering.cylinder_mount is not None:
        swing, drawn = study.in_line.swing, study.steering.cylinder_mount
        off = array(study.in_line.mount.fixed_mm) - array(drawn.fixed_pin_mm)
        u, v, w = (float(off @ array(way)) for way in (swing.u, swing.v, swing.w))
        moved = f"pin station {_by(u, show)}, in-line offset {_by(-v, show)}, plane {_by(w, show)}"
        rows.append(("the same on the bracket", moved))
    return Block("Cylinder: stroke, spacers, fixed pin", (), tuple(rows))


def _by(mm: float, show: Show) -> str:
    """A change of a number of the job: ``'+1/8 in (0.125)'``, ``'stays'``."""
    return "stays" if abs(mm) < 0.05 else f"{'+' if mm > 0.0 else '-'}{show.length(abs(mm))}"


def _moved(mm: float, show: Show) -> str:
    if abs(mm) < 0.05:
        return "stays"
    return f"{show.length(abs(mm))} {'away from' if mm > 0.0 else 'towards'} the moving pin"


def in_line_block(study: SteeringStudy, show: Show) -> Block | None:
    """Alignment, swing and bending."""
    found = study.in_line
    if found is None:
        return None
    aligned, swing = found.aligned, found.swing
    low, high = swing.in_plane_range_rad
    out_low, out_high = swing.out_of_plane_range_rad
    rows: list[Row] = [
        ("in line with", aligned.line or "the way the pin moves"),
        ("worst angle", angle(show, aligned.worst_rad)),
        ("seen from above, at most", angle(show, float(abs(aligned.level_rad).max()))),
        ("seen from the side, at most", angle(show, float(abs(aligned.upright_rad).max()))),
        ("push lost, at most", f"{100.0 * float(aligned.push_lost.max()):.2f} %"),
        ("side load, at most", f"{100.0 * float(aligned.side_share.max()):.1f} % of the push"),
        (
            "pin off square to the cylinder, straight ahead",
            angle(show, float(swing.out_of_plane_rad[found.pins.straight])),
        ),
        ("swing at the fixed pin, in the plates' plane", f"{angle(show, low)} to {angle(show, high)}"),
        ("swing at the fixed pin, out of it", f"{angle(show, out_low)} to {angle(show, out_high)}"),
        ("swing at the moving pin, two ways", " and ".join(angle(show, a) for a in found.moving_swing_rad)),
    ]
    if found.bending is not None:
        b = found.bending
        rows += [
            ("moving pin beside the rod's line", show.length(b.eccentric_mm)),
            ("side load on the rod", show.force(b.side_n)),
            ("bending in the rod", show.moment(b.moment_nmm)),
            ("side force on its balls", " and ".join(show.force(f) for f in b.ball_side_n)),
            ("bending in the levers at its ends", " and ".join(show.moment(m) for m in b.lever_moment_nmm)),
        ]
        if b.stress_mpa is not None:
            rows.append(("bending stress in the rod", show.stress(b.stress_mpa)))
    return Block("In line", (), tuple(rows))


def push_block(study: SteeringStudy, show: Show) -> Block | None:
    """Push and pull in their parts at both locks and straight ahead: by the line that is pushed, and by the vehicle."""
    found, forces = study.in_line, study.thrust
    if found is None or forces is None:
        return None
    rows: list[Row] = []
    for word, force in (("push", forces.push_n), ("pull", -forces.pull_n)):
        for where, i in (("right lock", 0), ("straight ahead", found.pins.straight), ("left lock", -1)):
            on_line = [float(share) * force for share in found.aligned.shares[i]]
            on_vehicle = [float(share) * force for share in found.pins.direction[i]]
            rows.append(
                (
                    f"{word}, {where}",
                    *(show.force(abs(part)) for part in on_line),
                    *(_one_way(show, part, ways) for part, ways in zip(on_vehicle, _WAYS, strict=True)),
                )
            )
    heading = ("", "along the line", "level across it", "square to both", "fore and aft", "to the side", "up and down")
    return Block("Push and pull in their parts: of the line, then of the vehicle", heading, tuple(rows))


_WAYS = (("forward", "aft"), ("left", "right"), ("up", "down"))


def _one_way(show: Show, force_n: float, ways: tuple[str, str]) -> str:
    return f"{show.force(abs(force_n))} {ways[force_n < 0.0]}"


def best_pin_block(study: SteeringStudy, show: Show) -> Block | None:
    """The best fixed pin and what a step away from it costs."""
    best = None if study.in_line is None else study.in_line.best
    if best is None:
        return None
    rows: list[Row] = [
        ("the best place", angle(show, best.worst_rad), f"{100.0 * best.push_lost:.2f} %"),
        *(
            (
                f"{show.length(abs(a.step_mm))} {_way(a.axis, a.step_mm)} it",
                angle(show, a.worst_rad),
                f"{100.0 * a.push_lost:.2f} %",
            )
            for a in best.away
        ),
    ]
    places = ", ".join(f"{axis} {show.length(p)}" for axis, p in zip("xyz", best.fixed_mm, strict=True))
    return Block(f"Best fixed pin in the box: {places}", ("fixed pin", "worst angle", "push lost"), tuple(rows))


def _way(axis: str, step: float) -> str:
    return {"x": ("behind", "ahead of"), "y": ("right of", "left of"), "z": ("below", "above")}[axis][step > 0.0]


def oil_block(study: SteeringStudy, show: Show) -> Block | None:
    """Force, oil, times, assist."""
    rows: list[Row] = []
    t, o = study.thrust, study.oil
    if t is not None:
        rows.append(("push", show.force(t.push_n)))
        rows.append(("pull", f"{show.force(t.pull_n)} (push is {t.stronger_by:.2f} times as strong, and as slow)"))
    if o is not None:
        rows += _flow_rows(o, show)
    if study.assist is not None:
        a = study.assist
        least, most = float(a.needed_n.min()), float(a.needed_n.max())
        rows.append(("moment to turn one standing tyre", " to ".join(show.moment(m) for m in a.scrub_nmm)))
        rows += SCRUB
        rows.append(("force that turns both, alone", f"{show.force(least)} to {show.force(most)}"))
        if a.available_n is not None:
            rows.append(("force there is, turning left, right", ", ".join(show.force(f) for f in a.available_n)))
    if study.sizing is not None:
        rows += _sizing_rows(study.sizing, show)
    return Block("Force and oil", (), tuple(rows))


def _sizing_rows(s: Sizing, show: Show) -> list[Row]:
    rows: list[Row] = []
    if s.bore is not None and s.rod is not None:
        words = f"{show.length(s.bore.size_mm)} bore, {show.length(s.rod.size_mm)} rod"
        rows.append(("standard cylinder that turns them alone", words))
    else:
        rows.append(("standard cylinder that turns them alone", "none; two cylinders, or a longer arm"))
    if s.nearest_bore is not None and s.nearest_rod is not None:
        words = f"{show.length(s.nearest_bore.size_mm)} bore, {show.length(s.nearest_rod.size_mm)} rod"
        rows.append(("standard sizes nearest to this cylinder", words))
    return rows


def _flow_rows(o: Oil, show: Show) -> list[Row]:
    rows: list[Row] = [("oil to open, to close", f"{show.volume(o.open_mm3)}, {show.volume(o.close_mm3)}")]
    if o.open_s is not None and o.close_s is not None:
        rows.append(("lock to lock, opening and closing", f"{o.open_s:.2f} s, {o.close_s:.2f} s"))
    if o.flow_lpm is not None:
        rows.append(("flow for the wanted time", show.flow(o.flow_lpm)))
    if o.wheel_rps is not None:
        rows.append(("steering wheel, as fast as the pump follows", f"{o.wheel_rps:.2f} turns a second"))
    return rows


def ports_block(study: SteeringStudy, show: Show) -> Block | None:
    """Ports and hoses."""
    rows = tuple(
        (
            p.name,
            angle(show, p.worst_rad),
            show.volume(p.trapped_mm3),
            "" if p.hose_span_mm is None else f"{show.length(p.hose_span_mm[0])} to {show.length(p.hose_span_mm[1])}",
            "" if p.hose_needed_mm is None else show.length(p.hose_needed_mm),
            "" if p.bend_mm is None else (show.length(p.bend_mm) if math.isfinite(p.bend_mm) else "straight"),
            "; ".join(f"{name} {show.length(gap)}" for name, gap in p.clearance_mm),
        )
        for p in study.ports
    )
    heading = ("port", "off straight up", "air that can stay", "hose has to span", "hose", "bends at", "fitting clears")
    return Block("Ports and hoses", heading, rows)
