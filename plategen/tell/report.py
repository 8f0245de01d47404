"""Every number of a finished job as plain data, for other programs; the sheet shows the same numbers.

Lengths mm, forces N, stresses MPa, angles degrees where the key says so. The findings' demand, capacity, ratio and
verdict are the ones that were judged; nothing is judged again here. JSON knows no infinity: a ratio with nothing to
carry the demand is null.
"""

import math
from typing import Any

from plategen.bracket.measure import cut_length_mm, hole_edge_mm, mass_kg, slot_edge_mm
from plategen.bracket.model import Hole, Plate, Slot, WeldRun
from plategen.checks.finding import Finding
from plategen.cut.table.cutting import cut_file_name
from plategen.flat.chain import Chain
from plategen.flat.reach import approaches
from plategen.flat.segment import Arc, Segment
from plategen.flat.tolerance import SAME_POINT_MM
from plategen.ground.show import Show
from plategen.rail.trace import FittedTrace
from plategen.tell.picture.plate_words import facing, shape_mark
from plategen.work import Work


def report(work: Work) -> dict[str, Any]:
    """The whole report."""
    show = Show(work.job.units)
    return {
        "format": 1,
        "title": work.job.title,
        "units": work.job.units,
        "traces": [trace_report(fitted) for fitted in work.rail.traces],
        "plates": [_plate(work, plate) for plate in work.cut_plates],
        "welds": [_weld(run) for run in work.bracket.welds],
        "weld_length_mm": sum(run.length_mm for run in work.bracket.welds),
        "findings": [_finding(finding) for finding in work.findings],
        "cautions": [show.text(words) for words in work.cautions],
        "chosen": [show.text(words) for words in work.bracket.chosen],
    }


def trace_report(fitted: FittedTrace) -> dict[str, Any]:
    """One trace: counts as the first keys say them, then every reading and every fitted piece."""
    return {
        "file": fitted.trace.file,
        "plane_mm": fitted.trace.plane_mm,
        "readings": len(fitted.trace.readings),
        "doubtful": list(fitted.doubtful),
        "rms_mm": fitted.rms_mm,
        "pieces": len(fitted.chain),
        "read_error_mm": fitted.read_error_mm,
        "read": [
            {
                "line": reading.line,
                "station_mm": reading.point.real,
                "offset_mm": reading.point.imag,
                "residual_mm": residual,
                "doubtful": index in fitted.doubtful,
                "note": reading.note,
            }
            for index, (reading, residual) in enumerate(zip(fitted.trace.readings, fitted.residuals_mm, strict=True))
        ],
        "fitted": chain_report(fitted.chain),
    }


def chain_report(chain: Chain) -> list[dict[str, Any]]:
    """The pieces of a chain in order: flats and bends with their ends."""
    return [_piece(segment) for segment in chain]


def _piece(segment: Segment) -> dict[str, Any]:
    ends = {"start_mm": _pair(segment.start), "end_mm": _pair(segment.end), "length_mm": segment.length}
    if isinstance(segment, Arc):
        return {
            "kind": "bend",
            "radius_mm": segment.radius,
            "kick_deg": math.degrees(segment.sweep_rad),
            **ends,
            "centre_mm": _pair(segment.centre),
        }
    along = segment.start_tangent
    return {"kind": "flat", "lie_deg": math.degrees(math.atan2(along.imag, along.real)), **ends}


def _plate(work: Work, plate: Plate) -> dict[str, Any]:
    u0, v0, u1, v1 = plate.outline.bounds
    told: dict[str, Any] = {
        "name": plate.name,
        "file": cut_file_name(work.job, plate.name),
        "thickness_mm": plate.thickness_mm,
        "count": plate.count,
        "area_mm2": plate.area_mm2,
        "mass_kg": mass_kg(plate),
        "cut_length_mm": cut_length_mm(plate),
        "width_mm": u1 - u0,
        "height_mm": v1 - v0,
        "frame": None
        if plate in work.loose
        else {
            "origin_mm": list(plate.placement.origin),
            "u": list(plate.placement.u),
            "v": list(plate.placement.v),
        },
        "holes": [_hole(plate, hole) for hole in plate.holes],
        "slots": [_slot(plate, slot) for slot in plate.slots],
        "rolled_mm": plate.rolled_mm,
        "fit": None,
        "steel": plate.steel,
        "shape": shape_mark(plate),
        "facing": facing(work, plate),
        "welded": plate.welded,
    }
    if plate.fit is not None:
        told["fit"] = {
            "gap_near_mm": plate.fit.gap_near_mm,
            "gap_far_mm": plate.fit.gap_far_mm,
            "overlap_mm": plate.fit.overlap_mm,
            "expected_gap_mm": plate.fit.expected_gap_mm,
        }
    return told


def _hole(plate: Plate, hole: Hole) -> dict[str, Any]:
    return {
        "name": hole.name,
        "diameter_mm": 2.0 * hole.circle.radius,
        "centre_mm": _pair(hole.circle.centre),
        "made": hole.made,
        "edge_distance_mm": hole_edge_mm(plate, hole),
        "edge_distance_required_mm": hole.edge_required_mm,
        "source": hole.edge_source,
        "bolt_mm": hole.bolt_mm,
        "edges": [
            {
                "edge": edge_name(plate, hole, found.edge),
                "from_centre_mm": found.from_centre_mm,
                "from_hole_mm": found.from_circle_mm,
                "direction_deg": math.degrees(found.direction_rad) % 360.0,
            }
            for found in approaches(plate.outline, hole.circle)
        ],
    }


def edge_name(plate: Plate, hole: Hole, index: int) -> str:
    """What a person calls an edge of the outline, as seen from a hole in it.

    The notch; the nose about the hole; a toe, straight and beside the notch; a flank, straight and beside the nose; a
    corner, any other arc; else its number round the outline.
    """
    edges = plate.outline.segments
    kinds = {_kind(plate, hole, edges[(index + step) % len(edges)]) for step in (-1, 1)}
    kind = _kind(plate, hole, edges[index])
    if kind == "straight":
        return "toe" if "notch" in kinds else "flank" if "nose" in kinds else f"edge {index + 1}"
    return kind


def _kind(plate: Plate, hole: Hole, edge: Segment) -> str:
    if plate.notch is not None and edge.reversed() in plate.notch.segments:
        return "notch"
    if isinstance(edge, Arc):
        return "nose" if abs(edge.centre - hole.circle.centre) < SAME_POINT_MM else "corner"
    return "straight"


def _slot(plate: Plate, slot: Slot) -> dict[str, Any]:
    return {
        "name": slot.name,
        "width_mm": slot.width_mm,
        "length_mm": slot.length_mm,
        "ends_mm": [_pair(end) for end in slot.ends],
        "bolt_at_mm": _pair(slot.at),
        "edge_distance_mm": slot_edge_mm(plate, slot),
        "edge_distance_required_mm": slot.edge_required_mm,
        "source": slot.edge_source,
        "bolt_mm": slot.bolt_mm,
    }


def _weld(run: WeldRun) -> dict[str, Any]:
    return {
        "name": run.name,
        "plate": run.plate,
        "side": run.side,
        "length_mm": run.length_mm,
        "leg_mm": run.leg_mm,
        "joint_angle_deg": [math.degrees(angle) for angle in run.joint_angle_rad],
        "to": run.other,
        "gap_mm": run.gap_mm,
        "electrode": run.electrode,
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "check": finding.check,
        "part": finding.part,
        "demand": _finite(finding.demand),
        "capacity": _finite(finding.capacity),
        "unit": finding.unit,
        "ratio": _finite(finding.ratio),
        "verdict": finding.verdict,
        "source": finding.source,
        "case": finding.case,
        "assumed": finding.assumed,
        "cure": finding.cure,
        "opinion": finding.opinion,
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _pair(p: complex) -> list[float]:
    return [p.real, p.imag]
