"""The plates and weld runs in the report."""

import math
from typing import Literal

from plategen.bracket.measure import cut_length_mm, hole_edge_mm, mass_kg, slot_edge_mm
from plategen.bracket.model import Hole, Plate, Purpose, Slot, WeldRun
from plategen.cut.table.cutting import cut_file_name
from plategen.flat.reach import approaches
from plategen.flat.segment import Arc, Segment
from plategen.flat.tolerance import SAME_POINT_MM
from plategen.tell.picture.plate_words import facing, shape_mark
from plategen.tell.report.encode import Level, Pair, Triple, mirrored, pair
from plategen.work import Work


class FrameReport(Level, frozen=True, kw_only=True):
    """Where a plate stands: the origin and the axes of its (u, v).

    Args:
        origin_mm: Its origin in the bracket's frame.
        u: Direction of its u.
        v: Direction of its v.
    """

    origin_mm: Triple
    u: Triple
    v: Triple


class EdgeReport(Level, frozen=True, kw_only=True):
    """An edge of the plate as seen from a hole.

    Args:
        edge: What a person calls it.
        from_centre_mm: Distance from the hole's centre.
        from_hole_mm: Steel left between hole and edge.
        direction_deg: Which way it lies, from u towards v.
    """

    edge: str
    from_centre_mm: float
    from_hole_mm: float
    direction_deg: float


class HoleReport(Level, frozen=True, kw_only=True):
    """A round hole.

    Args:
        name: As it is called.
        purpose: What it is for.
        diameter_mm: Finished diameter.
        centre_mm: Its centre, u and v.
        made: Cut by the table, or punched and drilled.
        edge_distance_mm: From its centre to the nearest edge.
        edge_distance_required_mm: The least that the rule asks.
        source: That rule.
        bolt_mm: Diameter of the pin or bolt through it.
        edges: Every edge of the outline, the nearest first.
    """

    name: str
    purpose: Purpose
    diameter_mm: float
    centre_mm: Pair
    made: Literal["cut", "drill"]
    edge_distance_mm: float
    edge_distance_required_mm: float
    source: str
    bolt_mm: float
    edges: tuple[EdgeReport, ...]


class SlotReport(Level, frozen=True, kw_only=True):
    """A round-ended slot.

    Args:
        name: What it is for.
        width_mm: Finished width.
        length_mm: Length over all.
        ends_mm: Centres of its two ends, u and v.
        bolt_at_mm: Where the bolt stands in it now, u and v.
        edge_distance_mm: From the centre of either end to the nearest edge.
        edge_distance_required_mm: The least that the rule asks.
        source: That rule.
        bolt_mm: Diameter of the bolt.
    """

    name: str
    width_mm: float
    length_mm: float
    ends_mm: tuple[Pair, Pair]
    bolt_at_mm: Pair
    edge_distance_mm: float
    edge_distance_required_mm: float
    source: str
    bolt_mm: float


class FitReport(Level, frozen=True, kw_only=True):
    """How a notch meets the rail.

    Args:
        gap_near_mm: Largest gap at the drawn face.
        gap_far_mm: Largest gap at the other face.
        overlap_mm: Deepest that the plate would go into the rail.
        expected_gap_mm: Largest gap to expect with the reading error.
    """

    gap_near_mm: float
    gap_far_mm: float
    overlap_mm: float
    expected_gap_mm: float


class PlateReport(Level, frozen=True, kw_only=True):
    """A plate that is cut.

    Args:
        name: Its name.
        file: Its cutting file.
        thickness_mm: Its thickness.
        count: How many alike.
        area_mm2: Area with holes and openings out.
        mass_kg: Mass of one.
        cut_length_mm: Length cut on one.
        width_mm: Size over all, along u.
        height_mm: Size over all, along v.
        frame: Where it stands; null for one that stands elsewhere.
        holes: Its round holes.
        slots: Its slots.
        rolled_mm: Inside radius to which the blank is rolled; 0 for a flat plate.
        fit: How it meets the rail; null without a notch.
        steel: Its steel.
        shape: Six signs that stand for its cut shape and thickness.
        facing: Which way the drawn face turns.
        welded: True when it is welded to the machine.
    """

    name: str
    file: str
    thickness_mm: float
    count: int
    area_mm2: float
    mass_kg: float
    cut_length_mm: float
    width_mm: float
    height_mm: float
    frame: FrameReport | None
    holes: tuple[HoleReport, ...]
    slots: tuple[SlotReport, ...]
    rolled_mm: float
    fit: FitReport | None
    steel: str
    shape: str
    facing: str
    welded: bool


class WeldReport(Level, frozen=True, kw_only=True):
    """A fillet run.

    Args:
        name: Its number on the weld map.
        plate: The plate it holds.
        side: Face of the plate on which the bead lies.
        length_mm: Length along the root.
        leg_mm: Leg along each face.
        joint_angle_deg: Least and greatest angle between the faces.
        to: What it holds the plate to.
        gap_mm: Largest gap under the bead.
        electrode: Class of the filler.
        order: Its place in the order of welding, from 1.
    """

    name: str
    plate: str
    side: str
    length_mm: float
    leg_mm: float
    joint_angle_deg: Pair
    to: str
    gap_mm: float
    electrode: str
    order: int


def plate_report(work: Work, plate: Plate) -> PlateReport:
    """A plate of a finished job."""
    u0, v0, u1, v1 = plate.outline.bounds
    place = plate.placement
    return mirrored(
        PlateReport,
        plate,
        file=cut_file_name(work.job, plate.name),
        mass_kg=mass_kg(plate),
        cut_length_mm=cut_length_mm(plate),
        width_mm=u1 - u0,
        height_mm=v1 - v0,
        frame=None if plate in work.loose else mirrored(FrameReport, place, origin_mm=place.origin),
        holes=tuple(_hole(plate, hole) for hole in plate.holes),
        slots=tuple(_slot(plate, slot) for slot in plate.slots),
        fit=None if plate.fit is None else mirrored(FitReport, plate.fit),
        shape=shape_mark(plate),
        facing=facing(work, plate),
    )


def weld_report(run: WeldRun, order: int) -> WeldReport:
    """A weld run and its place in the order of welding."""
    return mirrored(WeldReport, run, to=run.other, order=order)


def _hole(plate: Plate, hole: Hole) -> HoleReport:
    edges = (
        EdgeReport(
            edge=edge_name(plate, hole, near.edge),
            from_centre_mm=near.from_centre_mm,
            from_hole_mm=near.from_circle_mm,
            direction_deg=math.degrees(near.direction_rad) % 360.0,
        )
        for near in approaches(plate.outline, hole.circle)
    )
    return mirrored(
        HoleReport,
        hole,
        diameter_mm=2.0 * hole.circle.radius,
        centre_mm=pair(hole.circle.centre),
        edge_distance_mm=hole_edge_mm(plate, hole),
        edge_distance_required_mm=hole.edge_required_mm,
        source=hole.edge_source,
        edges=tuple(edges),
    )


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


def _slot(plate: Plate, slot: Slot) -> SlotReport:
    return mirrored(
        SlotReport,
        slot,
        ends_mm=tuple(map(pair, slot.ends)),
        bolt_at_mm=pair(slot.at),
        edge_distance_mm=slot_edge_mm(plate, slot),
        edge_distance_required_mm=slot.edge_required_mm,
        source=slot.edge_source,
    )
