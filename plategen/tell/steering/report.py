"""The study as a plain dictionary for ``steer.json``: lengths in mm, angles in degrees, forces in N, stress in MPa."""

import math
from typing import Any

import numpy as np

from plategen.checks.steering import findings
from plategen.steering.stops import Met
from plategen.steering.study import SteeringStudy
from plategen.steering.vector import Floats

FORMAT = 1
SWEEP_ROWS = 41
"""Positions of the sweep that the report lists; every one of them is computed, and the study holds them all."""


def steer_report(study: SteeringStudy) -> dict[str, Any]:
    """Every number of the study, for other programs."""
    return {
        "format": FORMAT,
        "title": study.title,
        "units": study.units,
        "sweep": _sweep(study),
        "rods": [
            {
                "name": rod.rod,
                "plan_deg": _range(rod.plan_rad),
                "rise_deg": _range(rod.rise_rad),
                "largest_tilt_deg": math.degrees(rod.largest_tilt_rad),
                "least_transmission_deg": math.degrees(rod.least_transmission_rad),
                "closure_error": None if study.sweep is None else study.sweep.motion.closure_error(rod.rod),
            }
            for rod in study.rods
        ],
        "travel": [
            {
                "point": name,
                "path_mm": t.path_mm,
                "chord_mm": t.chord_mm,
                "to_left_mm": t.to_left_mm,
                "to_right_mm": t.to_right_mm,
                "low_mm": list(t.low_mm),
                "high_mm": list(t.high_mm),
            }
            for name, t in study.travels
        ],
        "stroke": _stroke(study),
        "in_line": _in_line(study),
        "oil": _oil(study),
        "sizing": None
        if study.sizing is None
        else {
            "needed_n": study.sizing.needed_n,
            "bore_mm": None if study.sizing.bore is None else study.sizing.bore.size_mm,
            "rod_mm": None if study.sizing.rod is None else study.sizing.rod.size_mm,
        },
        "ports": [
            {
                "name": p.name,
                "worst_deg": math.degrees(p.worst_rad),
                "trapped_mm3": p.trapped_mm3,
                "hose_span_mm": None if p.hose_span_mm is None else list(p.hose_span_mm),
                "hose_needed_mm": p.hose_needed_mm,
                "bend_mm": _finite(p.bend_mm),
                "clearance_mm": dict(p.clearance_mm),
            }
            for p in study.ports
        ],
        "stops": None
        if study.stops is None
        else {"left": [_met(m) for m in study.stops.left], "right": [_met(m) for m in study.stops.right]},
        "tyre_clearance": [{"tyre": c.tyre, "bar": c.bar, "least_mm": c.least_mm} for c in study.clearances],
        "marks": [
            {
                "what": m.what,
                "error_mm": m.error_mm,
                "box_deg": math.degrees(m.box_rad),
                "wheel_deg": None if m.wheel_rad is None else math.degrees(m.wheel_rad),
                "travel_mm": m.travel_mm,
                "splines": m.splines,
            }
            for m in study.marks
        ],
        "circuit": _circuit(study),
        "what_if": [
            {
                "part": s.part,
                "change": s.change,
                "wheel_deg_per_mm": math.degrees(s.wheel_rad_per_mm),
                "toe_deg_per_mm": math.degrees(s.toe_rad_per_mm),
                "travel_mm_per_mm": s.travel_mm_per_mm,
            }
            for s in study.sensitivities
        ],
        "attachments": [
            {
                "place": a.place,
                "travel_mm": a.travel_mm,
                "arm_mm": a.arm_mm,
                "least_arm_mm": a.least_arm_mm,
                "moment_nmm": a.moment_nmm,
                "dead_deg": None if a.dead_rad is None else math.degrees(a.dead_rad),
            }
            for a in study.attachments
        ],
        "findings": [
            {
                "check": f.check,
                "part": f.part,
                "demand": f.demand,
                "capacity": f.capacity,
                "unit": f.unit,
                "ratio": _finite(f.ratio),
                "verdict": f.verdict,
                "source": f.source,
                "assumed": f.assumed,
                "cure": f.cure,
            }
            for f in findings(study)
        ],
    }


def _finite(value: float | None) -> float | None:
    """A number that JSON can hold: None for what is infinite or was not found."""
    return value if value is not None and math.isfinite(value) else None


def _range(angle_rad: Floats) -> list[float]:
    return [math.degrees(float(angle_rad.min())), math.degrees(float(angle_rad.max()))]


def _degrees(values: Floats, picked: Floats) -> list[float | None]:
    return [_finite(math.degrees(float(values[int(i)]))) for i in picked]


def _sweep(study: SteeringStudy) -> dict[str, Any] | None:
    swept = study.sweep
    if swept is None:
        return None
    picked = np.unique(np.linspace(0, len(swept) - 1, SWEEP_ROWS).round())
    percent = swept.ackermann_percent
    return {
        "driver": swept.motion.driver,
        "positions": len(swept),
        "driver_deg": _degrees(swept.driver_rad, picked),
        "wheels_deg": {side: _degrees(values, picked) for side, values in swept.steer_rad.items()},
        "lock_right_deg": {side: math.degrees(v) for side, v in swept.lock_steer_rad(0).items()},
        "lock_left_deg": {side: math.degrees(v) for side, v in swept.lock_steer_rad(-1).items()},
        "ratio": None if swept.ratio is None else [float(swept.ratio[int(i)]) for i in picked],
        "toe_error_deg": None if swept.toe_error_rad is None else _degrees(swept.toe_error_rad, picked),
        "straight_toe_deg": None if swept.straight_toe_rad is None else math.degrees(swept.straight_toe_rad),
        "ackermann_percent_at_locks": None if percent is None else [_finite(float(percent[i])) for i in (0, -1)],
        "kingpins_mm": swept.kingpins_mm,
        "wheel_turns": swept.wheel_turns,
    }


def _stroke(study: SteeringStudy) -> dict[str, Any] | None:
    advice = study.stroke
    if advice is None:
        return None
    return {
        "travel_mm": advice.travel_mm,
        "needed_mm": advice.needed_mm,
        "stroke_mm": advice.stroke_mm,
        "standard_mm": None if advice.standard is None else advice.standard.size_mm,
        "standard_source": None if advice.standard is None else advice.standard.source,
        "limit_mm": advice.limit_mm,
        "spacer_cap_mm": advice.at_cap_mm,
        "spacer_rod_mm": advice.at_rod_mm,
        "closed_mm": advice.limited_closed_mm,
        "open_mm": advice.limited_open_mm,
        "straight_mm": advice.straight_mm,
        "off_middle_mm": advice.off_middle_mm,
        "fixed_pin_mm": None if advice.fixed_mm is None else list(advice.fixed_mm),
        "fixed_pin_moved_mm": advice.moved_mm,
        "closed_for_drawn_mm": advice.closed_for_drawn_mm,
        "enough": advice.enough,
    }


def _in_line(study: SteeringStudy) -> dict[str, Any] | None:
    found, loads = study.in_line, study.loads
    if found is None:
        return None
    aligned, bending, best = found.aligned, found.bending, found.best
    return {
        "line": aligned.line,
        "worst_deg": math.degrees(aligned.worst_rad),
        "level_deg": _range(aligned.level_rad),
        "upright_deg": _range(aligned.upright_rad),
        "push_lost": float(aligned.push_lost.max()),
        "side_share": float(aligned.side_share.max()),
        "swing_deg": _range(found.swing.in_plane_rad),
        "out_of_plane_deg": _range(found.swing.out_of_plane_rad),
        "plate_frame": {"origin_mm": list(found.mount.fixed_mm), "u": list(found.swing.u), "v": list(found.swing.v)},
        "moving_end_deg": [math.degrees(angle) for angle in found.moving_swing_rad],
        "push_n": None if loads is None else loads.push_n,
        "pull_n": None if loads is None else loads.pull_n,
        "push_parts": [
            {"at": where, "of_the_line": aligned.shares[i].tolist(), "of_the_vehicle": found.pins.direction[i].tolist()}
            for where, i in (("right lock", 0), ("straight ahead", found.pins.straight), ("left lock", -1))
        ],
        "bending": None
        if bending is None
        else {
            "side_n": bending.side_n,
            "eccentric_mm": bending.eccentric_mm,
            "moment_nmm": bending.moment_nmm,
            "stress_mpa": bending.stress_mpa,
            "ball_side_n": list(bending.ball_side_n),
            "lever_moment_nmm": list(bending.lever_moment_nmm),
        },
        "best_pin": None
        if best is None
        else {
            "fixed_pin_mm": list(best.fixed_mm),
            "worst_deg": math.degrees(best.worst_rad),
            "drawn_worst_deg": math.degrees(best.drawn_worst_rad),
            "on_edge": list(best.on_edge),
            "away": [
                {"axis": a.axis, "step_mm": a.step_mm, "worst_deg": math.degrees(a.worst_rad), "push_lost": a.push_lost}
                for a in best.away
            ],
        },
    }


def _oil(study: SteeringStudy) -> dict[str, Any] | None:
    if study.oil is None or study.thrust is None:
        return None
    helped = study.assist
    return {
        "push_n": study.thrust.push_n,
        "pull_n": study.thrust.pull_n,
        "stronger_by": study.thrust.stronger_by,
        "open_mm3": study.oil.open_mm3,
        "close_mm3": study.oil.close_mm3,
        "open_s": study.oil.open_s,
        "close_s": study.oil.close_s,
        "flow_lpm": study.oil.flow_lpm,
        "wheel_rps": study.oil.wheel_rps,
        "scrub_nmm": None if helped is None else list(helped.scrub_nmm),
        "needed_n": None if helped is None else float(helped.needed_n.max()),
        "left_n": None if helped is None or helped.available_n is None else helped.available_n[0],
        "right_n": None if helped is None or helped.available_n is None else helped.available_n[1],
    }


def _met(met: Met) -> dict[str, Any]:
    return {
        "name": met.name,
        "kind": met.kind,
        "box_deg": _finite(math.degrees(met.box_rad)),
        "travel_mm": met.travel_mm,
        "set_by_deg": _finite(math.degrees(met.set_by_rad)),
        "bolt_turns": met.bolt_turns,
        "per_turn_deg": None if met.per_turn_rad is None else math.degrees(met.per_turn_rad),
        "per_turn_mm": met.per_turn_mm,
        "force_n": met.force_n,
        "moment_nmm": met.moment_nmm,
    }


def _circuit(study: SteeringStudy) -> dict[str, Any] | None:
    found = study.circuit
    if found is None:
        return None
    return {
        "lines": [
            {
                "name": line.name,
                "kind": line.kind,
                "velocity_m_s": line.velocity_m_s,
                "limit_m_s": line.limit_m_s,
                "least_inside_mm": line.least_inside_mm,
                "reynolds": line.reynolds,
                "loss_mpa": line.loss_mpa,
            }
            for line in found.lines
        ],
        "return_loss_mpa": found.return_loss_mpa,
        "heat_w": found.heat_w,
        "cooler_w": found.cooler_w,
        "head_mm": found.head_mm,
        "reservoir_over_mm": found.reservoir_over_mm,
        "air_traps": list(found.air_traps),
    }
